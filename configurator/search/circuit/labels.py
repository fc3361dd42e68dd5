"""Pareto labels over a circuit: price and sums of what may still be part of an answer, no more.

A label is one way to a row: what it costs and what it adds to each limited sum. Up labels are of
what is below a row, down labels of all that goes with it. Of two labels of a row, one that is
neither cheaper nor smaller in any sum is dropped; so is one that no completion brings within the
limits, or below the price that is known already for every row still asked about (`label_bounds`).

References
----------
.. [1] S. Irnich and G. Desaulniers, *Shortest path problems with resource constraints*, in Column
   Generation, Springer (2005): labels, dominance, bounding by completions.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

import numpy as np

from configurator.search.circuit.dominance import undominated
from configurator.search.circuit.nodes import towards
from configurator.search.circuit.witnesses import parents, segments_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.search.circuit.nodes import Circuit, Node

    Rows = NDArray[np.intp]
    Amounts = NDArray[np.int64]

# Pairs of labels that are put together at a time.
AT_A_TIME = 1 << 20
# Labels of all nodes at which it is given up.
MOST_LABELS = 1_500_000


class TooManyLabels(Exception):
    """So many labels are left that working with them would take too long."""


@dataclass(frozen=True, slots=True)
class Labels:
    """Labels of the rows of a node, one row after the other, the cheapest of each first.

    Parameters
    ----------
    starts
        For each row where its labels begin, and at the end how many there are.
    cost
        Of each label, in minor units.
    sums
        For each limited sum what each label adds, in thousandths.
    inner
        How each came about: the inner row of the node, or for a leaf the number of the option;
        for down labels the inner row of the parent.
    first, second
        Which labels were put together: of the left and the right child; for down labels the down
        label of the parent and the up label of the sibling. -1 for none.
    """

    starts: Rows
    cost: Amounts
    sums: Amounts
    inner: Rows
    first: Rows
    second: Rows

    def rows(self) -> Rows:
        """Give the row of each label."""
        return np.repeat(np.arange(len(self.starts) - 1), np.diff(self.starts))


@dataclass(frozen=True, slots=True)
class Keeping:
    """Which labels of a row to keep.

    Parameters
    ----------
    keep
        Takes the number of a node, whether the labels are up labels, the row, cost and sums of
        each; says which may be part of an answer.
    clamp
        Takes the same but costs; gives the sums by which labels are compared: where all that may
        come still keeps a limit, less of the sum makes no difference any more.
    beam
        How many labels of a row are kept at most; None for all that are needed.
    """

    keep: Callable[[int, bool, Rows, Amounts, Amounts], NDArray[np.bool_]]
    clamp: Callable[[int, bool, Rows, Amounts], Amounts]
    beam: int | None = None


def gathered(
    rows: int,
    parts: Sequence[tuple[Rows, Amounts, Amounts, Rows, Rows, Rows]],
    sums: int,
    beam: int | None = None,
    compared: Callable[[Rows, Amounts], Amounts] | None = None,
) -> Labels:
    """Put candidates (row, cost, sums, inner, first, second) together as the labels of a node."""
    if parts:
        row, cost, amounts, inner, first, second = (
            np.concatenate(columns, axis=-1) for columns in zip(*parts, strict=True)
        )
    else:
        row = inner = first = second = np.zeros(0, np.intp)
        cost, amounts = np.zeros(0, np.int64), np.zeros((sums, 0), np.int64)
    by = amounts if compared is None else compared(row, amounts)
    order = undominated(row, cost, by, beam)
    starts = np.zeros(rows + 1, np.intp)
    np.cumsum(np.bincount(row[order], minlength=rows), out=starts[1:])
    return Labels(starts, cost[order], amounts[:, order], inner[order], first[order], second[order])


def _pairs(
    where: Rows, left: Labels | None, left_rows: Rows, right: Labels | None, right_rows: Rows
) -> Iterator[tuple[Rows, Rows, Rows]]:
    """Pair the labels on two sides of some places, a number of them at a time; -1 for no labels."""
    ones = np.ones(len(where), np.intp)
    many_left = ones if left is None else np.diff(left.starts)[left_rows]
    many_right = ones if right is None else np.diff(right.starts)[right_rows]
    many = many_left * many_right
    ends = np.cumsum(many)
    total = int(ends[-1]) if len(ends) else 0
    cuts = np.searchsorted(ends, np.arange(AT_A_TIME, total, AT_A_TIME), "right")
    bounds = np.unique([0, *cuts.tolist(), len(where)]).tolist()
    for begin, end in itertools.pairwise(bounds):
        counts = many[begin:end]
        at = np.repeat(np.arange(begin, end), counts)
        offset = np.arange(len(at)) - np.repeat(np.cumsum(counts) - counts, counts)
        width = many_right[at]
        first = np.full(len(at), -1, np.intp)
        second = np.full(len(at), -1, np.intp)
        if left is not None:
            first = left.starts[left_rows[at]] + offset // width
        if right is not None:
            second = right.starts[right_rows[at]] + offset % width
        yield where[at], first, second


def _put_together(
    first: Rows, left: Labels | None, second: Rows, right: Labels | None, sums: int
) -> tuple[Amounts, Amounts]:
    cost, amounts = np.zeros(len(first), np.int64), np.zeros((sums, len(first)), np.int64)
    for labels, which in ((left, first), (right, second)):
        if labels is not None:
            cost += labels.cost[which]
            amounts += labels.sums[:, which]
    return cost, amounts


def up_labels(
    circuit: Circuit, leaves: Mapping[int, Labels], sums: int, keeping: Keeping
) -> list[Labels | None]:
    """Give the up labels of each node; None where every row costs and adds nothing.

    Parameters
    ----------
    circuit
        With at least one node.
    leaves
        Table → the labels of its leaf; other leaves cost and add nothing.
    sums
        How many sums there are.
    keeping
        Which labels are kept.

    Raises
    ------
    TooManyLabels
        If there are more than ``MOST_LABELS``.
    """
    result: list[Labels | None] = []
    total = 0
    for number, node in enumerate(circuit.nodes):
        if node.leaf >= 0:
            result.append(_filtered(number, leaves.get(node.leaf), keeping))
        else:
            left, right = result[node.left], result[node.right] if node.right >= 0 else None
            result.append(_upwards(number, node, left, right, sums, keeping))
        labels = result[-1]
        total += 0 if labels is None else len(labels.cost)
        if total > MOST_LABELS:
            raise TooManyLabels
    return result


def _filtered(number: int, labels: Labels | None, keeping: Keeping) -> Labels | None:
    if labels is None:
        return None
    rows = labels.rows()
    kept = keeping.keep(number, True, rows, labels.cost, labels.sums)
    part = (
        rows[kept],
        labels.cost[kept],
        labels.sums[:, kept],
        labels.inner[kept],
        labels.first[kept],
        labels.second[kept],
    )
    rows_of_leaf = len(labels.starts) - 1
    return gathered(
        rows_of_leaf, [part], len(labels.sums), keeping.beam, partial(keeping.clamp, number, True)
    )


def _upwards(
    number: int,
    node: Node,
    left: Labels | None,
    right: Labels | None,
    sums: int,
    keeping: Keeping,
) -> Labels | None:
    if left is None and right is None:
        return None
    every = np.arange(node.inner)
    outer = segments_of(node)
    parts = []
    for inner, first, second in _pairs(
        every,
        left,
        every if node.from_left is None else node.from_left,
        right,
        every if node.from_right is None else node.from_right,
    ):
        cost, amounts = _put_together(first, left, second, right, sums)
        rows = inner if outer is None else outer[inner]
        kept = keeping.keep(number, True, rows, cost, amounts)
        rows, cost, amounts = rows[kept], cost[kept], amounts[:, kept]
        parts.append((rows, cost, amounts, inner[kept], first[kept], second[kept]))
        if sum(len(part[0]) for part in parts) > MOST_LABELS:
            raise TooManyLabels
    return gathered(node.rows, parts, sums, keeping.beam, partial(keeping.clamp, number, True))


def down_labels(
    circuit: Circuit,
    up: Sequence[Labels | None],
    sums: int,
    keeping: Keeping,
    wanted: Sequence[int],
) -> list[Labels | None]:
    """Give the down labels of each node towards some tables' leaves; None elsewhere.

    Raises
    ------
    TooManyLabels
        If there are more than ``MOST_LABELS``.
    """
    needed = towards(circuit, wanted)
    result: list[Labels | None] = [None] * len(circuit.nodes)
    zero = np.zeros(1, np.intp)
    nothing = (zero, np.zeros(1, np.int64), np.zeros((sums, 1), np.int64), zero, zero - 1, zero - 1)
    result[-1] = gathered(1, [nothing], sums)
    total = 0
    for number in range(len(circuit.nodes) - 1, -1, -1):
        node = circuit.nodes[number]
        if not needed[number] or node.leaf >= 0:
            continue
        own, outer = result[number], segments_of(node)
        every = np.arange(node.inner)
        for child, index, sibling, of_sibling in (
            (node.left, node.from_left, node.right, node.from_right),
            (node.right, node.from_right, node.left, node.from_left),
        ):
            if child < 0 or not needed[child]:
                continue
            beside = up[sibling] if sibling >= 0 else None
            parts = []
            for inner, first, second in _pairs(
                every,
                own,
                every if outer is None else outer,
                beside,
                every if of_sibling is None else of_sibling,
            ):
                cost, amounts = _put_together(first, own, second, beside, sums)
                rows = inner if index is None else index[inner]
                kept = keeping.keep(child, False, rows, cost, amounts)
                rows, cost, amounts = rows[kept], cost[kept], amounts[:, kept]
                parts.append((rows, cost, amounts, inner[kept], first[kept], second[kept]))
            compared = partial(keeping.clamp, child, False)
            labels = gathered(circuit.nodes[child].rows, parts, sums, keeping.beam, compared)
            result[child] = labels
            total += len(labels.cost)
            if total > MOST_LABELS:
                raise TooManyLabels
    return result


def options_of(
    circuit: Circuit,
    up: Sequence[Labels | None],
    down: Sequence[Labels | None],
    leaf: int,
    ends: Rows,
) -> dict[int, Rows]:
    """Give the options behind down labels of a leaf, its own left aside.

    Parameters
    ----------
    circuit, up, down
        The circuit and its labels.
    leaf
        Table of the leaf.
    ends
        Which of its down labels.

    Returns
    -------
    dict
        Table of a leaf with labels → number of the option in each package.
    """
    parent = parents(circuit)
    number = next(n for n, node in enumerate(circuit.nodes) if node.leaf == leaf)
    arriving: dict[int, list[tuple[Rows, Rows]]] = {}
    at, label = number, ends
    while parent[at] >= 0:
        labels, node = down[at], circuit.nodes[parent[at]]
        assert labels is not None
        sibling = node.right if node.left == at else node.left
        if sibling >= 0 and up[sibling] is not None:
            arriving[sibling] = [(np.arange(len(ends)), labels.second[label])]
        at, label = parent[at], labels.first[label]
    return _expanded(circuit, up, len(ends), arriving)


def options_of_root(circuit: Circuit, up: Sequence[Labels | None], ends: Rows) -> dict[int, Rows]:
    """Give the options behind up labels of the root; see `options_of`."""
    last = len(circuit.nodes) - 1
    return _expanded(circuit, up, len(ends), {last: [(np.arange(len(ends)), ends)]})


def _expanded(
    circuit: Circuit,
    up: Sequence[Labels | None],
    many: int,
    arriving: dict[int, list[tuple[Rows, Rows]]],
) -> dict[int, Rows]:
    result: dict[int, Rows] = {}
    for number in range(len(circuit.nodes) - 1, -1, -1):
        labels = up[number]
        if number not in arriving or labels is None:
            continue
        node = circuit.nodes[number]
        for packages, which in arriving.pop(number):
            if node.leaf >= 0:
                chosen = result.setdefault(node.leaf, np.full(many, -1, np.intp))
                chosen[packages] = labels.inner[which]
                continue
            for child, ends in ((node.left, labels.first), (node.right, labels.second)):
                if child >= 0 and up[child] is not None:
                    arriving.setdefault(child, []).append((packages, ends[which]))
    return result
