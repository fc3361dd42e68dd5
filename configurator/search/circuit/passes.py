"""The two passes over a circuit, in any semiring.

The forward pass gives the answer over all packages; the backward pass, its derivative, gives for
each row of each leaf the answer over all packages that use this row, the row's own weight left out.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from configurator.core.progress import check
from configurator.search.circuit.compiled import passes_for
from configurator.search.circuit.nodes import ChildSide, towards

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.search.circuit.nodes import Circuit, Node
    from configurator.search.circuit.semirings import Semiring, Values

    Index = NDArray[np.signedinteger]

# Inner rows of an outer row below which, on average, numpy is quicker row by row than by segments.
SHORT = 4
# Numbers of an array up to which its bytes are compared sooner than numpy is asked.
BY_BYTES = 5_000


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
    passes = passes_for(circuit, semiring)
    for number, node in enumerate(circuit.nodes):
        check()
        if node.leaf >= 0:
            stored = weights.get(node.leaf)
        elif last is not None and same[node.left] and (node.right < 0 or same[node.right]):
            stored = last[number]
        elif passes is not None:
            stored = passes.value(node, *_of_children(node, values))
        else:
            stored = _value(node, values, semiring)
        same.append(last is not None and _equal(stored, last[number]))
        # Of two equal arrays the earlier, so that the next comparison sees that they are the same.
        values.append(last[number] if last is not None and same[number] else stored)
    return values


def _equal(value: Values | None, other: Values | None) -> bool:
    if value is None or other is None:
        return value is other
    if value is other:
        return True
    if len(value) <= BY_BYTES:
        return value.tobytes() == other.tobytes()
    return np.array_equal(value, other)


def _value(node: Node, values: list[Values | None], semiring: Semiring) -> Values | None:
    inner = _inner(node, values, semiring)
    if node.starts is None:
        return inner
    if inner is not None:
        if node.outer is not None and node.inner < SHORT * node.rows:
            return semiring.add_by_row(inner, node.outer, node.rows)
        return semiring.add_segments(inner, node.starts)
    # Adding up ones is still one where the cheapest counts, but not where rows do.
    reduced = semiring.add_segments(semiring.ones(node.inner), node.starts)
    return None if np.array_equal(reduced, semiring.ones(node.rows)) else reduced


def _inner(node: Node, values: list[Values | None], semiring: Semiring) -> Values | None:
    left, right = _of_children(node, values)
    left, right = _gather(left, node.from_left), _gather(right, node.from_right)
    if left is None:
        return right
    if right is None:
        return left
    return semiring.multiply(left, right)


def _of_children(node: Node, values: list[Values | None]) -> tuple[Values | None, Values | None]:
    return values[node.left], values[node.right] if node.right >= 0 else None


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
    needed = towards(circuit, wanted)
    above: dict[int, Values | None] = {len(circuit.nodes) - 1: None}
    result: dict[int, Values] = {}
    passes = passes_for(circuit, semiring)
    for number in range(len(circuit.nodes) - 1, -1, -1):
        check()
        node = circuit.nodes[number]
        if not needed[number]:
            continue
        own = above.pop(number)
        if node.leaf >= 0:
            if node.leaf in wanted:
                result[node.leaf] = semiring.ones(node.rows) if own is None else own
            continue
        sides = [
            ChildSide(
                circuit.nodes[child].rows, index, values[other] if other >= 0 else None, of_other
            )
            for child, index, other, of_other in (
                (node.left, node.from_left, node.right, node.from_right),
                (node.right, node.from_right, node.left, node.from_left),
            )
            if child >= 0 and needed[child]
        ]
        children = [child for child in (node.left, node.right) if child >= 0 and needed[child]]
        if passes is not None:
            handed: Sequence[Values | None] = passes.below(node, own, sides)
        else:
            handed = _below(node, own, sides, semiring)
        above.update(zip(children, handed, strict=True))
    return result


def _below(
    node: Node,
    own: Values | None,
    sides: Sequence[ChildSide],
    semiring: Semiring,
) -> list[Values | None]:
    """Hand the values of a node's outer rows down to the rows of its children."""
    spread = own
    if own is not None and node.starts is not None:
        if node.outer is not None:
            spread = own[node.outer]
        else:
            spread = np.repeat(own, np.diff(node.starts, append=node.inner))
    below: list[Values | None] = []
    for side in sides:
        inner = spread
        beside = _gather(side.beside, side.from_beside)
        if beside is not None:
            inner = beside if inner is None else semiring.multiply(inner, beside)
        if side.to is not None:
            inner = semiring.ones(node.inner) if inner is None else inner
            inner = semiring.add_by_row(inner, side.to, side.rows)
        below.append(inner)
    return below
