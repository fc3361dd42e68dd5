"""What was assumed of a vehicle: measures that nobody gave, so that defaults stand for them.

A default moves an answer as a measurement does. Beside each stands which rules read it, and
whether a package still holds where the measure usually lies.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from configurator.evaluation.evaluator import Evaluation
from configurator.model.knowledge import checked_rules, measures_behind, rules_reading
from configurator.model.sure_goals import lowered_goal
from configurator.model.values import declared_value
from configurator.model.verdicts import keeps

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.evaluation.evaluator import Option
    from configurator.model.jobs import Case, Goal, Job
    from configurator.model.parts import Value
    from configurator.model.vehicles import Measure


@dataclass(frozen=True, slots=True)
class AtBound:
    """What a package comes to with a measure at one of its usual bounds.

    Parameters
    ----------
    value
        Of the measure [SI].
    breaks
        Rules that the package then breaks, and kept before.
    misses
        Figures of goals that it then misses, and met before.
    """

    value: Value
    breaks: tuple[str, ...]
    misses: tuple[str, ...]

    @property
    def holds(self) -> bool:
        """Whether the package is as good there as with the default."""
        return not (self.breaks or self.misses)


@dataclass(frozen=True, slots=True)
class AssumedMeasure:
    """A measure that nobody gave.

    Parameters
    ----------
    measure
        What it is and how to measure it.
    value
        Its default [SI].
    rules
        Rules that read it, directly or through figures, and apply to the package.
    figures
        Figures of goals that read it.
    bounds
        The package at each of its usual bounds; empty where none is declared.
    """

    measure: Measure
    value: Value
    rules: tuple[str, ...]
    figures: tuple[str, ...]
    bounds: tuple[AtBound, ...]


def assumed_of(
    evaluation: Evaluation, job: Job, choice: Mapping[str, Option]
) -> list[AssumedMeasure]:
    """List what was assumed for a package: first what it hangs on, then what most rules read.

    Parameters
    ----------
    evaluation
        The case and the trade.
    job
        Whose goals count, with *as high as possible* settled.
    choice
        The package.
    """
    case = evaluation.case
    reading = rules_reading(evaluation.trade)
    by_name = {rule.name: rule for rule in checked_rules(evaluation.trade)}
    assumed = []
    seen: dict[str, Value] = {}  # most rules read the same figures
    for name in evaluation.trade.measures:
        if name not in case.vehicle.assumed or name not in case.vehicle.values:
            continue
        rules = [by_name[rule] for rule in reading.get(name, ())]
        applying = tuple(
            rule.name for rule in rules if evaluation.verdict(rule, choice, seen).holds is not None
        )
        figures = tuple(
            goal.figure
            for goal in job.goals
            if name in measures_behind(evaluation.trade, evaluation.definition(goal.figure))
        )
        if not applying and not figures:
            continue
        measure = evaluation.trade.measures[name]
        bounds = tuple(
            _at_bound(evaluation, job, choice, name, value) for value in usual_values(measure)
        )
        assumed.append(
            AssumedMeasure(measure, case.vehicle.values[name], applying, figures, bounds)
        )
    return sorted(assumed, key=_by_weight)


def _by_weight(item: AssumedMeasure) -> tuple[bool, int, str]:
    settled = all(bound.holds for bound in item.bounds)
    return settled, -len(item.rules), item.measure.name


def usual_values(measure: Measure) -> list[Value]:
    """Return between which values, or at which others, a measure usually lies, its default aside.

    Examples
    --------
    >>> from configurator.model.vehicles import Measure
    >>> usual_values(Measure("slope", "", "", unit="m", default=0.0, usual=(0.0, 4.0)))
    [4.0]
    """
    return [declared_value(measure, value) for value in measure.usual if value != measure.default]


def with_measure(case: Case, name: str, value: Value) -> Case:
    """Return a case whose vehicle has a measure [SI]."""
    vehicle = replace(
        case.vehicle,
        values={**case.vehicle.values, name: value},
        assumed=case.vehicle.assumed - {name},
    )
    return replace(case, vehicle=vehicle)


def _at_bound(
    evaluation: Evaluation, job: Job, choice: Mapping[str, Option], name: str, value: Value
) -> AtBound:
    trade = evaluation.trade
    there = Evaluation(with_measure(evaluation.case, name, value), trade)
    reading = set(rules_reading(trade).get(name, ()))
    seen: dict[str, Value] = {}
    breaks = tuple(
        rule.name
        for rule in checked_rules(trade)
        if rule.name in reading
        and there.verdict(rule, choice, seen).holds is False
        and evaluation.verdict(rule, choice).holds is not False
    )
    misses = tuple(
        goal.figure
        for goal in job.goals
        if _met(evaluation, goal, choice) and not _met(there, goal, choice)
    )
    return AtBound(value, breaks, misses)


def _met(evaluation: Evaluation, goal: Goal, choice: Mapping[str, Option]) -> bool:
    return all(
        keeps(evaluation.figure(part.figure, choice), part.at_least, part.at_most) is True
        for part in lowered_goal(goal)
    )
