"""Packages in order of weight where the circuit gives bounds only: proof by cases.

The case with the lowest bound is looked at first. Where the package that reaches the bound is one,
it is next in order, and the rest of its case is split so that each other package is in exactly one
part. Where it is none, a position that much hangs on is decided, one case for each of its classes.
What is decided is carried through all tables, so bounds rise until packages reach them. Where some
hundred cases prove nothing, a general solver is asked, if it is installed (`outside.py`).

References
----------
.. [1] A. H. Land and A. G. Doig, *An automatic method of solving discrete programming problems*,
       Econometrica 28 (1960), 497-520: cases with bounds.
.. [2] E. L. Lawler, *A procedure for computing the k best solutions to discrete optimization
       problems*, Management Science 18 (1972), 401-405: splitting the rest of a case.
"""

from __future__ import annotations

import heapq
import itertools
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from configurator import columns
from configurator.errors import FitwrightError
from configurator.search import outside
from configurator.search.guide import scopes
from configurator.search.loose import carry
from configurator.search.passes import answer, backward, forward
from configurator.search.queries import allowed, shift_for, weigh
from configurator.search.semirings import CHEAPEST_64
from configurator.search.shifting import move

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.jobs import Job
    from configurator.search.loose import Carried
    from configurator.search.preparing import Prepared
    from configurator.search.semirings import Values

    Rows = NDArray[np.int32]
    # Number of a position's table → the rows of its leaf that a case leaves.
    Decided = Mapping[int, Rows]

# Cases that are looked at before it is given up.
PATIENCE = 5_000
# Cases after which, with nothing found and that much patience, the general solver is asked, and
# how often.
HANDED_OVER = 60
SOLVED = 20
# Every so many cases, one is followed down to a package or a dead end, so that something is found
# before everything is proven.
DIVE = 25


class Undecided(FitwrightError):
    """So many packages or cases were looked at without a proof.

    Parameters
    ----------
    looked
        How many.
    found
        Weight and position → option number of packages found that nothing is proven of.
    """

    def __init__(self, looked: int, found: list[tuple[int, dict[str, int]]] | None = None) -> None:
        self.looked = looked
        self.found = found or []
        super().__init__(
            f"search: undecided after {looked} cases; fix large parts (tyres, axles), or leave "
            "catalogs out of the job"
        )


class Halted(KeyboardInterrupt):
    """Ctrl-C, and what was found by then without a proof.

    Parameters
    ----------
    found
        Weight and position → option number of each package.
    """

    def __init__(self, found: list[tuple[int, dict[str, int]]]) -> None:
        self.found = found
        super().__init__()


@dataclass(frozen=True, slots=True)
class _Looked:
    """What looking at a case gave."""

    bound: int
    weights: Mapping[int, NDArray[np.int64]]
    values: list[Values | None]
    open: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class _Case:
    """What is decided, and a package of it that is already known."""

    decided: Decided
    without: Mapping[int, int] | None = None


@dataclass(frozen=True, slots=True)
class _Package:
    """Row of each position's leaf, rank of the option in its class, and what was stepped last."""

    rows: Mapping[int, int]
    ranks: Mapping[int, int]
    at: int = 0


def _and(decided: Decided, number: int, rows: Sequence[int]) -> Decided:
    return {**decided, number: np.array(rows, np.int32)}


class _Proof:
    """Cases, and what is the same for all of them."""

    def __init__(
        self,
        prepared: Prepared,
        job: Job,
        costs: Mapping[str, NDArray[np.int64]] | None,
        work_scale: int,
    ) -> None:
        self.prepared = prepared
        self.semiring = prepared.semiring if costs is None else CHEAPEST_64
        self.weighed = weigh(prepared, job, costs, work_scale, self.semiring)
        self.tables = prepared.model.position_tables
        if prepared.loose is None:
            message = "a circuit that is exact needs no cases"
            raise ValueError(message)
        self.loose = prepared.loose
        shift = shift_for(prepared, job, self.weighed, costs, work_scale)
        self.moved = move(self.loose, self.weighed.weights, shift, self.semiring)
        self.positions = {number: position for position, number in self.tables.items()}
        self.last: list[Values | None] | None = None
        # For each variable taken apart the positions that it hangs on.
        behind = scopes(self.loose.tables, self.loose.told_by, self.positions)
        self.behind = {v: behind[self.loose.told_by[v]] for v in self.loose.apart}
        self.members = {
            number: _members(prepared, job, position, costs)
            for number, position in self.positions.items()
        }

    def _carried(self, decided: Decided) -> Carried | None:
        """Carry what a case decides through all tables; None if nothing is left."""
        weights = dict(self.moved.weights)
        for number, rows in decided.items():
            own = np.full_like(weights[number], self.semiring.impossible)
            own[rows] = weights[number][rows]
            weights[number] = own
        return carry(self.loose, weights, self.semiring)

    def look(self, decided: Decided) -> _Looked | None:
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
        return _Looked(least + self.moved.base, carried.weights, values, carried.open)

    def reached_by(self, looked: _Looked) -> dict[int, int]:
        """Follow a bound down: the row of each position's leaf that reaches it."""
        nodes = self.prepared.circuit.nodes
        found: dict[int, int] = {}
        waiting = [(len(nodes) - 1, 0)]
        while waiting:
            number, row = waiting.pop()
            node = nodes[number]
            if node.leaf >= 0:
                if node.leaf in self.positions:
                    found[node.leaf] = row
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
        return found

    def split(
        self, case: _Case, bound: int
    ) -> tuple[list[tuple[int, _Case]], tuple[int, _Package] | None]:
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
            return [(bound, _Case(case.decided, rows))], (weight, _Package(rows, {}))
        ahead = self.ahead(looked)
        position = self.deciding(looked, ahead)
        if position is None:
            return [], None
        return [
            (max(bound, int(ahead[position][row])), _Case(_and(case.decided, position, [row])))
            for row in self._left(ahead[position])
        ], None

    def _left(self, bounds: NDArray[np.int64]) -> list[int]:
        found: list[int] = np.flatnonzero(bounds < self.semiring.impossible).tolist()
        return found

    def _beside(
        self,
        case: _Case,
        package: Mapping[int, int],
        ahead: Mapping[int, NDArray[np.int64]],
        bound: int,
    ) -> list[tuple[int, _Case]]:
        """Split what is left of a case without a package: the first class that differs tells."""
        parts = []
        decided = case.decided
        for number, row in package.items():
            others = [other for other in self._left(ahead[number]) if other != row]
            if others:
                least = int(ahead[number][others].min())
                parts.append((max(bound, least), _Case(_and(decided, number, others))))
            decided = _and(decided, number, [row])
        return parts

    def numbers(self, package: _Package) -> dict[str, int]:
        """Name a package's options."""
        return {
            self.positions[number]: self.members[number][row][package.ranks.get(number, 0)][1]
            for number, row in package.rows.items()
        }

    def following(self, weight: int, package: _Package) -> Iterator[tuple[int, _Package]]:
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
                yield weight + more, _Package(package.rows, ranks, at)

    def weight_of(self, rows: Mapping[int, int]) -> int | None:
        """Weigh a package given by its classes; None if it is none."""
        carried = self._carried({number: np.array([row], np.int32) for number, row in rows.items()})
        if carried is None:
            return None
        # With every part decided one row of each table is left.
        return sum(int(own.min()) for own in carried.weights.values()) + self.moved.base

    def ahead(self, looked: _Looked) -> dict[int, NDArray[np.int64]]:
        """Bound each class of each position within a case."""
        above = backward(self.prepared.circuit, looked.values, self.semiring, set(self.positions))
        found = {}
        for number in self.positions:
            own = looked.weights[number].astype(np.int64)
            least = np.minimum(above[number] + own, self.semiring.impossible)
            least[least < self.semiring.impossible] += self.moved.base
            found[number] = least
        return found

    def deciding(self, looked: _Looked, bounds: Mapping[int, NDArray[np.int64]]) -> int | None:
        """Choose the position that most of what is open hangs on; None if all are decided."""
        score: dict[int, tuple[int, int, int]] = {}
        for number, own in bounds.items():
            ways = int((own < self.semiring.impossible).sum())
            if ways > 1:
                hangs = sum(number in self.behind[variable] for variable in looked.open)
                score[number] = (hangs, ways, -number)
        return max(score, key=lambda number: score[number]) if score else None


def _members(
    prepared: Prepared, job: Job, position: str, costs: Mapping[str, NDArray[np.int64]] | None
) -> list[list[tuple[int, int]]]:
    """For each class of a position what its options weigh and their numbers, the lightest first."""
    seat = prepared.seats[position]
    mask = allowed(prepared.model, job, position)
    own = seat.costs if costs is None else costs[position]
    ends = [*seat.starts[1:].tolist(), len(seat.members)]
    # Of what weighs the same, by key, whatever the order of rows in a list.
    ranks = columns.rank_by_key(prepared.evaluation, position)
    ordered = [
        sorted(
            (int(own[option]), int(ranks[option]), option)
            for option in seat.members[start:end].tolist()
            if mask is None or mask[option]
        )
        for start, end in zip(seat.starts.tolist(), ends, strict=True)
    ]
    return [[(weight, option) for weight, _, option in members] for members in ordered]


def numbers_in_order(
    prepared: Prepared,
    job: Job,
    costs: Mapping[str, NDArray[np.int64]] | None = None,
    work_scale: int = 1,
    patience: int = PATIENCE,
) -> Iterator[tuple[int, dict[str, int]]]:
    """Give the packages of a job in order of their weight, as `best.numbers_in_order` does.

    Raises
    ------
    Undecided
        After ``patience`` cases without a proof of what is next.
    """
    proof = _Proof(prepared, job, costs, work_scale)
    if not proof.weighed.possible:
        return
    ties = itertools.count()
    waiting: list[tuple[int, int, int, _Package | _Case]] = []

    def put(weight: int, what: _Package | _Case) -> None:
        # Of what weighs the same, packages come before cases.
        heapq.heappush(waiting, (weight, isinstance(what, _Case), next(ties), what))

    put(0, _Case({}))
    looked_at = 0
    found = False
    while waiting:
        bound, _, _, what = heapq.heappop(waiting)
        if isinstance(what, _Package):
            found = True
            yield bound, proof.numbers(what)
            for weight, following in proof.following(bound, what):
                put(weight, following)
            continue
        stuck = looked_at >= HANDED_OVER and not found
        if stuck and patience >= PATIENCE and outside.there():
            yield from _by_solver(proof, looked_at, bound)
            return
        if looked_at >= patience:
            rest = sorted(waiting, key=lambda one: one[:3])
            packages = [(one[0], one[3]) for one in rest if isinstance(one[3], _Package)]
            raise Undecided(looked_at, [(w, proof.numbers(one)) for w, one in packages])
        dive = looked_at % DIVE == 0
        case: _Case | None = what
        while case is not None:
            looked_at += 1
            parts, package = proof.split(case, bound)
            case = None
            if package is not None:
                put(*package)
            elif dive and parts:
                bound, case = parts.pop(min(range(len(parts)), key=lambda n: parts[n][0]))
            for part in parts:
                put(*part)


def _by_solver(proof: _Proof, looked_at: int, bound: int) -> Iterator[tuple[int, dict[str, int]]]:
    """Give the packages in order of their weight: the solver proves each class of packages."""
    looked = proof.look({})
    if looked is None:
        return
    problem = outside.Problem(
        proof.loose.tables,
        proof.loose.sizes,
        proof.weighed.weights,
        proof.semiring.impossible,
        tuple(proof.positions),
        max(bound, looked.bound),
    )
    ties = itertools.count()
    waiting: list[tuple[int, int, _Package]] = []
    known: list[Mapping[int, int]] = []
    while True:
        if len(known) == SOLVED:
            raise Undecided(looked_at, [(w, proof.numbers(one)) for w, _, one in sorted(waiting)])
        try:
            rows = outside.cheapest(problem, known)
        except outside.Interrupted as stop:
            least = proof.weight_of(stop.rows)
            best = (least or 0, proof.numbers(_Package(stop.rows, {})))
            rest = [(w, proof.numbers(one)) for w, _, one in sorted(waiting)]
            raise Halted([*rest, best]) from stop
        except outside.Failed as failed:
            rest = [(w, proof.numbers(one)) for w, _, one in sorted(waiting)]
            raise Undecided(looked_at, rest) from failed
        least = None if rows is None else proof.weight_of(rows)
        if rows is not None:
            if least is None:
                message = "the solver's combination is none: please report this"
                raise RuntimeError(message)
            known.append(rows)
            heapq.heappush(waiting, (least, next(ties), _Package(rows, {})))
        while waiting and (least is None or waiting[0][0] <= least):
            weight, _, package = heapq.heappop(waiting)
            yield weight, proof.numbers(package)
            for heavier, following in proof.following(weight, package):
                heapq.heappush(waiting, (heavier, next(ties), following))
        if rows is None:
            return
