"""How sure a package is: which limits and goals hold as calculated only, and what decides it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from configurator.evaluation.propagation import Propagation, UncertainMargin
from configurator.model.knowledge import checked_rules
from configurator.model.rules import TOLD_HOW_SURE, Limit, Total
from configurator.model.tolerances import reserve_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.evaluation.propagation import Source
    from configurator.model.jobs import Goal

# Sure within usual tolerances; as calculated only; not sure, but no worse than before the build.
Grade = Literal["sure", "calculated", "no worse"]

# Unrounded margins of the same vehicle differ by no more than the last bits.
CLOSE = 1e-9


@dataclass(frozen=True, slots=True)
class GradedRule:
    """A limit that holds as calculated, and how sure it is.

    Parameters
    ----------
    rule
        The limit or limited sum.
    margin
        What is left of it unrounded, and what moves it.
    grade
        Whether it holds within usual tolerances.
    """

    rule: Limit | Total
    margin: UncertainMargin
    grade: Grade


@dataclass(frozen=True, slots=True)
class GoalWithin:
    """A goal, what its figure comes to unrounded, and within what.

    Parameters
    ----------
    goal
        What was asked for.
    value
        Of its figure, in SI.
    within
        How far it may be off [SI]: of 100 packages built like this, one or fewer lie beyond.
    margin
        Against the bound that is closer.
    """

    goal: Goal
    value: float
    within: float
    margin: UncertainMargin

    @property
    def grade(self) -> Grade:
        """How sure the goal is; as calculated where it is not."""
        return "sure" if self.margin.sure else "calculated"


def unsure_rules(evaluation: Evaluation, choice: Mapping[str, Option]) -> list[GradedRule]:
    """List the limits on law, plates and contact that hold as calculated only, least sure first.

    What is no worse than on the vehicle as it stands is left out: the package did not bring it.

    Parameters
    ----------
    evaluation, choice
        A package that keeps its rules, and whose.
    """
    unsure = [item for item in graded_rules(evaluation, choice) if item.grade == "calculated"]
    return sorted(unsure, key=lambda item: (-item.margin.chance, item.rule.name))


def is_sure(evaluation: Evaluation, choice: Mapping[str, Option]) -> bool:
    """Whether `unsure_rules` would list nothing: the first that it would list decides."""
    return all(item.grade != "calculated" for item in graded_rules(evaluation, choice))


def graded_rules(evaluation: Evaluation, choice: Mapping[str, Option]) -> Iterator[GradedRule]:
    """Say of each limit on law, plates and contact that applies how sure it is."""
    propagation = Propagation.of(evaluation, choice)
    for rule in checked_rules(evaluation.trade):
        if not isinstance(rule, Limit | Total) or rule.concerns not in TOLD_HOW_SURE:
            continue
        margin = propagation.margin(rule)
        if margin is not None:
            yield GradedRule(rule, margin, _grade(propagation, rule, margin))


def grade_of(propagation: Propagation, rule: Limit | Total) -> Grade | None:
    """Say how sure one limit is on the package that is looked at; None where it does not apply."""
    margin = propagation.margin(rule)
    return None if margin is None else _grade(propagation, rule, margin)


def _grade(propagation: Propagation, rule: Limit | Total, margin: UncertainMargin) -> Grade:
    if margin.sure:
        return "sure"
    stands = propagation.before().margin(rule)
    no_worse = stands is not None and margin.margin >= stands.margin - CLOSE
    return "no worse" if no_worse else "calculated"


def goals_within(
    evaluation: Evaluation, choice: Mapping[str, Option], goals: Iterable[Goal]
) -> list[GoalWithin]:
    """Say of each goal with a bound what its figure comes to, and how far it may be off.

    Goals whose figure is no number on this package are left out.
    """
    propagation = Propagation.of(evaluation, choice)
    result = []
    for goal in goals:
        figure = propagation.figure(goal.figure)
        if not figure.is_number:
            continue
        value = float(figure.exact)
        margins = [
            UncertainMargin(sign * (value - bound), figure.effects)
            for bound, sign in ((goal.at_least, 1.0), (goal.at_most, -1.0))
            if bound is not None
        ]
        if margins:
            within = reserve_of(figure.effects.values())
            result.append(GoalWithin(goal, value, within, min(margins, key=lambda m: m.margin)))
    return result


def first_to_measure(
    rules: Iterable[GradedRule], goals: Iterable[GoalWithin]
) -> list[tuple[Source, float]]:
    """Rank what would tell most if it were measured more closely, for this package.

    Parameters
    ----------
    rules, goals
        From `unsure_rules` and `goals_within`.

    Returns
    -------
    list
        Source, and its share of the doubt: the squares of its effects over those of all, weighed by
        how often each limit or goal is missed. The largest first.
    """
    shares: dict[Source, float] = {}
    margins = [item.margin for item in rules] + [item.margin for item in goals]
    for margin in margins:
        whole = sum(effect * effect for effect in margin.effects.values())
        if not whole or not margin.chance:
            continue
        for source, effect in margin.effects.items():
            if effect:
                share = margin.chance * effect * effect / whole
                shares[source] = shares.get(source, 0.0) + share
    total = sum(shares.values())
    return sorted(
        ((source, share / total) for source, share in shares.items()),
        key=lambda item: (-item[1], item[0]),
    )
