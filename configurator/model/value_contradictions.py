"""Ask the cross-checks: which values of a vehicle or a part contradict each other."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from configurator.core import units
from configurator.core.errors import Problem
from configurator.core.text import shown
from configurator.model.parts import Missing, attributes_of
from configurator.model.references import EachValue, FittedValue, VehicleValue

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from configurator.model.cross_checks import CrossCheck
    from configurator.model.knowledge import Trade
    from configurator.model.parts import Family, Part, Value
    from configurator.model.references import Input
    from configurator.model.vehicles import Vehicle


def vehicle_contradictions(trade: Trade, vehicle: Vehicle, where: str = "") -> list[Problem]:
    """Return what in a vehicle's file contradicts itself, the parts that are fitted included.

    Parameters
    ----------
    trade
        With the cross-checks.
    vehicle
        As its file says it.
    where
        What to call the file; its own place by default.
    """
    where = where or vehicle.place or vehicle.key
    problems: list[Problem] = []
    for check in trade.cross_checks.values():
        if not check.family:
            values = [_of_vehicle(item, vehicle) for item in check.inputs]
            problems.extend(_broken(check, trade, values, where))
    for position, part in vehicle.fitted.items():
        if part is not None:
            at = f"{where}, [fitted.{position!r}]"
            problems.extend(part_contradictions(trade, part, at))
    return problems


def part_contradictions(trade: Trade, part: Part, where: str = "") -> list[Problem]:
    """Return what in the values of a part contradicts itself."""
    problems: list[Problem] = []
    for check in trade.cross_checks.values():
        if check.family == part.family:
            values = [part.values.get(_attribute(item), Missing.UNKNOWN) for item in check.inputs]
            problems.extend(_broken(check, trade, values, where or part.place or part.key))
    return problems


def _attribute(item: Input) -> str:
    return item.reference.attribute if isinstance(item.reference, EachValue) else ""


def _of_vehicle(item: Input, vehicle: Vehicle) -> Value:
    reference = item.reference
    if isinstance(reference, VehicleValue):
        if reference.name in vehicle.assumed:
            return Missing.UNKNOWN  # a default contradicts nothing
        return vehicle.values.get(reference.name, Missing.UNKNOWN)
    if isinstance(reference, FittedValue):
        part = vehicle.fitted.get(reference.position)
        return (
            Missing.NOT_FITTED
            if part is None
            else part.values.get(reference.attribute, Missing.UNKNOWN)
        )
    return Missing.UNKNOWN


def _broken(check: CrossCheck, trade: Trade, values: list[Value], where: str) -> Iterator[Problem]:
    given: dict[str, Any] = {}
    for item, value in zip(check.inputs, values, strict=True):
        if isinstance(value, Missing) and not item.takes_missing:
            return
        given[item.parameter] = None if isinstance(value, Missing) else value
    if check.function(**given) is not False:
        return
    listed = ", ".join(
        f"{_name(item)} {_shown(item, value, trade)}"
        for item, value in zip(check.inputs, values, strict=True)
        if not isinstance(value, Missing)
    )
    yield Problem(where, f"not so: {check.name} ({listed})", check.do)


def _name(item: Input) -> str:
    reference = item.reference
    if isinstance(reference, VehicleValue):
        return reference.name
    if isinstance(reference, FittedValue):
        return f"{reference.position}: {reference.attribute}"
    return _attribute(item)


def _shown(item: Input, value: Value, trade: Trade) -> str:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return shown(str(value))
    return units.show(float(value), _unit(item, trade))


def _unit(item: Input, trade: Trade) -> str:
    reference = item.reference
    if isinstance(reference, VehicleValue):
        measure = trade.measures.get(reference.name)
        return measure.unit if measure is not None else ""
    families: Mapping[str, Family] = trade.families
    for family in families.values():
        at = any(place.name == getattr(reference, "position", None) for place in family.positions)
        for attribute in attributes_of(family):
            if attribute.name == _attribute(item) or (
                at and attribute.name == getattr(reference, "attribute", None)
            ):
                return attribute.unit
    return ""
