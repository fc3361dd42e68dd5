"""Options weighed by price and sums, and the packages that passes over such weights give.

Everything is in whole numbers: a weight is so many times the price and so many times each sum, so
that of a package's weight and its sums the price is read off again.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from configurator.search.circuit.passes import forward
from configurator.search.circuit.semirings import CHEAPEST_64, MinPlus
from configurator.search.circuit.witnesses import (
    CheapestRows,
    TracedPass,
    descend,
    follow,
    traced,
)
from configurator.search.optimum import queries
from configurator.search.optimum.preparing import Question
from configurator.search.optimum.resource_constraints import LinearLimit
from configurator.search.optimum.seats import Seat

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.search.circuit.semirings import Values
    from configurator.search.optimum.preparing import Prepared

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
        result = np.zeros((len(limits), len(self)), np.int64)
        for row, limit in enumerate(limits):
            result[row] = -limit.room
            for position, chosen in self.numbers.items():
                result[row] += limit.shares[position][chosen]
        return result


class PricingProblem:
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
    figures
        Goal figures whose values are asked about as if they were options: number *n* of a figure
        is the row *n* of its leaf.

    Attributes
    ----------
    places
        Positions and figures: of what prices are asked.
    """

    def __init__(
        self,
        question: Question,
        masks: Masks | None = None,
        figures: Sequence[str] = (),
    ) -> None:
        prepared, job = question.prepared, question.job
        self.prepared = prepared
        self.question = question
        # What is decided is in `allowed`; at a position whose options are asked about it is not.
        free = replace(job, fixed={}, keep=(), excluded=(), parts_within=None)
        self.goals_only = Question(prepared, free, picks=False)
        self.positions = list(question.model.options)
        self.places = [*self.positions, *figures]
        self.tables = dict(question.model.position_tables)
        self.seats: dict[str, Seat] = dict(prepared.seats)
        for figure in figures:
            self.tables[figure] = number = question.model.goal_tables[figure]
            self.seats[figure] = _level_seat(len(prepared.circuit.leaf_rows[number]))
        self.allowed: dict[str, NDArray[np.bool_]] = {}
        for position, seat in prepared.seats.items():
            result = seat.inside
            mask = queries.allowed(question.model, job, position)
            if mask is not None:
                result = result & mask
            if masks is not None and position in masks:
                result = result & masks[position]
            self.allowed[position] = result

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

    def passed(
        self, weights: OptionWeights, places: Sequence[str] | None = None
    ) -> ProblemPass | None:
        """Go over the circuit up, and down to some places, all by default; None if nothing fits."""
        costs = {
            position: np.where(self.allowed[position], own, WEIGHTS.impossible)
            for position, own in weights.options.items()
        }
        weighed = queries.weigh(self.goals_only, costs, weights.by_price, WEIGHTS)
        if not weighed.possible:
            return None
        lately = self.prepared.lately
        inside = forward(self.prepared.circuit, weighed.weights, WEIGHTS, lately.limited)
        lately.limited = inside
        return ProblemPass(self, weights, inside, self.places if places is None else places)


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

    def __init__(
        self,
        problem: PricingProblem,
        weights: OptionWeights,
        inside: Sequence[Values | None],
        places: Sequence[str],
    ) -> None:
        self.problem, self.weights, self.inside = problem, weights, inside
        self._asked = [problem.tables[place] for place in places]
        nodes = problem.prepared.circuit.nodes
        self._leaf = {node.leaf: n for n, node in enumerate(nodes) if node.leaf >= 0}

    @cached_property
    def traced(self) -> TracedPass:
        """The way down, with backpointers; made when it is first asked for."""
        circuit = self.problem.prepared.circuit
        return traced(circuit, self.inside, WEIGHTS.impossible, self._asked)

    def least(self, position: str) -> Amounts:
        """Weigh the lightest package with each option of a place, its own wishes left aside.

        What is impossible weighs `WEIGHTS.impossible`.
        """
        seat = self.problem.seats[position]
        result = np.full(len(seat.row_of), WEIGHTS.impossible, np.int64)
        inside = seat.inside
        rest = self.traced.outside[self._leaf[self.problem.tables[position]]]
        weights = self.weights.options.get(position, seat.costs)
        own = weights[inside] + self.weights.offset
        if rest is None:
            result[inside] = own
            return result
        beside = rest[seat.row_of[inside]]
        result[inside] = np.where(beside < WEIGHTS.impossible, beside + own, WEIGHTS.impossible)
        return result

    def least_of_all(self) -> int:
        """Weigh the lightest package."""
        root = self.inside[-1]
        least = 0 if root is None else int(root[0])
        return least + self.weights.offset if least < WEIGHTS.impossible else WEIGHTS.impossible

    def packages(
        self, asked: Mapping[str, Rows], limits: Sequence[LinearLimit], multipliers: Sequence[int]
    ) -> Packages:
        """Give the lightest package with each of some options that are in one.

        Parameters
        ----------
        asked
            Place → numbers there. With none at all, the lightest package of all is given.
        limits, multipliers
            By which options were weighed.
        """
        problem = self.problem
        circuit, seats = problem.prepared.circuit, problem.seats
        tables = [problem.tables[p] for p in problem.positions]
        if asked:
            rows = {problem.tables[p]: seats[p].row_of[own] for p, own in asked.items()}
            leaves = follow(circuit, self.traced, rows, tables)
        else:
            leaves = descend(circuit, 1, {}, tables, CheapestRows(circuit, self.inside))
        numbers = {p: self._lightest(p)[leaves[problem.tables[p]]] for p in problem.positions}
        place = 0
        for position, own in asked.items():
            if position in numbers:
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
        result: Rows = seat.members[order[seat.starts]].astype(np.intp)
        return result


def reach(problem: PricingProblem, shares: Mapping[str, Amounts]) -> tuple[int, int] | None:
    """Give the least and the most of a sum over all packages; None where there is none.

    Limits on sums do not count. Where the circuit gives bounds only, these are bounds too.
    """
    limit = LinearLimit(shares, 0)
    ends = []
    for sign in (1, -1):
        passed = problem.passed(problem.weighed(0, [limit], [sign]))
        if passed is None or passed.least_of_all() >= WEIGHTS.impossible:
            return None
        ends.append(sign * passed.least_of_all())
    return ends[0], ends[1]


def _level_seat(rows: int) -> Seat:
    """Seat the values of a figure: each is a row of its own and costs nothing."""
    every = np.arange(rows)
    nothing = np.zeros(rows, np.int64)
    return Seat(every.astype(np.int32), every.astype(np.int32), every, nothing, nothing, nothing)


def masked_costs(prepared: Prepared, masks: Masks | None) -> dict[str, Amounts] | None:
    """Give what options cost where some are left out by masks; None without any."""
    if not masks:
        return None
    return {
        position: np.where(masks[position], seat.costs, CHEAPEST_64.impossible)
        if position in masks
        else seat.costs
        for position, seat in prepared.seats.items()
    }
