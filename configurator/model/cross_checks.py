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

from configurator.model.parts import AXLES
from configurator.model.references import (
    FittedValue,
    Input,
    VehicleValue,
    inputs_of,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from configurator.model.references import Reference


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
