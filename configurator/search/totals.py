"""Sums over everything (mass, axle loads, payload) beside the price, and what hangs on them.

Price and a sum together cannot be read off the circuit: that problem is NP-hard. A price per unit
of each sum (a Lagrange multiplier) turns both into one sum, whose minimum is a bound: no package
that keeps the limits is cheaper. Packages are then listed in the order of that bound until it
meets the best package found, which is thereby proven. Rules that hang on several sums (a centre of
gravity) are decided on the packages as they are listed.

References
----------
.. [1] G. Y. Handler and I. Zang, *A dual algorithm for the constrained shortest path problem*,
   Networks 10 (1980), 293-309: the method, for one sum over the paths of a graph.
"""

from __future__ import annotations

import heapq
import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from configurator.evaluation import TOLERANCE
from configurator.packages import make_package
from configurator.parts import Missing
from configurator.rules import Total
from configurator.search import best, queries
from configurator.search.circuit import backward, forward
from configurator.search.referee import meets
from configurator.search.semirings import CHEAPEST_64

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.evaluation import Evaluation, Option
    from configurator.jobs import Job
    from configurator.rules import Rule
    from configurator.search.queries import Prepared

# Sums are counted in thousandths of their SI unit (grams for masses), rounded so that a package
# that keeps a limit keeps it in whole numbers too.
SCALE = 1000
# Steps of the search for good multipliers; more changed nothing on the cases tried.
STEPS = 26
# Packages that are looked at before an answer is called the best found instead of the best.
PATIENCE = 20_000


@dataclass(frozen=True, slots=True)
class Ceiling:
    """A sum that must stay at or below a bound; lower bounds are turned round.

    Parameters
    ----------
    name
        Of the total, for words.
    shares
        Position → for each option what it adds, in thousandths.
    room
        What all options together may add, in thousandths.
    """

    name: str
    shares: Mapping[str, NDArray[np.int64]]
    room: int


@dataclass(frozen=True, slots=True)
class Late:
    """What is decided on whole packages for a job: sums with bounds, and everything else late."""

    ceilings: tuple[Ceiling, ...]
    rules: tuple[Rule, ...]


def late_of(prepared: Prepared, job: Job) -> Late:
    """Gather what a job and its rules ask of sums; limits that no package can break are dropped."""
    evaluation = prepared.evaluation
    ceilings: list[Ceiling] = []
    rules = list(prepared.model.late)
    for rule in rules:
        if isinstance(rule, Total):
            for bound, at_least in ((rule.at_least, True), (rule.at_most, False)):
                if bound is not None:
                    ceilings.extend(_ceiling(prepared, rule, bound, at_least=at_least))
    for goal in job.goals:
        total = evaluation.trade.totals.get(goal.figure)
        if total is not None:
            for value, at_least in ((goal.at_least, True), (goal.at_most, False)):
                if value is not None:
                    ceilings.extend(_ceiling(prepared, total, value, at_least=at_least, si=True))
    return Late(tuple(ceilings), tuple(rules))


def _ceiling(
    prepared: Prepared, rule: Total, bound: Any, *, at_least: bool, si: bool = False
) -> list[Ceiling]:
    evaluation = prepared.evaluation
    if not isinstance(bound, int | float) and evaluation.reach_of(bound):
        return []  # a bound that parts have a say in is checked package by package
    limit = bound if si else evaluation.bound(rule, bound, {})
    start = evaluation.bound(rule, rule.start, {})
    if isinstance(limit, Missing) or isinstance(start, Missing):
        return []
    sign = -1 if at_least else 1
    shares: dict[str, NDArray[np.int64]] = {}
    for position, options in prepared.model.options.items():
        found: list[int] = []
        for option in options:
            share = evaluation.share(rule, option)
            # An unknown mass makes the whole sum unknown: the rule is not checked with that option,
            # so nothing may be held against it.
            found.append(
                -(10**9) if isinstance(share, Missing) else math.floor(sign * share * SCALE)
            )
        shares[position] = np.array(found, np.int64)
    slack = TOLERANCE * max(1.0, abs(float(limit)))
    room = math.ceil((sign * (float(limit) - float(start)) + slack) * SCALE) + 1
    return [Ceiling(rule.name, shares, room)]


def keeps_late(evaluation: Evaluation, job: Job, late: Late, choice: Mapping[str, Option]) -> bool:
    """Whether a package keeps everything that is decided on whole packages."""
    if any(evaluation.verdict(rule, choice).holds is False for rule in late.rules):
        return False
    return all(
        meets(goal, evaluation.figure(goal.figure, choice))
        for goal in job.goals
        if evaluation.late(evaluation.definition(goal.figure))
    )


def has_late(evaluation: Evaluation, job: Job, late: Late) -> bool:
    """Whether anything at all is decided on whole packages."""
    return bool(late.rules) or any(
        evaluation.late(evaluation.definition(goal.figure)) for goal in job.goals
    )


@dataclass(frozen=True, slots=True)
class Bound:
    """Options weighed by price and multipliers: a lower bound on the price of what keeps limits.

    ``costs`` are non-negative; ``offset`` is added to their sum.
    """

    multipliers: tuple[int, ...]
    costs: Mapping[str, NDArray[np.int64]]
    offset: int


def weighed_by(
    prepared: Prepared, ceilings: Sequence[Ceiling], multipliers: Sequence[int]
) -> Bound:
    """Weigh every option: its cost, and each multiplier [minor units per unit] times its share.

    Multipliers are in minor units per 1,000 thousandths (per kilogram, for a mass); the result is
    in thousandths of a minor unit, so that nothing is rounded.
    """
    offset = SCALE * prepared.model.fixed_cost
    costs: dict[str, NDArray[np.int64]] = {}
    for position, seat in prepared.seats.items():
        mixed = seat.costs * SCALE
        for ceiling, multiplier in zip(ceilings, multipliers, strict=True):
            mixed = mixed + multiplier * ceiling.shares[position]
        least = int(mixed.min(initial=0))
        costs[position] = mixed - least
        offset += least
    for ceiling, multiplier in zip(ceilings, multipliers, strict=True):
        offset -= multiplier * ceiling.room
    return Bound(tuple(multipliers), costs, offset)


def best_bound(prepared: Prepared, job: Job, ceilings: Sequence[Ceiling]) -> Bound | None:
    """Search the multipliers that give the highest lower bound; None if nothing keeps the limits.

    The multipliers are whole numbers, so that the bound is exact whatever they are.
    """
    multipliers = [0] * len(ceilings)
    step = [0.0] * len(ceilings)
    found: tuple[int, Bound] | None = None
    dearest = _dearest(prepared)
    for number in range(STEPS):
        bound = weighed_by(prepared, ceilings, multipliers)
        first = next(best.numbers_in_order(prepared, job, bound.costs, SCALE), None)
        if first is None:
            return None
        value, numbers = first[0] + bound.offset, first[1]
        if value > dearest * SCALE:
            return None  # dearer than everything together: no package keeps these limits
        if found is None or value > found[0]:
            found = (value, bound)
        over = [sum(int(c.shares[p][n]) for p, n in numbers.items()) - c.room for c in ceilings]
        if all(o <= 0 and (m == 0 or o == 0) for m, o in zip(multipliers, over, strict=True)):
            break  # the limits are kept and nothing was paid for keeping them
        for k, excess in enumerate(over):
            if not step[k]:
                # First guess: what the dearest package costs per unit that is too much.
                step[k] = max(1.0, dearest * SCALE / max(abs(excess), SCALE) / 4)
            move = step[k] * (1 if excess > 0 else -1) / math.sqrt(1 + number / 3)
            multipliers[k] = max(0, round(multipliers[k] + move))
            step[k] *= 0.82
    return found[1] if found else None


def _dearest(prepared: Prepared) -> int:
    parts = sum(int(seat.costs.max(initial=0)) for seat in prepared.seats.values())
    work = sum(int(costs.max(initial=0)) for costs in prepared.model.work_costs.values())
    return parts + work + prepared.model.fixed_cost


def reach(prepared: Prepared, job: Job, ceiling: Ceiling) -> tuple[int, int] | None:
    """Least and greatest of a sum over all packages of a job, in thousandths; None without any."""
    ends = []
    for sign in (1, -1):
        weighed = _by_share(prepared, ceiling, sign)
        first = next(best.numbers_in_order(prepared, job, weighed.costs, 0), None)
        if first is None:
            return None
        ends.append(sign * (first[0] + weighed.offset))
    return ends[0], ends[1]


def _by_share(prepared: Prepared, ceiling: Ceiling, sign: int) -> Bound:
    offset = 0
    costs = {}
    for position, shares in ceiling.shares.items():
        least = int((sign * shares).min(initial=0))
        costs[position] = sign * shares - least
        offset += least
    return Bound((), costs, offset)


@dataclass(frozen=True, slots=True)
class Outlook:
    """What sums mean for a job, worked out once and used for every option.

    ``bound`` is None where no package keeps the sums; ``ceilings`` are those that can be exceeded.
    """

    late: Late
    ceilings: tuple[Ceiling, ...]
    bound: Bound | None


def outlook(prepared: Prepared, job: Job, late: Late | None = None) -> Outlook:
    """Work out which sums matter for a job and the multipliers that bound prices best."""
    late = late or late_of(prepared, job)
    ceilings = []
    for ceiling in late.ceilings:
        ends = reach(prepared, job, ceiling)
        if ends is None or ends[0] > ceiling.room:
            return Outlook(late, (), None)
        if ends[1] > ceiling.room:
            ceilings.append(ceiling)
    return Outlook(late, tuple(ceilings), best_bound(prepared, job, ceilings))


def in_order(
    prepared: Prepared, job: Job, patience: int = PATIENCE, known: Outlook | None = None
) -> Iterator[tuple[int, dict[str, Option], bool]]:
    """Give the packages that keep everything, in order of price, the budget left aside.

    Parameters
    ----------
    prepared, job
        The case, and whose wishes count.
    patience
        How many packages to look at without a proof.
    known
        The outlook of a job with fewer wishes, if it was worked out before.

    Yields
    ------
    tuple
        Price in minor units, position → option, and whether it is proven that no package is left
        out before it.

    Raises
    ------
    Undecided
        After ``patience`` packages without a proof; what was found has been given by then,
        unproven.
    """
    evaluation = prepared.evaluation
    if known is None:
        late = late_of(prepared, job)
        if not has_late(evaluation, job, late):
            for price, choice in best.in_order(prepared, job):
                yield price, choice, True
            return
        known = outlook(prepared, job, late)
    if known.bound is None:
        return
    bound = known.bound
    # Found but not yet proven, the cheapest first; the second number keeps ties in order.
    waiting: list[tuple[int, int, dict[str, Option]]] = []
    looked = 0
    for weight, numbers in best.numbers_in_order(prepared, job, bound.costs, SCALE):
        while waiting and waiting[0][0] * SCALE <= weight + bound.offset:
            price, _, choice = heapq.heappop(waiting)
            yield price, choice, True
        if looked == patience:
            break
        looked += 1
        choice = best.chosen(prepared, numbers)
        if keeps_late(evaluation, job, known.late, choice):
            heapq.heappush(waiting, (make_package(evaluation, choice).price, looked, choice))
    else:
        patience = -1
    while waiting:
        price, _, choice = heapq.heappop(waiting)
        yield price, choice, patience < 0
    if patience >= 0:
        raise Undecided(looked)


class Undecided(Exception):
    """So many packages were looked at without a proof.

    Parameters
    ----------
    looked
        How many.
    """

    def __init__(self, looked: int) -> None:
        self.looked = looked
        super().__init__(f"undecided after {looked} packages")


@dataclass(frozen=True, slots=True)
class Cheapest:
    """The cheapest package that keeps everything.

    ``proven`` is False where the search ran out of patience: then there may be a cheaper one, or,
    with no ``choice``, one at all.
    """

    price: int | None
    choice: Mapping[str, Option] | None
    proven: bool


def cheapest(
    prepared: Prepared, job: Job, patience: int = PATIENCE, known: Outlook | None = None
) -> Cheapest:
    """Find the cheapest package that keeps everything, the budget left aside."""
    try:
        for price, choice, proven in in_order(prepared, job, patience, known):
            return Cheapest(price, choice, proven)
    except Undecided:
        return Cheapest(None, None, proven=False)
    return Cheapest(None, None, proven=True)


def previews(
    prepared: Prepared, job: Job, positions: Collection[str] | None = None
) -> queries.Previews:
    """Price every option, sums counted as far as bounds go.

    Prices that are only a lower bound are marked as not exact; `close` makes them exact.
    """
    found = queries.previews(prepared, job, positions)
    evaluation = prepared.evaluation
    if not has_late(evaluation, job, late_of(prepared, job)):
        return found
    known = outlook(prepared, job)
    if known.bound is None:
        nothing = {p: np.full(len(prices), -1, np.int64) for p, prices in found.prices.items()}
        return queries.Previews(None, nothing, found.if_freed, found.exact)
    prices = {position: array.copy() for position, array in found.prices.items()}
    freed = {position: array.copy() for position, array in found.if_freed.items()}
    for ceiling in known.ceilings:
        least = _by_share(prepared, ceiling, 1)
        for position, sums in _weights(prepared, job, least, prices, 0).items():
            for array in (prices[position], freed[position]):
                array[sums > ceiling.room] = -1
    for position, bounds in _weights(prepared, job, known.bound, prices, SCALE).items():
        in_minor = -(-bounds // SCALE)
        for array in (prices[position], freed[position]):
            np.maximum(array, in_minor, out=array, where=array >= 0)
    exact = {position: array < 0 for position, array in prices.items()}
    return queries.Previews(found.cheapest, prices, freed, exact)


def _weights(
    prepared: Prepared, job: Job, bound: Bound, positions: Collection[str], work_scale: int
) -> dict[str, NDArray[np.int64]]:
    """Weigh the lightest package with each option, its own position left open."""
    semiring = CHEAPEST_64
    weighed = queries.weigh(prepared, job, bound.costs, work_scale, semiring)
    values = forward(prepared.circuit, weighed.weights, semiring)
    tables = prepared.model.position_tables
    above = backward(prepared.circuit, values, semiring, {tables[p] for p in positions})
    found = {}
    for position in positions:
        seat = prepared.seats[position]
        here = seat.row_of >= 0
        weights = np.full(len(seat.row_of), semiring.impossible, np.int64)
        rest = above[tables[position]][seat.row_of[here]]
        weights[here] = rest + bound.costs[position][here] + bound.offset
        found[position] = weights
    return found


def close(
    prepared: Prepared, job: Job, open_prices: queries.Previews, patience: int = PATIENCE
) -> Iterator[tuple[str, int, int, bool]]:
    """Make previews exact one by one, the cheapest first.

    Yields
    ------
    tuple
        Position, option number, price in minor units (-1 for impossible), and whether that is
        proven; if not, the price is the best found, or the bound where none was found.
    """
    known = outlook(prepared, job)
    waiting = {
        (position, int(number))
        for position, exact in open_prices.exact.items()
        for number in np.flatnonzero(~exact)
    }
    numbers = {
        position: {option.key: n for n, option in enumerate(options)}
        for position, options in prepared.model.options.items()
    }
    # Packages in order of price close every option that is in one of the first.
    try:
        for looked, (price, choice, proven) in enumerate(in_order(prepared, job, patience, known)):
            if not proven or looked > 50 or not waiting:
                break
            for position, option in choice.items():
                place = (position, numbers[position][option.key])
                if place in waiting:
                    waiting.remove(place)
                    yield (*place, price, True)
    except Undecided:
        pass
    for position, number in sorted(waiting):
        option = prepared.model.options[position][number]
        fixed = replace(job, fixed={**job.fixed, position: option.key})
        if known.bound is None:
            yield position, number, -1, True
            continue
        found = cheapest(prepared, fixed, patience, known)
        bound = int(open_prices.prices[position][number])
        price = found.price if found.price is not None else (-1 if found.proven else bound)
        yield position, number, price, found.proven
