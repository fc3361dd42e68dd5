"""Lower bounds on prices where sums over everything have limits.

Price and a sum together cannot be read off the circuit: that problem is NP-hard. A price per unit
of each sum (a Lagrange multiplier) turns both into one sum, whose minimum is a bound: no package
that keeps the limits is cheaper.

References
----------
.. [1] G. Y. Handler and I. Zang, *A dual algorithm for the constrained shortest path problem*,
   Networks 10 (1980), 293-309: the method, for one sum over the paths of a graph.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from configurator.search.circuit.passes import answer, forward
from configurator.search.circuit.semirings import CHEAPEST_32, CHEAPEST_64
from configurator.search.optimum import cost_bounded, k_best, queries
from configurator.search.optimum.resource_constraints import SCALE, has_late, late_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.model.jobs import Job
    from configurator.search.circuit.semirings import MinPlus
    from configurator.search.optimum.preparing import Prepared
    from configurator.search.optimum.resource_constraints import Ceiling, Late

# Steps of the search for good multipliers; more changed nothing on the cases tried.
STEPS = 26
# How often they are gone through, from the best ones found, where a pass is short: near the
# cheapest package the search may end far from the best. A round that raises the bound by less than
# this share is the last.
ROUNDS = 3
WORTH_MORE = 0.001
# Rows of a circuit up to which a pass is short.
SHORT = 2_000_000


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


def best_bound(
    prepared: Prepared, job: Job, ceilings: Sequence[Ceiling], rounds: int = 1
) -> tuple[int, Bound] | None:
    """Search the multipliers that give the highest lower bound; None if nothing keeps the limits.

    The multipliers are whole numbers, so that the bound is exact whatever they are. Before it
    stands what no package is below, in thousandths of a minor unit.

    Parameters
    ----------
    prepared, job, ceilings
        The case, whose wishes count, and the limits on sums.
    rounds
        How often steps become short and then long again, at most.
    """
    multipliers = [0] * len(ceilings)
    step = [0.0] * len(ceilings)
    best: tuple[int, Bound] | None = None
    before = 0
    dearest = _dearest(prepared)
    for number in range(STEPS * rounds):
        if number and number % STEPS == 0 and best is not None:
            if best[0] - before <= WORTH_MORE * best[0]:
                break
            before = best[0]
            multipliers, step = list(best[1].multipliers), [0.0] * len(ceilings)
        bound = weighed_by(prepared, ceilings, multipliers)
        first = next(k_best.numbers_in_order(prepared, job, bound.costs, SCALE, proven=False), None)
        if first is None:
            return None
        value, numbers = first[0] + bound.offset, first[1]
        if value > dearest * SCALE:
            return None  # dearer than everything together: no package keeps these limits
        if best is None or value > best[0]:
            best = (value, bound)
        over = [sum(int(c.shares[p][n]) for p, n in numbers.items()) - c.room for c in ceilings]
        if all(o <= 0 and (m == 0 or o == 0) for m, o in zip(multipliers, over, strict=True)):
            break  # the limits are kept and nothing was paid for keeping them
        for k, excess in enumerate(over):
            if not step[k]:
                # First guess: what the dearest package costs per unit that is too much.
                step[k] = max(1.0, dearest * SCALE / max(abs(excess), SCALE) / 4)
            move = step[k] * (1 if excess > 0 else -1) / math.sqrt(1 + number % STEPS / 3)
            multipliers[k] = max(0, round(multipliers[k] + move))
            step[k] *= 0.82
    return best


def _dearest(prepared: Prepared) -> int:
    parts = sum(int(seat.costs.max(initial=0)) for seat in prepared.seats.values())
    work = sum(int(costs.max(initial=0)) for costs in prepared.model.work_costs.values())
    return parts + work + prepared.model.fixed_cost


def reach(prepared: Prepared, job: Job, ceiling: Ceiling) -> tuple[int, int] | None:
    """Least and greatest of a sum over all packages of a job, in thousandths; None without any."""
    least, most = (_least(prepared, job, ceiling, sign) for sign in (1, -1))
    return None if least is None or most is None else (least, -most)


def _least(prepared: Prepared, job: Job, ceiling: Ceiling, sign: int) -> int | None:
    """Least of a sum over all packages of a job, or of what is the opposite of it."""
    bound = by_share(prepared, ceiling, sign)
    semiring = semiring_for(prepared, bound, 0)
    weighed = queries.weigh(prepared, job, bound.costs, 0, semiring)
    if not weighed.possible:
        return None
    least = int(answer(forward(prepared.circuit, weighed.weights, semiring), semiring))
    return None if least >= semiring.impossible else least + bound.offset


def semiring_for(prepared: Prepared, bound: Bound, work_scale: int) -> MinPlus:
    """Give the smaller numbers if what a package weighs stays well below what they hold."""
    most = sum(int(costs.max(initial=0)) for costs in bound.costs.values())
    most += (
        sum(int(costs.max(initial=0)) for costs in prepared.model.work_costs.values()) * work_scale
    )
    small = prepared.loose is None and most < CHEAPEST_32.impossible // 2
    return CHEAPEST_32 if small else CHEAPEST_64


def by_share(prepared: Prepared, ceiling: Ceiling, sign: int) -> Bound:
    """Weigh every option by what it adds to a sum, or takes from it where the sign is -1."""
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
    ``job`` is without its budget, which does not matter here.
    """

    job: Job
    late: Late
    ceilings: tuple[Ceiling, ...]
    bound: Bound | None


def outlook(
    prepared: Prepared, job: Job, late: Late | None = None, looser: Outlook | None = None
) -> Outlook:
    """Work out which sums matter for a job and the multipliers that bound prices best.

    ``looser`` is the outlook of a job with fewer wishes, if it was worked out before: a limit that
    no package of that one exceeds need not be looked at again.
    """
    late = late or late_of(prepared, job)
    job = replace(job, budget=None)
    exceeded = frozenset(ceiling.key for ceiling in looser.ceilings) if looser else frozenset()
    kept = {ceiling.key for ceiling in looser.late.ceilings} - exceeded if looser else set()
    if looser is not None and looser.bound is None:
        return Outlook(job, late, (), None)
    ceilings = []
    known: dict[tuple[int, tuple[bytes, ...]], int | None] = {}

    def least(ceiling: Ceiling, sign: int) -> int | None:
        # Several limits on one sum are common: what the axle bears, and what the vehicle may weigh.
        summed = sign, tuple(shares.tobytes() for shares in ceiling.shares.values())
        if summed not in known:
            known[summed] = _least(prepared, job, ceiling, sign)
        return known[summed]

    for ceiling in late.ceilings:
        if ceiling.key in kept:
            continue
        lightest = least(ceiling, 1)
        if lightest is None or lightest > ceiling.room:
            return Outlook(job, late, (), None)
        most = None if ceiling.key in exceeded else least(ceiling, -1)
        if most is None or -most > ceiling.room:
            ceilings.append(ceiling)
    # Multipliers that serve best near the cheapest package bound all others too. Where they show
    # that nothing near it keeps the sums, those of a wider part are better.
    package = cost_bounded.first_found(
        cost_bounded.around(prepared, job),
        lambda ring: best_bound(
            ring.prepared,
            job,
            ceilings,
            ROUNDS if ring.at_most is not None and ring.prepared.circuit.rows < SHORT else 1,
        ),
        lambda result: None if result is None else -(-result[0] // SCALE),
    )
    return Outlook(job, late, tuple(ceilings), None if package is None else package[1])


def outlook_of(prepared: Prepared, job: Job) -> Outlook | None:
    """Work out what sums mean for a job; None where none of them can forbid anything."""
    late = late_of(prepared, job)
    if not has_late(prepared.evaluation, job, late):
        return None
    return outlook(prepared, job, late)
