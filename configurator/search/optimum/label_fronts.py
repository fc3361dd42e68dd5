"""Price against sums and figures: the labels of the root are the front, every step of it exact.

A sum beside the price is one more number of each label; a figure is one too, for its value stands
on one row of each package. What a package breaks that labels do not tell is made up for by boxes:
of each part of the plane where such a package would be next, the cheapest is asked for by itself.

References
----------
.. [1] K. Klamroth, R. Lacour and D. Vanderpooten, *On the representation of the search region in
   multi-objective optimization*, European Journal of Operational Research 245 (2015), 767-778: the
   boxes.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from configurator.model.jobs import Goal
from configurator.model.parts import Missing
from configurator.model.verdicts import TOLERANCE
from configurator.search.circuit.label_bounds import (
    INFINITE,
    DesignatedWeights,
    designated_bounds,
    matters,
)
from configurator.search.circuit.labels import (
    Keeping,
    Labels,
    TooManyLabels,
    gathered,
    options_of_root,
    up_labels,
)
from configurator.search.optimum import option_prices, queries
from configurator.search.optimum.label_pricing import Asked, leaf_labels, sum_bounds
from configurator.search.optimum.late_rules import PackageColumns, kept_by
from configurator.search.optimum.resource_constraints import (
    LinearLimit,
    late_of,
    linear_limits,
)
from configurator.search.optimum.weighing import WEIGHTS, Packages, Problem

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from numpy.typing import NDArray

    from configurator.model.jobs import Direction, Job
    from configurator.search.circuit.nodes import Circuit
    from configurator.search.optimum.preparing import Prepared

    Amounts = NDArray[np.int64]
    Rows = NDArray[np.intp]
    Objective = tuple[str, Direction]

# Sums that are objectives are told apart by so many parts of their SI unit: a milligram.
FINE = 1_000_000
# Labels are not made on circuits of more rows, and packages of a front are looked for one by one.
MOST_ROWS = 3_000_000
# Boxes that are asked about by themselves before the rest of a front is called a bound.
MOST_BOXES = 400
# Packages that are looked at for each of them.
PATIENCE = 2000


@dataclass(frozen=True, slots=True)
class FrontPackage:
    """A package that no other equals or beats in price and in every objective.

    Parameters
    ----------
    values
        Of the objectives, in SI.
    price
        In minor units.
    exact
        Whether no package as good is cheaper; otherwise the price is a lower bound of those.
    """

    values: tuple[float, ...]
    price: int
    exact: bool = True


def front(
    prepared: Prepared,
    job: Job,
    objectives: Sequence[Objective],
    steps: Sequence[float] | None = None,
    report: Callable[[int, int], None] | None = None,
) -> list[FrontPackage]:
    """Give all packages that nothing beats in price and some sums and figures.

    The job's own bounds on them count, its budget does not. Packages of which one is not known are
    left out.

    Parameters
    ----------
    prepared, job
        The case, and whose wishes count.
    objectives
        Names of sums or goal figures, each with what is better in it.
    steps
        By how much [SI] a level is better than the one before, where packages are looked for one by
        one; nothing smaller is then told apart. 0 for all, which is the default.
    report
        Called with how many packages were found, and how many boxes are open.

    Returns
    -------
    list of FrontPackage
        In order of price.
    """
    totals = prepared.evaluation.trade.totals
    if not prepared.circuit.nodes or not all(
        name in totals or _known_values(prepared, name) for name, _ in objectives
    ):
        return []
    boxes = _Boxes(prepared, job, objectives, steps or (0.0,) * len(objectives))
    if prepared.loose is None and prepared.circuit.rows <= MOST_ROWS:
        try:
            boxes.labels = root_front(prepared, job, objectives)
        except TooManyLabels:
            boxes.labels = None
    return boxes.front(report)


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


def root_front(prepared: Prepared, job: Job, objectives: Sequence[Objective]) -> RootFront:
    """Make the labels of the root over price, objectives and limited sums.

    Raises
    ------
    TooManyLabels
        If they are too many.
    """
    late = late_of(prepared, job)
    problem = Problem(prepared, job)
    axes = [_axis(prepared, name, better) for name, better in objectives]
    limits = linear_limits(late)
    circuit = _possible(problem)
    none = RootFront(np.zeros(0, np.int64), np.zeros((len(axes), 0)), np.zeros(0, np.bool_))
    if circuit is None:
        return none
    every = Asked({}, {}, 0)
    # A limit that nothing exceeds need not be told by labels.
    limits = [limit for limit in limits if _most(problem, circuit, limit, every) > limit.room]
    told = [*(LinearLimit(axis.shares, axis.room) for axis in axes), *limits]
    leaves = leaf_labels(problem, circuit, told)
    for at, axis in enumerate(axes):
        if axis.table >= 0:
            leaves[axis.table] = _figure_labels(circuit, axis, at, len(told))
    up = up_labels(circuit, leaves, len(told), _keeping(problem, circuit, limits, axes, every))
    root = up[-1]
    if root is None:
        return none
    good = np.ones(len(root.cost), np.bool_)
    for own, limit in zip(root.sums, told, strict=True):
        good &= own <= limit.room
    ends = np.flatnonzero(good)
    prices = root.cost[ends] + prepared.model.fixed_cost
    leaf_options = options_of_root(circuit, up, ends)
    numbers = {p: leaf_options[problem.tables[p]] for p in problem.positions}
    packages = Packages(numbers, prices)
    kept = kept_by(prepared.evaluation, job, late, packages.numbers)
    columns = PackageColumns(prepared.evaluation, packages.numbers)
    values = np.array([[_number(v) for v in columns.figure(name)] for name, _ in objectives])
    values *= np.array([[_sign(better)] for _, better in objectives])
    kept &= ~np.isnan(values).any(axis=0)
    return RootFront(prices, np.nan_to_num(values, nan=np.inf), kept)


def _sign(better: Direction) -> float:
    return -1.0 if better == "high" else 1.0


def _number(value: object) -> float:
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
    evaluation, sign = prepared.evaluation, _sign(better)
    nothing = {p: np.zeros(len(seat.row_of), np.int64) for p, seat in prepared.seats.items()}
    if name not in evaluation.trade.totals:
        table = prepared.model.goal_tables.get(name, -1)
        if table < 0:  # the same in every package
            return _Axis(nothing, 0)
        values = [_number(value) for value in queries.goal_values(prepared, name)]
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
        known[position] = np.array([not isinstance(one, Missing) for one in each], np.bool_)
        shares[position] = np.array(
            [0 if isinstance(one, Missing) else math.floor(sign * one * FINE) for one in each],
            np.int64,
        )
        reach += int(np.abs(shares[position]).max(initial=0))
    # A package with an option whose share is not known is beyond every room.
    for position, own in shares.items():
        own[~known[position]] = 3 * reach
    return _Axis(shares, reach)


def _possible(problem: Problem) -> Circuit | None:
    """Cut out of the circuit what no package of the job uses; None if nothing is left."""
    costs = {p: np.where(problem.allowed[p], 0, WEIGHTS.impossible) for p in problem.positions}
    weighed = queries.weigh(problem.prepared, problem.goals_only, costs, 0, WEIGHTS)
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


def _most(problem: Problem, circuit: Circuit, limit: LinearLimit, every: Asked) -> float:
    """Give the most that a sum can come to."""
    root = sum_bounds(problem, circuit, limit, every, -1).below[-1]
    return math.inf if root is None else -float(root[0])


def _keeping(
    problem: Problem,
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


class _Boxes:
    """Parts of the plane of objectives in which the next package of a front may lie."""

    def __init__(
        self, prepared: Prepared, job: Job, objectives: Sequence[Objective], steps: Sequence[float]
    ) -> None:
        self.prepared, self.job, self.objectives = prepared, job, objectives
        self.signs = [_sign(better) for _, better in objectives]
        self.steps = steps
        self.labels: RootFront | None = None

    def front(self, report: Callable[[int, int], None] | None) -> list[FrontPackage]:
        """Split boxes by the cheapest package in each, until all are empty."""
        if self.labels is not None and self.labels.kept.all():
            every = zip(self.labels.prices.tolist(), self.labels.values.T.tolist(), strict=True)
            return self._undominated([(price, tuple(values), True) for price, values in every])
        waiting: list[tuple[float, ...]] = [(math.inf,) * len(self.signs)]
        seen: set[tuple[float, ...]] = set()
        empty: list[tuple[float, ...]] = []
        points: list[tuple[int, tuple[float, ...], bool]] = []
        asked = 0
        while waiting:
            if report is not None:
                report(len(points), len(points) + len(waiting))
            box = waiting.pop()
            if box in seen or any(_within(box, other) for other in empty):
                continue
            seen.add(box)
            point = self._of_labels(box)
            if point is None:
                if asked == MOST_BOXES:
                    break
                asked += 1
                point = self._asked(box)
            price, values, exact = point
            if price < 0:
                empty.append(box)
                continue
            points.append(point)
            if not values or (not exact and values == box):
                continue  # whether anything lies here is open
            waiting.extend(
                (*box[:at], self._before(at, value), *box[at + 1 :])
                for at, value in enumerate(values)
            )
        return self._undominated(points)

    def _before(self, at: int, value: float) -> float:
        """Give the level that what is better than a value must have, less being better."""
        return value - max(self.steps[at], 3 * TOLERANCE * max(1.0, abs(value)))

    def _of_labels(self, box: tuple[float, ...]) -> tuple[int, tuple[float, ...], bool] | None:
        """Read the cheapest package of a box off the labels; None if they do not tell."""
        if self.labels is None:
            return None
        inside = np.ones(len(self.labels.prices), np.bool_)
        for own, most in zip(self.labels.values, box, strict=True):
            inside &= own <= most + TOLERANCE * max(1.0, abs(most)) if math.isfinite(most) else True
        numbers = np.flatnonzero(inside | ~np.isfinite(self.labels.values).all(axis=0))
        if not len(numbers):
            return -1, (), True
        first = int(
            numbers[np.lexsort((~self.labels.kept[numbers], self.labels.prices[numbers]))[0]]
        )
        if not self.labels.kept[first]:
            return None
        return int(self.labels.prices[first]), tuple(self.labels.values[:, first].tolist()), True

    def _asked(self, box: tuple[float, ...]) -> tuple[int, tuple[float, ...], bool]:
        goals = []
        for (name, better), most in zip(self.objectives, box, strict=True):
            if not math.isfinite(most):
                goals.append(_known_goal(self.prepared, name))
            elif better == "high":
                goals.append(Goal(name, at_least=-most))
            else:
                goals.append(Goal(name, at_most=most))
        job = replace(self.job, goals=(*self.job.goals, *(g for g in goals if g is not None)))
        package = option_prices.cheapest(self.prepared, job, PATIENCE)
        if package.choice is None or package.price is None:
            if package.proven:
                return -1, (), True
            finite = all(map(math.isfinite, box))
            return package.least, box if finite else (), False
        figures = [
            _number(self.prepared.evaluation.figure(name, package.choice))
            for name, _ in self.objectives
        ]
        values = tuple(sign * value for sign, value in zip(self.signs, figures, strict=True))
        price = package.price if package.proven else max(package.least, 0)
        return price, values, package.proven

    def _undominated(
        self, points: Sequence[tuple[int, tuple[float, ...], bool]]
    ) -> list[FrontPackage]:
        kept: list[tuple[int, tuple[float, ...], bool]] = []
        for point in sorted(set(points)):
            price, values, _ = point
            beaten = any(
                sure and cost <= price and _within(other, values) for cost, other, sure in kept
            )
            if values and not beaten:
                kept.append(point)
        return [
            FrontPackage(
                tuple(sign * value + 0.0 for sign, value in zip(self.signs, values, strict=True)),
                price,
                exact,
            )
            for price, values, exact in kept
        ]


def _within(box: Sequence[float], other: Sequence[float]) -> bool:
    return all(a <= b for a, b in zip(box, other, strict=True))


def _known_goal(prepared: Prepared, name: str) -> Goal | None:
    """Ask for any value of a figure: packages of which it is not known are left out."""
    if name in prepared.evaluation.trade.totals:
        return Goal(name, at_least=-1e9)
    values = _known_values(prepared, name)
    return Goal(name, at_least=min(values)) if name in prepared.model.goal_tables else None


def _known_values(prepared: Prepared, name: str) -> list[float]:
    """List the values of a figure that are numbers."""
    fixed = prepared.model.fixed_figures
    every = [fixed[name]] if name in fixed else queries.goal_values(prepared, name)
    return [number for number in map(_number, every) if not math.isnan(number)]
