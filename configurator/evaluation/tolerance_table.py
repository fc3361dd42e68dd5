"""Which tolerance counts for a value.

The job has the first word, then the vehicle, the shop and the list; last comes what the trade calls
usual.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from configurator.core import units
from configurator.model.knowledge import positions_of
from configurator.model.parts import FITTED, NOTHING, attributes_of
from configurator.model.references import PracticeValue
from configurator.model.rules import Limit
from configurator.model.tolerances import read_tolerance

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.model.jobs import Case
    from configurator.model.knowledge import Trade
    from configurator.model.parts import Part
    from configurator.model.rules import Total
    from configurator.model.tolerances import Tolerance


class ToleranceTable:
    """The tolerances of a case.

    Parameters
    ----------
    case
        With what vehicle, workshop, lists and job say of tolerances.
    trade
        With what plugins call usual.
    """

    def __init__(self, case: Case, trade: Trade) -> None:
        self._stated: Mapping[str, Tolerance] = case.tolerances
        self._families = {position: family.key for position, family in positions_of(trade).items()}
        self._attributes = {
            (family.key, attribute.name): read_tolerance(attribute.tolerance, attribute.unit)
            for family in trade.families.values()
            for attribute in attributes_of(family)
            if attribute.tolerance
        }
        self._measures = _declared(trade.measures)
        self._conditions = _declared(trade.conditions)
        self._figures = _declared(trade.figures)
        self._practices = {
            name: (practice.for_error, case.workshop.practices.get(name))
            for name, practice in trade.practices.items()
            if practice.for_error
        }
        self._defaults = {
            name: units.to_si(trade.practices[name].default, trade.practices[name].unit)
            for name in self._practices
        }

    def of_part(self, position: str, part: Part, attribute: str) -> Tolerance | None:
        """Return the tolerance of an attribute of a part somewhere; None where it is exact."""
        if part.key == NOTHING:
            return None
        family = self._families[position]
        whose = f"fitted {position}" if part.key == FITTED else part.key
        for name in (f"{whose}: {attribute}", f"{family}: {attribute}"):
            if name in self._stated:
                return self._stated[name]
        return self._attributes.get((family, attribute))

    def of_measure(self, name: str) -> Tolerance | None:
        """Return the tolerance of a measure of the vehicle; None where it is exact."""
        return self._stated.get(name, self._measures.get(name))

    def of_condition(self, name: str) -> Tolerance | None:
        """Return the tolerance of a condition of use; None where it is exact."""
        return self._stated.get(name, self._conditions.get(name))

    def of_figure(self, name: str) -> Tolerance | None:
        """Return by how much a figure's own estimate may be off; None where it is no estimate."""
        return self._stated.get(name, self._figures.get(name))

    def allowed_in(self, rule: Limit | Total, bound: Any) -> float:
        """Return how much of a limit's bound is there for errors of measurement [SI].

        A gap by practice keeps parts from touching although they are not quite where they were
        measured: a limit on contact need not keep that twice.
        """
        if not isinstance(bound, PracticeValue) or not isinstance(rule, Limit):
            return 0.0
        if rule.concerns != "contact" or bound.name not in self._practices:
            return 0.0
        share, own = self._practices[bound.name]
        return share * abs(self._defaults[bound.name] if own is None else own)


def _declared(things: Mapping[str, Any]) -> dict[str, Tolerance]:
    return {
        name: read_tolerance(thing.tolerance, thing.unit)
        for name, thing in things.items()
        if thing.tolerance
    }
