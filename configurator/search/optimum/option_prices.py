"""The cheapest package and every option's price where sums over everything have limits.

Packages are listed in the order of a lower bound (`lagrangian`) until it meets the best package
found, which is thereby proven. Rules that hang on several sums (a centre of gravity) are decided on
the packages as they are listed.
"""

from __future__ import annotations

import heapq
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from configurator.evaluation.packages import make_package
from configurator.search.circuit.passes import backward, forward
from configurator.search.circuit.semirings import CHEAPEST_64
from configurator.search.optimum import cost_bounded, k_best, queries
from configurator.search.optimum.branch_and_bound import Halted, Undecided
from configurator.search.optimum.lagrangian import by_share, outlook, outlook_of, semiring_for
from configurator.search.optimum.resource_constraints import SCALE, has_late, keeps_late, late_of

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping

    from numpy.typing import NDArray

    from configurator.evaluation.evaluator import Option
    from configurator.model.jobs import Job
    from configurator.search.optimum.cost_bounded import Ring
    from configurator.search.optimum.lagrangian import Bound, Outlook
    from configurator.search.optimum.preparing import Prepared

# Packages that are looked at before an answer is called the best found instead of the best.
PATIENCE = 20_000
# Packages that are looked at with the multipliers of a job with fewer wishes.
HASTE = 50
# Packages in order of price that are looked at for all options before each is looked for by itself.
FIRST = 50
# Options of a position that are looked for in one part of a long circuit, and up to how much more
# than the dearest of their bounds that goes.
TOGETHER = 40
DEARER = 0.1
# How many packages are listed in about the time that it takes to look at a case.
A_CASE = 4


def in_order(
    prepared: Prepared,
    job: Job,
    patience: int = PATIENCE,
    known: Outlook | None = None,
    *,
    looser: Outlook | None = None,
    partial: bool = False,
) -> Iterator[tuple[int, dict[str, Option], bool]]:
    """Give the packages that keep everything, in order of price, the budget left aside.

    Parameters
    ----------
    prepared, job
        The case, and whose wishes count.
    patience
        How many packages to look at without a proof, in each part of the circuit that is asked.
    known
        The outlook of the job, or of one with fewer wishes whose multipliers shall do.
    looser
        The outlook of a job with fewer wishes, from which that of this one is worked out.
    partial
        Whether Ctrl-C ends the patience, so that what was found is given, instead of the search.

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
    if known is None and not has_late(prepared.evaluation, job, late_of(prepared, job)):
        yield from _of_circuit(prepared, job, partial=partial)
        return
    given = -1
    undecided: Undecided | None = None
    for ring in _parts(prepared, job, known):
        whole = ring.at_most is None
        if whole and undecided is not None and ring.prepared.circuit.rows >= cost_bounded.LONG:
            raise undecided  # the whole mostly begins with the same packages, and takes long
        if ring.at_most is not None and ring.at_most <= given:
            continue
        result, undecided = False, None
        found_out = known or outlook(ring.prepared, job, looser=looser)
        listed = _listed(ring.prepared, job, patience, found_out, partial=partial)
        try:
            for price, choice, proven in listed:
                if proven and ring.at_most is not None and price > ring.at_most:
                    break  # others may come before it that are not in this part
                if price > given:
                    result = True
                    yield price, choice, proven
        except Undecided as given_up:
            last = ring.at_most is None or patience <= HASTE
            if result or last or given_up.__cause__ is not None:
                raise
            undecided = given_up
            continue  # a wider part may at least have something to show
        given = given if ring.at_most is None else ring.at_most


def _parts(prepared: Prepared, job: Job, known: Outlook | None) -> Iterator[Ring]:
    """Give the parts of a circuit to ask: those of the job whose outlook is known come first."""
    if known is None or known.job == replace(job, budget=None):
        yield from cost_bounded.around(prepared, job)
    elif prepared.circuit.rows < cost_bounded.LONG:
        yield from cost_bounded.around(prepared, known.job)
    else:
        near = cost_bounded.around(prepared, known.job)
        yield from (ring for ring in near if ring.at_most is not None)
        yield from cost_bounded.around(prepared, job)


def _of_circuit(
    prepared: Prepared, job: Job, *, partial: bool
) -> Iterator[tuple[int, dict[str, Option], bool]]:
    """Give packages in order where nothing is decided on whole packages."""
    try:
        for price, choice in k_best.in_order(prepared, job):
            yield price, choice, True
    except Halted as stop:
        if not partial:
            raise
        for _, numbers in stop.packages:
            choice = k_best.chosen(prepared, numbers)
            yield make_package(prepared.evaluation, choice).price, choice, False


def _listed(
    prepared: Prepared, job: Job, patience: int, known: Outlook, *, partial: bool
) -> Iterator[tuple[int, dict[str, Option], bool]]:
    """Give packages in order of price by listing them in order of a bound."""
    evaluation = prepared.evaluation
    if known.bound is None:
        return
    bound = known.bound
    # Found but not yet proven, the cheapest first; the second number keeps ties in order.
    waiting: list[tuple[int, int, dict[str, Option]]] = []
    looked = 0
    stopped: KeyboardInterrupt | None = None
    try:
        listed = k_best.numbers_in_order(
            prepared, job, bound.costs, SCALE, patience=patience // A_CASE
        )
        for weight, numbers in listed:
            while waiting and waiting[0][0] * SCALE <= weight + bound.offset:
                price, _, choice = heapq.heappop(waiting)
                yield price, choice, True
            if looked == patience:
                break
            looked += 1
            choice = k_best.chosen(prepared, numbers)
            if keeps_late(evaluation, job, known.late, choice):
                heapq.heappush(waiting, (make_package(evaluation, choice).price, looked, choice))
        else:
            patience = -1
    except (Undecided, KeyboardInterrupt) as given_up:
        if isinstance(given_up, KeyboardInterrupt):
            if not partial:
                raise
            stopped = given_up
        packages = given_up.packages if isinstance(given_up, Undecided | Halted) else []
        for _, numbers in packages:
            choice = k_best.chosen(prepared, numbers)
            if keeps_late(evaluation, job, known.late, choice):
                heapq.heappush(waiting, (make_package(evaluation, choice).price, looked, choice))
                looked += 1
    while waiting:
        price, _, choice = heapq.heappop(waiting)
        yield price, choice, patience < 0
    if patience >= 0:
        raise Undecided(looked) from stopped


@dataclass(frozen=True, slots=True)
class CheapestPackage:
    """The cheapest package that keeps everything, or one that does.

    ``proven`` is False where the search ran out of patience: then there may be a cheaper one, or,
    with no ``choice``, one at all.
    """

    price: int | None
    choice: Mapping[str, Option] | None
    proven: bool


def cheapest(
    prepared: Prepared, job: Job, patience: int = PATIENCE, known: Outlook | None = None
) -> CheapestPackage:
    """Find the cheapest package that keeps everything, the budget left aside.

    Parameters
    ----------
    prepared, job, patience
        As for `in_order`.
    known
        The outlook of this job, or of one with fewer wishes: its multipliers are tried first, in
        haste, before better ones are looked for.
    """
    if known is not None and known.job != replace(job, budget=None):
        package = _first(in_order(prepared, job, min(HASTE, patience), known))
        if package.proven:
            return package
        return _first(in_order(prepared, job, patience, looser=known))
    return _first(in_order(prepared, job, patience, known))


def _first(packages: Iterator[tuple[int, dict[str, Option], bool]]) -> CheapestPackage:
    try:
        for price, choice, proven in packages:
            return CheapestPackage(price, choice, proven)
    except Undecided:
        return CheapestPackage(None, None, proven=False)
    return CheapestPackage(None, None, proven=True)


def some(prepared: Prepared, job: Job, patience: int = PATIENCE) -> CheapestPackage:
    """Find any package that keeps everything, the budget included, or prove that there is none.

    The cheapest by price and the lightest by each sum are tried before anything is proven about
    the cheapest that keeps the sums: most often one of them answers.
    """
    evaluation = prepared.evaluation

    def within(price: int) -> bool:
        return job.budget is None or price <= job.budget

    try:
        cheap = next(k_best.in_order(prepared, job), None)
    except Undecided:
        return CheapestPackage(None, None, proven=False)
    if cheap is None or not within(cheap[0]):
        return CheapestPackage(None, None, proven=True)
    late = late_of(prepared, job)
    if keeps_late(evaluation, job, late, cheap[1]):
        return CheapestPackage(cheap[0], cheap[1], proven=True)
    for ceiling in late.ceilings:
        weighed = by_share(prepared, ceiling, 1)
        weight, numbers = next(k_best.numbers_in_order(prepared, job, weighed.costs, 0))
        if weight + weighed.offset > ceiling.room:
            return CheapestPackage(None, None, proven=True)
        choice = k_best.chosen(prepared, numbers)
        price = make_package(evaluation, choice).price
        if within(price) and keeps_late(evaluation, job, late, choice):
            return CheapestPackage(price, choice, proven=True)
    package = cheapest(prepared, job, patience)
    if package.price is not None and not within(package.price):
        return CheapestPackage(None, None, package.proven)
    return package


def previews(
    prepared: Prepared,
    job: Job,
    positions: Collection[str] | None = None,
    known: Outlook | None = None,
) -> queries.Previews:
    """Price every option, sums counted as far as bounds go.

    Prices that are only a lower bound are marked as not exact; `close` makes them exact. ``known``
    is the outlook of this very job, if it was worked out before.
    """
    result = queries.previews(prepared, job, positions)
    known = known or outlook_of(prepared, job)
    if known is None or not has_late(prepared.evaluation, job, replace(known.late, loose=False)):
        return result
    if known.bound is None:
        nothing = {p: np.full(len(prices), -1, np.int64) for p, prices in result.prices.items()}
        return queries.Previews(None, nothing, result.if_freed, result.exact)
    prices = {position: array.astype(np.int64) for position, array in result.prices.items()}
    freed = {position: array.astype(np.int64) for position, array in result.if_freed.items()}
    for ceiling in known.ceilings:
        least = by_share(prepared, ceiling, 1)
        for position, sums in _weights(prepared, job, least, prices, 0).items():
            for array in (prices[position], freed[position]):
                array[sums > ceiling.room] = -1
    if any(known.bound.multipliers):  # else bounds are the prices themselves
        for position, bounds in _weights(prepared, job, known.bound, prices, SCALE).items():
            in_minor = -(-bounds // SCALE)
            for array in (prices[position], freed[position]):
                np.maximum(array, in_minor, out=array, where=array >= 0)
    exact = {position: array < 0 for position, array in prices.items()}
    return queries.Previews(result.cheapest, prices, freed, exact)


def _weights(
    prepared: Prepared, job: Job, bound: Bound, positions: Collection[str], work_scale: int
) -> dict[str, NDArray[np.int64]]:
    """Weigh the lightest package with each option, its own position left open."""
    semiring = semiring_for(prepared, bound, work_scale)
    weighed = queries.weigh(prepared, job, bound.costs, work_scale, semiring)
    values = forward(prepared.circuit, weighed.weights, semiring)
    tables = prepared.model.position_tables
    above = backward(prepared.circuit, values, semiring, {tables[p] for p in positions})
    result = {}
    for position in positions:
        seat = prepared.seats[position]
        here = seat.inside
        weights = np.full(len(seat.row_of), CHEAPEST_64.impossible, np.int64)
        rest = above[tables[position]][seat.row_of[here]].astype(np.int64)
        weights[here] = rest + bound.costs[position][here] + bound.offset
        result[position] = weights
    return result


def close(
    prepared: Prepared,
    job: Job,
    open_prices: queries.Previews,
    patience: int = PATIENCE,
    known: Outlook | None = None,
) -> Iterator[tuple[str, int, int, bool]]:
    """Make previews exact one by one, the cheapest first.

    ``known`` is the outlook of this very job, if it was worked out before.

    Yields
    ------
    tuple
        Position, option number, price in minor units (-1 for impossible), and whether that is
        proven; if not, the price is the best found, or the bound where none was found.
    """
    known = known or outlook(prepared, job)
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
            if not proven or looked > FIRST or not waiting:
                break
            for position, option in choice.items():
                place = (position, numbers[position][option.key])
                if place in waiting:
                    waiting.remove(place)
                    yield (*place, price, True)
    except Undecided:
        pass
    for position in sorted({position for position, _ in waiting}):
        bounds = open_prices.prices[position]
        left = sorted((n for p, n in waiting if p == position), key=lambda n: (bounds[n], n))
        for begin in range(0, len(left), TOGETHER):
            some = left[begin : begin + TOGETHER]
            most = int(bounds[some[-1]] * (1 + DEARER))
            ring = cost_bounded.with_any_of(prepared, job, position, some, most)
            for number in some:
                if known.bound is None:
                    yield position, number, -1, True
                    continue
                option = prepared.model.options[position][number]
                fixed = replace(job, fixed={**job.fixed, position: option.key})
                with_option = _with_one(prepared, ring, fixed, patience, known)
                bound = int(bounds[number])
                price = (
                    with_option.price
                    if with_option.price is not None
                    else (-1 if with_option.proven else bound)
                )
                yield position, number, price, with_option.proven


def _with_one(
    prepared: Prepared, ring: Ring | None, job: Job, patience: int, known: Outlook
) -> CheapestPackage:
    """Find the cheapest package with an option that was fixed: in a part of the circuit first."""
    if ring is not None and ring.at_most is not None:
        package = cheapest(ring.prepared, job, patience, known)
        nothing = package.price is None and not package.proven  # the whole begins with the same
        if nothing or (package.price is not None and package.price <= ring.at_most):
            return package
    return cheapest(prepared, job, patience, known)
