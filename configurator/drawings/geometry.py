"""The geometry of a vehicle, from its figures: with a package, or as it stands.

Everything is drawn from the figures as the rules round them, so that what is measured on the
drawing is what the tables say. What has no figure and no measure is left out and listed.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from configurator.core import units
from configurator.core.filled_text import FilledText
from configurator.drawings.drawing_templates import VALUE_NOT_KNOWN
from configurator.drawings.shapes import Dimension, Line, View
from configurator.model.parts import Missing, attributes_of
from configurator.model.references import VehicleValue

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.drawings.shapes import Angle, Look, Point, Shape, Side
    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.model.parts import Value


@dataclass(slots=True)
class ViewReader:
    """A view in the making: reads figures, and remembers what it did not find."""

    evaluation: Evaluation
    choice: Mapping[str, Option]
    shapes: list[Shape] = field(default_factory=list)
    dimensions: list[Dimension] = field(default_factory=list)
    angles: list[Angle] = field(default_factory=list)
    asked: list[Dimension] = field(default_factory=list)
    not_drawn: list[str] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)

    def figure(self, name: str) -> float | None:
        """Return a figure in SI; None where there is none."""
        trade = self.evaluation.trade
        if name not in trade.figures and name not in trade.totals:
            return self._number(Missing.UNKNOWN, name)
        return self._number(self.evaluation.figure(name, self.choice), name)

    def measure(self, name: str) -> float | None:
        """Return a measure of the vehicle in SI; None where it was not taken."""
        value = self.evaluation.constants.get(str(VehicleValue(name)), Missing.UNKNOWN)
        return self._number(value, name)

    def attribute(self, position: str, name: str) -> float | None:
        """Return an attribute of the part at a position in SI; None where there is none."""
        option = self.choice.get(position)
        if option is None:
            return self._number(Missing.UNKNOWN, f"{name} of the {position}")
        return self._number(self.evaluation.attribute(option, name), f"{name} of the {position}")

    def size(self, name: str) -> float | None:
        """Return a figure that is a length [mm]."""
        return _millimetres(self.figure(name))

    def part_size(self, position: str, name: str) -> float | None:
        """Return an attribute that is a length [mm]."""
        return _millimetres(self.attribute(position, name))

    def measured_size(self, name: str) -> float | None:
        """Return a measure that is a length [mm]."""
        return _millimetres(self.measure(name))

    def known_size(self, name: str) -> float | None:
        """Return a measure that is a length [mm]; what was not taken is not listed as missing."""
        value = self.evaluation.constants.get(str(VehicleValue(name)))
        number = isinstance(value, int | float) and not isinstance(value, bool)
        return millimetres(float(value)) if number else None  # type: ignore[arg-type]

    def text(self, name: str) -> str:
        """Return a measure that is a word; empty where it is not known."""
        value = self.evaluation.constants.get(str(VehicleValue(name)), "")
        return value if isinstance(value, str) else ""

    def box(
        self,
        name: str,
        low: Point,
        high: Point,
        look: Look = "outline",
        *,
        corner: float = 0.0,
    ) -> None:
        """Draw a rectangle between two opposite corners."""
        corners = (low, (high[0], low[1]), high, (low[0], high[1]))
        self.shapes.append(Line(name, corners, look, closed=True, corner=corner))

    def line(self, name: str, *points: Point, look: Look = "outline") -> None:
        """Draw a run of straight lines."""
        self.shapes.append(Line(name, points, look))

    def _number(self, value: Value, what: str) -> float | None:
        if isinstance(value, int | float) and not isinstance(value, bool):
            return float(value)
        # What is not fitted is not missing.
        if value is not Missing.NOT_FITTED:
            line = FilledText(VALUE_NOT_KNOWN, {"name": what})
            if line not in self.not_drawn:
                self.not_drawn.append(line)
        return None

    def dimension(
        self,
        name: str,
        label: str,
        start: Point,
        side: Side,
        *,
        level: int = 1,
        along: float = 0.5,
    ) -> None:
        """Add the dimension of a figure or measure: across for *below*, else upwards."""
        trade = self.evaluation.trade
        measured = name in trade.measures and name not in trade.figures
        value = self.measure(name) if measured else self.figure(name)
        if value is None:
            return
        unit = trade.measures[name].unit if measured else self.evaluation.definition(name).unit
        end = _end(start, value, side)
        self.dimensions.append(Dimension(name, label, value, unit, start, end, side, level, along))

    def part_dimension(
        self,
        position: str,
        attribute: str,
        label: str,
        start: Point,
        side: Side,
        *,
        level: int = 1,
    ) -> None:
        """Add the dimension of an attribute of a part, as `dimension` does for a figure."""
        value = self.attribute(position, attribute)
        if value is None:
            return
        family = self.evaluation.families[position]
        unit = next(a.unit for a in attributes_of(family) if a.name == attribute)
        end = _end(start, value, side)
        name = f"{attribute} of the {position}"
        self.dimensions.append(Dimension(name, label, value, unit, start, end, side, level))

    def remark(self, text: str) -> None:
        """Say what is drawn without being measured."""
        if text not in self.remarks:
            self.remarks.append(text)

    def finish(self, title: str) -> View:
        """Return the view."""
        return View(
            title,
            tuple(self.shapes),
            tuple(self.dimensions),
            tuple(self.angles),
            tuple(self.asked),
            tuple(self.not_drawn),
            tuple(self.remarks),
        )


def _end(start: Point, value: float, side: Side) -> Point:
    x, y = start
    return (x + millimetres(value), y) if side == "below" else (x, y + millimetres(value))


def _millimetres(value: float | None) -> float | None:
    return None if value is None else millimetres(value)


def millimetres(value: float) -> float:
    """Return a length in millimetres."""
    return units.from_si(value, "mm")
