"""Rules' functions asked by position, so that nothing is put together anew for each combination."""

from __future__ import annotations

import inspect
from functools import lru_cache
from types import FunctionType
from typing import TYPE_CHECKING, Any

from configurator.evaluation.rule_calls import call_rule
from configurator.model.parts import Missing

if TYPE_CHECKING:
    from collections.abc import Callable

    from configurator.model.parts import Value
    from configurator.model.rules import Rule


def by_position(rule: Rule) -> Callable[..., Any]:
    """Give a rule's function as one that takes its inputs in order."""
    return _in_order(rule.function, tuple(item.parameter for item in rule.inputs))


@lru_cache(maxsize=4096)
def _in_order(function: Callable[..., Any], names: tuple[str, ...]) -> Callable[..., Any]:
    if isinstance(function, FunctionType) and not hasattr(function, "__wrapped__"):
        code = function.__code__  # the signature says the same, but takes long to put together
        taken = code.co_varnames[code.co_posonlyargcount : code.co_argcount]
        if taken[: len(names)] == names and not code.co_posonlyargcount:
            return function
    first = list(inspect.signature(function).parameters.values())[: len(names)]
    in_order = tuple(each.name for each in first) == names
    if in_order and all(each.kind is each.POSITIONAL_OR_KEYWORD for each in first):
        return function
    return lambda *values: function(**dict(zip(names, values, strict=True)))


def asker(rule: Rule) -> Callable[[tuple[Value, ...]], Any]:
    """Give a rule's function as `rule_calls.call_rule` asks it, but quicker for sound values."""
    function = by_position(rule)

    def ask(values: tuple[Value, ...]) -> Any:
        if Missing in map(type, values):
            return call_rule(rule, values)
        try:
            answer = function(*values)
        except Exception:  # asked again, so that it is said of which rule and with what
            return call_rule(rule, values)
        return call_rule(rule, values) if answer != answer else answer

    return ask
