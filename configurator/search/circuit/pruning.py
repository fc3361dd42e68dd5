"""Cut out of a circuit what is in no package.

Rows of joins are made from the tables' rows upwards; later joins find no partner for most of them.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import numpy as np

from configurator.search.circuit.nodes import Circuit, Node
from configurator.search.encoding.tables import distinct_count

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from numpy.typing import NDArray

    Index = NDArray[np.int32]


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
        nodes.append(without_identities(cut, nodes))
    return Circuit(nodes, leaf_rows)


def keep_inner(circuit: Circuit, kept: Sequence[NDArray[np.bool_] | None]) -> Circuit:
    """Keep some inner rows of each node, as far as the root hangs on them.

    Parameters
    ----------
    circuit
        It is left as it is.
    kept
        For each node that is no leaf which inner rows; of every outer row that is left some are.

    Returns
    -------
    Circuit
        Without nodes if nothing is left; its leaf rows are numbers of rows of the given leaves.
    """
    last = len(circuit.nodes) - 1
    alive: dict[int, NDArray[np.intp]] = {last: np.zeros(1, np.intp)}
    nodes: list[Node] = []
    leaf_rows: list[Any] = [np.zeros(0, np.intp) for _ in circuit.leaf_rows]
    for number in range(last, -1, -1):
        node, rows, mask = circuit.nodes[number], alive.pop(number), kept[number]
        if node.leaf >= 0 or mask is None:
            leaf_rows[node.leaf] = rows
            nodes.append(Node(len(rows), len(rows), leaf=node.leaf))
            continue
        if node.starts is None:
            inner, outer = rows[mask[rows]], np.flatnonzero(mask[rows])
        else:
            place = np.full(node.rows, -1, np.intp)
            place[rows] = np.arange(len(rows))
            inner = np.flatnonzero(mask)
            outer = place[_segments(node)[inner]]
            inner, outer = inner[outer >= 0], outer[outer >= 0]
        if not len(inner):
            return Circuit([], leaf_rows)
        cut = Node(len(rows), len(inner), node.left, node.right)
        if len(inner) > len(rows):
            cut.starts = np.searchsorted(outer, np.arange(len(rows)))
            cut.outer = outer
        for side in ("left", "right"):
            child, index = getattr(node, side), getattr(node, f"from_{side}")
            if child >= 0:
                used = inner if index is None else index[inner]
                alive[child], place = distinct(used, circuit.nodes[child].rows)
                setattr(cut, f"from_{side}", place)
        nodes.append(cut)
    nodes.reverse()
    for node in nodes:
        without_identities(node, nodes)
    return Circuit(nodes, leaf_rows)


def distinct(used: NDArray[Any], rows: int) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Give the distinct rows among some in order, and for each of them which of these it is."""
    if len(used) * 16 < rows:  # then sorting them is quicker than marking all
        rows_used, place = np.unique(used, return_inverse=True)
        return rows_used, place.reshape(-1)
    mark = np.zeros(rows, np.bool_)
    mark[used] = True
    return np.flatnonzero(mark), (np.cumsum(mark) - 1)[used]


def _segments(node: Node) -> Index:
    """Outer row of each inner row."""
    if node.outer is not None:
        return node.outer
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


def without_identities(node: Node, nodes: Sequence[Node]) -> Node:
    """Leave out index arrays that change nothing.

    Parameters
    ----------
    node
        Whose arrays; it is changed.
    nodes
        Its children among them, by number.
    """
    for side in ("left", "right"):
        child = getattr(node, side)
        index = getattr(node, f"from_{side}")
        if child < 0 or index is None or len(index) != nodes[child].rows:
            continue
        if np.array_equal(index, np.arange(len(index), dtype=np.int32)):
            setattr(node, f"from_{side}", None)
    return node


def in_joined_order(circuit: Circuit, leaves: Collection[int]) -> Circuit:
    """Put the rows of some leaves in the order in which joins meet them, where each is met once.

    A long list of parts is mostly the longer side of its first join: passes then need no index.

    Parameters
    ----------
    circuit
        After pruning; it is left as it is.
    leaves
        Tables whose leaves may be put in another order.
    """
    leaf_rows = list(circuit.leaf_rows)

    def met(child: int, index: Index | None) -> Index | None:
        """Order a child by the index that takes it, which is then not needed any more."""
        if child < 0 or index is None or len(index) != circuit.nodes[child].rows:
            return index
        leaf = circuit.nodes[child].leaf
        if leaf not in leaves or distinct_count(index) != len(index):
            return index
        leaf_rows[leaf] = [leaf_rows[leaf][row] for row in index.tolist()]
        return None

    nodes = [
        replace(
            node,
            from_left=met(node.left, node.from_left),
            from_right=met(node.right, node.from_right),
        )
        for node in circuit.nodes
    ]
    return Circuit(nodes, leaf_rows)
