"""What a drawing is made of: lines, circles, dimensions, in millimetres of the real vehicle.

The ground is at height 0 and heights count upwards. A view knows no paper and no colour: screen
and paper draw the same one.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import chain
from typing import Literal

Point = tuple[float, float]
# An outline is what stands there; a line of reference is where something may be, or is measured;
# the body is what a vehicle is recognised by.
Look = Literal["outline", "reference", "ground", "body"]
# Below the ground; outside the picture on its left or right; where it is measured, with the words
# to its left or right; or where it is measured, with the words high above it: about its line, or
# from there to the right or the left.
Side = Literal[
    "below", "left", "right", "here left", "here right", "above", "above right", "above left"
]


@dataclass(frozen=True, slots=True)
class Line:
    """A run of straight lines; ``corner`` rounds the corners of a closed one [mm]."""

    name: str
    points: tuple[Point, ...]
    look: Look = "outline"
    closed: bool = False
    corner: float = 0.0


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle, or the part of it from ``start`` to ``end``, anticlockwise from the right [deg].

    A ``closed`` part has its chord drawn.
    """

    name: str
    centre: Point
    radius: float
    look: Look = "outline"
    start: float = 0.0
    end: float = 360.0
    closed: bool = False


Shape = Line | Circle


@dataclass(frozen=True, slots=True)
class Dimension:
    """A distance with its value.

    Parameters
    ----------
    figure
        Name of the figure or measure that is drawn.
    label
        In few words.
    value, unit
        In SI, and the unit it is declared in.
    start, end
        On the vehicle [mm]; their distance is the value.
    side, level
        Where it stands, and how far out or how far above.
    along
        How far from start to end the words stand; for words above, how high is clear of the rest
        of the drawing [mm].
    """

    figure: str
    label: str
    value: float
    unit: str
    start: Point
    end: Point
    side: Side
    level: int = 1
    along: float = 0.5


@dataclass(frozen=True, slots=True)
class Angle:
    """An angle with its value [rad]; its words stand ``level`` rows above ``at`` [mm]."""

    figure: str
    label: str
    value: float
    unit: str
    at: Point
    level: int = 0


@dataclass(frozen=True, slots=True)
class View:
    """One view of a vehicle.

    Parameters
    ----------
    title
        Of the view.
    shapes, dimensions, angles
        What is drawn.
    asked
        Lines that stand for what the job asks, with words; drawn once, whatever is compared.
    not_drawn
        What was left out, and which figure or measure is missing.
    remarks
        What is drawn without being measured: where along or across something sits.
    """

    title: str
    shapes: tuple[Shape, ...]
    dimensions: tuple[Dimension, ...]
    angles: tuple[Angle, ...] = ()
    asked: tuple[Dimension, ...] = ()
    not_drawn: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()


def extent(view: View) -> tuple[float, float, float, float]:
    """Return the left, bottom, right and top of what a view draws [mm].

    Examples
    --------
    >>> extent(View("", (Circle("rim", (0.0, 400.0), 200.0),), ()))
    (-200.0, 0.0, 200.0, 600.0)
    """
    points: list[Point] = [(0.0, 0.0)]
    for shape in view.shapes:
        if isinstance(shape, Line):
            points.extend(shape.points)
        else:
            (x, y), r = shape.centre, shape.radius
            points.extend([(x - r, max(0.0, y - r)), (x + r, y + r)])
    points.extend(
        chain.from_iterable((dimension.start, dimension.end) for dimension in view.dimensions)
    )
    points.extend(chain.from_iterable((dimension.start, dimension.end) for dimension in view.asked))
    points.extend(angle.at for angle in view.angles)
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(0.0, *ys), max(xs), max(ys)
