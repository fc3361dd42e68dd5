"""What the next better level of a goal costs, where the budget buys no more of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from configurator.model.sure_goals import name_asked
from configurator.questions.trade_offs import can_be_traded, trade_off

if TYPE_CHECKING:
    from configurator.model.jobs import Direction
    from configurator.questions.answers import Answer
    from configurator.search.optimum.preparing import Prepared


@dataclass(frozen=True, slots=True)
class NextStep:
    """The nearest better level of a figure that the budget does not reach.

    ``has`` is what the package has, ``level`` the better one, both in SI; ``price`` that of the
    cheapest package with it [minor units], ``exact`` unless it is a lower bound.
    """

    figure: str
    has: float
    level: float
    price: int
    exact: bool


def next_steps(prepared: Prepared, answer: Answer) -> list[NextStep]:
    """Find the next step of every goal that is *as high (or low) as possible*.

    Goals on sums over the whole vehicle are left out: each of their levels is a search of its own.

    Parameters
    ----------
    prepared
        From `answers.ready`.
    answer
        What came of the job; nothing without a budget or without a package.
    """
    evaluation = prepared.evaluation
    job = evaluation.case.job
    if job.budget is None or not answer.packages:
        return []
    steps = []
    for goal in job.goals:
        if goal.as_possible is None or not can_be_traded(evaluation, goal.figure):
            continue
        asked = name_asked(job, goal.figure, goal.as_possible)
        has = evaluation.figure(asked, answer.packages[0].choice)
        if not isinstance(has, int | float):
            continue
        step = _next(prepared, goal.figure, goal.as_possible, float(has), job.budget)
        if step is not None:
            steps.append(step)
    return steps


def _next(
    prepared: Prepared, figure: str, better: Direction, has: float, budget: int
) -> NextStep | None:
    sign = 1.0 if better == "high" else -1.0
    curve = trade_off(prepared, (figure, better), close=False)
    beyond = [
        (sign * value, point.price, point.exact)
        for point in curve.front
        for value in point.values
        if isinstance(value, int | float) and sign * value > sign * has and point.price > budget
    ]
    if not beyond:
        return None
    level, price, exact = min(beyond)
    return NextStep(figure, has, sign * level, price, exact)
