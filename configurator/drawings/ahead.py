"""The whole vehicle from the front: how wide it stands, how high, and what is under the axle."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.drawings.body import body_outline, draw_ahead
from configurator.drawings.front import ROUND
from configurator.drawings.geometry import ViewReader
from configurator.drawings.shapes import Circle

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.drawings.shapes import View
    from configurator.evaluation.evaluator import Evaluation, Option


def ahead_view(evaluation: Evaluation, choice: Mapping[str, Option]) -> View:
    """Look at the vehicle from the front.

    Parameters
    ----------
    evaluation
        Of the job.
    choice
        Position → option: a package's, or `Evaluation.fitted` for the vehicle as it stands.

    Returns
    -------
    View
        In millimetres, the middle of the vehicle at 0. Where the tyres cannot be placed, nothing
        is drawn and the missing figures are listed.
    """
    sheet = ViewReader(evaluation, choice)
    track = sheet.size("front track")
    radius = sheet.size("front static radius")
    diameter = sheet.size("tyre diameter")
    section = sheet.size("section width on the rim")
    wheelbase = sheet.measured_size("wheelbase")
    width = sheet.measured_size("front width over arches")
    if (
        track is not None
        and radius is not None
        and diameter is not None
        and section is not None
        and wheelbase is not None
        and width is not None
    ):
        sheet.line("ground", (-0.66 * width, 0.0), (0.66 * width, 0.0), look="ground")
        top = radius + diameter / 2
        for sign in (-1, 1):
            edges = sorted((sign * (track + section) / 2, sign * (track - section) / 2))
            low, high = (edges[0], 0.0), (edges[1], top)
            sheet.box("tyre", low, high, corner=ROUND * section)
        _axle(sheet, (track - section) / 2)
        draw_ahead(sheet, body_outline(sheet, wheelbase, diameter), width)
        sheet.dimension("front track", "track", (-track / 2, 0.0), "below")
        over = sheet.size("front width over tyres")
        if over is not None:
            name = "front width over tyres"
            sheet.dimension(name, "over the tyres", (-over / 2, 0.0), "below", level=2)
    return sheet.finish("from the front")


def _axle(sheet: ViewReader, inboard: float) -> None:
    """Draw what hangs under the vehicle between the tyres."""
    height = sheet.size("front axle height")
    clearance = sheet.size("clearance under front differential")
    if height is None or clearance is None:
        return
    if sheet.text("front suspension") != "independent":
        tube = sheet.part_size("front axle", "tube diameter")
        if tube is not None:
            sheet.box("axle tube", (-inboard, height - tube / 2), (inboard, height + tube / 2))
    lift = sheet.size("front differential lift") or 0.0
    middle = (0.0, height + lift)
    sheet.shapes.append(Circle("differential", middle, max(20.0, middle[1] - clearance)))
    sheet.dimension("clearance under front axle", "clearance", (0.0, 0.0), "here left")
