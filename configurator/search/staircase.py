"""Price against a sum over everything (payload, mass): a staircase climbed one step at a time.

A sum takes far too many values for a table of its levels. So the cheapest package is found, then
the cheapest whose sum is better by at least a step, and so on until there is none: each is the
cheapest at its level and at every worse one down to the step before.

References
----------
.. [1] Y. Y. Haimes, L. S. Lasdon and D. A. Wismer, *On a bicriterion formulation of the problems
   of integrated system identification and system optimization*, IEEE Transactions on Systems,
   Man, and Cybernetics 1 (1971), 296-297: the method, one criterion held at a bound at a time.
"""

from __future__ import annotations

import itertools
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import numpy as np

from configurator.evaluation import TOLERANCE
from configurator.jobs import Goal
from configurator.parts import Missing
from configurator.search import best, lagrange, queries, sums, totals
from configurator.search.fronts import Point

if TYPE_CHECKING:
    from collections.abc import Callable

    from configurator.jobs import Direction, Job
    from configurator.search.preparing import Prepared

# Steps into which the reach of a sum is divided; what is worth having takes a small part of them.
STEPS = 200
# Packages that are looked at, for each step, before its price is called a bound.
PATIENCE = 2000


def staircase(
    prepared: Prepared,
    job: Job,
    total: str,
    better: Direction,
    step: float,
    patience: int = PATIENCE,
    *,
    partial: bool = False,
    told: Callable[[int, int], None] | None = None,
) -> list[Point]:
    """Give the levels of a sum that nothing beats, each with the cheapest price.

    The job's own bounds on the sum and its budget are left aside; its other wishes count, and so
    do the limits of the rules. Packages whose sum is not known are left out.

    Parameters
    ----------
    prepared
        The case.
    job
        Whose other wishes count.
    total
        Name of the sum.
    better
        ``"high"`` or ``"low"``.
    step
        By how much [SI] each level is better than the one before, at least; 0 for all levels.
    patience
        How many packages to look at without a proof, for each level.
    partial
        Whether Ctrl-C ends the climb, so that what was found is given.
    told
        Called with how many steps are climbed, and with how many there are at most: often none is
        found far up.

    Returns
    -------
    list of Point
        In order of price. With a step, one as cheap as a level may be better by less than that.
        Where a level is not exact, no package as good is cheaper; nothing is
        known of what lies beyond the last one if that is not exact.
    """
    free = queries.without_goal(job, total)
    ends = reach(prepared, free, total)
    if ends is None:
        return []
    sign = 1.0 if better == "high" else -1.0
    # Asking for no more than the worst there is leaves out only what is not known.
    worst = min(sign * end for end in ends)
    asked = worst - 1.0
    found: list[Point] = []
    try:
        while True:
            limit = sign * asked
            goal = Goal(total, limit, None) if sign > 0 else Goal(total, None, limit)
            aimed = replace(free, goals=(*free.goals, goal))
            known = lagrange.outlook_of(prepared, aimed)
            cheapest = totals.cheapest(prepared, aimed, patience, known)
            least = cheapest.price
            if not cheapest.proven:
                # Prices only rise from step to step.
                least = max(_least(prepared, aimed, known), found[-1].price if found else 0)
            if cheapest.choice is None or least is None:
                if least is not None and found:
                    # Whether anything better can be had at all is open.
                    found.append(Point((limit,), least, exact=False))
                break
            value: Any = prepared.evaluation.figure(total, cheapest.choice)
            found.append(Point((float(value),), least, cheapest.proven))
            if told is not None and step > 0:
                told(int((sign * value - worst) / step), round((ends[1] - ends[0]) / step))
            asked = sign * value + max(step, 3 * TOLERANCE * max(1.0, abs(value)))
    except KeyboardInterrupt:
        if not partial:
            raise
        found = [*found[:-1], *(replace(point, exact=False) for point in found[-1:])]
    # Of equal prices the best level, which is the later; a bound strikes off nothing.
    return [
        point
        for point, after in itertools.zip_longest(found, found[1:])
        if after is None or not after.exact or after.price > point.price
    ]


def reach(prepared: Prepared, job: Job, total: str) -> tuple[float, float] | None:
    """Give bounds on what a sum can come to [SI]: the ends if limits on sums did not count.

    Options whose share is not known count as if they changed nothing. None where nothing fits, or
    the sum is not known whatever is chosen.
    """
    evaluation = prepared.evaluation
    rule = evaluation.trade.totals[total]
    start = evaluation.bound(rule, rule.start, {})
    if isinstance(start, Missing):
        return None
    shares: dict[str, Any] = {}
    for position in prepared.seats:
        each = [evaluation.share(rule, option) for option in evaluation.options(position)]
        shares[position] = np.array(
            [0 if isinstance(one, Missing) else round(one * sums.SCALE) for one in each], np.int64
        )
    ends = lagrange.reach(prepared, job, sums.Ceiling(total, shares, 0))
    if ends is None:
        return None
    # Each share was rounded by half a thousandth at most.
    slack = len(shares)
    return (
        float(start) + (ends[0] - slack) / sums.SCALE,
        float(start) + (ends[1] + slack) / sums.SCALE,
    )


def step_for(prepared: Prepared, job: Job, total: str, steps: int = STEPS) -> float:
    """Give the step [SI] with which a staircase has no more than so many levels."""
    ends = reach(prepared, job, total)
    return 0.0 if ends is None else (ends[1] - ends[0]) / steps


def _least(prepared: Prepared, job: Job, known: lagrange.Outlook | None) -> int:
    """Return a price that no package of a job is below [minor units]."""
    if known is None or known.bound is None:
        return 0
    bound = known.bound
    first = next(best.numbers_in_order(prepared, job, bound.costs, sums.SCALE), None)
    return 0 if first is None else -(-(first[0] + bound.offset) // sums.SCALE)
