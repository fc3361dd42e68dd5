"""Cases of a proof: what is decided, its bound, and what it is split into.

What a case decides is carried through all tables, so bounds rise until packages reach them.
`branch_and_bound.py` says which case comes next, and from which size on it pays.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from configurator.search.circuit.cardinality import scopes
from configurator.search.circuit.cost_shifting import move
from configurator.search.circuit.mini_buckets import carry
from configurator.search.circuit.passes import answer, backward, forward
from configurator.search.circuit.semirings import CHEAPEST_64
from configurator.search.encoding import option_columns
from configurator.search.optimum.queries import allowed, shift_for, weigh

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.search.circuit.mini_buckets import CarriedWeights
    from configurator.search.circuit.semirings import Values
    from configurator.search.optimum.preparing import Question

    Rows = NDArray[np.int32]
    # Number of a position's table → the rows of its leaf that a case leaves.
    Decided = Mapping[int, Rows]


@dataclass(frozen=True, slots=True)
class BranchResult:
    """What looking at a case gave."""

    bound: int
    weights: Mapping[int, NDArray[np.int64]]
    values: list[Values | None]
    open: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Branch:
    """What is decided, and a package of it that is already known."""

    decided: Decided
    without: Mapping[int, int] | None = None


@dataclass(frozen=True, slots=True)
class BranchPackage:
    """Row of each position's leaf, rank of the option in its class, and what was stepped last."""

    rows: Mapping[int, int]
    ranks: Mapping[int, int]
    at: int = 0


def _and(decided: Decided, number: int, rows: Sequence[int]) -> Decided:
    return {**decided, number: np.array(rows, np.int32)}


class Proof:
    """Cases, and what is the same for all of them.

    Parameters
    ----------
    prepared
        A case whose circuit gives bounds only.
    job, costs, work_scale
        As for `queries.weigh`.

    Raises
    ------
    ValueError
        If the circuit is exact.
    """

    def __init__(
        self,
        question: Question,
        costs: Mapping[str, NDArray[np.int64]] | None,
        work_scale: int,
    ) -> None:
        prepared = question.prepared
        self.prepared = prepared
        self.semiring = prepared.semiring if costs is None else CHEAPEST_64
        self.weighed = weigh(question, costs, work_scale, self.semiring)
        self.tables = question.model.position_tables
        if prepared.loose is None:
            message = "a circuit that is exact needs no cases"
            raise ValueError(message)
        self.loose = prepared.loose
        shift = shift_for(question, self.weighed, costs, work_scale)
        self.moved = move(self.loose, self.weighed.weights, shift, self.semiring)
        self.positions = {number: position for position, number in self.tables.items()}
        self.last: list[Values | None] | None = None
        # For each variable taken apart the positions that it hangs on.
        behind = scopes(self.loose.tables, self.loose.told_by, self.positions)
        self.behind = {v: behind[self.loose.told_by[v]] for v in self.loose.apart}
        self.members = {
            number: _members(question, position, costs)
            for number, position in self.positions.items()
        }

    def _carried(self, decided: Decided) -> CarriedWeights | None:
        """Carry what a case decides through all tables; None if nothing is left."""
        weights = dict(self.moved.weights)
        for number, rows in decided.items():
            own = np.full_like(weights[number], self.semiring.impossible)
            own[rows] = weights[number][rows]
            weights[number] = own
        return carry(self.loose, weights, self.semiring)

    def look(self, decided: Decided) -> BranchResult | None:
        """Bound a case; None if there is nothing in it."""
        carried = self._carried(decided)
        if carried is None:
            return None
        circuit = self.prepared.circuit
        values = forward(circuit, carried.weights, self.semiring, self.last)
        self.last = values
        least = int(answer(values, self.semiring))
        if least >= self.semiring.impossible:
            return None
        return BranchResult(least + self.moved.base, carried.weights, values, carried.open)

    def reached_by(self, looked: BranchResult) -> dict[int, int]:
        """Follow a bound down: the row of each position's leaf that reaches it."""
        nodes = self.prepared.circuit.nodes
        reached: dict[int, int] = {}
        waiting = [(len(nodes) - 1, 0)]
        while waiting:
            number, row = waiting.pop()
            node = nodes[number]
            if node.leaf >= 0:
                if node.leaf in self.positions:
                    reached[node.leaf] = row
                continue
            start, end = row, row + 1
            if node.starts is not None:
                start = int(node.starts[row])
                end = int(node.starts[row + 1]) if row + 1 < node.rows else node.inner
            sides = [(node.left, node.from_left)]
            if node.right >= 0:
                sides.append((node.right, node.from_right))
            total = np.zeros(end - start, np.int64)
            ways = []
            for child, index in sides:
                rows = np.arange(start, end) if index is None else index[start:end]
                ways.append((child, rows))
                below = looked.values[child]
                if below is not None:
                    total += below[rows]
            best = int(total.argmin())
            waiting.extend((child, int(rows[best])) for child, rows in ways)
        return reached

    def split(
        self, case: Branch, bound: int
    ) -> tuple[list[tuple[int, Branch]], tuple[int, BranchPackage] | None]:
        """Look at a case: give its parts with their bounds, and the package that reaches its own.

        Where there is such a package, the only part is the case itself, without that package.
        """
        looked = self.look(case.decided)
        if looked is None:
            return [], None
        bound = max(bound, looked.bound)
        if case.without is not None:
            return self._beside(case, case.without, self.ahead(looked), bound), None
        rows = self.reached_by(looked)
        weight = self.weight_of(rows)
        if weight is not None:
            return [(bound, Branch(case.decided, rows))], (weight, BranchPackage(rows, {}))
        ahead = self.ahead(looked)
        position = self.deciding(looked, ahead)
        if position is None:
            return [], None
        return [
            (max(bound, int(ahead[position][row])), Branch(_and(case.decided, position, [row])))
            for row in self._left(ahead[position])
        ], None

    def _left(self, bounds: NDArray[np.int64]) -> list[int]:
        rows: list[int] = np.flatnonzero(bounds < self.semiring.impossible).tolist()
        return rows

    def _beside(
        self,
        case: Branch,
        package: Mapping[int, int],
        ahead: Mapping[int, NDArray[np.int64]],
        bound: int,
    ) -> list[tuple[int, Branch]]:
        """Split what is left of a case without a package: the first class that differs tells."""
        parts = []
        decided = case.decided
        for number, row in package.items():
            others = [other for other in self._left(ahead[number]) if other != row]
            if others:
                least = int(ahead[number][others].min())
                parts.append((max(bound, least), Branch(_and(decided, number, others))))
            decided = _and(decided, number, [row])
        return parts

    def numbers(self, package: BranchPackage) -> dict[str, int]:
        """Name a package's options."""
        return {
            self.positions[number]: self.members[number][row][package.ranks.get(number, 0)][1]
            for number, row in package.rows.items()
        }

    def following(self, weight: int, package: BranchPackage) -> Iterator[tuple[int, BranchPackage]]:
        """Give packages of the same classes that come next: each has one option one rank on."""
        # From the position of the last such step on, so that each comes once.
        for at, (number, row) in enumerate(package.rows.items()):
            if at < package.at:
                continue
            rank = package.ranks.get(number, 0)
            members = self.members[number][row]
            if rank + 1 < len(members):
                more = members[rank + 1][0] - members[rank][0]
                ranks = {**package.ranks, number: rank + 1}
                yield weight + more, BranchPackage(package.rows, ranks, at)

    def weight_of(self, rows: Mapping[int, int]) -> int | None:
        """Weigh a package given by its classes; None if it is none."""
        carried = self._carried({number: np.array([row], np.int32) for number, row in rows.items()})
        if carried is None:
            return None
        # With every part decided one row of each table is left.
        return sum(int(own.min()) for own in carried.weights.values()) + self.moved.base

    def ahead(self, looked: BranchResult) -> dict[int, NDArray[np.int64]]:
        """Bound each class of each position within a case."""
        above = backward(self.prepared.circuit, looked.values, self.semiring, set(self.positions))
        bounds = {}
        for number in self.positions:
            own = looked.weights[number].astype(np.int64)
            least = np.minimum(above[number] + own, self.semiring.impossible)
            least[least < self.semiring.impossible] += self.moved.base
            bounds[number] = least
        return bounds

    def deciding(self, looked: BranchResult, bounds: Mapping[int, NDArray[np.int64]]) -> int | None:
        """Choose the position that most of what is open hangs on; None if all are decided."""
        score: dict[int, tuple[int, int, int]] = {}
        for number, own in bounds.items():
            ways = int((own < self.semiring.impossible).sum())
            if ways > 1:
                hangs = sum(number in self.behind[variable] for variable in looked.open)
                score[number] = (hangs, ways, -number)
        return max(score, key=lambda number: score[number]) if score else None


def _members(
    question: Question, position: str, costs: Mapping[str, NDArray[np.int64]] | None
) -> list[list[tuple[int, int]]]:
    """For each class of a position what its options weigh and their numbers, the lightest first."""
    seat = question.prepared.seats[position]
    mask = allowed(question.model, question.job, position)
    own = seat.costs if costs is None else costs[position]
    ends = [*seat.starts[1:].tolist(), len(seat.members)]
    # Of what weighs the same, by key, whatever the order of rows in a list.
    ranks = option_columns.rank_by_key(question.evaluation, position)
    ordered = [
        sorted(
            (int(own[option]), int(ranks[option]), option)
            for option in seat.members[start:end].tolist()
            if mask is None or mask[option]
        )
        for start, end in zip(seat.starts.tolist(), ends, strict=True)
    ]
    return [[(weight, option) for weight, _, option in members] for members in ordered]
