"""Choose the order in which tables are joined, join them once, keep the circuit.

A contraction joins two tables and projects away what no other table mentions. Which pair comes
next is decided greedily on real sizes: the tables built so far are real, only the one step ahead
is counted. Several orders may be tried, some with a little chance in the choice (always the same
chance), and the smallest circuit is kept.

After joining, what is in no package is cut out.
"""

from __future__ import annotations

import random
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import networkx as nx
import numpy as np

from configurator.search import tables
from configurator.search.circuit import Circuit, Node
from configurator.search.reducing import neighbours
from configurator.search.tables import Table

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    Index = NDArray[np.int32]

# Beyond this many inner rows in one join the circuit is given up: see ``TooWide``.
WIDEST = 40_000_000
# Circuits of more rows than this are worth a few more tries at a better order.
WORTH_TRYING = 200_000


class TooWide(Exception):
    """A join would have more rows than memory should hold.

    Parameters
    ----------
    names
        Positions and rules whose tables meet in that join.
    rows
        Rows it would have.
    """

    def __init__(self, names: Sequence[str], rows: int) -> None:
        self.names = tuple(names)
        self.rows = rows
        super().__init__(f"joining {', '.join(names)} gives {rows} rows")


@dataclass(slots=True)
class _Live:
    """A table that is not used up yet, the node that gives its rows their values, its origins."""

    table: Table
    node: int
    origin: frozenset[str]


@dataclass(slots=True)
class _Draft:
    sizes: Sequence[int]
    nodes: list[Node] = field(default_factory=list)
    live: dict[int, _Live] = field(default_factory=dict)
    rows: int = 0


def make_circuit(given: Sequence[Table], sizes: Sequence[int], *, tries: int = 3) -> Circuit:
    """Join all tables into a circuit.

    Parameters
    ----------
    given
        Tables; every variable of one is below ``len(sizes)``.
    sizes
        Number of values of each variable.
    tries
        How many orders to try where the first circuit is large.

    Returns
    -------
    Circuit
        Without nodes if no combination satisfies all tables.

    Raises
    ------
    TooWide
        If every order tried has a join with more than ``WIDEST`` rows.
    """
    best: Circuit | None = None
    refused: TooWide | None = None
    for attempt in range(tries):
        chance = random.Random(attempt)
        try:
            found = _contract(
                given,
                sizes,
                chance if attempt else None,
                best.rows if best else None,
            )
        except TooWide as problem:
            refused = problem
            continue
        if found is None:
            return Circuit([], [np.zeros(0, np.int32) for _ in given])
        pruned = prune(found)
        if best is None or pruned.rows < best.rows:
            best = pruned
        if best.rows < WORTH_TRYING:
            break
    if best is None:
        raise refused or TooWide((), 0)
    return best


def _contract(
    given: Sequence[Table],
    sizes: Sequence[int],
    chance: random.Random | None,
    to_beat: int | None,
) -> Circuit | None:
    draft = _Draft(sizes)
    for number, table in enumerate(given):
        draft.nodes.append(Node(table.rows, table.rows, leaf=number))
        draft.live[number] = _Live(table, number, frozenset([table.name]))
    graph = nx.Graph()
    graph.add_nodes_from(draft.live)
    for number, others in enumerate(neighbours(given)):
        graph.add_edges_from((number, other) for other in others)
    for number in list(draft.live):
        _project_private(draft, number)
    costs: dict[tuple[int, int], float] = {}
    while graph.number_of_edges():
        for one, two in graph.edges:
            pair = (min(one, two), max(one, two))
            if pair not in costs:
                costs[pair] = _cost(draft, *pair)
        if chance is None:
            best = min(costs, key=lambda pair: (costs[pair], pair))
        else:
            noise = chance
            best = min(costs, key=lambda p: (costs[p] + abs(costs[p]) * 0.3 * noise.random(), p))
        one, two = best
        merged = _join(draft, one, two)
        if merged is None:
            return None
        beside = (set(graph[one]) | set(graph[two])) - {one, two}
        graph.remove_nodes_from([one, two])
        costs = {pair: cost for pair, cost in costs.items() if not {one, two} & set(pair)}
        graph.add_node(merged)
        mine = set(draft.live[merged].table.variables)
        for other in sorted(beside):
            if mine & set(draft.live[other].table.variables):
                graph.add_edge(merged, other)
        if to_beat is not None and draft.rows > 6 * to_beat:
            raise TooWide((), draft.rows)
    # What is left are single rows that have nothing to do with each other.
    rest = sorted(draft.live)
    last = rest[0]
    for other in rest[1:]:
        merged = _join(draft, last, other)
        if merged is None:
            return None
        last = merged
    leaf_rows = [np.arange(t.rows, dtype=np.int32) for t in given]
    return Circuit(draft.nodes, leaf_rows)


def _kept_variables(draft: _Draft, without: tuple[int, ...], variables: set[int]) -> list[int]:
    elsewhere: set[int] = set()
    for number, live in draft.live.items():
        if number not in without:
            elsewhere.update(live.table.variables)
    return sorted(variables & elsewhere)


def _project_private(draft: _Draft, number: int) -> None:
    """Project away what only one table mentions."""
    live = draft.live[number]
    keep = _kept_variables(draft, (number,), set(live.table.variables))
    if len(keep) == len(live.table.variables):
        return
    columns = [live.table.columns[live.table.variables.index(v)] for v in keep]
    order, starts, firsts = tables.group(columns, [draft.sizes[v] for v in keep], live.table.rows)
    node = Node(len(starts), live.table.rows, live.node, from_left=order, starts=starts)
    draft.nodes.append(node)
    draft.rows += live.table.rows
    table = Table(live.table.name, tuple(keep), tuple(c[firsts] for c in columns), len(starts))
    draft.live[number] = _Live(table, len(draft.nodes) - 1, live.origin)


def _cost(draft: _Draft, one: int, two: int) -> float:
    """What joining two tables now would add, less what it takes away."""
    a, b = draft.live[one].table, draft.live[two].table
    joined = tables.matches(a, b, draft.sizes)
    keep = _kept_variables(draft, (one, two), set(a.variables) | set(b.variables))
    bound = 1.0
    for variable in keep:
        bound *= draft.sizes[variable]
    left = min(float(joined), bound, _distinct(a, keep) * _distinct(b, keep))
    return 0.1 * joined + left - (a.rows + b.rows)


def _distinct(table: Table, keep: Sequence[int]) -> float:
    """At most so many different rows of a table on some variables."""
    bound = 1.0
    for variable, column in zip(table.variables, table.columns, strict=True):
        if variable in keep:
            bound *= len(np.unique(column)) if len(column) < 5000 else float(column.max() + 1)
    return min(bound, float(table.rows))


def _join(draft: _Draft, one: int, two: int) -> int | None:
    """Join two live tables and project away what nobody else needs."""
    left, right = draft.live[one], draft.live[two]
    origin = left.origin | right.origin
    expected = tables.matches(left.table, right.table, draft.sizes)
    if expected > WIDEST:
        raise TooWide(sorted(origin), expected)
    of_left, of_right = tables.match(left.table, right.table, draft.sizes)
    if not len(of_left):
        return None
    keep = _kept_variables(
        draft, (one, two), set(left.table.variables) | set(right.table.variables)
    )
    columns = []
    for variable in keep:
        source, index = (
            (left.table, of_left) if variable in left.table.variables else (right.table, of_right)
        )
        columns.append(source.columns[source.variables.index(variable)][index])
    sizes = [draft.sizes[v] for v in keep]
    order, starts, firsts = tables.group(columns, sizes, len(of_left))
    node = Node(
        len(starts), len(order), left.node, right.node, of_left[order], of_right[order], starts
    )
    if len(starts) == len(order):
        node.starts = None
    table = Table(
        f"{left.table.name} + {right.table.name}"[:200],
        tuple(keep),
        tuple(c[firsts] for c in columns),
        len(starts),
    )
    draft.nodes.append(node)
    draft.rows += len(of_left)
    del draft.live[one], draft.live[two]
    number = len(draft.nodes) - 1
    draft.live[number] = _Live(table, number, origin)
    _drop_unsupported(draft, number)
    return number if draft.live[number].table.rows else None


def _drop_unsupported(draft: _Draft, number: int) -> None:
    """Drop rows of a new table that have no partner in a table it will be joined with."""
    live = draft.live[number]
    keep = np.ones(live.table.rows, np.bool_)
    for other, beside in draft.live.items():
        if other != number and set(beside.table.variables) & set(live.table.variables):
            keep &= tables.supported(live.table, beside.table, draft.sizes)
    if keep.all():
        return
    node = draft.nodes[live.node]
    draft.live[number] = _Live(tables.select(live.table, keep), live.node, live.origin)
    draft.nodes[live.node] = _cut(node, keep, None, None)


def _segments(node: Node) -> Index:
    """Outer row of each inner row."""
    if node.starts is None:
        return np.arange(node.rows, dtype=np.int32)
    sizes = np.diff(node.starts, append=node.inner)
    return np.repeat(np.arange(node.rows, dtype=np.int32), sizes)


def _cut(
    node: Node,
    alive: NDArray[np.bool_],
    left: NDArray[np.bool_] | None,
    right: NDArray[np.bool_] | None,
) -> Node:
    """Keep the outer rows that are alive; renumber where children were cut too."""
    segments = _segments(node)
    inner = alive[segments]
    from_left = np.flatnonzero(inner) if node.from_left is None else node.from_left[inner]
    from_right = node.from_right[inner] if node.from_right is not None else None
    if left is not None:
        from_left = _renumbered(left)[from_left]
    if right is not None and from_right is not None:
        from_right = _renumbered(right)[from_right]
    kept = segments[inner]
    starts = None
    count = int(alive.sum())
    if count != len(kept):
        first = np.ones(len(kept), np.bool_)
        first[1:] = kept[1:] != kept[:-1]
        starts = np.flatnonzero(first).astype(np.int32)
    return Node(
        count, len(kept), node.left, node.right, from_left.astype(np.int32), from_right, starts
    )


def _renumbered(alive: NDArray[np.bool_]) -> Index:
    return (np.cumsum(alive) - 1).astype(np.int32)


def prune(circuit: Circuit) -> Circuit:
    """Cut out every row that is in no package.

    Rows are built upwards from rows that exist, so a row is in a package exactly if a row of the
    root hangs on it: one pass down marks them.
    """
    alive = [np.zeros(node.rows, np.bool_) for node in circuit.nodes]
    alive[-1][:] = True
    for number in range(len(circuit.nodes) - 1, -1, -1):
        node = circuit.nodes[number]
        if node.leaf >= 0:
            continue
        inner = alive[number][_segments(node)]
        for child, index in ((node.left, node.from_left), (node.right, node.from_right)):
            if child >= 0:
                used = np.flatnonzero(inner) if index is None else index[inner]
                alive[child][used] = True
    nodes: list[Node] = []
    leaf_rows = list(circuit.leaf_rows)
    for number, node in enumerate(circuit.nodes):
        if node.leaf >= 0:
            leaf_rows[node.leaf] = circuit.leaf_rows[node.leaf][alive[number]]
            rows = int(alive[number].sum())
            nodes.append(Node(rows, rows, leaf=node.leaf))
            continue
        cut = _cut(
            node,
            alive[number],
            alive[node.left],
            alive[node.right] if node.right >= 0 else None,
        )
        nodes.append(_without_identities(cut, nodes))
    return Circuit(nodes, leaf_rows)


def _without_identities(node: Node, nodes: list[Node]) -> Node:
    """Leave out index arrays that change nothing."""
    for side in ("left", "right"):
        child = getattr(node, side)
        index = getattr(node, f"from_{side}")
        if child >= 0 and index is not None and len(index) == nodes[child].rows:
            if np.array_equal(index, np.arange(len(index), dtype=np.int32)):
                setattr(node, f"from_{side}", None)
    return node
