"""Bounds with one row designated: which rows of a circuit can still better what is known.

Each row asked about (an option whose price is open) has a price already that is not too low. With
weights that no answer exceeds (price and multipliers of sums), a row of the circuit matters only if
some row asked about, together with it, weighs less than what is known of that one. Two numbers for
each row tell: the least weight without a designated row, and the least of weight less what is known
with one. What does not matter under one set of weights is cut out before the next is asked.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from configurator.search.circuit.pruning import keep_inner
from configurator.search.circuit.witnesses import parents, segments_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.search.circuit.nodes import Circuit, Node

    Weights = NDArray[np.float64]
    Rows = NDArray[np.intp]

INFINITE = np.inf
# How much less is asked of a node than of its parent, so that rounding cuts no row out from under
# one that stays. Weights are below 10**12, and rounded in the fourth decimal at most.
A_LEVEL = 0.01


@dataclass(frozen=True, slots=True)
class DesignatedWeights:
    """Weights of the rows of leaves.

    Parameters
    ----------
    plain
        Table → what each row of its leaf weighs at least; tables that are not in it weigh nothing.
    designated
        Table → the least weight less what is known of an option of the row that is asked about;
        infinite where none is.
    offset
        What every package weighs beside.
    root
        What is known of the cheapest package of all, taken away; infinite if nobody asks for it.
    """

    plain: Mapping[int, Weights]
    designated: Mapping[int, Weights]
    offset: float
    root: float = INFINITE


@dataclass(frozen=True, slots=True)
class DesignatedBounds:
    """For each node and row the least weight below and above it, without and with one designated.

    None where all rows weigh nothing, or, of those with one designated, where none has any.
    ``offset`` is what every package weighs beside: it is in what is above, not in what is below.
    """

    below: Sequence[Weights | None]
    below_with: Sequence[Weights | None]
    above: Sequence[Weights | None]
    above_with: Sequence[Weights | None]
    offset: float = 0.0


def designated_bounds(circuit: Circuit, weights: DesignatedWeights) -> DesignatedBounds:
    """Work out the four numbers of each row: one pass up, one down."""
    below: list[Weights | None] = []
    below_with: list[Weights | None] = []
    for node in circuit.nodes:
        if node.leaf >= 0:
            below.append(weights.plain.get(node.leaf))
            below_with.append(weights.designated.get(node.leaf))
            continue
        plain, marked = _inner(node, below, below_with)
        below.append(_least(node, plain))
        below_with.append(_least(node, marked))
    last = len(circuit.nodes) - 1
    above: list[Weights | None] = [None] * (last + 1)
    above_with: list[Weights | None] = [None] * (last + 1)
    above[last] = np.full(1, weights.offset)
    if weights.root < INFINITE:
        above_with[last] = np.full(1, weights.offset - weights.root)
    for number in range(last, -1, -1):
        node = circuit.nodes[number]
        if node.leaf >= 0:
            continue
        outer = segments_of(node)
        own, own_with = (_taken(weights[number], outer) for weights in (above, above_with))
        for child, index, sibling, of_sibling in (
            (node.left, node.from_left, node.right, node.from_right),
            (node.right, node.from_right, node.left, node.from_left),
        ):
            if child < 0:
                continue
            beside = _taken(below[sibling], of_sibling) if sibling >= 0 else None
            beside_with = _taken(below_with[sibling], of_sibling) if sibling >= 0 else None
            plain = _both(own, beside)
            marked = _either(
                None if own_with is None else _both(own_with, beside),
                None if beside_with is None else _both(own, beside_with),
            )
            rows = circuit.nodes[child].rows
            above[child] = _least_of(plain, index, rows)
            above_with[child] = _least_of(marked, index, rows)
    return DesignatedBounds(below, below_with, above, above_with, weights.offset)


def matters(circuit: Circuit, bounds: DesignatedBounds, below: float) -> Circuit:
    """Cut out the inner rows with which no row asked about weighs less than so much.

    Returns
    -------
    Circuit
        Without nodes if none matters; its leaf rows are numbers of rows of the given one's leaves.
    """
    kept: list[NDArray[np.bool_] | None] = []
    limits = _by_level(circuit, below)
    for number, node in enumerate(circuit.nodes):
        if node.leaf >= 0:
            kept.append(None)
            continue
        limit = limits[number]
        plain, marked = _inner(node, bounds.below, bounds.below_with)
        outer = segments_of(node)
        above = _taken(bounds.above[number], outer)
        above_with = _taken(bounds.above_with[number], outer)
        mask = np.zeros(node.inner, np.bool_)
        if above_with is not None:
            mask |= (above_with if plain is None else plain + above_with) < limit
        if marked is not None:
            mask |= (marked if above is None else marked + above) < limit
        kept.append(mask)
    return keep_inner(circuit, kept)


def _by_level(circuit: Circuit, root: float) -> list[float]:
    result = [root] * len(circuit.nodes)
    parent = parents(circuit)
    for number in range(len(circuit.nodes) - 2, -1, -1):
        result[number] = result[parent[number]] + A_LEVEL
    return result


def _inner(
    node: Node, below: Sequence[Weights | None], below_with: Sequence[Weights | None]
) -> tuple[Weights | None, Weights | None]:
    """Give the two numbers of the inner rows of a node."""
    plain = [_taken(below[node.left], node.from_left)]
    marked = [_taken(below_with[node.left], node.from_left)]
    if node.right < 0:
        return plain[0], marked[0]
    plain.append(_taken(below[node.right], node.from_right))
    marked.append(_taken(below_with[node.right], node.from_right))
    left, right = (
        None if own is None else _both(own, other)
        for own, other in ((marked[0], plain[1]), (marked[1], plain[0]))
    )
    return _both(*plain), _either(left, right)


def _taken(weights: Weights | None, index: Rows | None) -> Weights | None:
    return weights if weights is None or index is None else weights[index]


def _both(left: Weights | None, right: Weights | None) -> Weights | None:
    if left is None or right is None:
        return right if left is None else left
    return left + right


def _either(left: Weights | None, right: Weights | None) -> Weights | None:
    if left is None or right is None:
        return right if left is None else left
    return np.minimum(left, right)


def _least(node: Node, inner: Weights | None) -> Weights | None:
    if inner is None or node.starts is None:
        return inner
    return np.minimum.reduceat(inner, node.starts)


def _least_of(weights: Weights | None, index: Rows | None, rows: int) -> Weights | None:
    if weights is None or index is None:
        return weights
    result = np.full(rows, INFINITE)
    np.minimum.at(result, index, weights)
    return result
