"""What rules are asked with: constants of a case, empty positions, and the call itself."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from configurator.core import units
from configurator.core.errors import PluginError
from configurator.model.parts import Missing, attributes_of
from configurator.model.references import ConditionValue, PracticeValue, VehicleValue
from configurator.model.values import declared_value

if TYPE_CHECKING:
    from configurator.model.jobs import Case
    from configurator.model.knowledge import Trade
    from configurator.model.parts import Family, Value
    from configurator.model.rules import Rule


def call_rule(rule: Rule, values: tuple[Value, ...]) -> Any:
    """Call a rule's function with the values of its inputs.

    Returns
    -------
    Any
        What it returned; `Missing` where an input is missing that it does not decide on itself.

    Raises
    ------
    PluginError
        If the function raises or returns NaN.
    """
    absent: Missing | None = None
    arguments: dict[str, Any] = {}
    for item, value in zip(rule.inputs, values, strict=True):
        if isinstance(value, Missing):
            if item.takes_missing:
                arguments[item.parameter] = None
                continue
            if absent is not Missing.NOT_FITTED:
                absent = value
        arguments[item.parameter] = value
    if absent is not None:
        return absent
    try:
        answer = rule.function(**arguments)
    except Exception as problem:  # a rule is anybody's code; say which one and with what
        text = ", ".join(f"{key}={value!r}" for key, value in arguments.items())
        raise PluginError(
            rule.plugin or rule.name,
            f"rule {rule.name!r} failed for {text}: {type(problem).__name__}: {problem}",
            "a rule must answer for every combination of values",
        ) from problem
    if isinstance(answer, float) and answer != answer:
        text = ", ".join(f"{key}={value!r}" for key, value in arguments.items())
        raise PluginError(
            rule.plugin or rule.name,
            f"rule {rule.name!r} gave no number (NaN) for {text}",
            "return None where it does not apply",
        )
    return answer


def empty_values(family: Family) -> dict[str, Value]:
    """Return what rules read of a position of a family where nothing is fitted, in SI."""
    values: dict[str, Value] = {}
    for attribute in attributes_of(family):
        empty = attribute.when_empty
        if empty is None:
            values[attribute.name] = Missing.NOT_FITTED
        else:
            values[attribute.name] = declared_value(attribute, empty)
    return values


def constants_of(case: Case, trade: Trade) -> dict[str, Value]:
    """Return what rules read that no part has a say in: measures, conditions, practices, in SI."""
    constants: dict[str, Value] = {}
    for name, measure in trade.measures.items():
        value = case.vehicle.values.get(name)
        if value is None and measure.default is not None:
            value = declared_value(measure, measure.default)
        if value is not None:
            constants[str(VehicleValue(name))] = value
    for name, condition in trade.conditions.items():
        if name in case.job.conditions:
            constants[str(ConditionValue(name))] = case.job.conditions[name]
        elif condition.default:
            constants[str(ConditionValue(name))] = units.parse(condition.default, condition.unit)
    for name, practice in trade.practices.items():
        constants[str(PracticeValue(name))] = case.workshop.practices.get(
            name, units.to_si(practice.default, practice.unit)
        )
    return constants
