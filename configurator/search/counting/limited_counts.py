"""Packages counted again where a sum or the budget is limited: what a job asks, for the counting.

Each limit is counted by itself. One that is alone gives the number; of several each gives a number
that there are at most, and together what they strike off gives one that there are at least.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from configurator.model.parts import Missing
from configurator.model.verdicts import TOLERANCE
from configurator.search.counting.sum_counts import DIGITS, Limited, count_below
from configurator.search.optimum import queries
from configurator.search.optimum.verification import meets

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.search.optimum.preparing import Question


@dataclass(frozen=True, slots=True)
class CountBounds:
    """How many packages there are at most, in all and with each option; at least in all."""

    total: int
    options: Mapping[str, tuple[int, ...]]
    at_least: int = 0
    exact: bool = False


def by_sums(
    question: Question,
    undecided: Sequence[str],
    so_far: CountBounds,
    positions: Sequence[str],
    effort: int,
) -> CountBounds:
    """Count again with each limited sum by itself.

    Parameters
    ----------
    question
        The case, and whose goals count.
    undecided
        Names of the rules and goals that may strike off packages.
    so_far
        What the circuit tells without them.
    positions
        Positions to count the options of.
    effort
        About how many nanoseconds that may take.

    Returns
    -------
    Found
        What each sum strikes off is taken away from the least, twice where two sums strike off the
        same. With something undecided that cannot be counted, the least is none.
    """
    masks = masks_of(question)
    limits = [_limits(question, name) for name in undecided]
    every = [limit for result in limits for limit in result or ()]
    if masks is None or not every:
        return so_far
    left = left_of(question)
    counted = all(result is not None for result in limits)
    exact = counted and len(every) == 1
    most, least = so_far.total, so_far.total
    options = dict(so_far.options)
    for limit in every:
        below = count_below(question.prepared, masks, left, limit, positions, effort // len(every))
        if below is None:
            counted = exact = False
            continue
        most = min(most, below.total[1])
        least -= so_far.total - below.total[0]
        exact = exact and below.exact
        for position, counts in below.options.items():
            options[position] = tuple(
                min(before, item[1]) for before, item in zip(options[position], counts, strict=True)
            )
    if counted and least == so_far.total:
        exact = True  # none of them strikes off anything
    return CountBounds(most, options, max(0, least) if counted else 0, exact)


def _limits(question: Question, name: str) -> list[Limited] | None:
    """Give the limits on a sum, lower ones turned round; None where they cannot be counted."""
    evaluation = question.evaluation
    rule = evaluation.trade.totals.get(name)
    if rule is None:
        return None
    start = evaluation.bound(rule, rule.start, {})
    in_force = any(item.name == name for item in question.model.late)
    asked: list[tuple[Any, int]] = []
    for bound, sign in ((rule.at_least, -1), (rule.at_most, 1)) if in_force else ():
        if bound is not None:
            known = isinstance(bound, int | float) or not evaluation.reach_of(bound)
            asked.append((evaluation.bound(rule, bound, {}) if known else None, sign))
    for goal in question.job.goals:
        if goal.figure == name:
            asked.extend(
                (bound, sign)
                for bound, sign in ((goal.at_least, -1), (goal.at_most, 1))
                if bound is not None
            )
    left = left_of(question)
    shares: dict[str, NDArray[np.float64]] = {}
    for position, mask in left.items():
        result = [evaluation.share(rule, option) for option in evaluation.options(position)]
        if any(isinstance(item, Missing) for item, used in zip(result, mask, strict=True) if used):
            return None  # a sum that is not known is decided by whoever reads it
        shares[position] = np.array([0.0 if isinstance(item, Missing) else item for item in result])
    limits = []
    for bound, sign in asked:
        if not isinstance(bound, int | float) or not isinstance(start, int | float):
            return None
        slack = TOLERANCE * max(1.0, abs(float(bound)))
        signed = {position: sign * each for position, each in shares.items()}
        limits.append(Limited(signed, sign * (float(bound) - float(start)) + slack, {}))
    return limits


def left_of(question: Question) -> dict[str, NDArray[np.bool_]]:
    """Say of every option whether it is in the circuit and the job leaves it."""
    left = {}
    for position, seat in question.prepared.seats.items():
        mask = queries.allowed(question.model, question.job, position)
        left[position] = seat.inside if mask is None else seat.inside & mask
    return left


def by_price(question: Question, total: int, effort: int) -> tuple[int, int]:
    """Say how many packages there are within the budget, sums left aside: at least, at most."""
    prepared = question.prepared
    masks = masks_of(question)
    if masks is None or question.job.budget is None:
        return 0, total
    model = question.model
    # Minor units are to prices what thousandths are to sums.
    shares = {p: seat.costs / DIGITS for p, seat in prepared.seats.items()}
    work = {}
    for number, costs in model.work_costs.items():
        rows = [int(origins[0]) for origins in prepared.circuit.leaf_rows[number]]
        work[number] = costs[rows] / DIGITS
    limited = Limited(shares, (question.job.budget - model.fixed_cost) / DIGITS, work)
    below = count_below(prepared, masks, left_of(question), limited, [], effort)
    return (0, total) if below is None else below.total


def masks_of(question: Question) -> dict[int, NDArray[np.int64]] | None:
    """Give for each row of a leaf how many ways there are to it; None if there is no package."""
    prepared, job = question.prepared, question.job
    model = question.model
    if not prepared.circuit.nodes:
        return None
    weights: dict[int, NDArray[np.int64]] = {}
    for position, seat in prepared.seats.items():
        mask = queries.allowed(model, job, position)
        left = np.ones(len(seat.members), np.int64)
        if mask is not None:
            left = mask[seat.members].astype(np.int64)
        weights[model.position_tables[position]] = np.add.reduceat(left, seat.starts)
    for number, sure in model.sure_rows.items() if job.sure else ():
        weights[number] = queries.of_leaf(prepared, number, sure).astype(np.int64)
    for figure in queries.goal_figures(job):
        goals = [goal for goal in job.goals if goal.figure == figure]
        if figure in model.fixed_figures:
            if not all(meets(goal, model.fixed_figures[figure]) for goal in goals):
                return None
        elif figure in model.goal_tables:
            met = [
                all(meets(goal, value) for goal in goals)
                for value in queries.goal_values(prepared, figure)
            ]
            weights[model.goal_tables[figure]] = np.array(met, np.int64)
    return weights
