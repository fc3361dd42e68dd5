"""The price of every value that a figure can have, and the best value of a sum."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from configurator.model.jobs import Goal
from configurator.search.optimum import label_fronts, option_prices, queries
from configurator.search.optimum.constrained_prices import LISTED, Pricing
from configurator.search.optimum.resource_constraints import has_late, late_of
from configurator.search.optimum.weighing import PricingProblem

if TYPE_CHECKING:
    from configurator.model.parts import Value
    from configurator.search.optimum.preparing import Question

# Packages looked at for each level, where it is not read off the circuit whether it can be had.
PATIENCE = 300


@dataclass(frozen=True, slots=True)
class Level:
    """A value of a figure, and the cheapest price at exactly this value.

    Parameters
    ----------
    value
        In SI.
    price
        In minor units; a lower bound where it is not ``exact``.
    exact
        Whether no package with this value is cheaper than one that there is.
    known
        Whether a package with this value is known.
    """

    value: Value
    price: int
    exact: bool = True
    known: bool = True


def levels_of(question: Question, figure: str, listed: int = LISTED) -> list[Level]:
    """Give the cheapest price at every value of a figure that can be reached.

    The job's own bounds on the figure are left aside, so that this shows what giving way would
    bring; its other wishes count, the budget does not.

    Parameters
    ----------
    prepared
        The case, with the figure kept as a goal.
    job
        Whose other wishes count.
    figure
        Not one of sums over everything.
    listed
        How many packages are looked at in all for what rules on several sums leave open.

    Returns
    -------
    list of Level
        In order of the value; empty if nothing fits.
    """
    free = queries.without_goal(question.job, figure)
    late = late_of(question.about(free))
    fixed = question.model.fixed_figures
    decided_late = has_late(question.evaluation, free, late)
    if not decided_late:
        return [Level(value, price) for value, price in queries.curve(question.about(free), figure)]
    if figure in fixed:
        package = option_prices.cheapest(question.about(free))
        if package.price is None and package.proven:
            return []
        price = package.least if package.price is None else package.price
        return [Level(fixed[figure], price, package.proven, package.price is not None)]
    if question.prepared.loose is not None:
        bounds = queries.curve(question.about(free), figure)
        return [Level(value, price, exact=False, known=False) for value, price in bounds]
    values = queries.goal_values(question.prepared, figure)
    every = np.arange(len(values))
    problem = PricingProblem(question.about(free), figures=[figure])
    # Without boxes of options: of figures with many values they take 15 s to make a few more exact.
    prices = Pricing(problem, {figure: every}, listed=listed).work_out()
    result = []
    for number, value in enumerate(values):
        if prices.impossible[number]:
            continue
        exact, known = not prices.open[number], int(prices.known[number])
        price = known if exact else int(prices.least[number])
        result.append(Level(value, price, exact, known < prices.dearest))
    return result


def best_level(question: Question, figure: str, values: list[float], *, high: bool) -> float | None:
    """Find the best of some values, the best first, that a package really has, one by one.

    For circuits of bounds. None if not even the last can be had.
    """
    job = question.job

    def price(at: int) -> int | None:
        bound = values[at]
        goal = Goal(figure, bound, None) if high else Goal(figure, None, bound)
        asked = replace(job, goals=(*job.goals, goal))
        return option_prices.cheapest(question.about(asked), PATIENCE).price

    last = len(values) - 1
    least = price(last) if values else None
    if least is None:
        return None
    # Over the budget in any case: then it is left aside, as where prices are read off.
    budget = job.budget if job.budget is not None and least <= job.budget else None

    def had(at: int) -> bool:
        known = price(at)
        return known is not None and (budget is None or known <= budget)

    if had(0):
        return values[0]
    # A package that has a level has every lesser one too.
    no, yes = 0, last
    while yes - no > 1:
        middle = (no + yes) // 2
        if had(middle):
            yes = middle
        else:
            no = middle
    return values[yes]


def best_sum(question: Question, total: str, *, high: bool) -> float | None:
    """Give the best value of a sum over everything within a job; None if nothing fits.

    The budget counts, unless even the cheapest package is over it.
    """
    points = label_fronts.front(question, [(total, "high" if high else "low")])
    within = [p for p in points if question.job.budget is None or p.price <= question.job.budget]
    values = [point.values[0] for point in within or points if point.values]
    if not values:
        return None
    return max(values) if high else min(values)
