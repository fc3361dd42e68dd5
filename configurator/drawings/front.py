"""An axle seen along the vehicle: the left half from outside, the right half cut."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from configurator.core import units
from configurator.drawings.geometry import ViewReader, millimetres
from configurator.drawings.shapes import Circle, Dimension

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.drawings.shapes import View
    from configurator.evaluation.evaluator import Evaluation, Option

Axle = Literal["front", "rear"]

# Share of the section width by which the corners of a tyre are drawn round: no list has it.
ROUND = 0.16


def front_view(evaluation: Evaluation, choice: Mapping[str, Option], axle: Axle = "front") -> View:
    """Look at an axle along the vehicle.

    Parameters
    ----------
    evaluation
        Of the job.
    choice
        Position → option: a package's, or `Evaluation.fitted` for the vehicle as it stands.
    axle
        Which one.

    Returns
    -------
    View
        In millimetres, the middle of the vehicle at 0. Where the tyres cannot be placed, nothing
        is drawn and the missing figures are listed.
    """
    sheet = ViewReader(evaluation, choice)
    track = sheet.size(f"{axle} track")
    radius = sheet.size(f"{axle} static radius")
    diameter = sheet.size("tyre diameter")
    width = sheet.size("section width on the rim")
    over = sheet.size(f"{axle} width over tyres")
    if track is not None and radius is not None and diameter is not None and width is not None:
        middle, top = track / 2, radius + diameter / 2
        sheet.line("ground", (-0.62 * track, 0.0), (0.62 * track, 0.0), look="ground")
        left = (-middle - width / 2, 0.0), (-middle + width / 2, top)
        sheet.box("tyre", *left, corner=ROUND * width)
        sheet.remark("corners of tyres are drawn round: no list says how round")
        face = _wheel(sheet, axle, middle, radius, (top, width))
        _axle(sheet, axle, radius, (middle - width / 2, face))
        _arch(sheet, axle, radius, top, middle - width / 2)
        sheet.dimension(f"{axle} track", "track", (-middle, 0.0), "below")
        if over is not None:
            name = f"{axle} width over tyres"
            sheet.dimension(name, "over the tyres", (-over / 2, 0.0), "below", level=2)
        edge = middle + width / 2
        sheet.dimension(f"{axle} static radius", "wheel centre", (edge, 0.0), "right")
        sheet.dimension(f"{axle} axle height", "axle line", (-edge, 0.0), "left")
        _asked(sheet, axle)
    return sheet.finish(f"{axle} axle")


def wheel_view(evaluation: Evaluation, choice: Mapping[str, Option]) -> View:
    """Look at a front wheel, cut: how tyre, rim, brake and hub reduction sit in each other.

    Parameters
    ----------
    evaluation, choice
        As for `front_view`.

    Returns
    -------
    View
        In millimetres, the centreline of the tyre at 0, the outside of the vehicle to the right.
    """
    sheet = ViewReader(evaluation, choice)
    radius = sheet.size("front static radius")
    diameter = sheet.size("tyre diameter")
    width = sheet.size("section width on the rim")
    if radius is not None and diameter is not None and width is not None:
        top, edge = radius + diameter / 2, width / 2
        sheet.line("ground", (-0.8 * width, 0.0), (0.8 * width, 0.0), look="ground")
        sheet.line("centreline", (0.0, 0.0), (0.0, top + 30.0), look="reference")
        face = _wheel(sheet, "front", 0.0, radius, (top, width))
        sheet.remark("corners of tyres are drawn round: no list says how round")
        height = sheet.size("front axle height")
        if face is not None and height is not None:
            own = face - (sheet.part_size("front hub reductions", "added width") or 0.0)
            sheet.line("axle line", (-edge - 20.0, height), (own, height), look="reference")
            clearance = sheet.size("clearance under front hub reduction")
            if clearance is not None:
                _hub_box(sheet, (own, face), clearance, radius, height)
        barrel = sheet.part_size("wheels", "barrel diameter") or 0.0
        low = (edge, radius - barrel / 2)
        sheet.part_dimension("wheels", "barrel diameter", "free in the barrel", low, "right")
        inside = (-edge, radius)
        sheet.part_dimension("front brakes", "envelope radius", "brake", inside, "left")
        _brake_gap(sheet, barrel, radius)
        name = "front depth below the wheel centre"
        depth = sheet.size(name)
        if depth is not None:
            sheet.dimension(name, "hub box", (-edge, radius - depth), "left")
        sheet.part_dimension("wheels", "offset", "offset", (0.0, 0.0), "below")
        rim = sheet.part_size("wheels", "rim width") or 0.0
        start = (-rim / 2, 0.0)
        sheet.part_dimension("wheels", "rim width", "rim width", start, "below", level=2)
        name = "section width on the rim"
        sheet.dimension(name, "section width", (-edge, 0.0), "below", level=3)
    return sheet.finish("front wheel, cut")


def _brake_gap(sheet: ViewReader, barrel: float, radius: float) -> None:
    """Show how much air is between the brake and the barrel of the wheel."""
    envelope = sheet.part_size("front brakes", "envelope radius")
    if envelope is None or not barrel:
        return
    gap = barrel / 2 - envelope
    rim = sheet.part_size("wheels", "rim width") or 0.0
    start, end = (-rim / 4, radius + envelope), (-rim / 4, radius + barrel / 2)
    sheet.dimensions.append(
        Dimension(
            "gap between front brake and barrel",
            "gap to the brake",
            units.to_si(gap, "mm"),
            "mm",
            start,
            end,
            "above",
            along=radius * 2,
        )
    )


def _wheel(
    sheet: ViewReader, axle: Axle, middle: float, radius: float, tyre: tuple[float, float]
) -> float | None:
    """Draw the right wheel, cut; return where its mounting face is."""
    top, width = tyre
    left, right = middle - width / 2, middle + width / 2
    rim = sheet.part_size("wheels", "rim diameter")
    rim_width = sheet.part_size("wheels", "rim width")
    offset = sheet.part_size("wheels", "offset")
    barrel = sheet.part_size("wheels", "barrel diameter")
    pad = sheet.part_size("wheels", "pad thickness")
    brake = sheet.part_size(f"{axle} brakes", "envelope radius")
    face = None if offset is None else middle + offset
    if rim is None:
        sheet.box("tyre", (left, 0.0), (right, top), corner=ROUND * width)
        return face
    for low, high in ((0.0, radius - rim / 2), (radius + rim / 2, top)):
        sheet.box("tyre", (left, low), (right, high), corner=ROUND * width)
    if rim_width is None or barrel is None:
        return face
    inner, outer = middle - rim_width / 2, middle + rim_width / 2
    for sign in (-1, 1):
        edges = radius + sign * rim / 2, radius + sign * barrel / 2
        sheet.box("rim", (inner, min(edges)), (outer, max(edges)))
    if face is not None and pad is not None:
        low, high = radius - barrel / 2, radius + barrel / 2
        sheet.box("wheel disc", (face, low), (face + pad, high))
        if brake is not None:
            # Where it sits across is in no list; it stays within this, inboard of the disc.
            box = (inner, radius - brake), (face, radius + brake)
            sheet.box("brake", *box, look="reference")
            sheet.remark("chain line in the wheel: the room that the brake needs")
    return face


def _axle(sheet: ViewReader, axle: Axle, radius: float, ends: tuple[float, float | None]) -> None:
    """Draw what is between the left tyre and the mounting face of the right wheel."""
    inboard, face = ends
    height = sheet.size(f"{axle} axle height")
    if height is None:
        return
    solid = sheet.text(f"{axle} suspension") != "independent"
    lift = sheet.size(f"{axle} differential lift") or 0.0
    _differential(sheet, axle, height + lift)
    if face is None:
        return
    own = face - (sheet.part_size(f"{axle} hub reductions", "added width") or 0.0)
    sheet.line("axle line", (-inboard, height), (own, height), look="reference")
    tube = sheet.part_size(f"{axle} axle", "tube diameter") if solid else None
    if tube is not None:
        sheet.box("axle tube", (-inboard, height - tube / 2), (own, height + tube / 2))
        sheet.remark("the axle tube is drawn up to the hub faces, without knuckles")
    if not solid:
        sheet.not_drawn.append("half-shafts: the slope of an independent axle's is not measured")
    name = f"clearance under {axle} hub reduction"
    clearance = sheet.size(name)
    if clearance is not None:
        _hub_box(sheet, (own, face), clearance, radius, height)
        beside = inboard - 30.0
        sheet.line("hub box", (beside, clearance), (own, clearance), look="reference")
        sheet.dimension(name, "under hub box", (beside, 0.0), "here left", along=0.25)


def _differential(sheet: ViewReader, axle: Axle, height: float) -> None:
    name = f"clearance under {axle} differential"
    clearance = sheet.size(name)
    if clearance is None:
        return
    # The guard's lowest point is what the clearance counts to.
    guard = sheet.part_size(f"{axle} diff guard", "hangs below") or 0.0
    middle, depth = (0.0, height), height - clearance
    sheet.shapes.append(Circle("differential", middle, depth - guard, start=180.0))
    if guard:
        sheet.shapes.append(Circle("differential guard", middle, depth, start=215.0, end=325.0))
    sheet.dimension(name, "clearance", (0.0, 0.0), "here left")
    sheet.remark("the differential is drawn midway: its place across is not measured")


def _hub_box(
    sheet: ViewReader, faces: tuple[float, float], clearance: float, radius: float, height: float
) -> None:
    inner, outer = faces
    corners = (inner, height), (inner, clearance), (outer, clearance), (outer, height)
    sheet.line("hub box", *corners)
    sheet.line("wheel centre", (inner, radius), (outer, radius), look="reference")
    sheet.remark("hub boxes are open above the axle line: no list has their height")


def _arch(sheet: ViewReader, axle: Axle, radius: float, top: float, inboard: float) -> None:
    """Draw the arch as it stands to the tyre at full bump, out to its edge or strip."""
    room = sheet.size(f"{axle} arch room")
    width = sheet.measured_size(f"{axle} width over arches")
    strip = sheet.part_size(f"{axle} arch extensions", "stands out") or 0.0
    if room is None or width is None:
        return
    for sign in (-1, 1):
        edge, inner = sign * (width / 2 + strip), sign * inboard
        points = (inner, radius + room), (edge, radius + room), (edge, min(top, radius + room) - 60)
        sheet.line("arch", *points, look="reference")
    sheet.remark("chain line over the tyre: the arch at full bump, out to its edge")


def _asked(sheet: ViewReader, axle: Axle) -> None:
    """Draw what the job asks of what can be seen here."""
    across = (f"{axle} track", f"{axle} width over tyres")
    under = f"clearance under {axle} axle"
    for goal in sheet.evaluation.case.job.goals:
        unit = sheet.evaluation.definition(goal.figure).unit
        if goal.figure in across and goal.at_most is not None:
            half = millimetres(goal.at_most) / 2
            label = f"asked: {'track' if goal.figure == across[0] else 'over the tyres'} at most"
            ends = (-half, 0.0), (half, 0.0)
            sheet.asked.append(
                Dimension(goal.figure, label, goal.at_most, unit, *ends, "below", level=3)
            )
        if goal.figure == under and goal.at_least is not None:
            ends = (40.0, 0.0), (40.0, millimetres(goal.at_least))
            label = "asked: at least"
            # Over the words about the hub box; the differential as it stands gives way to them.
            asked = Dimension(
                goal.figure, label, goal.at_least, unit, *ends, "here right", along=0.68
            )
            sheet.asked.append(asked)
