"""Where the values of a rule's inputs come from.

Each is the default of a parameter of the rule's function: ``part("tyres", "overall diameter")``.
"""

from __future__ import annotations

import inspect
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable


@dataclass(frozen=True, slots=True)
class PartValue:
    """An attribute of the part at a position.

    Every position also has ``changed`` (it is not the part that was on the vehicle) and
    ``present`` (it is not empty).
    """

    position: str
    attribute: str

    def __str__(self) -> str:
        return f"{self.position}: {self.attribute}"


@dataclass(frozen=True, slots=True)
class VehicleValue:
    """A measure of the vehicle."""

    name: str

    def __str__(self) -> str:
        return f"vehicle: {self.name}"


@dataclass(frozen=True, slots=True)
class FittedValue:
    """An attribute of the part that was on the vehicle at a position, whatever is chosen."""

    position: str
    attribute: str

    def __str__(self) -> str:
        return f"{self.position} as it stands: {self.attribute}"


@dataclass(frozen=True, slots=True)
class ConditionValue:
    """A condition of the job."""

    name: str

    def __str__(self) -> str:
        return f"condition: {self.name}"


@dataclass(frozen=True, slots=True)
class PracticeValue:
    """A number of workshop practice."""

    name: str

    def __str__(self) -> str:
        return f"practice: {self.name}"


@dataclass(frozen=True, slots=True)
class FigureValue:
    """Another figure; ``before`` for the vehicle as it stands, ``exact`` for that not rounded."""

    name: str
    before: bool = False
    exact: bool = False

    def __str__(self) -> str:
        if not self.before:
            return self.name
        return f"{self.name} as it stands{', not rounded' if self.exact else ''}"


# What a total may ask of every position beside the attributes: how many pieces it takes, where
# their mass sits, whether it rides on the springs, its name.
EACH = ("pieces", "place", "sprung", "position")


@dataclass(frozen=True, slots=True)
class EachValue:
    """In a total: a value of the position whose share is being computed.

    An attribute, or one of `EACH`.
    """

    attribute: str

    def __str__(self) -> str:
        return f"each: {self.attribute}"


Reference = (
    PartValue
    | VehicleValue
    | FittedValue
    | ConditionValue
    | PracticeValue
    | FigureValue
    | EachValue
)
Bound = float | Reference


@dataclass(frozen=True, slots=True)
class Input:
    """A parameter of a rule's function and where its value comes from."""

    parameter: str
    reference: Reference
    takes_missing: bool = False


def part(position: str, attribute: str) -> Any:
    """Take an attribute of the part at a position, as the default of a rule's parameter."""
    return PartValue(position, attribute)


def fitted(position: str, attribute: str) -> Any:
    """Take an attribute of the part that was on the vehicle, whatever is chosen now."""
    return FittedValue(position, attribute)


def vehicle(name: str) -> Any:
    """Take a measure of the vehicle."""
    return VehicleValue(name)


def condition(name: str) -> Any:
    """Take a condition of the job."""
    return ConditionValue(name)


def practice(name: str) -> Any:
    """Take a number of workshop practice."""
    return PracticeValue(name)


def computed(name: str, *, before: bool = False, exact: bool = False) -> Any:
    """Take another figure; with ``before`` for the vehicle as it stands.

    Parameters
    ----------
    name
        Of the figure.
    before
        Whether its value on the vehicle as it stands is meant.
    exact
        Whether that is not rounded, so that a rule that compares now with before errs to one side
        only: to that of the figure now.

    Raises
    ------
    ValueError
        If a figure of a package is to be exact: its values would be too many.
    """
    if exact and not before:
        message = f"{name!r}: only a figure before the build can be exact"
        raise ValueError(message)
    return FigureValue(name, before, exact)


def each(attribute: str) -> Any:
    """In a total, take a value of the position whose share is being computed."""
    return EachValue(attribute)


REFERENCES = (
    PartValue,
    VehicleValue,
    FittedValue,
    ConditionValue,
    PracticeValue,
    FigureValue,
    EachValue,
)


def inputs_of(function: Callable[..., Any]) -> tuple[Input, ...]:
    """Read a rule's inputs off the defaults of its parameters.

    Raises
    ------
    TypeError
        If a parameter has no reference as its default.
    """
    inputs = []
    for parameter in inspect.signature(function).parameters.values():
        if not isinstance(parameter.default, REFERENCES):
            message = (
                f"{function.__name__}: parameter {parameter.name!r} does not say where it comes "
                "from; "
                "give it a default such as part('tyres', 'overall diameter')"
            )
            raise TypeError(message)
        takes_missing = "None" in str(parameter.annotation)
        inputs.append(Input(parameter.name, parameter.default, takes_missing))
    return tuple(inputs)
