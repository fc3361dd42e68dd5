"""The vehicle from its left side: wheels, hard points of the body, the angles between them."""

from __future__ import annotations

from math import acos, cos, degrees, sin, tan
from typing import TYPE_CHECKING

from configurator.drawings.body import body_outline, draw_side
from configurator.drawings.geometry import ViewReader
from configurator.drawings.shapes import Angle, Circle

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.drawings.shapes import Point, View
    from configurator.evaluation.evaluator import Evaluation, Option

CROSS = 45.0  # half the size of the mark of a point [mm]


def side_view(evaluation: Evaluation, choice: Mapping[str, Option]) -> View:
    """Look at the vehicle from its left side.

    Parameters
    ----------
    evaluation
        Of the job.
    choice
        Position → option: a package's, or `Evaluation.fitted` for the vehicle as it stands.

    Returns
    -------
    View
        In millimetres, the front wheel's centre at 0, the rear one's to the right.
    """
    sheet = ViewReader(evaluation, choice)
    wheelbase = sheet.measured_size("wheelbase")
    diameter = sheet.size("tyre diameter")
    front, rear = sheet.size("front static radius"), sheet.size("rear static radius")
    if wheelbase is not None and diameter is not None and front is not None and rear is not None:
        draw_side(sheet, body_outline(sheet, wheelbase, diameter))
        _wheel(sheet, "front", 0.0, front, diameter)
        _wheel(sheet, "rear", wheelbase, rear, diameter)
        left = _overhang(sheet, "front", 0.0, front, -1)
        right = _overhang(sheet, "rear", wheelbase, rear, 1)
        sheet.line("ground", (left - 60, 0.0), (right + 60, 0.0), look="ground")
        _underside(sheet, wheelbase)
        _sill(sheet, wheelbase, max(front, rear) + diameter / 2)
        sheet.dimension("wheelbase", "wheelbase", (0.0, 0.0), "below")
    return sheet.finish("left side")


def _wheel(sheet: ViewReader, axle: str, x: float, radius: float, diameter: float) -> None:
    centre = (x, radius)
    # The tyre stands flat where the ground cuts it.
    half = degrees(acos(min(1.0, 2 * radius / diameter)))
    tyre = Circle("tyre", centre, diameter / 2, start=-90 + half, end=270 - half, closed=True)
    sheet.shapes.append(tyre)
    rim = sheet.part_size("wheels", "rim diameter")
    if rim is not None:
        sheet.shapes.append(Circle("rim", centre, rim / 2))
    brake = sheet.part_size(f"{axle} brakes", "envelope radius")
    if brake is not None:
        sheet.shapes.append(Circle("brake", centre, brake, look="reference"))
        sheet.remark("chain circle in a wheel: the room that the brake needs")
    height = sheet.size(f"{axle} axle height")
    if height is not None:
        for level in {radius, height}:
            sheet.line(f"{axle} axle line", (x - CROSS, level), (x + CROSS, level))
        sheet.line(f"{axle} axle line", (x, radius - CROSS), (x, height + CROSS))


def _overhang(sheet: ViewReader, axle: str, x: float, radius: float, way: int) -> float:
    """Draw a hard point and its ramp; return how far the drawing reaches."""
    angle, label = ("approach angle", "approach") if way < 0 else ("departure angle", "departure")
    away = sheet.measured_size(f"{axle} hard point distance")
    before = sheet.measured_size(f"{axle} hard point height")
    rise = sheet.size(f"{axle} body rise")
    if away is None or before is None or rise is None:
        return x + way * radius * 1.3
    point = (x + way * away, before + rise)
    _mark(sheet, f"{axle} hard point", point)
    start = (min(x, point[0]), 0.0)
    sheet.dimension(f"{axle} hard point distance", f"to {axle} point", start, "below")
    slope = sheet.figure(angle)
    reach = point[0]
    if slope is not None:
        # It touches the arc of the static loaded radius and ends over the hard point.
        foot = x + way * radius * tan(slope / 2)
        length = 1.15 * ((point[0] - foot) ** 2 + point[1] ** 2) ** 0.5
        tip = (foot + way * length * cos(slope), length * sin(slope))
        sheet.line(angle, (foot, 0.0), tip, look="reference")
        unit = sheet.evaluation.definition(angle).unit
        sheet.angles.append(Angle(angle, label, slope, unit, (tip[0], tip[1] + 30)))
        reach = tip[0]
    elif not any(line.startswith(f"{angle}: ") for line in sheet.not_drawn):
        sheet.remark(f"no {angle}: the tyre meets every ramp before the body does")
    return min(point[0], reach) if way < 0 else max(point[0], reach)


def _underside(sheet: ViewReader, wheelbase: float) -> None:
    height = sheet.size("running clearance")
    if height is None:
        return
    middle = wheelbase / 2
    _mark(sheet, "running clearance", (middle, height))
    clear = max(height, sheet.size("door sill height") or 0.0)
    sheet.dimension("running clearance", "under the body", (middle, 0.0), "above", along=clear)
    slope = sheet.figure("breakover angle")
    if slope is not None:
        half = slope / 2
        for way in (-1, 1):
            foot = (middle + way * height / tan(half), 0.0)
            sheet.line("breakover angle", foot, (middle, height), look="reference")
        unit = sheet.evaluation.definition("breakover angle").unit
        at = (middle, clear)
        sheet.angles.append(Angle("breakover angle", "breakover", slope, unit, at, 1))


def _sill(sheet: ViewReader, wheelbase: float, wheels: float) -> None:
    """Draw the sill between the arches; its length is measured, its place along is not.

    Its words stand outside of it, over the wheels: between its ends are those about the underside.
    """
    length = sheet.measured_size("sill length")
    under = sheet.size("clearance beside the sill")
    door = sheet.size("door sill height")
    entry = sheet.size("entry height")
    if length is None:
        return
    clear = max(wheels, door or 0.0, under or 0.0, entry or 0.0)
    left, right = (wheelbase - length) / 2, (wheelbase + length) / 2
    sheet.remark("the sill is drawn midway between the axles: its place along is not measured")
    if under is not None and door is not None and door > under:
        sheet.box("sill", (left, under), (right, door))
    if under is not None:
        name = "clearance beside the sill"
        sheet.dimension(name, "under the sill", (left, 0.0), "above left", along=clear)
    if entry is not None:
        sheet.line("entry", (right - 200, entry), (right, entry))
        sheet.dimension("entry height", "entry", (right, 0.0), "above right", along=clear)


def _mark(sheet: ViewReader, name: str, at: Point) -> None:
    x, y = at
    sheet.line(name, (x - CROSS, y), (x + CROSS, y))
    sheet.line(name, (x, y - CROSS), (x, y + CROSS))
