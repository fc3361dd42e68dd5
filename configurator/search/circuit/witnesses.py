"""The package behind a price: which rows gave the least weight, followed back through the circuit.

A pass says what the cheapest package with each row weighs. Its backpointers, the inner rows that
gave each minimum, say which package that is; packages of many rows are followed at the same time.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from configurator.search.circuit.nodes import towards

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.search.circuit.nodes import Circuit, Node
    from configurator.search.circuit.semirings import Values

    Rows = NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class TracedPass:
    """Both passes over a circuit, with the way to each row.

    Parameters
    ----------
    inside
        For each node the least weight of each of its rows, or None where all weigh nothing.
    outside
        For each node the least weight of what goes with each of its rows; None likewise.
    impossible
        What the semiring takes for infinity.
    """

    inside: Sequence[Values | None]
    outside: Sequence[Values | None]
    impossible: int

    def up(self, circuit: Circuit, parent: int, number: int, rows: Rows) -> Rows:
        """Give for some rows of a node the inner rows of its parent that gave their weight.

        Parameters
        ----------
        circuit
            The passes were made over.
        parent, number
            Two nodes, the one above the other.
        rows
            Rows of the lower one that are in some package.
        """
        node, many = circuit.nodes[parent], circuit.nodes[number].rows
        _, index, beside, of_beside = next(side for side in _sides(node) if side[0] == number)
        if index is None:
            return rows
        asked = np.zeros(many, np.bool_)
        asked[rows] = True
        inner = np.flatnonzero(asked[index])
        at, least = index[inner], self.outside[number]
        if least is not None:
            weight: Any = 0
            own, other = self.outside[parent], self.inside[beside] if beside >= 0 else None
            if own is not None:
                weight = own[outer_rows(node, inner)]
            if other is not None:
                weight = weight + other[inner if of_beside is None else of_beside[inner]]
            reached = np.flatnonzero(np.minimum(weight, self.impossible) == least[at])
            inner, at = inner[reached], at[reached]
        way = np.full(many, -1, np.intp)
        way[at] = inner
        return np.asarray(way[rows])


def segments_of(node: Node) -> Rows | None:
    """Outer row of each inner row; None where they are the same."""
    if node.starts is None:
        return None
    if node.outer is not None:
        return node.outer
    return np.repeat(np.arange(node.rows), np.diff(node.starts, append=node.inner))


def outer_rows(node: Node, inner: Rows) -> Rows:
    """Give the outer rows of some inner rows."""
    if node.starts is None:
        return inner
    if node.outer is not None:
        return np.asarray(node.outer[inner])
    return np.searchsorted(node.starts, inner, side="right") - 1


def traced(
    circuit: Circuit, inside: Sequence[Values | None], impossible: int, asked: Sequence[int]
) -> TracedPass:
    """Go down over a circuit towards some leaves and remember the way to each row.

    Parameters
    ----------
    circuit
        With at least one node.
    inside
        What `passes.forward` gave in a min-plus semiring.
    impossible
        What that semiring takes for infinity.
    asked
        Tables whose leaves are gone down to; of all other nodes nothing is said.
    """
    needed = towards(circuit, asked)
    last = len(circuit.nodes) - 1
    outside: list[Values | None] = [None] * (last + 1)
    for number in range(last, -1, -1):
        node = circuit.nodes[number]
        if node.leaf >= 0 or not needed[number]:
            continue
        own, outer = outside[number], segments_of(node)
        spread = own if own is None or outer is None else own[outer]
        for child, index, beside, of_beside in _sides(node):
            if not needed[child]:
                continue
            weight = spread
            other = inside[beside] if beside >= 0 else None
            if other is not None:
                other = other if of_beside is None else other[of_beside]
                weight = other if weight is None else np.minimum(weight + other, impossible)
            if weight is not None and index is not None:
                least = np.full(circuit.nodes[child].rows, impossible, weight.dtype)
                np.minimum.at(least, index, weight)
                weight = least
            outside[child] = weight
    return TracedPass(inside, outside, impossible)


def _sides(node: Node) -> list[tuple[int, Rows | None, int, Rows | None]]:
    sides = [(node.left, node.from_left, node.right, node.from_right)]
    if node.right >= 0:
        sides.append((node.right, node.from_right, node.left, node.from_left))
    return sides


def follow(
    circuit: Circuit, result: TracedPass, rows: Mapping[int, Rows], wanted: Sequence[int]
) -> dict[int, Rows]:
    """Give the leaves' rows of the lightest package with each of some rows.

    Parameters
    ----------
    circuit, found
        The circuit and its traced pass.
    rows
        Table of a leaf → rows of it that are in some package; one package for each, in order.
    wanted
        Tables whose rows are told.

    Returns
    -------
    dict
        Wanted table → its row in each package.
    """
    forced = _paths(circuit, result, rows)
    many = sum(len(each) for each in rows.values())
    return descend(circuit, many, forced, wanted, CheapestRows(circuit, result.inside))


def _paths(
    circuit: Circuit, result: TracedPass, rows: Mapping[int, Rows]
) -> dict[int, list[tuple[Rows, Rows]]]:
    """For each node on the way from a row to the root: which packages, and their inner rows."""
    parent = parents(circuit)
    begin = {}
    place = 0
    for leaf, each in rows.items():
        begin[leaf] = (np.arange(place, place + len(each)), each)
        place += len(each)
    arriving: dict[int, list[tuple[Rows, Rows]]] = {}
    forced: dict[int, list[tuple[Rows, Rows]]] = {}
    for number, node in enumerate(circuit.nodes):
        passing = [begin[node.leaf]] if node.leaf in begin else arriving.pop(number, [])
        above = parent[number]
        if not passing or above < 0:
            continue
        packages = np.concatenate([each for each, _ in passing])
        inner = result.up(circuit, above, number, np.concatenate([each for _, each in passing]))
        forced.setdefault(above, []).append((packages, inner))
        outer = segments_of(circuit.nodes[above])
        arriving.setdefault(above, []).append((packages, inner if outer is None else outer[inner]))
    return forced


def parents(circuit: Circuit) -> list[int]:
    """Give the parent of each node; -1 for the root."""
    result = [-1] * len(circuit.nodes)
    for number, node in enumerate(circuit.nodes):
        for child in (node.left, node.right):
            if child >= 0:
                result[child] = number
    return result


class CheapestRows:
    """The inner row of least weight of outer rows, each looked for when it is asked about."""

    def __init__(self, circuit: Circuit, inside: Sequence[Values | None]) -> None:
        self.circuit, self.inside = circuit, inside

    def __call__(self, number: int, rows: Rows) -> Rows:
        """Give the inner row of each outer row of a node."""
        node = self.circuit.nodes[number]
        if node.starts is None:
            return rows
        asked, place = np.unique(rows, return_inverse=True)
        inner, begins = inner_rows(node, asked)
        weight = np.zeros(len(inner), np.int64)
        for child, index in ((node.left, node.from_left), (node.right, node.from_right)):
            values = self.inside[child] if child >= 0 else None
            if values is not None:
                weight = weight + values[inner if index is None else index[inner]]
        least = np.minimum.reduceat(weight, begins)
        lengths = np.diff(begins, append=len(inner))
        reached = np.flatnonzero(weight == np.repeat(least, lengths))
        first = reached[np.searchsorted(reached, begins)]
        return np.asarray(inner[first][place])


def inner_rows(node: Node, outer: Rows) -> tuple[Rows, Rows]:
    """Give the inner rows of some outer rows one after the other, and where each begins."""
    if node.starts is None:
        return outer, np.arange(len(outer))
    begin = node.starts[outer].astype(np.intp)
    following = np.minimum(outer + 1, node.rows - 1)
    end = np.where(outer + 1 < node.rows, node.starts[following], node.inner)
    lengths = end - begin
    begins = np.cumsum(lengths) - lengths
    return np.arange(int(lengths.sum())) + np.repeat(begin - begins, lengths), begins


def descend(
    circuit: Circuit,
    many: int,
    forced: Mapping[int, Sequence[tuple[Rows, Rows]]],
    wanted: Sequence[int],
    choose: CheapestRows,
) -> dict[int, Rows]:
    """Follow some packages from the root down to leaves; where a node is forced, as it says."""
    at: dict[int, Rows] = {len(circuit.nodes) - 1: np.zeros(many, np.intp)}
    needed = towards(circuit, wanted)
    result: dict[int, Rows] = {}
    for number in range(len(circuit.nodes) - 1, -1, -1):
        if not needed[number]:
            continue
        node, rows = circuit.nodes[number], at.pop(number)
        if node.leaf >= 0:
            result[node.leaf] = rows
            continue
        inner = choose(number, rows)
        if number in forced:
            inner = inner.copy()
            for packages, own in forced[number]:
                inner[packages] = own
        for child, index in ((node.left, node.from_left), (node.right, node.from_right)):
            if child >= 0 and needed[child]:
                at[child] = inner if index is None else index[inner]
    return result
