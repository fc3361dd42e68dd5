"""What a figure comes to at the least or at the most in one package, within usual tolerances."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.evaluation.propagation import Propagation
from configurator.model.parts import Missing
from configurator.model.sure_goals import parted, sure_figure, sure_value
from configurator.model.tolerances import reserve_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.evaluation.option import Option
    from configurator.evaluation.rule_functions import RuleFunctions
    from configurator.model.knowledge import Trade
    from configurator.model.parts import Value
    from configurator.model.rules import Figure


def definition_of(trade: Trade, name: str) -> Figure | None:
    """Derive the figure that a goal which is to be sure is asked of; None for any other name."""
    figure, side = parted(name)
    base = None if side is None else trade.worked_out(figure)
    return None if base is None or side is None else sure_figure(base, side)


def worked_out(
    evaluation: RuleFunctions,
    rule: Figure,
    choice: Mapping[str, Option],
    seen: dict[str, Value] | None = None,
) -> Value:
    """Work out what a figure comes to at the least or at the most in a package [SI].

    Parameters
    ----------
    evaluation, choice, seen
        As for `Evaluation.figure`.
    rule
        From `definition_of`.
    """
    figure, _ = parted(rule.name)
    value = evaluation.figure(figure, choice, seen)
    uncertain = Propagation(evaluation, choice).figure(figure)
    return value_of(rule, value, uncertain.exact, reserve_of(uncertain.effects.values()))


def value_of(rule: Figure, value: Value, exact: Value, reserve: float) -> Value:
    """Do the same with what is known already; what is no number stays as it is."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return value
    if isinstance(exact, bool) or not isinstance(exact, int | float):
        return Missing.UNKNOWN
    return sure_value(rule, float(value), float(exact), reserve)
