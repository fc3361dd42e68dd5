"""Turn one text, or what a plugin declares, into one value of an attribute or a measure.

How that is done is the matter of its kind: `configurator.model.kinds`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from configurator.core.errors import PluginError
from configurator.core.text import Misread
from configurator.model.kinds import kind_of
from configurator.model.parts import Attribute, Value
from configurator.model.vehicles import Condition, Measure, Practice

if TYPE_CHECKING:
    from collections.abc import Callable

    from configurator.model.rules import Figure, Total


def described(declared: Attribute | Measure | Condition | Practice | Figure | Total) -> Attribute:
    """Describe anything that has a value in a unit as an attribute is described."""
    if isinstance(declared, Attribute):
        return declared
    if isinstance(declared, Measure):
        return Attribute(
            declared.name,
            declared.meaning,
            declared.unit,
            declared.kind,
            declared.at_least,
            declared.at_most,
            declared.choices,
        )
    if isinstance(declared, Condition | Practice):
        return Attribute(
            declared.name,
            declared.meaning,
            declared.unit,
            at_least=declared.at_least,
            at_most=declared.at_most,
        )
    return Attribute(declared.name, declared.meaning, declared.unit)


def reader(
    attribute: Attribute, unit: str | None, *, comma: bool = False
) -> Callable[[str], Value]:
    """Make the function that reads texts of an attribute.

    Parameters
    ----------
    attribute
        What is read.
    unit
        Unit of a bare number, from the heading of the column; None where each text says its own.
    comma
        Whether a comma before exactly three digits is known to be the decimal sign.

    Returns
    -------
    Callable
        Text → value in SI; raises `Misread`.

    Examples
    --------
    >>> reader(Attribute("wheelbase", "", "mm"), None)("112 in")
    2.8448
    """
    return kind_of(attribute).reader(attribute, unit, comma)


def declared_value(declared: Attribute | Measure, value: Any) -> Value:
    """Turn a value that a plugin declares, in the attribute's unit, into SI.

    Raises
    ------
    PluginError
        If it does not fit the attribute.

    Examples
    --------
    >>> declared_value(Attribute("lift", "", "mm"), 50)
    0.05
    """
    try:
        return kind_of(declared).declared(value, declared.unit)
    except (TypeError, ValueError, Misread) as problem:
        raise PluginError(
            declared.name, f"{value!r} is no value for {declared.name!r}", "correct the default"
        ) from problem
