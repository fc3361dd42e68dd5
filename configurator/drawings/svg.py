"""Views of a vehicle as SVG: at a scale that is stated, before and after in one picture or two.

A unit of the SVG is a millimetre of paper. Stretched on a screen a drawing is no longer at its
scale, so a bar of known length goes with it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from configurator.core.errors import InputError, Problem
from configurator.drawings import drawing_templates as template
from configurator.drawings.ink import LIGHT, add, finished, rows, sheet, text_width, write
from configurator.drawings.pen import (
    FIRST,
    LEVEL,
    ROW,
    SIZE,
    SMALL,
    TITLE,
    PanelFrame,
    draw_angle,
    draw_bar,
    draw_dimension,
    draw_shape,
)
from configurator.drawings.reader import Reader, behind, value_words
from configurator.drawings.shapes import extent
from configurator.wording.sentences import begun

if TYPE_CHECKING:
    from collections.abc import Sequence
    from xml.etree.ElementTree import Element

    from configurator.drawings.ink import Ink
    from configurator.drawings.reader import NumberWriter, TextWriter
    from configurator.drawings.shapes import Angle, Dimension, View
    from configurator.wording.quantities import System

Arrangement = Literal["together", "apart"]

# 1:5 to 1:100; those between the steps of ISO 5455 fill a sheet better (list from memory).
SCALES = (5, 10, 15, 20, 25, 30, 40, 50, 75, 100)
PAPER_WIDTH = 170.0
BEFORE, AFTER = "as it stands", "with the package"


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing at its scale.

    Parameters
    ----------
    title
        What it shows.
    svg
        The file.
    width, height
        In print [mm].
    scale
        So many millimetres of the vehicle are one on paper; 0 for a chart.
    not_drawn
        What was left out, and why.
    drawn
        Whether there is anything on it but that list.
    """

    title: str
    svg: str
    width: float
    height: float
    scale: int
    not_drawn: tuple[str, ...]
    drawn: bool = True


@dataclass(frozen=True, slots=True)
class _Panel:
    """Views over one another: ``before`` is dashed, ``after`` or a view alone is solid."""

    heading: str
    before: View | None
    after: View


def draw_views(
    before: View | None,
    after: View,
    *,
    title: str,
    width: float | None = None,
    scale: int | None = None,
    arrangement: Arrangement = "together",
    ink: Ink = LIGHT,
    system: System | None = None,
    number: NumberWriter = str,
    text: TextWriter = str,
) -> Drawing:
    """Draw a view, with the one before it if there is one.

    Parameters
    ----------
    before, after
        From `front_view` or `side_view`; without ``before`` nothing is compared.
    title
        Above the drawing; may hold any text.
    width
        Of the paper [mm]; by default 170, an A4 sheet within its margins, or what the scale needs.
    scale
        Draw 1:scale; by default the largest of `SCALES` that fits the width.
    arrangement
        ``"together"``: one picture, the vehicle as it stands dashed. ``"apart"``: two pictures.
    ink
        Colours.
    system
        Units of the dimensions.
    number
        Writes a decimal number as the reader does.
    text
        Says texts in the reader's language.

    Raises
    ------
    InputError
        If the scale needs more paper than the width given.
    """
    if not after.shapes:
        return draw_nothing(title, after.not_drawn, width or PAPER_WIDTH, ink, text)
    if before is None or not before.shapes:
        panels = [_Panel("", None, after)]
    elif arrangement == "together":
        panels = [_Panel("", before, after)]
    else:
        panels = [_Panel(BEFORE, None, before), _Panel(AFTER, None, after)]
    reader = Reader(system, number, text)
    bounds = _bounds(panels)
    sides = _side_margins(panels, reader)
    stacked = len(panels) > 1 and bounds[2] - bounds[0] > 1.2 * bounds[3]

    def needed(item: int) -> float:
        across = sum(sides) + (bounds[2] - bounds[0]) / item
        return across if stacked else across * len(panels)

    paper = width or PAPER_WIDTH
    if scale is None:
        fitting = [item for item in SCALES if needed(item) <= paper]
        if not fitting:
            what = f"{paper:g} mm of paper are too narrow for this drawing"
            raise InputError([Problem("width", what, f"take {needed(SCALES[-1]):.0f} mm or more")])
        scale = fitting[0]
    elif needed(scale) > paper:
        if width is not None:
            what = f"at 1:{scale} the drawing needs {needed(scale):.0f} mm, there are {width:g} mm"
            raise InputError([Problem("scale", what, "take a smaller scale or wider paper")])
        paper = needed(scale)
    return _compose(panels, title, paper, scale, (bounds, sides, stacked), ink, reader)


def draw_nothing(
    title: str, not_drawn: tuple[str, ...], width: float, ink: Ink, text: TextWriter = str
) -> Drawing:
    """Say in place of a drawing why there is none."""
    missing = "; ".join(map(text, not_drawn))
    notes = rows(text(template.NOT_DRAWN).format(what=missing), width - 4, SIZE)
    titles = rows(title, width - 4, TITLE)
    height = 6.0 + 4.6 * len(titles) + 3.6 * len(notes)
    svg = sheet(width, height, title, " ".join(notes), ink)
    for k, line in enumerate(titles):
        write(svg, line, (2.0, 5.6 + 4.6 * k), ink, size=TITLE, bold=True)
    for k, line in enumerate(notes):
        write(svg, line, (2.0, 6.0 + 4.6 * len(titles) + 3.6 * k), ink, size=SIZE)
    return Drawing(title, finished(svg), width, height, 0, not_drawn, drawn=False)


def _compose(
    panels: Sequence[_Panel],
    title: str,
    paper: float,
    scale: int,
    plan: tuple[tuple[float, float, float, float], tuple[float, float], bool],
    ink: Ink,
    reader: Reader,
) -> Drawing:
    bounds, sides, stacked = plan
    titles = rows(title, paper - 4, TITLE)
    top = 3.0 + 4.6 * len(titles) + 2.0
    levels = max((d.level for p in panels for d in _all(p) if d.side == "below"), default=0)
    above = 5.0 + (4.5 if len(panels) > 1 else 0.0)
    high = max(bounds[3] / scale, _words_above(panels, scale))
    tall = above + high + FIRST + LEVEL * levels - 3.0
    notes = _notes(panels, paper, scale, reader)
    height = top + tall * (len(panels) if stacked else 1) + 9.0 + 3.4 * len(notes) + 2.0
    svg = sheet(paper, height, title, _description(panels, reader), ink)
    for k, line in enumerate(titles):
        write(svg, line, (2.0, 5.6 + 4.6 * k), ink, size=TITLE, bold=True)
    share = paper if stacked else paper / len(panels)
    across = (bounds[2] - bounds[0]) / scale
    for k, panel in enumerate(panels):
        column, row = (0, k) if stacked else (k, 0)
        left = column * share + sides[0] + (share - sum(sides) - across) / 2
        start = top + row * tall
        frame = PanelFrame(scale, left, start + above + high, bounds[0])
        if panel.heading:
            at = (column * share + share / 2, start + 3.5)
            write(svg, reader.text(panel.heading), at, ink, anchor="middle", bold=True)
        _panel(svg, panel, frame, ink, reader)
    foot = height - 3.4 * len(notes) - 2.0
    draw_bar(svg, scale, (2.0, foot - 3.0), ink, reader)
    for k, note in enumerate(notes):
        write(svg, note, (2.0, foot + 1.6 + 3.4 * k), ink, size=SMALL)
    return Drawing(title, finished(svg), paper, height, scale, _not_drawn(panels))


def _all(panel: _Panel) -> tuple[Dimension, ...]:
    return (*panel.after.dimensions, *panel.after.asked)


def _bounds(panels: Sequence[_Panel]) -> tuple[float, float, float, float]:
    bounds = [extent(v) for p in panels for v in (p.before, p.after) if v is not None]
    return (
        min(bound[0] for bound in bounds),
        min(bound[1] for bound in bounds),
        max(bound[2] for bound in bounds),
        max(bound[3] for bound in bounds),
    )


def _words_above(panels: Sequence[_Panel], scale: int) -> float:
    """How high over the ground words stand [mm on paper]."""
    heights = [0.0]
    for panel in panels:
        heights += [
            d.along / scale + ROW * d.level for d in panel.after.dimensions if "above" in d.side
        ]
        heights += [a.at[1] / scale + ROW * (a.level + 1) for a in panel.after.angles]
    return max(heights)


def _side_margins(panels: Sequence[_Panel], reader: Reader) -> tuple[float, float]:
    margins = [4.0, 4.0]
    for panel in panels:
        for dimension in _all(panel):
            if dimension.side in ("left", "right"):
                wide = max(text_width(row) for row in _words(dimension, panel.before, reader))
                k = 0 if dimension.side == "left" else 1
                margins[k] = max(margins[k], wide + 7.0)
        for angle in panel.after.angles:
            # Words about the outermost points reach past them.
            margins = [max(margin, 11.0) for margin in margins] if angle.level == 0 else margins
    return margins[0], margins[1]


def _words(dimension: Dimension, before: View | None, reader: Reader) -> tuple[str, str]:
    """Say what a dimension is, and its value; both values where it changes."""
    old = None
    if before is not None:
        old = next((d for d in before.dimensions if d.figure == dimension.figure), None)
        if old is None:
            unknown = any(line.startswith(f"{dimension.figure}: ") for line in before.not_drawn)
            was = reader.text(template.NOT_KNOWN if unknown else template.NONE)
            value = value_words(dimension.value, dimension.unit, reader)
            return reader.text(dimension.label), f"{was} → {value}"
    return reader.text(dimension.label), _change(old, dimension, reader)


def _change(old: Dimension | Angle | None, new: Dimension | Angle, reader: Reader) -> str:
    """Say a value, or two with their unit once.

    Examples
    --------
    >>> from configurator.drawings.shapes import Angle
    >>> old, new = (Angle("", "", value, "mm", (0.0, 0.0)) for value in (0.3, 0.35))
    >>> metric, imperial = Reader(), Reader("imperial")
    >>> _change(old, new, metric), _change(new, new, metric), _change(None, new, imperial)
    ('300 → 350 mm', '350 mm', '13.78 in')
    """
    value = value_words(new.value, new.unit, reader)
    was = value if old is None else value_words(old.value, old.unit, reader)
    if was == value:
        return value
    return f"{was.removesuffix(behind(new.unit, reader))} → {value}"


def _panel(svg: Element, panel: _Panel, frame: PanelFrame, ink: Ink, reader: Reader) -> None:
    if panel.before is not None:
        group = add(svg, "g", data_of="before", fill="none", stroke=ink.foreground)
        for shape in panel.before.shapes:
            if shape.look != "ground":
                draw_shape(group, shape, frame, ink, before=True)
    group = add(svg, "g", data_of="after", fill="none", stroke=ink.foreground)
    for shape in panel.after.shapes:
        draw_shape(group, shape, frame, ink, before=False)
    # Those farther out first: their lines pass the words of those farther in, and end behind them.
    for dimension in sorted(panel.after.asked, key=_inwards):
        draw_dimension(svg, dimension, _words(dimension, None, reader), frame, ink, asked=True)
    for dimension in sorted(panel.after.dimensions, key=_inwards):
        draw_dimension(
            svg, dimension, _words(dimension, panel.before, reader), frame, ink, asked=False
        )
    for angle in panel.after.angles:
        old = panel.before.angles if panel.before is not None else ()
        was = next((other for other in old if other.figure == angle.figure), None)
        label = reader.text(angle.label)
        draw_angle(svg, angle, (label, _change(was, angle, reader)), frame, ink)


def _inwards(dimension: Dimension) -> int:
    return -dimension.level


def _notes(panels: Sequence[_Panel], paper: float, scale: int, reader: Reader) -> list[str]:
    notes = [reader.say(template.SCALE, scale=scale, width=f"{paper:.0f}")]
    if panels[0].before is not None:
        notes.append(reader.text(template.SOLID_DASHED_DOTTED))
    remarks = dict.fromkeys(remark for panel in panels for remark in panel.after.remarks)
    if remarks:
        notes.append(begun("; ".join(reader.text(remark) for remark in remarks)) + ".")
    missing = _not_drawn(panels)
    if missing:
        notes.append(reader.say(template.NOT_DRAWN, what="; ".join(map(reader.text, missing))))
    return [row for note in notes for row in rows(note, paper - 4, SMALL)]


def _not_drawn(panels: Sequence[_Panel]) -> tuple[str, ...]:
    views = [v for p in panels for v in (p.before, p.after) if v is not None]
    return tuple(dict.fromkeys(line for view in views for line in view.not_drawn))


def _description(panels: Sequence[_Panel], reader: Reader) -> str:
    """Say what a drawing shows."""
    lines = []
    for panel in panels:
        parts = [" ".join(_words(dimension, panel.before, reader)) for dimension in _all(panel)]
        parts += [
            f"{reader.text(a.label)} {value_words(a.value, a.unit, reader)}"
            for a in panel.after.angles
        ]
        lines.append(f"{reader.text(panel.heading or panel.after.title)}: {', '.join(parts)}.")
    return " ".join(lines)
