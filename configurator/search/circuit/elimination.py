"""Choose the order in which tables are joined; join them once; keep the circuit.

Variables are eliminated one after the other: all tables that mention the variable are joined, the
cheapest pair first, and what no other table mentions is projected away. Which variable comes next
is decided on real tables; only the one step ahead is estimated.

Estimates from single tables are enough where rules tie few positions at a time. Where tyre, wheel,
hubs and axles have a say in nearly every rule they lead astray, and so the order is looked for
again with estimates from combinations of just these positions (`guide.py`).

Where no order keeps the joins small enough, variables are taken apart instead (`loose.py`): what
comes of it are bounds.
"""

from __future__ import annotations

from collections import deque
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from configurator.search.circuit.cardinality import Guide, draw, most_tied
from configurator.search.circuit.join import (
    LONGEST,
    TooWide,
    absorb,
    begin,
    join,
    matches,
    needed_elsewhere,
    project,
)
from configurator.search.circuit.nodes import Circuit
from configurator.search.circuit.pruning import prune
from configurator.search.limits import LIMITS

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from configurator.search.circuit.join import CircuitDraft
    from configurator.search.encoding.tables import Table
    from configurator.search.limits import Limits

# Orders from shaken estimates that are tried after one found without drawing: of four, one has
# mostly 4 to 8 per cent fewer rows; of forty none had a per cent less.
SHAKEN_ORDERS = 4
# How many positions are drawn together for the estimates. Which number serves best differs from
# case to case, and nothing tells beforehand: with many rules more are needed. Of the rows joined
# a tenth mostly are in some package, so that the first order that can be joined does.
DRAWN = (10, 12, 8, 7, 5)
# Rows of all tables from which on only the first two numbers of positions are tried, and from which
# on what joining them comes to is estimated before it is begun; rows of the sample for that, as
# four times as many gave the same within a twentieth.
LARGE = 100_000
ESTIMATED = 10_000
SAMPLE_OF_LARGE = 5_000
# How many are drawn together where variables are taken apart, and rows of that sample: more of
# either take as long as the joins themselves, and bounds are no better for it.
DRAWN_APART = 3
SAMPLE_APART = 10_000
# Pairs of rows that a table may be extended to there, for each that a join may look at.
EXTENDED_APART = 10
# How many times the rows of the case that an order was found for another may take in that order.
ALIKE = 1.5
# How much a row of a join that is projected away at once counts beside one that stays.
PASSING = 0.3


@dataclass(frozen=True, slots=True)
class KnownOrder:
    """Variables in the order in which eliminating them took so many rows in a case alike."""

    order: tuple[int, ...]
    rows: int


def make_circuit(
    given: Sequence[Table],
    sizes: Sequence[int],
    told_by: Sequence[int],
    positions: Collection[int],
    known: KnownOrder | None = None,
    limits: Limits = LIMITS,
    drawn: Sequence[int] = DRAWN,
) -> Circuit:
    """Join all tables into a circuit.

    Parameters
    ----------
    given
        Tables; every variable of one is below ``len(sizes)``.
    sizes
        Number of values of each variable.
    told_by
        For each variable the number of the table that tells its value.
    positions
        Numbers of the tables of positions.
    known
        An order that served a case like this one: tried before another is looked for.
    limits
        How many rows a circuit may have, and how long orders are looked for.
    drawn
        How many positions are drawn together for estimates, one try after the other.

    Returns
    -------
    Circuit
        Without nodes if no combination satisfies all tables; rows in no package are cut out.

    Raises
    ------
    TooWide
        If no order that was tried keeps the joins small enough.
    """
    best: Circuit | None = None
    refused: TooWide | None = None
    size = sum(table.rows for table in given)
    large = size > LARGE
    # An order that is known is given up soon where it does not serve: no estimate is quicker.
    estimated = size > ESTIMATED and (large or known is None)
    if estimated:
        _refuse_hopeless(given, sizes, told_by, positions, limits, large)
    core = begin(given, sizes, limits.circuit_rows, positions, limits)
    if not absorb(core):
        return _nothing(given)
    if known is not None:
        with suppress(TooWide):
            guide = Guide(given, sizes, told_by, positions, None)
            # Looking for another takes longer than joining as many rows as need none looked for.
            most = max(int(ALIKE * known.rows), limits.unsampled_rows)
            draft = core.fork(limits.circuit_rows)
            if not _follow_among(draft, known.order, guide, most):
                return _nothing(given)
            return prune(_whole(given, draft))
    if size > ESTIMATED and not estimated:
        _refuse_hopeless(given, sizes, told_by, positions, limits, large)
    for most in (0, *(drawn[:2] if large else drawn)):
        sample = draw(given, sizes, told_by, positions, most) if most else None
        guide = Guide(given, sizes, told_by, positions, sample)
        unbounded = limits.circuit_rows if most else limits.unsampled_rows
        budget = best.rows if best else unbounded
        try:
            circuit = _circuit(given, core.fork(budget), guide)
        except TooWide as problem:
            refused = problem
            continue
        if circuit is None:
            return _nothing(given)
        best = _smaller(circuit, given, sizes, told_by, positions, core) if not most else circuit
        if best.rows <= limits.circuit_rows:
            break
    if best is None:
        raise refused or TooWide((), 0)
    return replace(prune(best), order=best.order, joined_rows=best.rows)


def _refuse_hopeless(
    given: Sequence[Table],
    sizes: Sequence[int],
    told_by: Sequence[int],
    positions: Collection[int],
    limits: Limits,
    large: bool,
) -> None:
    """Estimate what joining large tables comes to, before it takes a minute and several GB.

    Raises
    ------
    TooWide
        If the positions that share rules with most others have so many packages that no order was
        ever short enough.
    """
    most = limits.hopeless_packages if large else limits.hopeless_short
    sample = draw(given, sizes, told_by, positions, DRAWN[0], SAMPLE_OF_LARGE)
    if sample is not None and sample.of > most:
        ranked = most_tied(given, told_by, positions)[: DRAWN[0]]
        raise TooWide((given[number].name for number in ranked), int(sample.of))


def _smaller(
    circuit: Circuit,
    given: Sequence[Table],
    sizes: Sequence[int],
    told_by: Sequence[int],
    positions: Collection[int],
    core: CircuitDraft,
) -> Circuit:
    """Try a few orders that follow from shaken estimates, where no sample is drawn for them.

    Not for small circuits: no pass over them takes as long as looking.
    """
    if circuit.rows < core.limits.perturbed_from_rows:
        return circuit
    for seed in range(SHAKEN_ORDERS):
        guide = Guide(given, sizes, told_by, positions, None, np.random.default_rng(seed))
        with suppress(TooWide):
            other = _circuit(given, core.fork(circuit.rows), guide)
            if other is not None and other.rows < circuit.rows:
                circuit = other
    return circuit


def make_loose(
    given: Sequence[Table],
    sizes: Sequence[int],
    told_by: Sequence[int],
    positions: Collection[int],
    limits: Limits = LIMITS,
) -> tuple[Circuit, tuple[int, ...]]:
    """Join as much as can be joined into a circuit of bounds.

    Parameters
    ----------
    given, sizes, told_by, positions, limits
        As for `make_circuit`.

    Returns
    -------
    tuple
        The circuit, without nodes if it shows that no combination satisfies all tables, and the
        variables that were taken apart.

    Raises
    ------
    TooWide
        If even that takes too many rows.
    """
    sample = draw(given, sizes, told_by, positions, DRAWN_APART, SAMPLE_APART)
    guide = Guide(given, sizes, told_by, positions, sample)
    apart: set[int] = set()
    pairs = min(limits.join_pairs, EXTENDED_APART * limits.apart_pairs)
    draft = begin(given, sizes, LONGEST, positions, replace(limits, join_pairs=pairs))
    circuit = _circuit(given, draft, guide, apart)
    return (_nothing(given) if circuit is None else prune(circuit)), tuple(sorted(apart))


def _nothing(given: Sequence[Table]) -> Circuit:
    return Circuit([], [np.zeros(0, np.int32) for _ in given])


def _circuit(
    given: Sequence[Table], draft: CircuitDraft, guide: Guide, apart: set[int] | None = None
) -> Circuit | None:
    return _whole(given, draft) if contract(draft, guide, apart) else None


def _whole(given: Sequence[Table], draft: CircuitDraft) -> Circuit:
    leaf_rows = [np.arange(t.rows, dtype=np.int32) for t in given]
    return Circuit(draft.nodes, leaf_rows, tuple(draft.order))


def contract(
    draft: CircuitDraft,
    guide: Guide,
    apart: set[int] | None = None,
) -> bool:
    """Join everything; False if nothing fits together.

    Parameters
    ----------
    draft
        Begun; without ``apart``, with what no order makes better joined already.
    guide
        For estimates.
    apart
        With it, joins that are too wide are left, and the variables put into it.

    Raises
    ------
    TooWide
        If a join, or all of them together, takes too many rows.
    """
    return _eliminate(draft, guide, apart) and join_rest(draft)


def follow(draft: CircuitDraft, order: Sequence[int]) -> bool:
    """Join everything in an order of variables; False if nothing fits together.

    Variables that the order does not have come last.

    Raises
    ------
    TooWide
        If a join, or all of them together, takes too many rows.
    """
    for variable in (*order, *sorted(draft.users)):
        if variable in draft.users and not join_all(draft, sorted(draft.users[variable])):
            return False
    return join_rest(draft)


def _follow_among(draft: CircuitDraft, order: Sequence[int], guide: Guide, most: int) -> bool:
    """Join everything in an order; variables that it does not have come where they are cheapest.

    Raises
    ------
    TooWide
        If a join is too wide, or all of them together come to more rows than ``most``.
    """
    new = draft.users.keys() - set(order)
    waiting = deque(order)
    costs: dict[frozenset[int], float] = {}

    def cost(variable: int) -> float:
        users = frozenset(draft.users[variable])
        if users not in costs:
            costs[users] = expected_cost(draft, guide, users)
        return costs[users]

    while draft.users:
        while waiting and waiting[0] not in draft.users:
            waiting.popleft()
        new &= draft.users.keys()
        candidates = [*waiting][:1] + sorted(new)
        variable = min(candidates, key=cost)
        if not join_all(draft, sorted(draft.users[variable])):
            return False
        if draft.rows > most:
            raise TooWide((), draft.rows)
    return join_rest(draft)


def join_rest(draft: CircuitDraft) -> bool:
    """Join what is left, single rows that have nothing to do with each other; False if one is none.

    Every pair of them is as cheap as every other, and there may be one for each position: nothing
    is compared.
    """
    waiting = deque(sorted(draft.live))
    while len(waiting) > 1:
        merged = join(draft, waiting.popleft(), waiting.popleft())
        if merged is None:
            return False
        waiting.append(merged)
    return bool(waiting)


def join_all(draft: CircuitDraft, numbers: Sequence[int], most: int | None = None) -> list[int]:
    """Join some live tables, the cheapest pair first; none are left if nothing fits together.

    Into one, or with ``most`` until every pair would give more rows than that.
    """
    waiting = sorted(numbers)
    counts: dict[tuple[int, int], int] = {}
    while len(waiting) > 1:
        for k, pending in enumerate(waiting):
            for two in waiting[k + 1 :]:
                if (pending, two) not in counts:
                    counts[pending, two] = matches(draft, pending, two)
        pending, two = min(counts, key=lambda pair: (counts[pair], pair))
        if most is not None and counts[pending, two] > most:
            break
        merged = join(draft, pending, two)
        if merged is None:
            return []
        counts = {pair: count for pair, count in counts.items() if not {pending, two} & set(pair)}
        waiting = [number for number in waiting if number not in (pending, two)] + [merged]
    return waiting


def _eliminate(draft: CircuitDraft, guide: Guide, apart: set[int] | None) -> bool:
    """Eliminate variable by variable, the cheapest next; False if nothing fits together."""
    costs: dict[frozenset[int], float] = {}
    while draft.users:
        for users in dict.fromkeys(frozenset(users) for users in draft.users.values()):
            if users not in costs:
                costs[users] = expected_cost(draft, guide, users)
        chosen = min(costs, key=lambda users: (costs[users], sorted(users)))
        touched = {v for number in chosen for v in draft.live[number].table.variables}
        gone = touched - needed_elsewhere(draft, chosen)
        left = join_all(draft, sorted(chosen), None if apart is None else draft.limits.apart_pairs)
        if not left:
            return False
        if apart is not None and len(left) > 1:
            for number in left:
                own = set(draft.live[number].table.variables)
                apart |= own & gone
                project(draft, number, own - gone)
        costs = {
            users: cost
            for users, cost in costs.items()
            if not users & chosen
            and users <= draft.live.keys()
            and not any(touched & set(draft.live[n].table.variables) for n in users)
        }
    return True


def expected_cost(draft: CircuitDraft, guide: Guide, numbers: Collection[int]) -> float:
    """Estimate what a join adds, less the largest table that it takes away."""
    live = [draft.live[number].table for number in numbers]
    joined = guide.combinations({variable for table in live for variable in table.variables})
    if len(live) == 2:
        joined = min(joined, float(matches(draft, *numbers)))
    kept = min(joined, guide.combinations(needed_elsewhere(draft, numbers)))
    return kept + PASSING * joined - max(table.rows for table in live)
