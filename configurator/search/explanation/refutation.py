"""Rules that wishes cannot be met with, where the tables of all rules are seen to leave nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from configurator.model.references import FigureValue
from configurator.search.encoding.tables import select
from configurator.search.explanation.case_splits import met_by_cases
from configurator.search.explanation.rule_subsets import CASES, RuleSubsets
from configurator.search.optimum import queries
from configurator.search.optimum.narrowing import rows_left

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.model.jobs import Job
    from configurator.model.rules import Rule
    from configurator.search.encoding.constraint_model import Model
    from configurator.search.limits import Limits


def refuted(
    model: Model, job: Job, every: Sequence[Rule], limits: Limits
) -> tuple[list[Rule], RuleSubsets] | None:
    """Find rules that the picks, goals and budget of a job cannot be met with.

    Parameters
    ----------
    model
        Tables of all rules.
    job
        Whose wishes count, as calculated.
    every
        All rules, in order.
    limits
        How large tables may get.

    Returns
    -------
    tuple or None
        Rules that cannot all be kept, in order, and what tells of any few of them whether they can.
        None where their tables do not show that in few cases.
    """
    evaluation, budget = model.evaluation, job.budget
    traced = refuted_tables(model, job)
    if traced is None:
        return None
    wide = [rule for rule in every if model.rule_tables.get(rule.name) in traced]
    # What rules on one position forbid is not in the tables at all.
    read = {position for rule in wide for position in evaluation.reach(rule)}
    read |= {p for p, number in model.position_tables.items() if number in traced}
    alone = [
        rule
        for rule in every
        if len(reach := evaluation.reach(rule)) == 1 and (reach <= read or budget is not None)
    ]
    for rules in (wide, [rule for rule in every if rule in wide or rule in alone]):
        subsets = subsets_of(model, job, rules, limits)
        held = None if subsets is None else subsets.ask(rules)
        if subsets is not None and held is not None and held.holds is False:
            return [rule for rule in rules if rule.name in held.conflict], subsets
    return None


def refuted_tables(model: Model, job: Job, without: Sequence[int] = ()) -> frozenset[int] | None:
    """Find tables of a model that leave a job nothing; None where they are not seen to.

    Parameters
    ----------
    model, job
        As for `refuted`.
    without
        Numbers of tables that are left out.
    """
    left = rows_left(model, job.goals, job)
    if left is None:
        return None
    numbers = [number for number in range(len(model.tables)) if number not in without]
    place_of = {number: place for place, number in enumerate(numbers)}
    given = [model.tables[n] for n in numbers]
    given = [select(t, left[n]) if n in left else t for n, t in zip(numbers, given, strict=True)]
    costs = {} if job.budget is None else _costs(model, job, left)
    outcome = met_by_cases(
        given,
        model.sizes,
        [place_of[number] for number in model.position_tables.values()],
        begin=[place_of[number] for number in sorted(left) if number in place_of],
        costs={place_of[number]: each for number, each in costs.items()},
        most=0 if job.budget is None else job.budget - model.fixed_cost,
        cases=CASES,
    )
    if outcome.conflict is None:
        return None
    return frozenset(numbers[place] for place in outcome.conflict)


def _costs(
    model: Model, job: Job, left: Mapping[int, NDArray[np.int32]]
) -> dict[int, NDArray[np.int64]]:
    """Say what rows of tables of permitted parts, and of work, cost at least."""
    costs = dict(model.work_costs)
    for position, number in model.position_tables.items():
        permitted = queries.allowed(model, job, position)
        each = model.costs[position]
        each = each if permitted is None else np.where(permitted, each, queries.IMPOSSIBLE)
        costs[number] = np.array([each[m].min() for m in model.classes[position]], np.int64)
    return {n: each[left[n]] if n in left else each for n, each in costs.items()}


def subsets_of(
    model: Model,
    job: Job,
    rules: Sequence[Rule],
    limits: Limits,
    allowed: Mapping[str, Sequence[int]] | None = None,
) -> RuleSubsets | None:
    """Make what tells of any few rules whether they can be kept; None where sums count.

    ``allowed`` gives the numbers of options beside what the job permits, by position.
    """
    evaluation = model.evaluation
    goals = [evaluation.definition(goal.figure) for goal in job.goals]
    if any(evaluation.late(rule) for rule in (*rules, *goals)):
        return None
    read = {position for rule in rules for position in evaluation.reach(rule)}
    read = read.union(*(evaluation.reach_of(FigureValue(goal.figure)) for goal in job.goals))
    if not read and job.budget is None:
        return None
    return RuleSubsets(evaluation, job, rules, read, limits, allowed or {})
