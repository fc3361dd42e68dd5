"""Numbers of a package held against their bounds: how close, in which state, decided by what."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.evaluation.worst_state import decisive_figure
from configurator.model.rules import Limit, Total
from configurator.wording import explanation_templates as say
from configurator.wording.quantities import apart, words
from configurator.wording.sentences import begun, in_state

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.evaluation.packages import Margin
    from configurator.wording.quantities import System


def value_words(evaluation: Evaluation, name: str, choice: Mapping[str, Option], value: str) -> str:
    """Add to a figure's value what decides it, where it is the least of several.

    Whoever asks for room under an axle is told what hangs lowest there.
    """
    figure = decisive_figure(evaluation, name, choice)
    return say.DECIDED_BY.format(value=value, figure=figure) if figure else value


def limit_words(margin: Margin) -> str:
    """Return what a table calls a bounded number, with the state in which it is worst."""
    return in_state(quantity_of(margin.rule), margin.when)


def quantity_of(rule: Limit | Total) -> str:
    """Return what a table calls the number that a rule bounds."""
    return (rule.quantity if isinstance(rule, Limit) else "") or rule.name


def margin_words(margin: Margin, system: System | None = None) -> str:
    """Say how close a package comes to a limit.

    One that must not fall below nothing at all is a reserve: what counts is how much is left.
    """
    quantity = in_state(begun(quantity_of(margin.rule)), margin.when)
    if margin.at_least and margin.needs == 0 and margin.has >= 0:
        if margin.has == 0:
            return say.NONE_TO_SPARE.format(quantity=quantity)
        has = words(margin.has, margin.rule.unit, system)
        return say.TO_SPARE.format(quantity=quantity, has=has)
    has, needs = apart(margin.has, margin.needs, margin.rule.unit, system)
    template = say.MARGIN_AT_LEAST if margin.at_least else say.MARGIN_AT_MOST
    return template.format(quantity=quantity, has=has, needs=needs)
