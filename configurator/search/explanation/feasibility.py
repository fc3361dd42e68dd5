"""Whether a job can be met at all, and how near to one of its wishes what is left comes."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from configurator.evaluation.lead_times import wait_of
from configurator.search.optimum import option_prices
from configurator.search.optimum.availability import can_be_had
from configurator.search.optimum.levels import best_sum, levels_of
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
    other_bound = [goal for goal in job.goals if goal.figure == wish.subject]
    values = [
        float(level.value)
        for level in levels_of(question, wish.subject)
        if isinstance(level.value, float | int)
        and level.known
        and (job.budget is None or level.price <= job.budget)
        and all(meets(goal, level.value) for goal in other_bound)
    ]
    if not values:
        return None
    return max(values) if wish.kind == "at least" else min(values)
