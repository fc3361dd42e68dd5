"""Packages in order of price, one after the other, without ever running into a dead end.

The circuit is an and-or graph in which every row is in some package, so the k-th cheapest package
is found by looking only at the next-best row of each node on the way down.

References
----------
.. [1] L. Huang and D. Chiang, *Better k-best parsing*, IWPT 2005, algorithm 3.
"""

from __future__ import annotations

import heapq
from typing import TYPE_CHECKING, Any

import numpy as np

from configurator.search.circuit.passes import forward
from configurator.search.circuit.semirings import CHEAPEST_64
from configurator.search.encoding import option_columns
from configurator.search.optimum import branch_and_bound
from configurator.search.optimum.queries import allowed, values_for, weigh

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from numpy.typing import NDArray

    from configurator.evaluation.evaluator import Option
    from configurator.search.circuit.nodes import Circuit
    from configurator.search.circuit.semirings import Values
    from configurator.search.optimum.preparing import Prepared, Question

# Packages of equal price that are put in an order of their own.
EQUAL = 32
# How a row of a node gets one of its values: its inner row and the ranks in the two children, or
# for a leaf the option's place among its position's by key, its number, and nothing.
_Way = tuple[int, int, int]


class _Ranked:
    """The ways to a row of a node, cheapest first, found as far as somebody asked."""

    __slots__ = ("heap", "seen", "ways")

    def __init__(self, heap: list[tuple[int, _Way]]) -> None:
        self.heap = heap
        self.ways: list[tuple[int, _Way]] = []
        self.seen = {way for _, way in heap}


class _Order:
    def __init__(
        self,
        question: Question,
        costs: Mapping[str, NDArray[np.int64]] | None,
        work_scale: int,
    ) -> None:
        prepared = question.prepared
        self.prepared = prepared
        self.circuit: Circuit = prepared.circuit
        semiring = prepared.semiring if costs is None else CHEAPEST_64
        self.impossible = semiring.impossible
        self.costs = costs or {p: seat.costs for p, seat in prepared.seats.items()}
        weighed = weigh(question, costs, work_scale, semiring)
        self.possible = weighed.possible
        self.values: list[Values | None] = []
        if self.possible and costs is None:
            self.values = values_for(prepared, weighed)
        elif self.possible:
            # One option after the other is priced by the same weights: most of a pass stays.
            before = prepared.lately.weighed
            same = before is not None and before[0] is costs and before[1] == work_scale
            last = before[2] if before is not None and same else None
            self.values = forward(self.circuit, weighed.weights, semiring, last)
            prepared.lately.weighed = (costs, work_scale, self.values)
        self.ranked: dict[tuple[int, int], _Ranked] = {}
        self.followed: dict[tuple[int, int, int], Any] = {}
        self.positions = {n: p for p, n in question.model.position_tables.items()}
        self.masks = {p: allowed(question.model, question.job, p) for p in self.positions.values()}

    def value(self, node: int, row: int) -> int:
        values = self.values[node]
        return 0 if values is None else int(values[row])

    def rank(self, node: int, row: int, rank: int) -> tuple[int, _Way] | None:
        """Return the ``rank``-th cheapest way to a row, None if there are fewer."""
        ways = self.ranked.get((node, row))
        if ways is None:
            ways = self.ranked[node, row] = _Ranked(self._first(node, row))
        while len(ways.ways) <= rank:
            # What comes after a way is looked at only when somebody asks for more than that way.
            if ways.ways:
                self._follow(node, ways, ways.ways[-1][1])
            if not ways.heap:
                return None
            ways.ways.append(heapq.heappop(ways.heap))
        return ways.ways[rank]

    def _follow(self, node: int, ways: _Ranked, way: _Way) -> None:
        """Put the ways on the list that use the next-best row on either side of one."""
        for left, right in ((1, 0), (0, 1)):
            following = (way[0], way[1] + left, way[2] + right)
            if following in ways.seen:
                continue
            ways.seen.add(following)
            total = self._cost(node, following)
            if total is not None:
                heapq.heappush(ways.heap, (total, following))

    def _first(self, number: int, row: int) -> list[tuple[int, _Way]]:
        node = self.circuit.nodes[number]
        if node.leaf >= 0:
            return self._leaf(node.leaf, number, row)
        start, end = row, row + 1
        if node.starts is not None:
            start = int(node.starts[row])
            end = int(node.starts[row + 1]) if row + 1 < node.rows else node.inner
        inner = np.arange(start, end)
        left = inner if node.from_left is None else node.from_left[start:end]
        cost = np.zeros(len(inner), np.int64)
        if self.values[node.left] is not None:
            cost += self.values[node.left][left]  # type: ignore[index]
        if node.right >= 0 and self.values[node.right] is not None:
            right = inner if node.from_right is None else node.from_right[start:end]
            cost += self.values[node.right][right]  # type: ignore[index]
        usable = cost < self.impossible
        heap = [
            (c, (i, 0, 0))
            for c, i in zip(cost[usable].tolist(), inner[usable].tolist(), strict=True)
        ]
        heapq.heapify(heap)
        return heap

    def _leaf(self, leaf: int, number: int, row: int) -> list[tuple[int, _Way]]:
        position = self.positions.get(leaf)
        if position is None:
            return [(self.value(number, row), (row, 0, 0))]
        seat = self.prepared.seats[position]
        end = int(seat.starts[row + 1]) if row + 1 < len(seat.starts) else len(seat.members)
        members = seat.members[int(seat.starts[row]) : end]
        mask = self.masks[position]
        # Of what costs the same, by key: the order of rows in somebody's list must not show.
        ranks = option_columns.rank_by_key(self.prepared.evaluation, position)
        heap = [
            (int(self.costs[position][option]), (int(ranks[option]), int(option), 0))
            for option in members
            if mask is None or mask[option]
        ]
        heapq.heapify(heap)
        return heap

    def _cost(self, number: int, way: _Way) -> int | None:
        node = self.circuit.nodes[number]
        if node.leaf >= 0:
            return None
        inner, left_rank, right_rank = way
        left = self.rank(node.left, self._child(node.from_left, inner), left_rank)
        if left is None:
            return None
        total = left[0]
        if node.right >= 0:
            right = self.rank(node.right, self._child(node.from_right, inner), right_rank)
            if right is None:
                return None
            total += right[0]
        elif right_rank:
            return None
        return None if total >= self.impossible else total

    @staticmethod
    def _child(index: Values | None, inner: int) -> int:
        return inner if index is None else int(index[inner])

    def numbers(self, rank: int) -> dict[str, int]:
        """Give the options of the ``rank``-th package: position → number."""
        result: dict[str, int] = {}
        waiting: list[Any] = [self._parts(len(self.circuit.nodes) - 1, 0, rank)]
        while waiting:
            node = waiting.pop()
            if node is None:
                continue
            if isinstance(node[0], str):
                result[node[0]] = node[1]
            else:
                waiting.extend(node)
        return result

    def _parts(self, number: int, row: int, rank: int) -> Any:
        """Follow a way down: a position and its option, a pair of such, or None where none is.

        Packages that follow each other differ in little: what was followed once is kept.
        """
        key = (number, row, rank)
        if key in self.followed:
            return self.followed[key]
        way = self.rank(number, row, rank)
        if way is None:
            raise IndexError(rank)
        inner, left_rank, right_rank = way[1]
        node = self.circuit.nodes[number]
        parts: Any = None
        if node.leaf >= 0:
            position = self.positions.get(node.leaf)
            parts = None if position is None else (position, left_rank)
        else:
            parts = self._parts(node.left, self._child(node.from_left, inner), left_rank)
            if node.right >= 0:
                more = self._parts(node.right, self._child(node.from_right, inner), right_rank)
                parts = (parts, more) if parts is not None and more is not None else parts or more
        self.followed[key] = parts
        return parts


def numbers_in_order(
    question: Question,
    costs: Mapping[str, NDArray[np.int64]] | None = None,
    work_scale: int = 1,
    *,
    patience: int = branch_and_bound.PATIENCE,
) -> Iterator[tuple[int, dict[str, int]]]:
    """Give the packages of a job in order of their weight, its budget left aside.

    Parameters
    ----------
    question, costs, work_scale
        As for `queries.weigh`.
    patience
        How many cases to look at without a proof, where the circuit gives bounds only.

    Yields
    ------
    tuple
        Weight and position → option number. Packages of equal weight come in an order that is the
        same on every run; those of equal price in the order of their options' keys, however rows
        stand in lists and tables were joined, if there are not more than some.

    Raises
    ------
    Undecided
        If tables are too wide to be joined, and many cases did not prove what comes next.
    """
    if question.prepared.loose is not None:
        yield from branch_and_bound.numbers_in_order(question, costs, work_scale, patience)
        return
    order = _Order(question, costs, work_scale)
    if not order.possible:
        return
    root = len(order.circuit.nodes) - 1
    equal: list[tuple[int, dict[str, int]]] = []
    rank = 0
    while (way := order.rank(root, 0, rank)) is not None:
        if equal and (way[0] != equal[0][0] or len(equal) == EQUAL):
            yield from _listed(question, equal)
            equal.clear()
        equal.append((way[0], order.numbers(rank)))
        rank += 1
        if costs is not None:  # by other weights many are equal, and whoever asks goes on anyway
            yield equal.pop()
    yield from _listed(question, equal)


def _listed(
    question: Question, equal: list[tuple[int, dict[str, int]]]
) -> list[tuple[int, dict[str, int]]]:
    """Put packages of equal weight in the order of their options' keys, position after position."""
    evaluation = question.evaluation
    ranks = [(p, option_columns.rank_by_key(evaluation, p)) for p in question.model.options]
    return sorted(equal, key=lambda package: [int(rank[package[1][p]]) for p, rank in ranks])


def in_order(question: Question) -> Iterator[tuple[int, dict[str, Option]]]:
    """Give the packages of a job in order of price in minor units, its budget left aside."""
    for weight, numbers in numbers_in_order(question):
        yield weight + question.model.fixed_cost, chosen(question.prepared, numbers)


def chosen(prepared: Prepared, numbers: Mapping[str, int]) -> dict[str, Option]:
    """Turn option numbers into options, in the order of positions."""
    options = prepared.model.options
    return {position: options[position][numbers[position]] for position in options}
