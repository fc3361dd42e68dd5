"""Turn *as high (or low) as possible* into a bound that can be had."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from configurator.core.progress import check
from configurator.model.verdicts import keeps
from configurator.search.optimum import levels

if TYPE_CHECKING:
    from configurator.model.jobs import Goal
    from configurator.search.optimum.preparing import Question


def settle(question: Question) -> Question:
    """Turn *as high (or low) as possible* into the best bound that can be had.

    Goals are settled in their order, each within the job's other wishes, those settled before it,
    and the budget; where even the cheapest package is over the budget, the budget is left aside.
    Where rules on several sums leave a price open, or tables are too wide to be joined, a level
    counts if a package with it is found.
    """
    check()
    prepared, job = question.prepared, question.job
    if all(goal.as_possible is None for goal in job.goals):
        return question
    # Asked several times for one answer.
    picks = (frozenset(job.fixed.items()), frozenset(job.keep), frozenset(job.excluded))
    key = (job.goals, picks, job.budget, job.parts_within, job.vehicles, job.sure)
    if key not in prepared.settled:
        prepared.settled[key] = _settled(question)
    return question.about(replace(job, goals=prepared.settled[key]))


def _settled(question: Question) -> tuple[Goal, ...]:
    job = question.job
    for number, goal in enumerate(job.goals):
        if goal.as_possible is None:
            continue
        bounded = replace(goal, as_possible=None)
        # The goal's own bounds count, and so do goals still to be settled, as far as they have any.
        asked = tuple(
            bounded if at == number else replace(other, as_possible=None)
            for at, other in enumerate(job.goals)
        )
        value = _best(question.about(replace(job, goals=asked)), goal)
        if value is not None and goal.as_possible == "high":
            bounded = replace(bounded, at_least=value)
        elif value is not None:
            bounded = replace(bounded, at_most=value)
        job = replace(job, goals=(*job.goals[:number], bounded, *job.goals[number + 1 :]))
    return job.goals


def _best(question: Question, goal: Goal) -> float | None:
    """Give the best value of a figure within a job; None if nothing fits."""
    job = question.job
    high = goal.as_possible == "high"
    if goal.figure in question.evaluation.trade.totals:
        return levels.best_sum(question, goal.figure, high=high)
    every = [
        level
        for level in levels.levels_of(question, goal.figure)
        if isinstance(level.value, float | int)
        and keeps(level.value, goal.at_least, goal.at_most) is not False
    ]
    had = [level for level in every if level.known]
    if question.prepared.loose is not None and len(had) < len(every):
        cheap = [level for level in every if job.budget is None or level.price <= job.budget]
        ordered = sorted((float(level.value) for level in cheap or every), reverse=high)  # type: ignore[arg-type]
        return levels.best_level(question, goal.figure, ordered, high=high)
    affordable = [level for level in had if job.budget is None or level.price <= job.budget]
    values = [float(level.value) for level in affordable or had]  # type: ignore[arg-type]
    if not values:
        return None
    return max(values) if high else min(values)
