"""The strokes of a drawing: shapes, dimensions and angles, put on paper at a scale."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin
from typing import TYPE_CHECKING

from configurator.core import units
from configurator.drawings.ink import add, number, text_width, write
from configurator.drawings.shapes import Circle
from configurator.wording.quantities import unit_in, with_unit

if TYPE_CHECKING:
    from collections.abc import Sequence
    from xml.etree.ElementTree import Element

    from configurator.drawings.ink import Ink
    from configurator.drawings.reader import Reader
    from configurator.drawings.shapes import Angle, Dimension, Line, Shape

SIZE, SMALL, TITLE = 2.6, 2.3, 3.4
LEVEL = 8.0  # from one dimension below the ground to the next
FIRST = 7.0  # from the ground to the first
ROW = 6.8  # from words above one another to the next
TICK = 0.9
# Before or not, and look of the line → thickness [mm], dashes.
LINES = {
    (False, "outline"): (0.4, ""),
    (False, "reference"): (0.2, "3.2 0.8 0.5 0.8"),
    (False, "ground"): (0.7, ""),
    (False, "body"): (0.25, ""),
    (True, "outline"): (0.25, "1.8 1.1"),
    (True, "reference"): (0.2, "0.4 0.9"),
    (True, "body"): (0.15, "1.2 1.2"),
}
# Lengths of the bar, of which the first is taken that comes out long enough.
BARS = {"in": (4, 10, 20, 40, 80), "mm": (100, 200, 500, 1000, 2000)}
LEAST_BAR = 20.0


@dataclass(frozen=True, slots=True)
class PanelFrame:
    """Where a panel lies on paper [mm]; ``left`` and ``top`` are those of what is drawn."""

    scale: int
    left: float
    ground: float
    low: float

    def at(self, point: tuple[float, float]) -> tuple[float, float]:
        """Return where a point of the vehicle lies on paper."""
        return (
            self.left + (point[0] - self.low) / self.scale,
            self.ground - point[1] / self.scale,
        )


def draw_angle(
    svg: Element, angle: Angle, phrases: tuple[str, str], frame: PanelFrame, ink: Ink
) -> None:
    """Write what an angle is and measures."""
    x, y = frame.at(angle.at)
    y -= ROW * angle.level + 0.8
    group = add(svg, "g", data_figure=angle.figure, data_value=repr(angle.value))
    label, value = phrases
    write(group, label, (x, y - SIZE - 0.3), ink, anchor="middle", over_lines=True)
    write(group, value, (x, y), ink, anchor="middle", over_lines=True)


def draw_shape(group: Element, shape: Shape, frame: PanelFrame, ink: Ink, *, before: bool) -> None:
    """Draw a shape; what stands there after is filled a little."""
    thick, dashes = LINES[before, shape.look]
    more: dict[str, str | float] = {"stroke_dasharray": dashes} if dashes else {}
    if shape.closed and shape.look == "outline" and not before:
        more |= {"fill": ink.foreground, "fill_opacity": "0.06"}
    path = _arc(shape, frame) if isinstance(shape, Circle) else _run(shape, frame)
    if isinstance(shape, Circle) and shape.end - shape.start >= 360:
        x, y = frame.at(shape.centre)
        r = shape.radius / frame.scale
        add(group, "circle", data_part=shape.name, cx=x, cy=y, r=r, stroke_width=thick, **more)
        return
    add(group, "path", data_part=shape.name, d=path, stroke_width=thick, **more)


def _run(line: Line, frame: PanelFrame) -> str:
    points = [frame.at(point) for point in line.points]
    if line.closed and line.corner > 0:
        return _rounded(points, line.corner / frame.scale)
    path = "L".join(f"{number(x)} {number(y)}" for x, y in points)
    return f"M{path}{'Z' if line.closed else ''}"


def _rounded(points: Sequence[tuple[float, float]], corner: float) -> str:
    """Draw a rectangle with round corners."""
    (left, low), (right, _), (_, high), _ = points
    r = max(0.0, min(corner, (right - left) / 2, (low - high) / 2))
    arc = f"a{number(r)} {number(r)} 0 0 0 "
    return (
        f"M{number(left + r)} {number(low)}H{number(right - r)}{arc}{number(r)} {number(-r)}"
        f"V{number(high + r)}{arc}{number(-r)} {number(-r)}"
        f"H{number(left + r)}{arc}{number(-r)} {number(r)}"
        f"V{number(low - r)}{arc}{number(r)} {number(r)}Z"
    )


def _arc(circle: Circle, frame: PanelFrame) -> str:
    (cx, cy), r = circle.centre, circle.radius
    ends = [
        frame.at((cx + r * cos(radians(a)), cy + r * sin(radians(a))))
        for a in (circle.start, circle.end)
    ]
    large = 1 if circle.end - circle.start > 180 else 0
    size = number(r / frame.scale)
    (x, y), (to_x, to_y) = ends
    path = f"M{number(x)} {number(y)}A{size} {size} 0 {large} 0 {number(to_x)} {number(to_y)}"
    return f"{path}{'Z' if circle.closed else ''}"


def draw_dimension(
    svg: Element,
    dimension: Dimension,
    phrase: tuple[str, str],
    frame: PanelFrame,
    ink: Ink,
    *,
    asked: bool,
) -> None:
    """Draw a dimension: lines to it, its line with ticks, its words; dotted where it is asked."""
    group = add(svg, "g", data_figure=dimension.figure, data_value=repr(dimension.value))
    if asked:
        group.set("data-asked", "yes")
    (x1, y1), (x2, y2) = frame.at(dimension.start), frame.at(dimension.end)
    label, value = phrase
    thin: dict[str, str | float] = {"stroke": ink.foreground, "stroke_width": 0.18, "fill": "none"}
    if dimension.side == "below":
        y = frame.ground + FIRST + LEVEL * (dimension.level - 1)
        for x in (x1, x2):
            add(group, "path", d=f"M{number(x)} {number(y1 + 1)}V{number(y + 1)}", **thin)
        line = (x1, y, x2, y)
        middle = ((x1 + x2) / 2, y - 0.9)
        if text_width(f"{label} {value}") + 2 * TICK <= x2 - x1:
            write(group, f"{label} {value}", middle, ink, anchor="middle")
        elif text_width(label) <= abs(x2 - x1) + 0.3:
            write(group, label, middle, ink, anchor="middle")
            write(group, value, (middle[0], y + SIZE + 0.3), ink, anchor="middle")
        else:
            write(group, f"{label} {value}", (max(x1, x2) + 2.2, y + 0.9), ink)
    elif dimension.side.startswith("above"):
        anchor = {"above left": "end", "above right": "start"}.get(dimension.side, "middle")
        line = (x1, y1, x1, y2)
        foot = frame.at((0.0, dimension.along))[1] - ROW * (dimension.level - 1) - 0.8
        add(group, "path", d=f"M{number(x1)} {number(y2)}V{number(foot)}", **thin)
        write(group, label, (x1, foot - SIZE - 0.9), ink, anchor=anchor, over_lines=True)
        write(group, value, (x1, foot - 0.6), ink, anchor=anchor, over_lines=True)
    else:
        x = x1
        if dimension.side in ("left", "right"):
            x = x1 + (-4.0 if dimension.side == "left" else 4.0)
            for y in (y1, y2):
                add(group, "path", d=f"M{number(x1)} {number(y)}H{number(x)}", **thin)
        line = (x, y1, x, y2)
        anchor, shift = ("end", -1.2) if dimension.side.endswith("left") else ("start", 1.2)
        middle = (x + shift, y1 + (y2 - y1) * dimension.along)
        write(group, label, (middle[0], middle[1] - 0.4), ink, anchor=anchor)
        write(group, value, (middle[0], middle[1] + SIZE), ink, anchor=anchor)
    keys = ("x1", "y1", "x2", "y2")
    places: dict[str, str | float] = {key: number(at) for key, at in zip(keys, line, strict=True)}
    line_of = add(group, "line", **places, **thin)
    if asked:
        line_of.set("stroke-dasharray", "0.5 0.8")
    for x, y in (line[:2], line[2:]):
        tick = f"M{number(x - TICK)} {number(y + TICK)}L{number(x + TICK)} {number(y - TICK)}"
        add(group, "path", d=tick, stroke=ink.foreground, stroke_width=0.3)


def draw_bar(svg: Element, scale: int, at: tuple[float, float], ink: Ink, reader: Reader) -> None:
    """Draw a bar of a round length, for those who see the drawing at another size."""
    unit = unit_in("mm", reader.system)

    def length_of(step: int) -> float:
        return units.from_si(units.to_si(step, unit), "mm") / scale

    step = next((item for item in BARS[unit] if length_of(item) >= LEAST_BAR), BARS[unit][-1])
    x, y = at
    length = length_of(step)
    group = add(svg, "g", data_bar=f"{step} {unit}")
    add(
        group,
        "path",
        d=f"M{number(x)} {number(y - 1)}v1h{number(length)}v-1",
        fill="none",
        stroke=ink.foreground,
        stroke_width=0.4,
    )
    write(group, with_unit(reader.number(str(step)), unit), (x + length + 1.5, y), ink, size=SMALL)
