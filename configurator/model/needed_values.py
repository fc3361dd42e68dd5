"""What has to be known of a vehicle before a figure can be worked out, and in which order."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from configurator.model.knowledge import positions_of, references, rules_reading
from configurator.model.parts import attributes_of
from configurator.model.references import FigureValue, FittedValue, PartValue, VehicleValue

if TYPE_CHECKING:
    from collections.abc import Iterable

    from configurator.model.knowledge import Trade
    from configurator.model.parts import Attribute
    from configurator.model.rules import Figure, Total
    from configurator.model.vehicles import Measure


@dataclass(frozen=True, slots=True)
class NeededValue:
    """A value of the vehicle that somebody has to measure or look up.

    Parameters
    ----------
    name
        Of the measure, or of the attribute of what is fitted.
    position
        Of the part that is fitted; empty for a measure.
    declared
        What says unit, bounds and words.
    """

    name: str
    position: str
    declared: Measure | Attribute

    @property
    def words(self) -> str:
        """What to call it when it is asked for."""
        return f"{self.position}: {self.name}" if self.position else self.name

    @property
    def how(self) -> str:
        """How it is measured, or what it means."""
        return getattr(self.declared, "how", "") or self.declared.meaning


def needed_for(trade: Trade, figures: Iterable[str]) -> tuple[NeededValue, ...]:
    """Return what figures cannot be worked out without, in the order of the figures.

    What has a default, or need not be known, is not among it; nor is what belongs to a position
    that may stay empty.

    Parameters
    ----------
    trade
        What plugins declare.
    figures
        Names of figures and totals, such as those of a job's goals; unknown ones are passed over.
    """
    defined: dict[str, Figure | Total] = {**trade.figures, **trade.totals}
    positions = positions_of(trade)
    needed: dict[tuple[str, str], NeededValue] = {}
    seen: set[str] = set()

    def read_by(name: str) -> None:
        if name in seen or name not in defined:
            return
        seen.add(name)
        rule = defined[name]
        optional = {str(read.reference) for read in rule.inputs if read.takes_missing}
        for reference in references(rule):
            if isinstance(reference, FigureValue):
                read_by(reference.name)
            elif str(reference) in optional:
                continue
            elif isinstance(reference, VehicleValue):
                measure = trade.measures.get(reference.name)
                if measure is not None and measure.default is None:
                    needed.setdefault(("", measure.name), NeededValue(measure.name, "", measure))
            elif isinstance(reference, PartValue | FittedValue):
                family = positions.get(reference.position)
                if family is None or family.optional:
                    continue
                for attribute in attributes_of(family):
                    if attribute.name == reference.attribute and attribute.required:
                        key = (reference.position, attribute.name)
                        needed.setdefault(key, NeededValue(attribute.name, key[0], attribute))

    for name in figures:
        read_by(name)
    return tuple(needed.values())


def measures_by_use(trade: Trade) -> tuple[Measure, ...]:
    """Return all measures, those that most rules hang on first."""
    reading = rules_reading(trade)
    return tuple(
        sorted(
            trade.measures.values(),
            key=lambda measure: (-len(reading.get(measure.name, ())), measure.name),
        )
    )
