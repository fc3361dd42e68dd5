"""Tables too wide to be joined at once: joined for each part of one position, side by side.

With one tyre chosen, most figures have few values left, and tables that were too wide together are
small. So the position that shares rules with most others is decided in turn; for each of its parts
the other tables are reduced and joined, all in the same order, and the circuits are laid side by
side into one: node beside node, with one more node on top that puts the parts together again. It
answers as any other circuit does.

The order matters much more than for small circuits: it is looked for by trying
(`elimination_order.py`), on some parts together.

For loose circuits only, and so for lists of some 2,000 parts on (`mini_buckets.py`); it takes
minutes, once.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from configurator.core.progress import report
from configurator.search.circuit.cardinality import most_tied
from configurator.search.circuit.elimination_order import NO_LIMIT, eliminate, look_for
from configurator.search.circuit.join import TooWide, begin, join
from configurator.search.circuit.nodes import Circuit, Node
from configurator.search.circuit.pruning import prune, without_identities
from configurator.search.encoding import tables
from configurator.search.encoding.reducing import reduce_tables
from configurator.search.limits import LIMITS

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.search.encoding.reducing import Reduced
    from configurator.search.encoding.tables import Table
    from configurator.search.limits import Limits

    Index = NDArray[np.int32]
    Steps = Sequence[tuple[int, int]]

# Bytes of the machine's memory that each row may count for: 19 of them were used at the peak where
# 631 million rows were made and asked. Rows that are made in any case, also where the memory is not
# known; rows of one part.
BYTES_OF_ROW = 28
ROWS_AT_LEAST = 120_000_000
MOST_OF_ONE = 20_000_000
# Times the rows that may be kept, with which it is given up: so many are expected after a share of
# the parts.
TOO_MANY = 1.2
EARLY = 0.25
# Parts that an order is looked for on, spread evenly; how many of them settle which tables are
# joined first.
LOOKED_AT = 24
SETTLED = 3


@dataclass(frozen=True, slots=True)
class PartCircuit:
    """The circuit of one part of the hub, and what its leaves stand for.

    Parameters
    ----------
    nodes
        Of its circuit; those of all sides are alike.
    flat, lengths
        For each table the rows given that became rows of its leaf, leaf row after leaf row, and
        how many each leaf row is made of; but for parts, one of them stands for all.
    """

    nodes: Sequence[Node]
    flat: Sequence[Index]
    lengths: Sequence[NDArray[np.int64]]


def make_conditioned(
    given: Sequence[Table],
    sizes: Sequence[int],
    told_by: Sequence[int],
    positions: Collection[int],
    labels: Mapping[int, NDArray[np.int64]],
    limits: Limits = LIMITS,
) -> Circuit:
    """Join tables for each part of one position.

    Parameters
    ----------
    given, sizes, told_by, positions
        As for `plan.make_circuit`.
    labels
        As for `reducing.reduce_tables`.
    limits
        How many rows there may be, and how long an order is looked for.

    Returns
    -------
    Circuit
        Without nodes if no combination satisfies all tables; rows in no package are cut out.

    Raises
    ------
    TooWide
        If that takes more rows than the limits or the machine's memory allow, or is going to, or
        no order keeps one part small enough.
    """
    hub = most_tied(given, told_by, positions)[0]

    def decided(row: int) -> Reduced | None:
        current = list(given)
        current[hub] = tables.select(given[hub], np.array([row], np.int32))
        marks = dict(labels)
        if hub in marks:
            marks[hub] = np.asarray(marks[hub])[[row]]
        return reduce_tables(current, sizes, told_by, positions, marks)

    number = given[hub].rows
    step = max(1, number // LOOKED_AT)
    looked_at = [decided(row) for row in range(0, number, step)]
    most = _most_rows(limits)
    hopeful = [part for part in looked_at if part is not None]
    try:
        hopeless = round(limits.hopeless * most)
        candidates = _steps(hopeful, told_by, positions, number, limits, hopeless)
    except TooWide as refused:
        raise TooWide(refused.names or (given[hub].name,), refused.rows) from refused
    if candidates is None:  # none of these goes with anything: one of the others may
        others = (decided(row) for row in range(number) if row % step)
        more = (
            _steps([other], told_by, positions, number, limits)
            for other in others
            if other is not None
        )
        candidates = next((part for part in more if part is not None), None)
    if candidates is None:
        return _side_by_side([], len(given))
    steps, together = candidates
    expected = together * number // len(looked_at)
    if expected > hopeless:
        raise TooWide((given[hub].name,), expected)
    sides: list[PartCircuit] = []
    rows = 0
    for row in range(number):
        reduced = decided(row)
        side = None if reduced is None else _side(reduced, hub, row, positions, steps, limits)
        if side is not None:
            sides.append(side)
            rows += sum(node.inner for node in side.nodes)
        ahead = rows * number // (row + 1) if row + 1 >= EARLY * number else 0
        if rows > most or ahead > TOO_MANY * most:
            raise TooWide((given[hub].name,), max(rows, ahead))
        report(row + 1, number)
    return _side_by_side(sides, len(given))


def _most_rows(limits: Limits) -> int:
    try:
        memory = os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES")
    except (AttributeError, OSError, ValueError):  # not told by every system
        memory = 0
    return min(limits.conditioned_rows, max(ROWS_AT_LEAST, memory // BYTES_OF_ROW))


def _steps(
    few: Sequence[Reduced],
    told_by: Sequence[int],
    positions: Collection[int],
    parts: int,
    limits: Limits,
    limit: int = NO_LIMIT,
) -> tuple[Steps, int] | None:
    """Look for an order of joins that serves some parts; None if none of them goes with anything.

    An order of variables is looked for; which tables are joined first for one variable hangs on
    the part, and is settled as suits most of them.

    Returns
    -------
    tuple
        The order, and the rows that all of these parts take in it.

    Raises
    ------
    TooWide
        If no order keeps any part small enough, or all of them far within a limit of rows.
    """
    order = look_for(few, told_by, positions, parts, limit, limits)
    candidates: list[tuple[int, Steps]] = []
    refused: TooWide | None = None
    for trial in few:
        draft = begin(trial.tables, trial.sizes, MOST_OF_ONE, positions, limits)
        try:
            if eliminate(draft, order):
                candidates.append((draft.rows, tuple(draft.joined)))
        except TooWide as problem:  # the steps of another part may serve this one
            refused = problem
    if not candidates and refused is not None:
        raise refused
    if not candidates:
        return None
    candidates.sort(key=lambda of_one: -of_one[0])
    best, fewest = candidates[0][1], -1
    for _, steps in candidates[: 2 * SETTLED : 2]:
        together = 0
        for trial in few:
            together += _rows(trial, positions, steps, limits)
            if 0 <= fewest <= together:
                break
        else:
            best, fewest = steps, together
    return best, fewest


def _rows(reduced: Reduced, positions: Collection[int], steps: Steps, limits: Limits) -> int:
    """Count the rows of joining in an order; too many if that is more than one part may have."""
    draft = begin(reduced.tables, reduced.sizes, MOST_OF_ONE, positions, limits)
    try:
        for step, two in steps:
            if join(draft, step, two) is None:
                break
    except TooWide:
        return max(MOST_OF_ONE, draft.rows) + 1
    return draft.rows


def _side(
    reduced: Reduced, hub: int, row: int, positions: Collection[int], steps: Steps, limits: Limits
) -> PartCircuit | None:
    """Join the tables of one part in an order; None if it goes with nothing."""
    draft = begin(reduced.tables, reduced.sizes, limits.conditioned_rows, positions, limits)
    for step, two in steps:
        if join(draft, step, two) is None:
            return None
    circuit = prune(
        Circuit(draft.nodes, [np.arange(t.rows, dtype=np.int32) for t in reduced.tables])
    )
    flat, lengths = [], []
    for number, (new, used) in enumerate(zip(reduced.rows, circuit.leaf_rows, strict=True)):
        rank = np.full(int(new.max(initial=-1)) + 1, -1, np.int32)
        rank[used] = np.arange(len(used), dtype=np.int32)
        old = np.flatnonzero(new >= 0)
        of = rank[new[old]]
        old, of = old[of >= 0], of[of >= 0]
        order = np.argsort(of, kind="stable")
        own = old[order] if number != hub else np.full(len(old), row)
        many = np.bincount(of, minlength=len(used))
        if number not in positions:
            # Rows that became one are alternatives only where they are parts: elsewhere a package
            # has its row because of its parts, and would be counted once for each.
            own, many = own[np.cumsum(many) - many], np.ones(len(used), np.int64)
        flat.append(own.astype(np.int32))
        lengths.append(many)
    return PartCircuit(circuit.nodes, flat, lengths)


def _side_by_side(sides: Sequence[PartCircuit], tables_in_all: int) -> Circuit:
    """Lay circuits that are alike side by side, and use them up."""
    leaf_rows: list[Index] = [np.zeros(0, np.int32) for _ in range(tables_in_all)]
    if not sides:
        return Circuit([], leaf_rows)
    nodes: list[Node] = []
    place: list[int] = []
    for number, model in enumerate(sides[0].nodes):
        if model.leaf >= 0:
            leaf = model.leaf
            flat = np.concatenate([side.flat[leaf] for side in sides])
            lengths = np.concatenate([side.lengths[leaf] for side in sides])
            used, which = np.unique(flat, return_inverse=True)
            leaf_rows[leaf] = used.astype(np.int32)
            nodes.append(Node(len(used), len(used), leaf=leaf))
            spread = Node(len(lengths), len(flat), len(nodes) - 1)
            spread.from_left = which.reshape(-1).astype(np.int32)
            spread.starts = (np.cumsum(lengths) - lengths).astype(np.int32)
            nodes.append(_plain(spread, nodes))
        else:
            left, right = place[model.left], place[model.right] if model.right >= 0 else -1
            alike = [side.nodes[number] for side in sides]
            beside = Node(
                sum(node.rows for node in alike),
                sum(node.inner for node in alike),
                left,
                right,
                _moved(sides, number, model.left),
                _moved(sides, number, model.right) if right >= 0 else None,
                _starts(alike),
            )
            nodes.append(_plain(beside, nodes))
            for node in alike:  # not needed any more, and together as large as what was made
                node.from_left = node.from_right = node.starts = None
        place.append(len(nodes) - 1)
    if nodes[-1].rows > 1:
        top = len(nodes) - 1
        nodes.append(Node(1, nodes[-1].rows, top, starts=np.zeros(1, np.int32)))
    return Circuit(nodes, leaf_rows)


def _moved(sides: Sequence[PartCircuit], number: int, child: int) -> Index:
    """Which rows of a child inner rows come from, counted through all circuits."""
    moved = []
    offset = 0
    for side in sides:
        node, rows = side.nodes[number], side.nodes[child].rows
        # Which child is called left hangs on their sizes.
        index = node.from_left if node.left == child else node.from_right
        if index is None:
            index = np.arange(rows, dtype=np.int32)
        moved.append(index + np.int32(offset))
        offset += rows
    return np.concatenate(moved)


def _starts(alike: Sequence[Node]) -> Index:
    result = []
    offset = 0
    for node in alike:
        starts = np.arange(node.rows, dtype=np.int32) if node.starts is None else node.starts
        result.append(starts + np.int32(offset))
        offset += node.inner
    return np.concatenate(result)


def _plain(node: Node, nodes: Sequence[Node]) -> Node:
    """Leave out arrays that change nothing."""
    if node.rows == node.inner:
        node.starts = None
    return without_identities(node, nodes)
