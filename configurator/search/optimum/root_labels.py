"""The undominated packages of a circuit in price, sums and figures: the labels of its root."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from configurator.model.parts import Missing
from configurator.search.circuit.label_bounds import (
    INFINITE,
    DesignatedWeights,
    designated_bounds,
    matters,
)
from configurator.search.circuit.labels import (
    Keeping,
    Labels,
    gathered,
    options_of_root,
    up_labels,
)
from configurator.search.optimum import queries
from configurator.search.optimum.label_pricing import Asked, leaf_labels, sum_bounds
from configurator.search.optimum.late_rules import PackageColumns, kept_by
from configurator.search.optimum.preparing import Question
from configurator.search.optimum.resource_constraints import (
    LinearLimit,
    late_of,
    linear_limits,
)
from configurator.search.optimum.weighing import WEIGHTS, Packages, PricingProblem

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from configurator.model.jobs import Direction
    from configurator.search.circuit.nodes import Circuit
    from configurator.search.optimum.preparing import Prepared

    Amounts = NDArray[np.int64]
    Rows = NDArray[np.intp]
    Objective = tuple[str, Direction]

# Sums that are objectives are told apart by so many parts of their SI unit: a milligram.
FINE = 1_000_000


@dataclass(frozen=True, slots=True)
class RootFront:
    """The undominated labels of the root, in order of price.

    Parameters
    ----------
    prices, values
        In minor units; one row of values for each objective, turned round so that less is better.
    kept
        Which keep what labels do not tell.
    """

    prices: Amounts
    values: NDArray[np.float64]
    kept: NDArray[np.bool_]


def root_front(question: Question, objectives: Sequence[Objective]) -> RootFront:
    """Make the labels of the root over price, objectives and limited sums.

    Raises
    ------
    TooManyLabels
        If they are too many.
    """
    late = late_of(question)
    problem = PricingProblem(question)
    axes = [_axis(question.prepared, name, better) for name, better in objectives]
    limits = linear_limits(late.ceilings)
    circuit = _possible(problem)
    none = RootFront(np.zeros(0, np.int64), np.zeros((len(axes), 0)), np.zeros(0, np.bool_))
    if circuit is None:
        return none
    every = Asked({}, {}, 0)
    # A limit that nothing exceeds need not be told by labels.
    limits = [limit for limit in limits if _most(problem, circuit, limit, every) > limit.room]
    all_limits = [*(LinearLimit(axis.shares, axis.room) for axis in axes), *limits]
    leaves = leaf_labels(problem, circuit, all_limits)
    for at, axis in enumerate(axes):
        if axis.table >= 0:
            leaves[axis.table] = _figure_labels(circuit, axis, at, len(all_limits))
    up = up_labels(
        circuit, leaves, len(all_limits), _keeping(problem, circuit, limits, axes, every)
    )
    root = up[-1]
    if root is None:
        return none
    good = np.ones(len(root.cost), np.bool_)
    for own, limit in zip(root.sums, all_limits, strict=True):
        good &= own <= limit.room
    ends = np.flatnonzero(good)
    prices = root.cost[ends] + question.model.fixed_cost
    leaf_options = options_of_root(circuit, up, ends)
    numbers = {p: leaf_options[problem.tables[p]] for p in problem.positions}
    packages = Packages(numbers, prices)
    kept = kept_by(question.evaluation, question.job, late, packages.numbers)
    columns = PackageColumns(question.evaluation, packages.numbers, question.model.joint)
    values = np.array([[number_of(v) for v in columns.figure(name)] for name, _ in objectives])
    values *= np.array([[sign_of(better)] for _, better in objectives])
    kept &= ~np.isnan(values).any(axis=0)
    return RootFront(prices, np.nan_to_num(values, nan=np.inf), kept)


def sign_of(better: Direction) -> float:
    """Give by what a figure is multiplied so that less is better."""
    return -1.0 if better == "high" else 1.0


def number_of(value: object) -> float:
    """Give a value as a number, NaN where it is none."""
    known = isinstance(value, int | float) and not isinstance(value, bool)
    return float(value) if known else math.nan  # type: ignore[arg-type]


@dataclass(frozen=True, slots=True)
class _Axis:
    """An objective as a number of labels: of options, or of the rows of a figure's leaf."""

    shares: dict[str, Amounts]
    room: int
    table: int = -1
    rows: Amounts | None = None


def _axis(prepared: Prepared, name: str, better: Direction) -> _Axis:
    evaluation, sign = prepared.evaluation, sign_of(better)
    nothing = {p: np.zeros(len(seat.row_of), np.int64) for p, seat in prepared.seats.items()}
    if name not in evaluation.trade.totals:
        table = prepared.model.goal_tables.get(name, -1)
        if table < 0:  # the same in every package
            return _Axis(nothing, 0)
        values = [number_of(value) for value in queries.goal_values(prepared, name)]
        order = sorted({sign * value for value in values if not math.isnan(value)})
        rank = {value: number for number, value in enumerate(order)}
        rows = [len(order) if math.isnan(v) else rank[sign * v] for v in values]
        return _Axis(nothing, len(order) - 1, table, np.array(rows, np.int64))
    rule = evaluation.trade.totals[name]
    shares: dict[str, Amounts] = {}
    reach = 1
    known = {}
    for position in prepared.seats:
        each = [evaluation.share(rule, option) for option in evaluation.options(position)]
        known[position] = np.array([not isinstance(share, Missing) for share in each], np.bool_)
        shares[position] = np.array(
            [
                0 if isinstance(share, Missing) else math.floor(sign * share * FINE)
                for share in each
            ],
            np.int64,
        )
        reach += int(np.abs(shares[position]).max(initial=0))
    # A package with an option whose share is not known is beyond every room.
    for position, own in shares.items():
        own[~known[position]] = 3 * reach
    return _Axis(shares, reach)


def _possible(problem: PricingProblem) -> Circuit | None:
    """Cut out of the circuit what no package of the job uses; None if nothing is left."""
    costs = {p: np.where(problem.allowed[p], 0, WEIGHTS.impossible) for p in problem.positions}
    weighed = queries.weigh(problem.goals_only, costs, 0, WEIGHTS)
    if not weighed.possible:
        return None
    plain = {
        number: np.where(rows >= WEIGHTS.impossible, INFINITE, 0.0)
        for number, rows in weighed.weights.items()
    }
    circuit = problem.prepared.circuit
    bounds = designated_bounds(circuit, DesignatedWeights(plain, {}, 0.0, 0.0))
    cut = matters(circuit, bounds, 1.0)
    return cut if cut.nodes else None


def _most(problem: PricingProblem, circuit: Circuit, limit: LinearLimit, every: Asked) -> float:
    """Give the most that a sum can come to."""
    root = sum_bounds(problem, circuit, limit, every, -1).below[-1]
    return math.inf if root is None else -float(root[0])


def _keeping(
    problem: PricingProblem,
    circuit: Circuit,
    limits: Sequence[LinearLimit],
    axes: Sequence[_Axis],
    every: Asked,
) -> Keeping:
    first = len(axes)
    least = [sum_bounds(problem, circuit, limit, every, 1) for limit in limits]
    most = [sum_bounds(problem, circuit, limit, every, -1) for limit in limits]

    def keep(number: int, _: bool, rows: Rows, cost: Amounts, sums: Amounts) -> NDArray[np.bool_]:
        kept = np.ones(len(cost), np.bool_)
        for own, bounds, limit in zip(sums[first:], least, limits, strict=True):
            rest = bounds.above_with[number]
            if rest is not None:
                kept &= own + rest[rows] <= limit.room
        return kept

    def clamp(number: int, _: bool, rows: Rows, sums: Amounts) -> Amounts:
        compared = sums.copy()
        for at, (bounds, limit) in enumerate(zip(most, limits, strict=True), first):
            rest = bounds.above_with[number]
            if rest is not None:
                enough = (limit.room + rest[rows]).astype(np.int64)
                compared[at] = np.maximum(compared[at], enough)
        return compared

    return Keeping(keep, clamp)


def _figure_labels(circuit: Circuit, axis: _Axis, at: int, sums: int) -> Labels:
    assert axis.rows is not None
    own = axis.rows[circuit.leaf_rows[axis.table]]
    many = np.arange(len(own))
    amounts = np.zeros((sums, len(own)), np.int64)
    amounts[at] = own
    return gathered(
        len(own), [(many, np.zeros(len(own), np.int64), amounts, many, many, many)], sums
    )
