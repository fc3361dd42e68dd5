"""A fixed circuit of gathers, sums and segmented minima, and the two passes over it.

A node is either a leaf (a table, whose rows get weights from outside) or made of one or two
earlier nodes: its inner rows pair a row of ``left`` with a row of ``right``; inner rows that agree
on what later nodes still need are one outer row. Every node is used exactly once, so that the
nodes form a tree and the last one, the root, has a single row.

The forward pass gives the answer over all packages; the backward pass, its derivative, gives for
each row of each leaf the answer over all packages that use this row, the row's own weight left out.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.search.semirings import Semiring, Values

    Index = NDArray[np.int32]

# Rows of a node up to which lengths of segments are kept: of more they take more memory than time.
KEPT_LENGTHS = 1_000_000


@dataclass(slots=True)
class Node:
    """One node of the circuit.

    Parameters
    ----------
    rows
        Number of outer rows.
    inner
        Number of inner rows; for a leaf the same.
    left, right
        Numbers of earlier nodes; -1 for none. A leaf has neither.
    from_left, from_right
        For each inner row, the row of the child; None for the identity.
    starts
        Where each outer row's segment of inner rows starts; None where inner and outer rows are
        the same.
    leaf
        Index of the table a leaf stands for; -1 for inner nodes.
    """

    rows: int
    inner: int
    left: int = -1
    right: int = -1
    from_left: Index | None = None
    from_right: Index | None = None
    starts: Index | None = None
    leaf: int = -1


@dataclass(slots=True)
class Circuit:
    """Nodes in order, and for each leaf table the rows of it that are still in use.

    Parameters
    ----------
    nodes
        Children before parents; the last is the root. Empty if no package exists at all.
    leaf_rows
        For each table, what each row of its leaf stands for, in order: a row of the table the
        circuit was made of, or the rows of an earlier one that became it.
    """

    nodes: list[Node]
    leaf_rows: list[Any]
    _lengths: dict[int, NDArray[np.int64]] = field(default_factory=dict)

    @property
    def rows(self) -> int:
        """Inner rows in all: what a pass costs."""
        return sum(node.inner for node in self.nodes)


def forward(
    circuit: Circuit,
    weights: Mapping[int, Values],
    semiring: Semiring,
    last: Sequence[Values | None] | None = None,
) -> list[Values | None]:
    """Work out the value of every node's rows.

    Parameters
    ----------
    circuit
        With at least one node.
    weights
        Table index → one value per row of its leaf; tables that are not in it weigh nothing.
    semiring
        What is computed.
    last
        What an earlier pass over this circuit in this semiring returned: only what is downstream
        of a weight that has changed since is worked out anew.

    Returns
    -------
    list
        For each node an array of its ``rows`` values, or None where all are one. The answer is
        the single value of the last. Arrays may be those of ``weights`` and of ``last``: they are
        read, never written.
    """
    values: list[Values | None] = []
    same: list[bool] = []
    for number, node in enumerate(circuit.nodes):
        if node.leaf >= 0:
            found = weights.get(node.leaf)
        elif last is not None and same[node.left] and (node.right < 0 or same[node.right]):
            found = last[number]
        else:
            found = _value(node, values, semiring)
        same.append(last is not None and _equal(found, last[number]))
        # Of two equal arrays the earlier, so that the next comparison sees that they are the same.
        values.append(last[number] if last is not None and same[number] else found)
    return values


def _equal(one: Values | None, other: Values | None) -> bool:
    if one is None or other is None:
        return one is other
    return one is other or np.array_equal(one, other)


def _value(node: Node, values: list[Values | None], semiring: Semiring) -> Values | None:
    inner = _inner(node, values, semiring)
    if node.starts is None:
        return inner
    if inner is not None:
        return semiring.add_segments(inner, node.starts)
    # Adding up ones is still one where the cheapest counts, but not where rows do.
    reduced = semiring.add_segments(semiring.ones(node.inner), node.starts)
    return None if np.array_equal(reduced, semiring.ones(node.rows)) else reduced


def _inner(node: Node, values: list[Values | None], semiring: Semiring) -> Values | None:
    left = _gather(values[node.left], node.from_left)
    if node.right < 0:
        return left
    right = _gather(values[node.right], node.from_right)
    if left is None:
        return right
    if right is None:
        return left
    return semiring.multiply(left, right)


def _gather(values: Values | None, index: Index | None) -> Values | None:
    if values is None or index is None:
        return values
    return values[index]


def answer(values: list[Values | None], semiring: Semiring) -> Any:
    """Take the answer of a forward pass."""
    last = values[-1] if values else None
    return semiring.ones(1)[0] if last is None else last[0]


def backward(
    circuit: Circuit,
    values: list[Values | None],
    semiring: Semiring,
    wanted: Collection[int],
) -> dict[int, Values]:
    """Give for each row of the wanted leaves the answer over all packages that use it.

    Parameters
    ----------
    circuit, values, semiring
        As for the forward pass, and what it returned.
    wanted
        Indices of tables.

    Returns
    -------
    dict
        Table index → one value per row of its leaf, the row's own weight left out.
    """
    needed = _towards(circuit, wanted)
    above: dict[int, Values | None] = {len(circuit.nodes) - 1: None}
    found: dict[int, Values] = {}
    for number in range(len(circuit.nodes) - 1, -1, -1):
        node = circuit.nodes[number]
        if not needed[number]:
            continue
        own = above.pop(number)
        if node.leaf >= 0:
            if node.leaf in wanted:
                found[node.leaf] = semiring.ones(node.rows) if own is None else own
            continue
        spread = own
        if own is not None and node.starts is not None:
            spread = np.repeat(own, _segment_lengths(circuit, number))
        for side, child, other in (
            ("left", node.left, node.right),
            ("right", node.right, node.left),
        ):
            if child < 0 or not needed[child]:
                continue
            inner = spread
            if other >= 0:
                index = node.from_right if side == "left" else node.from_left
                beside = _gather(values[other], index)
                if beside is not None:
                    inner = beside if inner is None else semiring.multiply(inner, beside)
            above[child] = _collected(circuit, number, side, inner, semiring)
    return found


def _towards(circuit: Circuit, wanted: Collection[int]) -> list[bool]:
    needed: list[bool] = []
    for node in circuit.nodes:
        if node.leaf >= 0:
            needed.append(node.leaf in wanted)
        else:
            needed.append(needed[node.left] or (node.right >= 0 and needed[node.right]))
    return needed


def _collected(
    circuit: Circuit, number: int, side: str, inner: Values | None, semiring: Semiring
) -> Values | None:
    """Collect inner rows by the child's row they came from."""
    node = circuit.nodes[number]
    index = node.from_left if side == "left" else node.from_right
    if index is None:
        return inner
    if inner is None:
        inner = semiring.ones(node.inner)
    child = circuit.nodes[node.left if side == "left" else node.right]
    return semiring.add_by_row(inner, index, child.rows)


def _segment_lengths(circuit: Circuit, number: int) -> NDArray[np.int64]:
    lengths = circuit._lengths.get(number)
    if lengths is None:
        node = circuit.nodes[number]
        assert node.starts is not None
        lengths = np.empty(node.rows, np.int64)
        np.subtract(node.starts[1:], node.starts[:-1], out=lengths[:-1])
        lengths[-1] = node.inner - node.starts[-1]
        if node.rows <= KEPT_LENGTHS:
            circuit._lengths[number] = lengths
    return lengths
