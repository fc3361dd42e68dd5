"""A picture of the vehicle before and after, for a customer at the table: few words, and large.

A unit of it is a pixel of a page: drawn as wide as it says or wider, its words are at least 14
pixels high. The drawings of `views` are for whoever measures; this one shows what changes.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin
from typing import TYPE_CHECKING, Literal
from xml.etree import ElementTree

from configurator.drawings.ahead import ahead_view
from configurator.drawings.body import rounded
from configurator.drawings.ink import FONT, OF_PAGE, add, finished, legal, number
from configurator.drawings.reader import Reader, behind, value_words
from configurator.drawings.shapes import Circle
from configurator.drawings.side import side_view

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from configurator.drawings.ink import Ink
    from configurator.drawings.reader import NumberWriter
    from configurator.drawings.shapes import Angle, Dimension, Point, Shape, View
    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.wording.quantities import System

PictureName = Literal["side", "ahead"]
PICTURES: dict[PictureName, str] = {"side": "from the side", "ahead": "from the front"}
NARROW, WIDE = 340.0, 560.0
BESIDE = 400.0  # of a picture from the front beside one from the side
WORDS = 15.0  # size of the words [px]; never below 14
LINE = 20.0
MARGIN = 6.0
# What each picture says under the ground, and under which name a view knows it.
SAID: dict[PictureName, tuple[tuple[str, str], ...]] = {
    "side": (
        ("approach angle", "approach"),
        ("breakover angle", "breakover"),
        ("departure angle", "departure"),
    ),
    "ahead": (
        ("front track", "track"),
        ("clearance under front axle", "clearance"),
        ("front width over tyres", "across the tyres"),
    ),
}
HEIGHT = "height"
BEFORE, AFTER = "as it stands", "with the package"


@dataclass(frozen=True, slots=True)
class CustomerPicture:
    """A picture of so many pixels.

    ``says`` describes it for those who do not see it; ``remarks`` are what is drawn without being
    measured, ``not_drawn`` what was left out.
    """

    title: str
    svg: str
    width: float
    height: float
    says: str
    remarks: tuple[str, ...]
    not_drawn: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Frame:
    """Where a point of the vehicle lies in the picture."""

    scale: float
    left: float
    ground: float

    def at(self, point: Point) -> Point:
        return self.left + point[0] * self.scale, self.ground - point[1] * self.scale


def draw_picture(
    evaluation: Evaluation,
    choice: Mapping[str, Option],
    name: PictureName = "side",
    *,
    width: float = WIDE,
    ink: Ink = OF_PAGE,
    system: System | None = None,
    number_as: NumberWriter = str,
    titled: bool = False,
    wordless: bool = False,
) -> CustomerPicture:
    """Draw a vehicle with a package, and dashed as it stands.

    Parameters
    ----------
    evaluation
        Of the job.
    choice
        Of a package; `Evaluation.fitted` draws the vehicle as it stands alone.
    name
        From where.
    width
        In pixels.
    ink
        Colours; by default those of the page it stands in.
    system, number_as
        Units, and how numbers are written.
    titled
        Whether the vehicle's name stands above, for a picture that leaves the page.
    wordless
        Whether all words are left out, for a picture too small for them.
    """
    view_of = side_view if name == "side" else ahead_view
    after = view_of(evaluation, choice)
    same = all(option == evaluation.fitted[place] for place, option in choice.items())
    before = None if same else view_of(evaluation, evaluation.fitted)
    reader = Reader(system, number_as)
    title = f"{evaluation.case.vehicle.title}, {PICTURES[name]}"
    said_below = [] if wordless else _below(name, before, after, reader)
    top = MARGIN if wordless else MARGIN + LINE * (3 if titled else 2)
    frame, ground = _frame(after, before, width, top)
    rows = len(said_below) if name == "ahead" else 2
    height = ground + (rows * LINE + 14.0 if said_below else 10.0)
    says = _describe(title, said_below, before)
    svg = _sheet(width, height, title, says, ink)
    if titled:
        _text(svg, evaluation.case.vehicle.title, (MARGIN, MARGIN + LINE - 4), ink, bold=True)
    if not wordless:
        _legend(svg, after, before, (top, width), ink, reader)
    if not after.shapes:
        _text(svg, "It cannot be drawn: measures are missing.", (MARGIN, ground - 8), ink)
    _shapes(svg, after.shapes, frame, ink)
    if before is not None:
        group = add(svg, "g", data_of="before", opacity="0.75")
        for shape in before.shapes:
            if shape.look in ("outline", "body") and shape.name in ("body", "tyre"):
                _draw(group, shape, frame, ink, dashed=True)
    add(svg, "path", d=f"M0 {number(ground)}H{number(width)}", stroke=ink.foreground,
        stroke_width=2.5, fill="none")  # fmt: skip
    _words_below(svg, name, said_below, (ground, width), ink)
    return CustomerPicture(
        title, finished(svg), width, height, says, after.remarks,
        tuple(dict.fromkeys((*after.not_drawn, *(before.not_drawn if before else ())))),
    )  # fmt: skip


def _frame(after: View, before: View | None, width: float, top: float) -> tuple[_Frame, float]:
    points: list[Point] = []
    for view in (after, before):
        for shape in view.shapes if view is not None else ():
            if shape.look in ("outline", "body"):
                points.extend(_corners(shape))
    if not points:
        return _Frame(1.0, 0.0, top + 60.0), top + 60.0
    low, high = min(x for x, _ in points), max(x for x, _ in points)
    tall = max(y for _, y in points)
    scale = (width - 2 * MARGIN) / max(1.0, high - low)
    if tall * scale > 0.62 * width:  # from the front a vehicle is nearly as high as wide
        scale = 0.62 * width / tall
    ground = top + 6.0 + tall * scale
    left = (width - (high - low) * scale) / 2 - low * scale
    return _Frame(scale, left, ground), ground


def _corners(shape: Shape) -> Sequence[Point]:
    if isinstance(shape, Circle):
        (x, y), r = shape.centre, shape.radius
        return ((x - r, y - r), (x + r, y + r))
    return shape.points


def _top(view: View | None) -> float | None:
    """Return the highest point of the body [mm]."""
    if view is None:
        return None
    tops = [y for s in view.shapes if s.name == "body" for _, y in _corners(s)]
    return max(tops, default=None)


def _below(
    name: PictureName, before: View | None, after: View, reader: Reader
) -> list[tuple[str, str]]:
    lines = []
    for figure, label in SAID[name]:
        new = _measured(after, figure)
        if new is None:
            continue
        value = value_words(new.value, new.unit, reader)
        old = _measured(before, figure)
        was = value if old is None else value_words(old.value, old.unit, reader)
        if was != value:
            value = f"{was.removesuffix(behind(new.unit, reader))} → {value}"
        lines.append((label, value))
    return lines


def _measured(view: View | None, figure: str) -> Dimension | Angle | None:
    if view is None:
        return None
    dimension = next(
        (dimension for dimension in view.dimensions if dimension.figure == figure), None
    )
    return dimension or next((angle for angle in view.angles if angle.figure == figure), None)


def _legend(
    svg: ElementTree.Element,
    after: View,
    before: View | None,
    place: tuple[float, float],
    ink: Ink,
    reader: Reader,
) -> None:
    """Say which lines are which, and how much higher the vehicle stands."""
    top, width = place
    y = top - LINE - 4
    new, old = _top(after), _top(before)
    schematic = any("schematic" in remark for remark in after.remarks)
    if new is not None and not schematic:
        moved = 0 if old is None else round(new) - round(old)
        sign = "+" if moved > 0 else "−"
        more = f" ({sign}{value_words(abs(moved) / 1000, 'mm', reader)})" if moved else ""
        _text(svg, f"{HEIGHT} {value_words(round(new) / 1000, 'mm', reader)}{more}",
              (width - MARGIN, y), ink, anchor="end")  # fmt: skip
    elif schematic:
        _text(svg, "schematic body", (width - MARGIN, y), ink, anchor="end")
    if before is not None:
        add(svg, "path", d=f"M{number(MARGIN)} {number(y - 5)}h26", fill="none",
            stroke=ink.foreground, stroke_width=1.5, stroke_dasharray="6 4")  # fmt: skip
        _text(svg, "now", (MARGIN + 32, y), ink)


def _words_below(
    svg: ElementTree.Element,
    name: PictureName,
    lines: list[tuple[str, str]],
    place: tuple[float, float],
    ink: Ink,
) -> None:
    """Write values under the ground: angles side by side, widths one under the other."""
    ground, width = place
    if name == "ahead":
        for row, (label, value) in enumerate(lines, 1):
            _text(svg, label, (MARGIN, ground + row * LINE), ink, soft=True)
            _text(svg, value, (width - MARGIN, ground + row * LINE), ink, anchor="end")
        return
    for along, (label, value) in zip((0.0, 0.5, 1.0), lines, strict=False):
        anchor = {0.0: "start", 0.5: "middle", 1.0: "end"}[along]
        x = MARGIN + along * (width - 2 * MARGIN)
        _text(svg, label, (x, ground + LINE), ink, anchor=anchor, soft=True)
        _text(svg, value, (x, ground + 2 * LINE), ink, anchor=anchor)


def _describe(title: str, lines: list[tuple[str, str]], before: View | None) -> str:
    how = f"{BEFORE} dashed, {AFTER} solid" if before is not None else BEFORE
    values = ", ".join(f"{label} {value}" for label, value in lines)
    return f"{title}; {how}. {values}."


def _sheet(width: float, height: float, title: str, says: str, ink: Ink) -> ElementTree.Element:
    svg = ElementTree.Element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "viewBox": f"0 0 {number(width)} {number(height)}",
            "width": number(width),
            "height": number(height),
            "role": "img",
            "aria-label": legal(says),
            "font-family": FONT,
        },
    )
    add(svg, "title", title)
    if ink.background != "none":
        add(svg, "rect", width=width, height=height, fill=ink.background)
    return svg


def _text(
    svg: ElementTree.Element,
    text: str,
    at: Point,
    ink: Ink,
    *,
    anchor: str = "start",
    bold: bool = False,
    soft: bool = False,
) -> None:
    more: dict[str, str | float] = {"font_weight": "bold"} if bold else {}
    if soft:
        more["opacity"] = "0.8"
    add(svg, "text", text, x=at[0], y=at[1], font_size=WORDS, text_anchor=anchor,
        fill=ink.foreground, **more)  # fmt: skip


def _shapes(svg: ElementTree.Element, shapes: Sequence[Shape], frame: _Frame, ink: Ink) -> None:
    group = add(svg, "g", data_of="after")
    for shape in shapes:
        if shape.name in ("approach angle", "departure angle", "breakover angle"):
            _draw(group, shape, frame, ink, dashed=True)
        elif shape.look in ("outline", "body") and shape.name not in ("sill", *_MARKS):
            _draw(group, shape, frame, ink, dashed=False)


# Marks of measured points say something to whoever measures only.
_MARKS = ("front hard point", "rear hard point", "running clearance", "front axle line",
          "rear axle line", "entry")  # fmt: skip
# How thick a line is [px], and how much of its colour fills it.
_LOOKS = {
    "body": (2.0, 0.10),
    "tyre": (2.0, 0.16),
    "rim": (1.5, 0.04),
    "window": (1.2, 0.0),
    "headlamp": (1.2, 0.0),
    "grille": (1.2, 0.08),
    "axle tube": (1.5, 0.16),
    "differential": (1.5, 0.24),
}
_OPAQUE = {"body", "window", "headlamp", "rim", "tyre", "axle tube", "differential"}


def _draw(
    group: ElementTree.Element, shape: Shape, frame: _Frame, ink: Ink, *, dashed: bool
) -> None:
    thick, share = _LOOKS.get(shape.name, (1.0, 0.0))
    paper = ink.behind_words or ink.background
    outline = _path(shape, frame)
    if dashed:
        add(group, "path", d=outline, fill="none", stroke=ink.foreground, stroke_width=1.2,
            stroke_dasharray="6 4", data_part=shape.name)  # fmt: skip
        return
    if shape.name in _OPAQUE and paper != "none":
        add(group, "path", d=outline, fill=paper, stroke="none")
    more: dict[str, str | float] = {"fill": "none"}
    if share:
        more = {"fill": ink.foreground, "fill_opacity": str(share)}
    add(group, "path", d=outline, stroke=ink.foreground, stroke_width=thick,
        stroke_linejoin="round", data_part=shape.name, **more)  # fmt: skip


def _path(shape: Shape, frame: _Frame) -> str:
    if isinstance(shape, Circle):
        count = 48
        span = shape.end - shape.start
        points = [
            (
                shape.centre[0] + shape.radius * cos(radians(shape.start + span * k / count)),
                shape.centre[1] + shape.radius * sin(radians(shape.start + span * k / count)),
            )
            for k in range(count + 1)
        ]
        closed = shape.closed or span >= 360
    else:
        points, closed = list(shape.points), shape.closed
        if closed and shape.corner > 0:
            points = rounded(points, shape.corner, closed=True)
    path = "L".join(f"{number(round(x, 2))} {number(round(y, 2))}"
                    for x, y in (frame.at(point) for point in points))  # fmt: skip
    return f"M{path}{'Z' if closed else ''}"
