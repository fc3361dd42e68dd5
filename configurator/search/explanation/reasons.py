"""The members of a conflict, each with its numbers: what is asked, and what the others leave."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from configurator.model.parts import Missing
from configurator.model.requirements import with_wishes
from configurator.model.rules import Limit
from configurator.model.taken_with import GUARD
from configurator.model.verdicts import judge
from configurator.search.encoding.scopes import order
from configurator.search.explanation.feasibility import least_wait, nearest_value
from configurator.search.optimum import option_prices
from configurator.search.optimum.preparing import Question

if TYPE_CHECKING:
    from collections.abc import Sequence

    from configurator.model.jobs import Job
    from configurator.model.requirements import Wish
    from configurator.model.rules import Rule
    from configurator.search.explanation.rule_conflicts import Study

# How many values of an input a reason lists before it says "and more".
SHOWN = 6


@dataclass(frozen=True, slots=True)
class Reason:
    """A member of a conflict, with its numbers.

    Parameters
    ----------
    wish, rule
        Exactly one of them is given.
    has, needs
        SI numbers (minor units for the budget, days for the wait): the best that the other members
        of the conflict leave, and what is asked. None where there is no number.
    unit
        In which they are shown.
    at_least
        Whether ``needs`` is a lower bound.
    inputs
        For rules: what each input can be while the other members hold, as
        ``(input, (value, ...), how many more)``.
    needed
        Whether it is shown that the others could be met without this one. Otherwise that took more
        effort than is made, and there may be a smaller conflict without it.
    within
        Whether the rule is kept as calculated, but not within usual tolerances.
    """

    wish: Wish | None = None
    rule: Rule | None = None
    has: float | None = None
    needs: float | None = None
    unit: str = ""
    at_least: bool = True
    inputs: tuple[tuple[str, tuple[Any, ...], int], ...] = ()
    needed: bool = True
    within: bool = False


def about_sure_wish(question: Question, wish: Wish, wishes: Sequence[Wish]) -> Reason:
    """Say how far a wish could be met with the others, where all rules and certainty count."""
    others = question.about(with_wishes(question.job, [w for w in wishes if w != wish]))
    if wish.kind in {"at least", "at most"}:
        unit = question.evaluation.definition(wish.subject).unit
        has = nearest_value(others, wish)
        return Reason(wish, None, has, wish.bound, unit, wish.kind == "at least")
    if wish.kind == "budget":
        price = option_prices.cheapest(others).price
        has = None if price is None else float(price)
        return Reason(wish, None, has, wish.bound, "", at_least=False)
    if wish.kind == "parts within":
        return Reason(wish, None, least_wait(others), wish.bound, "", at_least=False)
    return Reason(wish)


def about_wish(study: Study, wish: Wish, wishes: Sequence[Wish], rules: Sequence[Rule]) -> Reason:
    """Say how far a wish could be met with the rest of the conflict."""
    evaluation = study.evaluation
    others = with_wishes(study.job, [other for other in wishes if other != wish])
    if wish.kind in {"at least", "at most"}:
        at_least = wish.kind == "at least"
        unit = evaluation.definition(wish.subject).unit
        has = _reachable(study, wish, others, rules)
        return Reason(wish, None, has, wish.bound, unit, at_least)
    if wish.kind == "budget":
        free = study.for_numbers(rules, replace(others, budget=0))
        price = None if free is None else option_prices.cheapest(Question(free, others)).price
        has = None if price is None else float(price)
        return Reason(wish, None, has, wish.bound, "", at_least=False)
    if wish.kind == "parts within":
        parts = study.for_numbers(rules, others)
        days = None if parts is None else least_wait(Question(parts, others))
        return Reason(wish, None, days, wish.bound, "", at_least=False)
    return Reason(wish)


def _reachable(study: Study, wish: Wish, others: Job, rules: Sequence[Rule]) -> float | None:
    """Return the value nearest to what a goal asks that the rest of the conflict leaves."""
    if study.evaluation.late(study.evaluation.definition(wish.subject)):
        return None
    free = study.for_numbers(rules, others, [wish.subject])
    return None if free is None else nearest_value(Question(free, others), wish)


def about_rule(study: Study, rule: Rule, rules: Sequence[Rule], *, inputs: bool = True) -> Reason:
    """Say how near the rest of the conflict comes to a rule, and what its inputs can be then.

    Without ``inputs`` only how near: less is worked out.
    """
    evaluation = study.evaluation
    if evaluation.late(rule) or not evaluation.reach(rule):
        choice = study.witness([other for other in rules if other.name != rule.name])
        verdict = evaluation.verdict(rule, choice or {})
        unit = getattr(rule, "unit", "")
        return Reason(None, rule, verdict.has, verdict.needs, unit, verdict.at_least)
    if not inputs and not isinstance(rule, Limit):
        return Reason(None, rule)
    # What packages cost has no say in which values there are.
    free = replace(study.job, budget=None)
    soft = study.for_numbers(rules, free, soft=rule.name, positions=study.read(rules, free))
    if soft is None or not soft.circuit.nodes:
        return Reason(None, rule)
    origins = soft.circuit.leaf_rows[soft.model.rule_tables[rule.name]]
    shortfalls = np.array([soft.model.shortfalls[rows[0]] for rows in origins])
    values = [soft.model.soft_values[r] for rows in origins for r in rows] if inputs else []
    listed = _inputs(rule, values) if inputs else ()
    if not isinstance(rule, Limit):
        return Reason(None, rule, inputs=listed)
    # Every row that is left is in some package, so the least shortfall can be had.
    arguments = soft.model.soft_values[int(origins[int(np.argmin(shortfalls))][0])]
    at_least, at_most = arguments[len(rule.inputs) :]
    has = evaluation.call(rule, arguments[: len(rule.inputs)])
    verdict = judge(has, at_least, at_most)
    return Reason(None, rule, verdict.has, verdict.needs, rule.unit, verdict.at_least, listed)


def _inputs(
    rule: Rule, seen: Sequence[Sequence[Any]]
) -> tuple[tuple[str, tuple[Any, ...], int], ...]:
    """List what each input of a rule can be while the other members of the conflict hold."""
    named = [
        (k, rule_input.reference)
        for k, rule_input in enumerate(rule.inputs)
        if not rule_input.parameter.startswith(GUARD)
    ]
    if isinstance(rule, Limit):
        named.extend(
            (len(rule.inputs) + k, bound)
            for k, bound in enumerate((rule.at_least, rule.at_most))
            if bound is not None and not isinstance(bound, int | float)
        )
    inputs = []
    for k, reference in named:
        values = list(dict.fromkeys(row[k] for row in seen if not isinstance(row[k], Missing)))
        values.sort(key=order)
        inputs.append((str(reference), tuple(values[:SHOWN]), max(0, len(values) - SHOWN)))
    return tuple(inputs)
