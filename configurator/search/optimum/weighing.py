"""Options weighed by price and sums, and the packages that passes over such weights give.

Everything is in whole numbers: a weight is so many times the price and so many times each sum, so
that of a package's weight and its sums the price is read off again.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from configurator.search.circuit.passes import forward
from configurator.search.circuit.semirings import MinPlus
from configurator.search.circuit.witnesses import (
    CheapestRows,
    TracedPass,
    descend,
    follow,
    traced,
)
from configurator.search.optimum import queries

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.model.jobs import Job
    from configurator.search.optimum.preparing import Prepared
    from configurator.search.optimum.resource_constraints import LinearLimit

    Amounts = NDArray[np.int64]
    Rows = NDArray[np.intp]
    Masks = Mapping[str, NDArray[np.bool_]]

# Two of what is impossible are still a 64-bit number.
WEIGHTS = MinPlus(np.int64, 4 * 10**18)
# Parts of a minor unit in which prices are weighed beside sums.
PARTS = 1000


@dataclass(frozen=True, slots=True)
class Packages:
    """Packages as numbers of options, one column for each.

    Parameters
    ----------
    numbers
        Position → option number in each package.
    prices
        In minor units, with what every package costs.
    """

    numbers: Mapping[str, Rows]
    prices: Amounts

    def __len__(self) -> int:
        return len(self.prices)

    def excess(self, limits: Sequence[LinearLimit]) -> Amounts:
        """Give what each package adds to each sum beyond its room: one row for each limit."""
        found = np.zeros((len(limits), len(self)), np.int64)
        for row, limit in enumerate(limits):
            found[row] = -limit.room
            for position, chosen in self.numbers.items():
                found[row] += limit.shares[position][chosen]
        return found


class Problem:
    """A case, whose wishes count, and which options may be chosen beside.

    Parameters
    ----------
    prepared
        A case whose circuit is exact.
    job
        Its budget is left aside.
    masks
        Position → which of its options may be chosen; all where it is not named. On top of what
        the job itself leaves.
    """

    def __init__(self, prepared: Prepared, job: Job, masks: Masks | None = None) -> None:
        self.prepared = prepared
        self.job = job
        # What is decided is in `allowed`; at a position whose options are asked about it is not.
        self.goals_only = replace(job, fixed={}, keep=(), excluded=(), ready_within=None)
        self.positions = list(prepared.model.options)
        self.tables = prepared.model.position_tables
        self.allowed: dict[str, NDArray[np.bool_]] = {}
        for position, seat in prepared.seats.items():
            found = seat.inside
            mask = queries.allowed(prepared.model, job, position)
            if mask is not None:
                found = found & mask
            if masks is not None and position in masks:
                found = found & masks[position]
            self.allowed[position] = found

    def weighed(
        self, by_price: int, limits: Sequence[LinearLimit], multipliers: Sequence[int]
    ) -> OptionWeights:
        """Weigh options by so many times their cost and so many times what they add to sums."""
        weights: dict[str, Amounts] = {}
        lifted: dict[str, int] = {}
        for position, seat in self.prepared.seats.items():
            own = seat.costs * by_price
            for limit, multiplier in zip(limits, multipliers, strict=True):
                if multiplier:
                    own = own + multiplier * limit.shares[position]
            lifted[position] = int(own.min(initial=0))
            weights[position] = own - lifted[position]
        return OptionWeights(weights, lifted, by_price)

    def passed(self, weights: OptionWeights) -> ProblemPass | None:
        """Go over the circuit up and down; None if nothing fits."""
        costs = {
            position: np.where(self.allowed[position], own, WEIGHTS.impossible)
            for position, own in weights.options.items()
        }
        weighed = queries.weigh(self.prepared, self.goals_only, costs, weights.by_price, WEIGHTS)
        if not weighed.possible:
            return None
        inside = forward(self.prepared.circuit, weighed.weights, WEIGHTS)
        found = traced(self.prepared.circuit, inside, WEIGHTS.impossible)
        return ProblemPass(self, weights, found)


@dataclass(frozen=True, slots=True)
class OptionWeights:
    """What options weigh, lifted at each position so that none is below nothing.

    Parameters
    ----------
    options
        Position → weights.
    lifted
        Position → by how much, turned round: to be added to what an option weighs.
    by_price
        How many times a minor unit counts.
    """

    options: Mapping[str, Amounts]
    lifted: Mapping[str, int]
    by_price: int

    @property
    def offset(self) -> int:
        """What is added to the sum of a package's weights."""
        return sum(self.lifted.values())


class ProblemPass:
    """What a pass gave: the weight of the lightest package with each option, and which it is."""

    def __init__(self, problem: Problem, weights: OptionWeights, found: TracedPass) -> None:
        self.problem, self.weights, self.found = problem, weights, found
        nodes = problem.prepared.circuit.nodes
        self._leaf = {node.leaf: n for n, node in enumerate(nodes) if node.leaf >= 0}

    def least(self, position: str) -> Amounts:
        """Weigh the lightest package with each option of a position, its own wishes left aside.

        What is impossible weighs `WEIGHTS.impossible`.
        """
        seat = self.problem.prepared.seats[position]
        found = np.full(len(seat.row_of), WEIGHTS.impossible, np.int64)
        inside = seat.inside
        rest = self.found.outside[self._leaf[self.problem.tables[position]]]
        own = self.weights.options[position][inside] + self.weights.offset
        if rest is None:
            found[inside] = own
            return found
        beside = rest[seat.row_of[inside]]
        found[inside] = np.where(beside < WEIGHTS.impossible, beside + own, WEIGHTS.impossible)
        return found

    def least_of_all(self) -> int:
        """Weigh the lightest package."""
        root = self.found.inside[-1]
        least = 0 if root is None else int(root[0])
        return least + self.weights.offset if least < WEIGHTS.impossible else WEIGHTS.impossible

    def packages(
        self, asked: Mapping[str, Rows], limits: Sequence[LinearLimit], multipliers: Sequence[int]
    ) -> Packages:
        """Give the lightest package with each of some options that are in one.

        Parameters
        ----------
        asked
            Position → option numbers. With none at all, the lightest package of all is given.
        limits, multipliers
            By which options were weighed.
        """
        problem = self.problem
        circuit, seats = problem.prepared.circuit, problem.prepared.seats
        tables = list(problem.tables.values())
        if asked:
            rows = {problem.tables[p]: seats[p].row_of[own] for p, own in asked.items()}
            leaves = follow(circuit, self.found, rows, tables)
        else:
            leaves = descend(circuit, 1, {}, tables, CheapestRows(circuit, self.found.inside))
        numbers = {p: self._lightest(p)[leaves[problem.tables[p]]] for p in problem.positions}
        place = 0
        for position, own in asked.items():
            numbers[position][place : place + len(own)] = own
            place += len(own)
        weight = (
            np.concatenate([self.least(p)[own] for p, own in asked.items()])
            if asked
            else np.array([self.least_of_all()])
        )
        for limit, multiplier in zip(limits, multipliers, strict=True):
            for position, chosen in numbers.items() if multiplier else ():
                weight = weight - multiplier * limit.shares[position][chosen]
        price = weight // self.weights.by_price + problem.prepared.model.fixed_cost
        return Packages(numbers, price)

    def _lightest(self, position: str) -> Rows:
        """Give for each row of a position's leaf the number of its lightest option."""
        seat = self.problem.prepared.seats[position]
        own = np.where(
            self.problem.allowed[position], self.weights.options[position], WEIGHTS.impossible
        )[seat.members]
        kind = seat.row_of[seat.members]
        order = np.lexsort((own, kind))
        found: Rows = seat.members[order[seat.starts]].astype(np.intp)
        return found
