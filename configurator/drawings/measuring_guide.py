"""Where to put the tape: a side view and a view along an axle, with what is measured named."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.drawings.ink import LIGHT, add, finished, sheet, write
from configurator.drawings.svg import Drawing

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

WIDTH, HEIGHT = 170.0, 92.0  # mm
_LEVEL = 74.0  # of the ground, from the top
_FRONT, _REAR, _WHEEL = 44.0, 122.0, 14.0  # wheel centres from the left, radius


def measuring_guide() -> tuple[Drawing, ...]:
    """Return the drawings that show what a sheet for the hoist asks for.

    Not to scale: they show from where to where, with the names that the sheet and the file use.
    """
    return (_side(), _axle())


def _line(svg: Element, x1: float, y1: float, x2: float, y2: float, w: float) -> None:
    add(svg, "line", x1=x1, y1=y1, x2=x2, y2=y2, stroke=LIGHT.foreground, stroke_width=w)


def _measure(
    svg: Element, start: tuple[float, float], end: tuple[float, float], name: str,
    at: tuple[float, float], anchor: str = "middle",
) -> None:  # fmt: skip
    """Draw a dimension with ticks at its ends, and its name."""
    (x1, y1), (x2, y2) = start, end
    _line(svg, x1, y1, x2, y2, 0.25)
    flat = abs(x2 - x1) > abs(y2 - y1)
    for x, y in (start, end):
        _line(svg, x, y - 1.4, x, y + 1.4, 0.35) if flat else _line(
            svg, x - 1.4, y, x + 1.4, y, 0.35
        )
    write(svg, name, at, LIGHT, anchor=anchor)


def _wheel(svg: Element, x: float, y: float, radius: float) -> None:
    for share, width in ((1.0, 0.6), (0.6, 0.35), (0.1, 0.35)):
        add(
            svg, "circle", cx=x, cy=y, r=radius * share, fill="none", stroke=LIGHT.foreground,
            stroke_width=width,
        )  # fmt: skip


def _side() -> Drawing:
    title = "Measures from the side"
    names = "wheelbase, overhangs, arch room, static radius, heights of body, sill and headlamps"
    svg = sheet(WIDTH, HEIGHT, title, f"Not to scale. Shown: {names}.", LIGHT)
    centre = _LEVEL - _WHEEL
    _line(svg, 4, _LEVEL, WIDTH - 4, _LEVEL, 0.5)
    body = (
        f"M 18 {centre - 6} L 18 38 L 50 33 L 66 20 L 138 20 L 146 40 L 152 {centre - 6} "
        f"L {_REAR + 17} {centre - 6} A 17 17 0 0 0 {_REAR - 17} {centre - 6} "
        f"L {_FRONT + 17} {centre - 6} A 17 17 0 0 0 {_FRONT - 17} {centre - 6} Z"
    )
    add(svg, "path", d=body, fill="none", stroke=LIGHT.foreground, stroke_width=0.6)
    for x in (_FRONT, _REAR):
        _wheel(svg, x, centre, _WHEEL)
    low = _LEVEL + 6
    _measure(svg, (_FRONT, low), (_REAR, low), "wheelbase", (83, low + 4))
    _measure(svg, (18, low), (_FRONT, low), "front overhang", (31, low + 4))
    _measure(svg, (_REAR, low), (152, low), "rear overhang", (137, low + 4))
    _measure(svg, (_FRONT, centre), (_FRONT, centre - 23), "front arch room", (63, 45), "start")
    _measure(svg, (_REAR, centre), (_REAR, _LEVEL), "rear static radius", (138, 70), "start")
    _measure(svg, (92, _LEVEL), (92, centre - 6), "sill underside height", (90, 68), "end")
    _measure(svg, (104, _LEVEL), (104, centre - 3), "", (104, 60))
    write(svg, "body underside height", (98, 51), LIGHT, anchor="middle")
    _measure(svg, (8, _LEVEL), (8, 44), "", (8, 44))
    write(svg, "headlamp lower and", (2, 27), LIGHT)
    write(svg, "upper edge height", (2, 31), LIGHT)
    _measure(svg, (158, _LEVEL), (158, 20), "roof height", (157, 16), "end")
    _measure(svg, (_FRONT, centre - 18), (_FRONT - 19, centre - 4), "", (20, 50))
    write(svg, "room ahead", (12, 66), LIGHT)
    write(svg, "and behind", (12, 70), LIGHT)
    return Drawing(title, finished(svg), WIDTH, HEIGHT, 0, ())


def _axle() -> Drawing:
    title = "Measures along an axle, from behind"
    names = "hub-face distance, room above the axle tube, inboard room, shock and bump travel"
    svg = sheet(WIDTH, HEIGHT, title, f"Not to scale. Shown: {names}.", LIGHT)
    _line(svg, 4, _LEVEL, WIDTH - 4, _LEVEL, 0.5)
    centre, left, right = _LEVEL - 20, 34.0, 136.0
    for x in (left, right):  # wheels from behind
        add(
            svg, "rect", x=x - 8, y=_LEVEL - 40, width=16, height=40, rx=4, fill="none",
            stroke=LIGHT.foreground, stroke_width=0.6,
        )  # fmt: skip
    add(
        svg, "rect", x=left + 8, y=centre - 3, width=right - left - 16, height=6, fill="none",
        stroke=LIGHT.foreground, stroke_width=0.5,
    )  # fmt: skip
    add(
        svg, "circle", cx=95, cy=centre, r=9, fill=LIGHT.background, stroke=LIGHT.foreground,
        stroke_width=0.6,
    )  # fmt: skip
    _line(svg, 64, 16, 112, 16, 0.8)  # the frame
    for x in (64, 112):
        _line(svg, x, 16, x, 24, 0.8)
    _line(svg, 73, 24, 71, centre - 3, 1.6)  # an absorber
    low = _LEVEL + 6
    _measure(svg, (left + 8, low), (right - 8, low), "front axle: hub-face distance", (85, low + 4))
    _measure(svg, (82, 16), (82, centre - 3), "room above the axle tube", (84, 22), "start")
    _measure(svg, (left + 8, 40), (64, 40), "inboard room", (53, 37.5))
    _measure(svg, (69, 24), (67, centre - 3), "", (68, 30))
    write(svg, "shock length at ride height", (67, 22), LIGHT, anchor="end")
    _measure(svg, (95, centre), (95, centre + 9), "", (97, centre))
    write(svg, "housing radius", (106, centre + 9), LIGHT)
    _measure(svg, (112, 24), (112, centre - 9), "bump travel (to the stop)", (114, 29), "start")
    _measure(svg, (right + 12, _LEVEL), (right + 12, _LEVEL - 40), "", (150, 50))
    write(svg, "overall", (right + 14, 52), LIGHT)
    write(svg, "diameter", (right + 14, 56), LIGHT)
    return Drawing(title, finished(svg), WIDTH, HEIGHT, 0, ())
