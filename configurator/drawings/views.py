"""The drawings of a package by name, for every way out: a file, a page, a sheet of paper."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from configurator.core.errors import InputError, Problem
from configurator.drawings import drawing_templates as say
from configurator.drawings.ahead import ahead_view
from configurator.drawings.front import front_view, wheel_view
from configurator.drawings.ink import LIGHT
from configurator.drawings.side import side_view
from configurator.drawings.speed_chart import draw_speeds
from configurator.drawings.svg import PAPER_WIDTH, draw_views

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.drawings.ink import Ink
    from configurator.drawings.reader import NumberWriter, TextWriter
    from configurator.drawings.shapes import View
    from configurator.drawings.svg import Arrangement, Drawing
    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.wording.quantities import System

ViewName = Literal["front", "rear", "wheel", "side", "ahead", "speeds"]
VIEWS: dict[ViewName, str] = {
    "front": "front axle",
    "rear": "rear axle",
    "wheel": "front wheel, cut",
    "side": "left side",
    "ahead": "from the front",
    "speeds": "engine speed in every gear",
}


def view_of(
    evaluation: Evaluation,
    choice: Mapping[str, Option],
    name: Literal["front", "rear", "wheel", "side", "ahead"],
) -> View:
    """Return a view by its name."""
    if name == "side":
        return side_view(evaluation, choice)
    if name == "ahead":
        return ahead_view(evaluation, choice)
    if name == "wheel":
        return wheel_view(evaluation, choice)
    return front_view(evaluation, choice, name)


def draw(
    evaluation: Evaluation,
    choice: Mapping[str, Option],
    name: ViewName,
    *,
    width: float | None = None,
    scale: int | None = None,
    arrangement: Arrangement = "together",
    ink: Ink = LIGHT,
    system: System | None = None,
    number: NumberWriter = str,
    text: TextWriter = str,
) -> Drawing:
    """Draw a vehicle with a package over the vehicle as it stands.

    Parameters
    ----------
    evaluation
        Of the job.
    choice
        Of a package; `Evaluation.fitted` draws the vehicle as it stands, without a comparison.
    name
        Of the view.
    width, scale, arrangement, ink, system, number, text
        As for `draw_views`.

    Raises
    ------
    InputError
        If the scale needs more paper than the width given, or a chart is asked for at a scale.
    """
    if name == "speeds":
        if scale is not None:
            raise InputError([Problem("scale", "a chart has no scale", "leave it out")])
        paper = width or PAPER_WIDTH
        return draw_speeds(
            evaluation, choice, width=paper, ink=ink, system=system, number=number, text=text
        )
    after = view_of(evaluation, choice, name)
    same = all(option == evaluation.fitted[place] for place, option in choice.items())
    before = None if same else view_of(evaluation, evaluation.fitted, name)
    return draw_views(
        before,
        after,
        title=text(say.TITLE).format(vehicle=evaluation.case.vehicle.title, view=text(VIEWS[name])),
        width=width,
        scale=scale,
        arrangement=arrangement,
        ink=ink,
        system=system,
        number=number,
        text=text,
    )


def for_paper(
    evaluation: Evaluation,
    choice: Mapping[str, Option],
    *,
    width: float = 170.0,
    system: System | None = None,
    number: NumberWriter = str,
    text: TextWriter = str,
    names: tuple[ViewName, ...] = ("front", "rear", "side", "speeds"),
) -> list[Drawing]:
    """Draw the views of a package for a sheet of paper, each at a scale that it states.

    Parameters
    ----------
    evaluation
        Of the job.
    choice
        Of a package (``package.choice``).
    width
        Of the type area [mm]; 170 is A4 within margins of 20 mm.
    system
        Units of the dimensions.
    number
        Writes a decimal number as the reader of the sheet does.
    text
        Says texts in the language of the reader of the sheet.
    names
        Which views, in order.

    Returns
    -------
    list of Drawing
        ``svg`` is the file as text, ``width`` and ``height`` its size in print [mm]. It is at
        scale only when set exactly ``width`` wide. In typst, with the text handed over as data:
        ``image(bytes(d.svg), format: "svg", width: d.width * 1mm, alt: d.title)``. What could not
        be drawn is written on the drawing and listed in ``not_drawn``; where ``drawn`` is False
        that is all there is on it.

    Raises
    ------
    InputError
        If the paper is too narrow for every scale.
    """
    return [
        draw(evaluation, choice, name, width=width, system=system, number=number, text=text)
        for name in names
    ]
