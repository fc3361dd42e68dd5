"""A circuit without what weighs nothing: fewer nodes, for passes over little that is left.

Leaves of rules weigh nothing. Where rows of a node differ by such leaves only they are one, and a
node whose rows each take one row of a single child is not needed at all. The cheapest package of
each row stays what it was; how many packages there are does not.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from configurator.search.circuit.nodes import Circuit, Node
from configurator.search.circuit.witnesses import segments_of

if TYPE_CHECKING:
    from collections.abc import Collection

    from numpy.typing import NDArray

    Rows = NDArray[np.intp]


def contracted(circuit: Circuit, weighed: Collection[int]) -> Circuit:
    """Leave out what weighs nothing.

    Parameters
    ----------
    circuit
        It is left as it is.
    weighed
        Tables whose rows may weigh something; one of them at least is in the circuit.
    """
    nodes: list[Node] = []
    # Of each node which one stands for it, None if it weighs nothing, and there the row of each.
    stands: list[tuple[int, Rows] | None] = []
    for node in circuit.nodes:
        if node.leaf >= 0:
            if node.leaf in weighed:
                nodes.append(Node(node.rows, node.rows, leaf=node.leaf))
                stands.append((len(nodes) - 1, np.arange(node.rows)))
            else:
                stands.append(None)
            continue
        outer = segments_of(node)
        outer = np.arange(node.rows) if outer is None else outer
        sides = []
        for child, index in ((node.left, node.from_left), (node.right, node.from_right)):
            known = stands[child] if child >= 0 else None
            if known is not None:
                number, rows = known
                sides.append((number, rows if index is None else rows[index]))
        stands.append(_joined(nodes, node.rows, outer, sides))
    root = stands[-1]
    if root is None:
        message = "nothing weighs anything"
        raise ValueError(message)
    number, rows = root
    if nodes[number].rows > 1 or number < len(nodes) - 1:
        nodes.append(Node(1, 1, number, from_left=rows.astype(np.int32)))
    return Circuit(nodes, circuit.leaf_rows, limits=circuit.limits)


def _joined(
    nodes: list[Node], many: int, outer: Rows, sides: list[tuple[int, Rows]]
) -> tuple[int, Rows] | None:
    """Add a node for rows that take rows of one or two children, where that is needed."""
    if not sides:
        return None
    key = outer.astype(np.int64)
    for number, rows in sides:
        key = key * nodes[number].rows + rows
    _, first = np.unique(key, return_index=True)
    outer, sides = outer[first], [(number, rows[first]) for number, rows in sides]
    alone = len(outer) == many  # each row takes one row of each child
    if alone and len(sides) == 1:
        return sides[0]
    indices = [rows.astype(np.int32) for _, rows in sides]
    node = Node(
        many,
        len(outer),
        sides[0][0],
        sides[1][0] if len(sides) > 1 else -1,
        indices[0],
        indices[1] if len(sides) > 1 else None,
        None if alone else np.flatnonzero(np.diff(outer, prepend=-1)).astype(np.int32),
    )
    nodes.append(node)
    return len(nodes) - 1, np.arange(many)
