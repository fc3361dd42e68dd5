"""Whether a job can be met at all, and how near to one of its wishes what is left comes."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from configurator.evaluation.lead_times import wait_of
from configurator.model.jobs import Goal
from configurator.search.optimum import option_prices, queries
from configurator.search.optimum.availability import can_be_had
from configurator.search.optimum.levels import PATIENCE, best_sum
from configurator.search.optimum.verification import meets

if TYPE_CHECKING:
    from configurator.model.requirements import Wish
    from configurator.search.optimum.preparing import Question


def can_hold(question: Question, patience: int = option_prices.PATIENCE) -> bool:
    """Whether some package meets all wishes of a job, the budget included.

    What is undecided is taken as possible: what is reported as a conflict is proven.
    """
    return can_be_had(question, patience) is not False


def least_wait(question: Question, patience: int = option_prices.PATIENCE) -> int | None:
    """Return the shortest wait with which a job can be met [day]; None if with none.

    What the job itself says of the wait is left aside. Where sums over everything leave it
    undecided, the wait is taken as long enough: it is a lower bound then.
    """
    free = replace(question.job, parts_within=None)
    waits = {
        wait_of(option, question.job.vehicles)
        for options in question.model.options.values()
        for option in options
    }
    days = sorted({0, *(wait for wait in waits if wait is not None)})
    if not can_hold(question.about(replace(free, parts_within=days[-1])), patience):
        return None
    # More time never leaves fewer packages.
    low, high = 0, len(days) - 1
    while low < high:
        middle = (low + high) // 2
        if can_hold(question.about(replace(free, parts_within=days[middle])), patience):
            high = middle
        else:
            low = middle + 1
    return days[low]


def nearest_value(question: Question, wish: Wish) -> float | None:
    """Return the value nearest to what a goal asks that a job's other wishes leave.

    None where there is none, for figures of several sums, and where tables too wide to be joined
    leave it open.
    """
    job = question.job
    if wish.subject in question.evaluation.trade.totals:
        return best_sum(question, wish.subject, high=wish.kind == "at least")
    figure = question.evaluation.definition(wish.subject)
    if question.evaluation.late(figure) or question.prepared.loose is not None:
        return None
    if wish.subject not in question.model.goal_tables:
        return _fixed_value(question, wish.subject)
    other_bound = [goal for goal in job.goals if goal.figure == wish.subject]
    free = question.about(queries.without_goal(job, wish.subject))
    # What no package costs less than, limits on sums left aside: mostly the first one can be had.
    values = [
        float(value)
        for value, least in queries.curve(free, wish.subject)
        if isinstance(value, float | int)
        and (job.budget is None or least <= job.budget)
        and all(meets(goal, value) for goal in other_bound)
    ]
    for value in sorted(values, reverse=wish.kind == "at least"):
        goal = Goal(wish.subject, at_least=value, at_most=value)
        if can_be_had(free.about(replace(free.job, goals=(*free.job.goals, goal))), PATIENCE):
            return value
    return None


def _fixed_value(question: Question, figure: str) -> float | None:
    """Return the value of a figure that no part has a say in, if the job can be met with it."""
    value = question.model.fixed_figures.get(figure)
    if not isinstance(value, float | int) or not can_hold(question):
        return None
    return float(value)
