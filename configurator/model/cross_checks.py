"""Cross-checks: what cannot be true at the same time in a vehicle's file or in a row of a list.

A value may be sound by itself and contradict another: axle loads that do not add up, a wheel whose
mounting face lies outside its rim. Plugins know the trade, so they declare what must agree; what
does not is a warning, since nobody but a person can say which of the values is wrong.

Examples
--------
>>> from configurator.model.references import vehicle
>>> @cross_check("the axle loads add up to the mass", do="weigh again")
... def loads_add_up(front: float = vehicle("front load"), mass: float = vehicle("mass")):
...     return front <= mass
>>> loads_add_up.name, loads_add_up(900.0, 1800.0)
('the axle loads add up to the mass', True)
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from configurator.core import units
from configurator.core.errors import Problem
from configurator.core.text import shown
from configurator.model.parts import AXLES, Missing, attributes_of
from configurator.model.references import (
    EachValue,
    FittedValue,
    Input,
    VehicleValue,
    inputs_of,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping

    from configurator.model.knowledge import Trade
    from configurator.model.parts import Family, Part, Value
    from configurator.model.references import Reference
    from configurator.model.vehicles import Vehicle


@dataclass(frozen=True, slots=True)
class CrossCheck:
    """Something that must be true of values that are given together.

    Parameters
    ----------
    name
        What must be true, as a statement.
    function, inputs
        Whether it is; None where it cannot be said. Inputs are `vehicle` and `fitted` for a
        vehicle's file, `each` for a part of a family.
    do
        What to do where it is not.
    family
        Key of the family whose parts it is asked of; empty for the vehicle.
    """

    name: str
    function: Callable[..., Any]
    inputs: tuple[Input, ...]
    do: str
    family: str = ""
    plugin: str = ""

    def __call__(self, *args: Any, **kwargs: Any) -> Any:
        """Call the function as it was written."""
        return self.function(*args, **kwargs)


def cross_check(
    name: str, *, do: str, family: str = ""
) -> Callable[[Callable[..., Any]], CrossCheck]:
    """Declare a cross-check. See `CrossCheck` for the arguments."""

    def declare(function: Callable[..., Any]) -> CrossCheck:
        return CrossCheck(name, function, inputs_of(function), do, family)

    return declare


def spread_cross_checks(checks: Iterable[CrossCheck]) -> list[CrossCheck]:
    """Make two cross-checks, front and rear, of each with ``{axle}`` in its name."""
    out: list[CrossCheck] = []
    for check in checks:
        if "{axle}" not in check.name:
            out.append(check)
            continue
        for axle in AXLES:
            inputs = tuple(
                replace(item, reference=_at_axle(item.reference, axle)) for item in check.inputs
            )
            name, do = (text.replace("{axle}", axle) for text in (check.name, check.do))
            out.append(replace(check, name=name, do=do, inputs=inputs))
    return out


def _at_axle(reference: Reference, axle: str) -> Reference:
    if isinstance(reference, VehicleValue):
        return VehicleValue(reference.name.replace("{axle}", axle))
    if isinstance(reference, FittedValue):
        return FittedValue(reference.position.replace("{axle}", axle), reference.attribute)
    return reference


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
