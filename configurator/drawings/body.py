"""The body of a vehicle from its own measures: what a customer recognises it by.

Where a measure was not taken, a plain body of usual proportions takes its place, and a remark says
so: it is a picture to place wheels and heights in, and never read by a rule.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import asin, cos, pi, sin, sqrt
from typing import TYPE_CHECKING

from configurator.core.filled_text import FilledText
from configurator.drawings.drawing_templates import SCHEMATIC_PARTLY
from configurator.drawings.shapes import Line

if TYPE_CHECKING:
    from collections.abc import Callable

    from configurator.drawings.geometry import ViewReader
    from configurator.drawings.shapes import Point

# Shares of the wheelbase, or of the tyre's diameter where a body is measured against its wheels:
# common practice, no source.
FRONT_OVERHANG, REAR_OVERHANG = 0.30, 0.37
ROOF, ROOF_WIDTH = 0.66, 0.48
NOSE, COWL, WAIST = 0.37, 0.42, 0.43
COWL_BACK, SCREEN_TOP_BACK = 0.23, 0.40
LOWER_EDGE, ARCH = 0.13, 0.62
STEPS = 5  # straight pieces of a rounded corner
ARCH_STEPS = 18
MEASURES = (
    "front overhang",
    "rear overhang",
    "bonnet front height",
    "windscreen foot height",
    "windscreen foot distance",
    "windscreen top distance",
    "roof height",
    "window lower edge height",
)


@dataclass(frozen=True, slots=True)
class BodyOutline:
    """Where the body ends and bends, as the vehicle stood when it was measured [mm].

    Lengths count from the centre of the front wheel to the rear, heights from the ground;
    ``cab_end`` and ``bed`` are None for a body that is closed to its end.
    """

    wheelbase: float
    front: float
    rear: float
    grille: float
    nose: float
    cowl: Point
    screen_top: Point
    roof: float
    waist: float
    sill: float
    front_edge: float
    rear_edge: float
    arches: tuple[tuple[float, float], tuple[float, float]]
    rises: tuple[float, float]
    cab_end: float | None = None
    bed: float | None = None

    def raised(self, point: Point) -> Point:
        """Return where a point of the body stands with what the package raises at each axle."""
        x, y = point
        front, rear = self.rises
        return x, y + front + (rear - front) * x / self.wheelbase


def body_outline(sheet: ViewReader, wheelbase: float, diameter: float) -> BodyOutline:
    """Read the body's measures, with usual proportions in place of those that were not taken.

    Parameters
    ----------
    sheet
        Gets a remark where the body is not drawn from measures alone.
    wheelbase, diameter
        Wheelbase, and diameter of the tyres fitted now [mm].
    """
    lacking = [name for name in MEASURES if sheet.known_size(name) is None]
    if len(lacking) == len(MEASURES):
        sheet.remark("the body is schematic: it was not measured")
    elif lacking:
        sheet.remark(FilledText(SCHEMATIC_PARTLY, {"measures": ", ".join(lacking)}))

    def size(name: str, share: float) -> float:
        known = sheet.known_size(name)
        return share * wheelbase if known is None else known

    sill = size("sill underside height", LOWER_EDGE)
    front = -size("front overhang", FRONT_OVERHANG)
    lamps = sheet.known_size("headlamps ahead of front axle")
    roof = size("roof height", ROOF)
    cab_end, bed = sheet.known_size("cab end distance"), sheet.known_size("load bed side height")
    return BodyOutline(
        wheelbase,
        front=front,
        rear=wheelbase + size("rear overhang", REAR_OVERHANG),
        # The lens stands in the grille's plane, a little behind the bumper.
        grille=max(front, front + 60.0 if lamps is None else -lamps - 40.0),
        nose=size("bonnet front height", NOSE),
        cowl=(size("windscreen foot distance", COWL_BACK), size("windscreen foot height", COWL)),
        screen_top=(size("windscreen top distance", SCREEN_TOP_BACK), roof - 30.0),
        roof=roof,
        waist=size("window lower edge height", WAIST),
        sill=sill,
        front_edge=sheet.known_size("front hard point height") or sill,
        rear_edge=sheet.known_size("rear hard point height") or sill,
        arches=(
            (0.5 * diameter, sheet.known_size("front room ahead and behind") or ARCH * diameter),
            (0.5 * diameter, sheet.known_size("rear room ahead and behind") or ARCH * diameter),
        ),
        rises=(sheet.size("front body rise") or 0.0, sheet.size("rear body rise") or 0.0),
        cab_end=cab_end if cab_end is not None and bed is not None else None,
        bed=bed if cab_end is not None else None,
    )


def draw_side(sheet: ViewReader, body: BodyOutline) -> None:
    """Add the body as seen from the left side, with windows, doors and headlamp."""
    _run(sheet, body, "body", _side_points(sheet, body), closed=True)
    _windows(sheet, body)
    _headlamp(sheet, body)


def _side_points(sheet: ViewReader, body: BodyOutline) -> tuple[Point, ...]:
    """Return the outline of the body from the side, not yet raised."""
    wheelbase, roof = body.wheelbase, body.roof
    arch_front = arch((0.0, body.arches[0][0]), body.arches[0][1], body.sill, body.front_edge)
    arch_rear = arch((wheelbase, body.arches[1][0]), body.arches[1][1], body.rear_edge, body.sill)
    point = sheet.known_size("front hard point distance")
    tail = sheet.known_size("rear hard point distance")
    chin = max(body.front, -(point or -0.9 * body.front))
    heel = min(body.rear, wheelbase + (tail or 0.9 * (body.rear - wheelbase)))
    upper = [
        (chin, body.front_edge),
        (body.front, body.front_edge + 50.0),
        (body.front, min(body.front_edge + 230.0, body.nose - 150.0)),
        (body.grille, min(body.front_edge + 250.0, body.nose - 130.0)),
        (body.grille, body.nose - 40.0),
        (body.grille + 60.0, body.nose),
        body.cowl,
        body.screen_top,
        (body.screen_top[0] + 160.0, roof),
    ]
    if body.cab_end is not None and body.bed is not None:
        upper += [
            (body.cab_end - 120.0, roof),
            (body.cab_end - 20.0, roof - 160.0),
            (body.cab_end, body.bed),
            (body.rear - 10.0, body.bed),
        ]
    else:
        upper += [(body.rear - 190.0, roof), (body.rear - 110.0, roof - 60.0)]
        upper += [(body.rear - 20.0, body.waist)]
    upper += [(body.rear, body.rear_edge + 60.0), (heel, body.rear_edge)]
    return (*rounded(upper, 70.0), *arch_rear, *arch_front)


def _windows(sheet: ViewReader, body: BodyOutline) -> None:
    end = (body.cab_end if body.cab_end is not None else body.rear) - 150.0
    low, high = body.waist, body.roof - 95.0
    (foot, cowl), (top, screen) = body.cowl, body.screen_top
    slope = (top - foot) / max(1.0, screen - cowl)
    start = foot + slope * (low - cowl) + 150.0
    length = end - start
    panes = max(1, round(length / 900.0))
    gap = 70.0
    wide = (length - gap * (panes - 1)) / panes
    for number in range(panes):
        left = start + number * (wide + gap)
        right = left + wide
        lean = slope * (high - low) if number == 0 else 0.0
        last = 60.0 if number == panes - 1 else 0.0
        corners = [(left, low), (left + lean, high), (right - last, high), (right, low)]
        _run(sheet, body, "window", rounded(corners, 45.0, closed=True), closed=True)
        if number < panes - 1 or panes == 1:
            seam = right + gap / 2
            inside = body.arches[1][1] + 40.0
            if seam < body.wheelbase - inside:
                _run(sheet, body, "door", ((seam, high + 20.0), (seam, body.sill + 60.0)))


def _headlamp(sheet: ViewReader, body: BodyOutline) -> None:
    low = sheet.known_size("headlamp lower edge height")
    high = sheet.known_size("headlamp upper edge height")
    if low is None or high is None:
        return
    left, right = body.grille + 12.0, body.grille + 90.0
    corners = ((left, low), (left, high), (right, high), (right, low))
    _run(sheet, body, "headlamp", corners, closed=True)


def draw_ahead(sheet: ViewReader, body: BodyOutline, width: float) -> None:
    """Add the body as seen from the front; the middle of the vehicle is at 0.

    Parameters
    ----------
    sheet, body
        As for `draw_side`.
    width
        Over the arches [mm].
    """
    half, rises = width / 2, _rises_ahead(sheet, body)
    roof = (sheet.known_size("roof width") or ROOF_WIDTH * body.wheelbase) / 2
    low, cowl, waist = body.front_edge, body.cowl[1], body.waist
    right = [
        (half - 150.0, low),
        (half - 40.0, low + 60.0),
        (half, low + 190.0),
        (half, waist - 140.0),
        (half - 45.0, waist),
        (roof, body.roof - 60.0),
        (roof - 90.0, body.roof),
    ]
    left = [(-x, y) for x, y in reversed(right)]
    _run(sheet, body, "body", rounded([*right, *left], 60.0, closed=True), closed=True, ahead=rises)
    lean = (roof - 70.0, body.roof - 90.0)
    screen = [(half - 130.0, cowl + 20.0), lean, (-lean[0], lean[1]), (130.0 - half, cowl + 20.0)]
    _run(sheet, body, "window", rounded(screen, 45.0, closed=True), closed=True, ahead=rises)
    edge = ((half - 90.0, body.nose), (90.0 - half, body.nose))
    _run(sheet, body, "bonnet", edge, ahead=rises)
    below = sheet.known_size("headlamp lower edge height")
    above = sheet.known_size("headlamp upper edge height")
    if below is not None and above is not None:
        for sign in (-1.0, 1.0):
            inner, outer = sign * (half - 330.0), sign * (half - 110.0)
            corners = ((inner, below), (inner, above), (outer, above), (outer, below))
            _run(sheet, body, "headlamp", corners, closed=True, ahead=rises)
        grille = half - 380.0
        bars = ((-grille, below), (-grille, above), (grille, above), (grille, below))
        _run(sheet, body, "grille", bars, closed=True, ahead=rises)


def _rises_ahead(sheet: ViewReader, body: BodyOutline) -> Callable[[float], float]:
    """Return what says how much higher what stands at a height is, seen from the front.

    The front end is raised as the front axle is, the roof as from the side: its highest point.
    """
    front = body.rises[0]
    roof = max(body.raised(point)[1] for point in _side_points(sheet, body)) - body.roof
    room = max(body.roof - 60.0 - body.waist, 1.0)
    return lambda height: front + (roof - front) * min(max((height - body.waist) / room, 0.0), 1.0)


def _run(
    sheet: ViewReader,
    body: BodyOutline,
    name: str,
    points: tuple[Point, ...] | list[Point],
    *,
    closed: bool = False,
    ahead: Callable[[float], float] | None = None,
) -> None:
    """Add a line of the body, raised as the package raises it; from ahead, by its height."""
    if ahead is not None:
        placed = tuple((x, y + ahead(y)) for x, y in points)
    else:
        placed = tuple(body.raised(point) for point in points)
    sheet.shapes.append(Line(name, placed, "body", closed=closed))


def arch(centre: Point, radius: float, behind: float, ahead: float) -> list[Point]:
    """Return a wheel arch from its end behind the wheel to the one ahead of it.

    Parameters
    ----------
    centre, radius
        Of the circle that the arch is a part of [mm]; ahead is to the left.
    behind, ahead
        Heights of the body's lower edge behind and ahead of the wheel [mm].

    Examples
    --------
    >>> points = arch((0.0, 400.0), 500.0, 400.0, 400.0)
    >>> [tuple(round(v) for v in p) for p in (points[0], points[len(points) // 2], points[-1])]
    [(500, 400), (0, 900), (-500, 400)]
    """
    x, y = centre
    first = asin(max(-0.95, min(0.95, (behind - y) / radius)))
    last = pi - asin(max(-0.95, min(0.95, (ahead - y) / radius)))
    angles = [first + (last - first) * k / ARCH_STEPS for k in range(ARCH_STEPS + 1)]
    return [(x + radius * cos(a), y + radius * sin(a)) for a in angles]


def rounded(points: list[Point], corner: float, *, closed: bool = False) -> list[Point]:
    """Replace each corner of a run of lines by a curve of short pieces.

    Parameters
    ----------
    points
        Of the run [mm].
    corner
        How far before and behind a corner the curve begins, at most [mm].
    closed
        Whether the last point joins the first; otherwise both ends stay as they are.

    Examples
    --------
    >>> square = [(0.0, 0.0), (100.0, 0.0), (100.0, 100.0)]
    >>> (0.0, 0.0) in rounded(square, 20.0), (100.0, 0.0) in rounded(square, 20.0)
    (True, False)
    """
    out: list[Point] = []
    last = len(points) - 1
    for k, (x, y) in enumerate(points):
        if not closed and k in (0, last):
            out.append((x, y))
            continue
        (ax, ay), (bx, by) = points[k - 1], points[(k + 1) % len(points)]
        before, behind = sqrt((ax - x) ** 2 + (ay - y) ** 2), sqrt((bx - x) ** 2 + (by - y) ** 2)
        if not before or not behind:
            continue
        cut = min(corner, before / 2, behind / 2)
        start = (x + (ax - x) * cut / before, y + (ay - y) * cut / before)
        end = (x + (bx - x) * cut / behind, y + (by - y) * cut / behind)
        for step in range(STEPS + 1):
            t = step / STEPS
            out.append(
                (
                    (1 - t) ** 2 * start[0] + 2 * t * (1 - t) * x + t * t * end[0],
                    (1 - t) ** 2 * start[1] + 2 * t * (1 - t) * y + t * t * end[1],
                )
            )
    return out
