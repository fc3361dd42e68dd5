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
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from configurator.model.jobs import Goal
from configurator.model.parts import Missing
from configurator.model.verdicts import TOLERANCE
from configurator.search.optimum import (
    cost_bounded,
    k_best,
    lagrangian,
    option_prices,
    queries,
    resource_constraints,
)
from configurator.search.pareto.fronts import Point

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from configurator.evaluation.evaluator import Option
    from configurator.model.jobs import Direction, Job
    from configurator.search.optimum.preparing import Prepared

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
    report: Callable[[int, int], None] | None = None,
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
    report
        Called with how many steps are climbed, and with how many there are at most: often none is
        found far up.

    Returns
    -------
    list of Point
        In order of price. With a step, one as cheap as a level may be better by less than that.
        Where a level is not exact, no package as good is cheaper; nothing is
        known of what lies beyond the last one if that is not exact.
    """
    climb = begin(prepared, job, total, better, step, patience)
    if climb is None:
        return []
    points: list[Point] = []
    asked = climb.first
    try:
        while (reached := climb.cheapest(asked)) is not None:
            # Prices only rise from step to step.
            least = max(reached.price, points[-1].price if points and not reached.proven else 0)
            if reached.value is None:
                if points:
                    # Whether anything better can be had at all is open.
                    points.append(Point((climb.sign * asked,), least, exact=False))
                break
            points.append(Point((reached.value,), least, reached.proven))
            if report is not None:
                report(*climb.progress(reached.value))
            asked = climb.after(reached.value)
    except KeyboardInterrupt:
        if not partial:
            raise
        points = [*points[:-1], *(replace(point, exact=False) for point in points[-1:])]
    # Of equal prices the best level, which is the later; a bound strikes off nothing.
    return [
        point
        for point, after in itertools.zip_longest(points, points[1:])
        if after is None or not after.exact or after.price > point.price
    ]


@dataclass(frozen=True, slots=True)
class Reached:
    """The cheapest package at a level of a sum or a better one.

    Parameters
    ----------
    price
        In minor units; a lower bound where it is not ``proven``.
    proven
        Whether nothing as good is cheaper.
    value
        What its sum is [SI]; None if no package was found.
    choice
        The package.
    """

    price: int
    proven: bool
    value: float | None
    choice: Mapping[str, Option] | None


@dataclass(frozen=True, slots=True)
class Climb:
    """From the worst level of a sum to better ones, in steps.

    ``sign`` is 1 where high is better and -1 where low is; levels are asked for as ``sign`` times
    the sum, so that more is better. ``worst`` is a level that every package has, ``most`` one that
    none is better than.
    """

    prepared: Prepared
    job: Job
    total: str
    sign: float
    step: float
    worst: float
    most: float
    patience: int

    def cheapest(self, asked: float, goals: Sequence[Goal] = ()) -> Reached | None:
        """Find the cheapest package at a level or a better one; None if it is proven there is none.

        ``goals`` come on top of the job's.
        """
        limit = self.sign * asked
        goal = Goal(self.total, limit, None) if self.sign > 0 else Goal(self.total, None, limit)
        aimed = replace(self.job, goals=(*self.job.goals, *goals, goal))
        return cost_bounded.first_found(
            cost_bounded.around(self.prepared, self.job),
            lambda ring: self._cheapest(ring.prepared, aimed),
            # Without a proof, a wider part may have a better package to show.
            lambda item: item.price if item is not None and item.proven else None,
        )

    def _cheapest(self, prepared: Prepared, aimed: Job) -> Reached | None:
        known = lagrangian.outlook_of(prepared, aimed)
        package = option_prices.cheapest(prepared, aimed, self.patience, known)
        least = package.price if package.proven else _least(prepared, aimed, known)
        if least is None:
            return None
        if package.choice is None:
            return Reached(least, False, None, None)
        value: Any = self.prepared.evaluation.figure(self.total, package.choice)
        return Reached(least, package.proven, float(value), package.choice)

    def after(self, value: float) -> float:
        """Give the level to ask for after a sum that was reached."""
        return self.sign * value + max(self.step, 3 * TOLERANCE * max(1.0, abs(value)))

    @property
    def first(self) -> float:
        """The level to ask for first: it leaves out only packages whose sum is not known."""
        return self.worst - 1.0

    def progress(self, value: float) -> tuple[int, int]:
        """Count the steps climbed, and those there are at most; as parts of a hundred without."""
        climbed, most = self.sign * value - self.worst, self.most - self.worst
        return int(climbed / self.stride), round(most / self.stride)

    @property
    def stride(self) -> float:
        """A step [SI]; a hundredth of what there is to climb, where every level is asked for."""
        return self.step or (self.most - self.worst) / 100 or 1.0


def begin(
    prepared: Prepared,
    job: Job,
    total: str,
    better: Direction,
    step: float,
    patience: int = PATIENCE,
) -> Climb | None:
    """Begin to climb; None where nothing fits, or the sum is not known whatever is chosen."""
    free = queries.without_goal(job, total)
    ends = reach(prepared, free, total)
    if ends is None:
        return None
    sign = 1.0 if better == "high" else -1.0
    worst, most = sorted(sign * end for end in ends)
    return Climb(prepared, free, total, sign, step, worst, most, patience)


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
            [
                0 if isinstance(value, Missing) else round(value * resource_constraints.SCALE)
                for value in each
            ],
            np.int64,
        )
    ends = lagrangian.reach(prepared, job, resource_constraints.Ceiling(total, shares, 0))
    if ends is None:
        return None
    # Each share was rounded by half a thousandth at most.
    slack = len(shares)
    return (
        float(start) + (ends[0] - slack) / resource_constraints.SCALE,
        float(start) + (ends[1] + slack) / resource_constraints.SCALE,
    )


def step_for(prepared: Prepared, job: Job, total: str, steps: int = STEPS) -> float:
    """Give the step [SI] with which a staircase has no more than so many levels."""
    ends = reach(prepared, job, total)
    return 0.0 if ends is None else (ends[1] - ends[0]) / steps


def _least(prepared: Prepared, job: Job, known: lagrangian.Outlook | None) -> int:
    """Return a price that no package of a job is below [minor units]."""
    if known is None or known.bound is None:
        return 0
    bound = known.bound
    first = next(
        k_best.numbers_in_order(prepared, job, bound.costs, resource_constraints.SCALE), None
    )
    return 0 if first is None else -(-(first[0] + bound.offset) // resource_constraints.SCALE)
