"""Look for an order of joins by trying: move variables about in it, and see what it comes to.

Estimates find a first order; where many figures hang together it is often ten times dearer than
need be. So orders are rehearsed (`rehearsal.py`): a variable of a dear join, or all variables of
its position, is moved elsewhere by chance; what gives fewer rows is kept, and now and then what
gives a few more [1]_.

Where tables are large, orders are tried on a part of the rows of each position.

References
----------
.. [1] S. Kirkpatrick, C. D. Gelatt and M. P. Vecchi, *Optimization by simulated annealing*,
       Science 220 (1983).
"""

from __future__ import annotations

import math
import random
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from configurator.search.circuit.cardinality import Guide, draw
from configurator.search.circuit.elimination import expected_cost, follow, join_all
from configurator.search.circuit.join import TooWide, absorb, begin
from configurator.search.circuit.order_cost import Rehearsal
from configurator.search.encoding import tables
from configurator.search.encoding.reducing import consistent
from configurator.search.encoding.tables import Table
from configurator.search.limits import LIMITS

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Sequence

    from configurator.search.circuit.join import CircuitDraft
    from configurator.search.circuit.order_cost import Elimination
    from configurator.search.encoding.reducing import Reduced
    from configurator.search.limits import Limits

# Pairs of rows that trying orders may look at, in any case and at most, and for each row that
# joining all parts will take.
LITTLE_WORK = 20_000_000
WORK = 400_000_000
WORK_PER_ROW = 2
# How much dearer an order may be that is kept nevertheless, at the beginning: later less.
WARM = 0.02
# How often all variables of a position are moved, and how near to the dear join.
TOGETHER = 0.4
NEAR = 10
# Cases that an order is first looked for on, and at most; the dearest of the others join them.
VARIED = 2
MANY = 4
# Rows of tables beyond which orders are tried on a part of them, in what steps parts are left out,
# and how far; how many of a position stay at least.
LARGE = 60_000
THINNER = 0.1
THINNEST = 0.25
FEWEST = 4
# Times the rows of the dearest case looked at, beyond which rows of another are not counted, and
# with which an order is poor for a newcomer.
DEARER = 3
# Times the rows that may be made in all, beyond which looking ends: so many would be made if all
# cases were as dear as those looked at, which are the dearest of them.
OUT_OF_REACH = 5
NO_LIMIT = 2**62
# Positions drawn together for the estimates of the first order.
DRAWN = 10


def eliminate(draft: CircuitDraft, order: Sequence[int]) -> bool:
    """Join everything in an order; False if nothing fits together.

    Raises
    ------
    TooWide
        If a join, or all of them together, takes too many rows.
    """
    if not absorb(draft):
        return False
    return follow(draft, order)


def improved(
    rehearsals: Sequence[Rehearsal],
    order: Sequence[int],
    told_by: Sequence[int],
    chance: random.Random,
    parts: int,
) -> list[int] | None:
    """Move variables about while that gives fewer rows; None if the order given gives too many.

    Parameters
    ----------
    rehearsals
        Cases with the same variables; the rows of all of them together count.
    order
        Where to begin; variables that are not in it come last.
    told_by
        For each variable the number of the table that tells its value.
    chance
        Where what is tried comes from.
    parts
        How many cases will be joined in the order: trying must not take much longer than that.
    """
    now = _whole(order, rehearsals)
    limits = rehearsals[0].limits
    steps = _run(rehearsals, now, limits.order_rows)
    if steps is None or not any(steps):
        return None if steps is None else now
    rows = best_rows = _rows(steps)
    best = now
    begun = sum(rehearsal.work for rehearsal in rehearsals)
    work = min(WORK, max(LITTLE_WORK, WORK_PER_ROW * rows * parts // len(rehearsals)))
    for tried in range(limits.orders_tried):
        if sum(rehearsal.work for rehearsal in rehearsals) - begun > work:
            break
        other = _changed(now, rehearsals, steps, told_by, chance)
        if other == now:
            continue
        warm = WARM * (1 - tried / limits.orders_tried) * -math.log(1 - chance.random())
        improved_order = _run(rehearsals, other, int(rows * (1 + warm)))
        if improved_order is None:
            continue
        now, steps, rows = other, improved_order, _rows(improved_order)
        if rows < best_rows:
            best, best_rows = now, rows
    return best


def _run(
    rehearsals: Sequence[Rehearsal], order: Sequence[int], most: int
) -> list[list[Elimination]] | None:
    run = []
    for rehearsal in rehearsals:
        steps = rehearsal.run(order, most)
        if steps is None:
            return None
        most -= sum(step.rows for step in steps)
        run.append(steps)
    return run


def _rows(steps: Sequence[Sequence[Elimination]]) -> int:
    return sum(step.rows for item in steps for step in item)


def _changed(
    order: Sequence[int],
    rehearsals: Sequence[Rehearsal],
    steps: Sequence[Sequence[Elimination]],
    told_by: Sequence[int],
    chance: random.Random,
) -> list[int]:
    """Take a variable that meets others in a dear join, and move it, or those of its position."""
    number = chance.choice([k for k, own in enumerate(steps) if own])
    dear = [step.rows**0.7 for step in steps[number]]
    step = chance.choices(steps[number], dear)[0] if any(dear) else chance.choice(steps[number])
    sizes = rehearsals[number].sizes
    met = [variable for variable in sorted(step.met) if sizes[variable] > 1]
    if not met:
        return list(order)
    chosen = chance.choice(met)
    moved = {chosen}
    if chance.random() < TOGETHER:
        moved = {v for v in order if told_by[v] == told_by[chosen]}
        if chance.random() < 0.5:
            moved &= step.met
    here = 0
    for variable in order:
        if variable == step.variable:
            break
        here += variable not in moved
    rest = [variable for variable in order if variable not in moved]
    place = chance.choice(
        (
            chance.randint(0, here),
            max(0, here - chance.randint(0, NEAR)),
            min(len(rest), here + chance.randint(1, NEAR)),
            chance.randint(here, len(rest)),
        )
    )
    return rest[:place] + [v for v in order if v in moved] + rest[place:]


def _whole(order: Sequence[int], rehearsals: Sequence[Rehearsal]) -> list[int]:
    """Leave out of an order what is not there, and put last what is missing in it."""
    there = {variable for rehearsal in rehearsals for variable in rehearsal.variables}
    whole = [variable for variable in order if variable in there]
    return whole + sorted(there.difference(whole))


def look_for(
    cases: Sequence[Reduced],
    told_by: Sequence[int],
    positions: Collection[int],
    parts: int,
    limit: int = NO_LIMIT,
    limits: Limits = LIMITS,
) -> list[int]:
    """Look for an order of variables in which some cases are joined with few rows.

    Parameters
    ----------
    cases
        With the same variables.
    told_by, positions
        As `plan.make_circuit` has them.
    parts
        How many cases there are in all.
    limit
        Rows of all cases together beyond which no order will do.
    limits
        How many orders are tried, and how many rows one may take.

    Returns
    -------
    list of int
        Empty if none was found that keeps the joins small.

    Raises
    ------
    TooWide
        If the first order shows that the limit is out of reach.
    """
    # The same orders on every run: circuits must not change by chance.
    chance = random.Random(0)
    left = sorted(cases, key=lambda case: -_size(case.tables))
    chosen = _varied(left)
    left = [case for case in left if not any(case is taken for taken in chosen)]
    tried = [_thinned(case, positions, chance) for case in chosen]
    order: list[int] = []
    while True:
        there = [item for case in tried if (item := _rehearsal(case, positions, limits))]
        start = _start(there, order, limits, lambda: _guess(tried, told_by, positions, limits))
        best_order = None if start is None else improved(there, start, told_by, chance, parts)
        if best_order is None:
            return order
        order = _with_rest(best_order, order)
        if not left or len(chosen) == MANY:
            return order
        known = [_joined_rows(case, order, positions, limits.order_rows, limits) for case in chosen]
        expected = sum(known) * parts // len(known)
        if expected > OUT_OF_REACH * limit:
            raise TooWide((), expected)
        most = DEARER * max(known)
        rows = [_joined_rows(case, order, positions, most, limits) for case in left]
        chosen.append(left.pop(max(range(len(left)), key=lambda number: rows[number])))
        tried.append(_thinned(chosen[-1], positions, chance))


def _start(
    there: Sequence[Rehearsal],
    order: Sequence[int],
    limits: Limits,
    guess: Callable[[], list[int] | None],
) -> Sequence[int] | None:
    """Begin with an order that served the others, or where it is poor for the last, a guess."""
    known = _run(there, _whole(order, there), limits.order_rows) if order else None
    if known is not None:
        *others, newcomer = (_rows([steps]) for steps in known)
        if newcomer <= DEARER * max(others):
            return order
    # What has no choice in some cases has no place in their order: a new one may be better.
    guessed = guess()
    new = None
    if guessed is not None:
        new = _run(there, _whole(guessed, there), limits.order_rows)
    if new is None or guessed is None:
        return None if known is None else order
    return guessed if known is None or _rows(new) < _rows(known) else order


def _varied(cases: Sequence[Reduced]) -> list[Reduced]:
    """Take the first, and those in which most variables have a choice that have none in others."""
    chosen: list[Reduced] = []
    left = list(cases)
    known: set[int] = set()
    while left and len(chosen) < VARIED:
        new = [_open(case) - known for case in left]
        number = max(range(len(left)), key=lambda k: len(new[k])) if chosen else 0
        known |= new[number]
        chosen.append(left.pop(number))
    return chosen


def _open(case: Reduced) -> set[int]:
    return {v for table in case.tables for v in table.variables if case.sizes[v] > 1}


def _guess(
    cases: Sequence[Reduced], told_by: Sequence[int], positions: Collection[int], limits: Limits
) -> list[int] | None:
    """Find an order by estimates alone: what is cheapest next for all cases together."""
    drafts, guides = [], []
    for case in cases:
        draft = begin(case.tables, case.sizes, limits.order_rows, positions, limits)
        if absorb(draft):
            drafts.append(draft)
            sample = draw(case.tables, case.sizes, told_by, positions, DRAWN)
            guides.append(Guide(case.tables, case.sizes, told_by, positions, sample))
    known: list[dict[frozenset[int], float]] = [{} for _ in drafts]
    order: list[int] = []

    def expected(variable: int) -> float:
        expected_rows = 0.0
        for draft, guide, costs in zip(drafts, guides, known, strict=True):
            users = frozenset(draft.users.get(variable, ()))
            if not users:
                continue
            if users not in costs:
                costs[users] = expected_cost(draft, guide, users)
            expected_rows += costs[users]
        return expected_rows

    try:
        while waiting := sorted({variable for draft in drafts for variable in draft.users}):
            variable = min(waiting, key=expected)
            order.append(variable)
            for draft, costs in zip(drafts, known, strict=True):
                users = draft.users.get(variable)
                if not users:
                    continue
                touched = {v for number in users for v in draft.live[number].table.variables}
                join_all(draft, sorted(users))
                near = set().union(*(draft.users.get(v, ()) for v in touched))
                for item in [
                    cost for cost in costs if cost & near or not cost <= draft.live.keys()
                ]:
                    del costs[item]
    except TooWide:
        return None
    return order


def _joined_rows(
    case: Reduced, order: Sequence[int], positions: Collection[int], most: int, limits: Limits
) -> int:
    """Count the rows that joining a case in an order gives, as far as ``most``."""
    draft = begin(case.tables, case.sizes, most, positions, limits)
    try:
        eliminate(draft, order)
    except TooWide:
        return most
    return draft.rows


def _rehearsal(case: Reduced, positions: Collection[int], limits: Limits) -> Rehearsal | None:
    draft = begin(case.tables, case.sizes, limits.order_rows, positions, limits)
    return Rehearsal(draft) if absorb(draft) else None


def _thinned(case: Reduced, positions: Collection[int], chance: random.Random) -> Reduced:
    """Leave some rows of each position out, and what goes with nothing then, where it is large."""
    given = case.tables
    share = 1.0
    while _size(given) > LARGE and share > THINNEST:
        share -= THINNER
        some = list(case.tables)
        for number in positions:
            rows = some[number].rows
            kept = max(FEWEST, round(share * rows))
            if kept < rows:
                # The first is what the vehicle has, if that may stay: with it, something fits.
                chosen = [0, *sorted(chance.sample(range(1, rows), kept - 1))]
                some[number] = tables.select(some[number], np.array(chosen, np.int32))
        partners = consistent(some, case.sizes)
        if partners is not None:
            given = [tables.select(t, r) for t, r in zip(some, partners, strict=True)]
    return replace(case, tables=given)


def _size(given: Sequence[Table]) -> int:
    return sum(table.rows for table in given)


def _with_rest(order: Sequence[int], earlier: Sequence[int]) -> list[int]:
    """Put variables that only an earlier order has behind those they came after."""
    inside = set(order)
    behind: dict[int | None, list[int]] = {}
    last: int | None = None
    for variable in earlier:
        if variable in inside:
            last = variable
        else:
            behind.setdefault(last, []).append(variable)
    listed = list(behind.get(None, ()))
    for variable in order:
        listed += [variable, *behind.get(variable, ())]
    return listed
