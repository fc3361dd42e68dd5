"""Prices of options under limits on sums: what matters is cut out, and labels price the rest."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from configurator.search.circuit.label_bounds import (
    INFINITE,
    DesignatedBounds,
    DesignatedWeights,
    designated_bounds,
    matters,
)
from configurator.search.circuit.labels import (
    Keeping,
    Labels,
    down_labels,
    gathered,
    options_of,
    options_of_root,
    up_labels,
)
from configurator.search.optimum import queries
from configurator.search.optimum.weighing import PARTS, WEIGHTS, Packages, PricingProblem

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.search.circuit.nodes import Circuit
    from configurator.search.optimum.resource_constraints import LinearLimit

    Amounts = NDArray[np.int64]
    Rows = NDArray[np.intp]
    Numbers = NDArray[np.float64]

# A package that is cheaper by a minor unit weighs less by so many parts of one, rounding aside.
CHEAPER = -PARTS + 1.0
# Labels of a row that are kept before all that are needed are, so that good packages are known.
BEAMS: tuple[int | None, ...] = (8, None)


@dataclass(frozen=True, slots=True)
class Asked:
    """Options whose prices are asked for, and what is known of them.

    Parameters
    ----------
    options
        Position → option numbers.
    known
        Position → for each of them a price that some package with it has, or one that none has
        more than, in minor units.
    root
        The same of the cheapest package of all; None if it is not asked for.
    """

    options: Mapping[str, Rows]
    known: Mapping[str, Amounts]
    root: int | None = None


@dataclass(frozen=True, slots=True)
class CutProblem:
    """The part of a circuit that matters, and under which weights that is so.

    Parameters
    ----------
    circuit
        Its leaf rows are numbers of rows of the problem's own circuit.
    """

    circuit: Circuit
    bounds: tuple[DesignatedBounds, ...]
    multipliers: tuple[tuple[int, ...], ...]


def cut_out(
    problem: PricingProblem,
    limits: Sequence[LinearLimit],
    multipliers: Sequence[Sequence[int]],
    asked: Asked,
    within: CutProblem | None = None,
) -> CutProblem | None:
    """Cut out what may better the price of an option asked about; None if nothing does.

    Parameters
    ----------
    problem, limits
        The problem, and the limits on sums that count.
    multipliers
        One or more lists of one multiplier for each limit, in parts of a minor unit.
    asked
        What is asked for.
    within
        What was cut out for as much or more, with no more known of it.
    """
    circuit = problem.prepared.circuit
    leaf_rows: list[Any] = [np.arange(len(rows)) for rows in circuit.leaf_rows]
    if within is not None:
        circuit, leaf_rows = within.circuit, list(within.circuit.leaf_rows)
    used: list[tuple[int, ...]] = []
    weights = []
    for multiplier in multipliers:
        whole = _designated(problem, limits, multiplier, asked)
        weights.append(whole)
        bounds = designated_bounds(circuit, _of_rows(whole, leaf_rows))
        cut = matters(circuit, bounds, CHEAPER)
        if not cut.nodes:
            return None
        leaf_rows = [rows[of_cut] for rows, of_cut in zip(leaf_rows, cut.leaf_rows, strict=True)]
        circuit = cut
        used.append(tuple(multiplier))
    circuit.leaf_rows[:] = leaf_rows
    result = tuple(designated_bounds(circuit, _of_rows(weight, leaf_rows)) for weight in weights)
    return CutProblem(circuit, result, tuple(used))


def _of_rows(weights: DesignatedWeights, leaf_rows: Sequence[Rows]) -> DesignatedWeights:
    plain, designated = (
        {number: own[leaf_rows[number]] for number, own in each.items()}
        for each in (weights.plain, weights.designated)
    )
    return DesignatedWeights(plain, designated, weights.offset, weights.root)


def _designated(
    problem: PricingProblem, limits: Sequence[LinearLimit], multipliers: Sequence[int], asked: Asked
) -> DesignatedWeights:
    prepared = problem.prepared
    own = problem.weighed(PARTS, limits, multipliers)
    costs = {
        p: np.where(problem.allowed[p], each, WEIGHTS.impossible) for p, each in own.options.items()
    }
    weighed = queries.weigh(problem.goals_only, costs, PARTS, WEIGHTS)
    plain = {}
    lifted = {problem.tables[p]: each for p, each in own.lifted.items()}
    for number, rows in weighed.weights.items():
        weight = rows.astype(np.float64) + lifted.get(number, 0)
        plain[number] = np.where(rows >= WEIGHTS.impossible, INFINITE, weight)
    designated = {}
    fixed = prepared.model.fixed_cost
    for position, options in asked.options.items():
        seat = problem.seats[position]
        least = np.full(len(seat.starts), INFINITE)
        weight = np.zeros(len(options), np.int64)
        if position in own.options:
            weight += own.options[position][options] + own.lifted[position]
        weight -= PARTS * (asked.known[position] - fixed)
        np.minimum.at(least, seat.row_of[options], weight.astype(np.float64))
        designated[problem.tables[position]] = least
    offset = 0.0
    for limit, multiplier in zip(limits, multipliers, strict=True):
        offset -= float(multiplier * limit.room)
    root = INFINITE if asked.root is None else float(PARTS * (asked.root - fixed))
    return DesignatedWeights(plain, designated, offset, root)


class LabelPass:
    """Labels on what matters of a problem, and what they say of the options asked about.

    Parameters
    ----------
    problem, limits, asked
        What is asked, and the limits that count.
    cut
        What matters.
    beam
        How many labels of a row are kept; with None all that are needed: then an option for which
        nothing is found has no package cheaper than what is known.
    """

    def __init__(
        self,
        problem: PricingProblem,
        limits: Sequence[LinearLimit],
        asked: Asked,
        cut: CutProblem,
        beam: int | None,
    ) -> None:
        self.problem, self.limits, self.asked, self.cut = problem, limits, asked, cut
        circuit = cut.circuit
        leaves = leaf_labels(problem, circuit, limits)
        keeping = self._keeping(beam)
        self.up = up_labels(circuit, leaves, len(limits), keeping)
        self.wanted = [
            problem.tables[p]
            for p, options in asked.options.items()
            if len(options) and len(circuit.leaf_rows[problem.tables[p]])
        ]
        self.down = down_labels(circuit, self.up, len(limits), keeping, self.wanted)

    def _keeping(self, beam: int | None) -> Keeping:
        cut, limits = self.cut, self.limits
        least = [sum_bounds(self.problem, cut.circuit, limit, self.asked, 1) for limit in limits]
        most = [sum_bounds(self.problem, cut.circuit, limit, self.asked, -1) for limit in limits]
        rooms = [limit.room for limit in limits]

        def keep(
            number: int, up: bool, rows: Rows, cost: Amounts, sums: Amounts
        ) -> NDArray[np.bool_]:
            kept = np.ones(len(rows), np.bool_)
            for own, bounds, room in zip(sums, least, rooms, strict=True):
                rest = (bounds.above_with if up else bounds.below_with)[number]
                if rest is None:
                    return np.zeros(len(rows), np.bool_)
                kept &= own + rest[rows] <= room
            for bounds, multipliers in zip(cut.bounds, cut.multipliers, strict=True):
                rest = (bounds.above_with if up else bounds.below_with)[number]
                if rest is None:
                    return np.zeros(len(rows), np.bool_)
                weight = rest[rows] + PARTS * cost
                if not up:  # what every package weighs beside stands above the root
                    weight += bounds.offset
                for own, multiplier in zip(sums, multipliers, strict=True):
                    if multiplier:
                        weight += float(multiplier) * own
                kept &= weight < CHEAPER
            return kept

        def clamp(number: int, up: bool, rows: Rows, sums: Amounts) -> Amounts:
            result = sums.copy()
            for at, (bounds, room) in enumerate(zip(most, rooms, strict=True)):
                rest = (bounds.above_with if up else bounds.below_with)[number]
                if rest is not None:
                    # The most that may come is less than nothing of the least of its opposite.
                    enough = (room + rest[rows]).astype(np.int64)
                    result[at] = np.maximum(result[at], enough)
            return result

        return Keeping(keep, clamp, beam)

    def cheaper(self) -> list[tuple[str, Rows, Packages]]:
        """Give for options asked about the cheapest package that keeps the limits, if cheaper.

        Returns
        -------
        list of tuple
            Position, option numbers, and a package for each of them, cheaper than what was known.
        """
        result = []
        circuit, problem = self.cut.circuit, self.problem
        nodes = {node.leaf: n for n, node in enumerate(circuit.nodes) if node.leaf >= 0}
        for position, options in self.asked.options.items():
            table = problem.tables[position]
            if table not in self.wanted:
                continue
            labels = self.down[nodes[table]]
            if labels is None or not len(labels.cost):
                continue
            kept, prices, ends = self._of_position(position, labels)
            if not len(kept):
                continue
            leaves = options_of(circuit, self.up, self.down, table, ends)
            result.append((position, options[kept], self._packages(leaves, prices, position, kept)))
        return result

    def _of_position(self, position: str, labels: Labels) -> tuple[Rows, Amounts, Rows]:
        """Give which of a position's options asked about are cheaper, their prices and labels."""
        problem, options = self.problem, self.asked.options[position]
        table, seat = problem.tables[position], problem.seats[position]
        place = np.full(len(seat.starts) + 1, -1, np.intp)
        rows = self.cut.circuit.leaf_rows[table]
        place[rows] = np.arange(len(rows))
        row = place[seat.row_of[options]]
        which = np.flatnonzero(row >= 0)
        counts = np.diff(labels.starts)[row[which]]
        at = np.repeat(which, counts)
        offset = np.arange(len(at)) - np.repeat(np.cumsum(counts) - counts, counts)
        label = labels.starts[row[at]] + offset
        fixed = problem.prepared.model.fixed_cost
        price = labels.cost[label] + seat.costs[options[at]] + fixed
        good = price < self.asked.known[position][at]
        for own, limit in zip(labels.sums, self.limits, strict=True):
            shares = limit.shares.get(position, seat.costs)  # values of figures add nothing
            good &= own[label] + shares[options[at]] <= limit.room
        at, label, price = at[good], label[good], price[good]
        order = np.lexsort((price, at))
        first = np.ones(len(order), np.bool_)
        first[1:] = at[order][1:] != at[order][:-1]
        chosen = order[first]
        return at[chosen], price[chosen], label[chosen]

    def cheapest(self) -> Packages | None:
        """Give the cheapest package of all that keeps the limits, if cheaper than what is known."""
        labels = self.up[-1]
        problem = self.problem
        if self.asked.root is None:
            return None
        if labels is None:  # every package costs and adds nothing
            return None
        good = labels.cost + problem.prepared.model.fixed_cost < self.asked.root
        for own, limit in zip(labels.sums, self.limits, strict=True):
            good &= own <= limit.room
        ends = np.flatnonzero(good)[:1]
        if not len(ends):
            return None
        prices = labels.cost[ends] + problem.prepared.model.fixed_cost
        return self._packages(options_of_root(self.cut.circuit, self.up, ends), prices)

    def _packages(
        self, leaves: Mapping[int, Rows], prices: Amounts, position: str = "", kept: Any = None
    ) -> Packages:
        problem = self.problem
        numbers = {
            p: self.asked.options[position][kept] if p == position else leaves[problem.tables[p]]
            for p in problem.positions
        }
        return Packages(numbers, prices)


def leaf_labels(
    problem: PricingProblem, circuit: Circuit, limits: Sequence[LinearLimit]
) -> dict[int, Labels]:
    """Give the labels of leaves that cost or add anything: options, and work that parts share."""
    prepared = problem.prepared
    result: dict[int, Labels] = {}
    for position, seat in prepared.seats.items():
        table = problem.tables[position]
        rows = circuit.leaf_rows[table]
        place = np.full(len(seat.starts) + 1, -1, np.intp)
        place[rows] = np.arange(len(rows))
        options = np.flatnonzero(problem.allowed[position])
        options = options[place[seat.row_of[options]] >= 0]
        sums = np.array([limit.shares[position][options] for limit in limits], np.int64)
        part = (
            place[seat.row_of[options]],
            seat.costs[options].astype(np.int64),
            sums.reshape(len(limits), len(options)),
            options,
            np.full(len(options), -1, np.intp),
            np.full(len(options), -1, np.intp),
        )
        result[table] = gathered(len(rows), [part], len(limits))
    weighed = queries.weigh(problem.goals_only, None, 1, WEIGHTS).weights
    for number in prepared.model.work_costs:
        rows = circuit.leaf_rows[number]
        many = np.arange(len(rows))
        part = (
            many,
            weighed[number][rows].astype(np.int64),
            np.zeros((len(limits), len(rows)), np.int64),
            many,
            many,
            many,
        )
        result[number] = gathered(len(rows), [part], len(limits))
    return result


def sum_bounds(
    problem: PricingProblem, circuit: Circuit, limit: LinearLimit, asked: Asked, sign: int
) -> DesignatedBounds:
    """Bound what a sum comes to with an option asked about: from below, or its opposite."""
    plain: dict[int, Numbers] = {}
    designated: dict[int, Numbers] = {}
    for position, seat in problem.seats.items():
        table = problem.tables[position]
        every = np.flatnonzero(problem.allowed[position]) if position in problem.allowed else None
        for into, options in ((plain, every), (designated, asked.options.get(position))):
            if options is None:
                continue
            least = np.full(len(seat.starts), INFINITE)
            shares = sign * limit.shares.get(position, seat.costs)[options].astype(np.float64)
            np.minimum.at(least, seat.row_of[options], shares)
            into[table] = least[circuit.leaf_rows[table]]
    root = INFINITE if asked.root is None else 0.0
    return designated_bounds(circuit, DesignatedWeights(plain, designated, 0.0, root))
