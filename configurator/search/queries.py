"""Ask the circuit: what is possible, what it costs, which packages are the cheapest."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from configurator.evaluation import keeps
from configurator.jobs import Goal, Job
from configurator.problem import Model, make_model
from configurator.search import keeping
from configurator.search.circuit import Circuit, answer, backward, forward
from configurator.search.plan import make_circuit
from configurator.search.reducing import reduce_tables
from configurator.search.referee import meets, permitted
from configurator.search.semirings import CHEAPEST_32, CHEAPEST_64, Cheapest
from configurator.search.tables import select

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.evaluation import Evaluation
    from configurator.parts import Value
    from configurator.rules import Rule


@dataclass(slots=True)
class _Seat:
    """The options of a position by the circuit's rows: one segment of ``members`` per class."""

    members: NDArray[np.int32]
    starts: NDArray[np.int32]
    row_of: NDArray[np.int32]  # option → circuit row, -1 where it is in no package
    costs: NDArray[np.int64]


@dataclass(slots=True)
class Prepared:
    """A case ready to be asked: model, circuit, and where options sit in it.

    Goals, fixed parts, kept and ruled-out parts are not in it; they come with each question.
    """

    model: Model
    circuit: Circuit
    semiring: Cheapest
    seats: dict[str, _Seat]

    @property
    def evaluation(self) -> Evaluation:
        """The rule functions."""
        return self.model.evaluation


def prepare(
    evaluation: Evaluation,
    goals: Collection[str] = (),
    *,
    rules: Collection[Rule] | None = None,
    allowed: Mapping[str, Collection[int]] | None = None,
    cut: Sequence[Goal] = (),
    work: bool = True,
    soft: str = "",
    keep: bool = False,
) -> Prepared:
    """Make the model and its circuit.

    Parameters
    ----------
    evaluation
        The case and the trade.
    goals
        Figures that may be asked about, beside those that rules read.
    rules
        Limits, fits and bounded totals in force; all by default.
    allowed
        Position → option numbers to choose from; all where a position is not named.
    cut
        Goals that will not move: what does not meet them is left out of the circuit.
    work
        Whether the cost of work counts.
    soft
        Name of a rule whose combinations are all kept, the forbidden ones too.
    keep
        Whether to look for the circuit on disk, and to keep it there.

    Raises
    ------
    PluginError
        If a rule fails or its table is too large.
    TooWide
        If the tables cannot be joined in memory.
    """
    model = make_model(evaluation, goals, rules=rules, allowed=allowed, work=work, soft=soft)
    circuit = _circuit(model, cut, keep=keep)
    seats = {position: _seat(model, circuit, position) for position in model.options}
    most = sum(int(seat.costs.max(initial=0)) for seat in seats.values())
    most += sum(int(costs.max(initial=0)) for costs in model.work_costs.values())
    semiring = CHEAPEST_32 if most < CHEAPEST_32.impossible // 2 else CHEAPEST_64
    return Prepared(model, circuit, semiring, seats)


def _cut(model: Model, goals: Sequence[Goal]) -> dict[int, NDArray[np.int32]] | None:
    """Give for the tables of goals that will not move the rows that meet them; None if none can."""
    found: dict[int, NDArray[np.int32]] = {}
    for goal in goals:
        if goal.figure in model.fixed_figures:
            if not meets(goal, model.fixed_figures[goal.figure]):
                return None
        elif goal.figure in model.goal_tables:
            number = model.goal_tables[goal.figure]
            values = model.values[model.tables[number].variables[0]]
            met = np.array([meets(goal, value) for value in values], np.bool_)
            found[number] = np.flatnonzero(met).astype(np.int32)
    return found


def _circuit(model: Model, cut: Sequence[Goal], *, keep: bool) -> Circuit:
    """Reduce the tables and join them; leaf rows are lists of the model's own rows."""
    nothing = Circuit([], [[] for _ in model.tables])
    kept = _cut(model, cut)
    if model.broken or kept is None:
        return nothing
    tables = [select(t, kept[n]) if n in kept else t for n, t in enumerate(model.tables)]
    moving = set(model.goal_tables.values()) - set(kept)
    labels = {n: np.arange(model.tables[n].rows) for n in moving}
    labels.update(model.work_costs)
    if model.soft_table >= 0:
        labels[model.soft_table] = np.arange(model.tables[model.soft_table].rows)
    reduced = reduce_tables(tables, model.sizes, model.told_by, labels)
    if reduced is None:
        return nothing
    positions = set(model.position_tables.values())
    name = keeping.name_of(reduced.tables, reduced.sizes, model.told_by, positions) if keep else ""
    circuit = keeping.load(name, reduced.tables) if keep else None
    if circuit is None:
        circuit = make_circuit(reduced.tables, reduced.sizes, model.told_by, positions)
        if keep:
            keeping.save(name, circuit)
    if not circuit.nodes:
        return nothing
    for number, (new, used) in enumerate(zip(reduced.rows, circuit.leaf_rows, strict=True)):
        origins = _origins(new, used)
        if number in kept:
            origins = [kept[number][rows] for rows in origins]
        circuit.leaf_rows[number] = origins
    return circuit


def _origins(new: NDArray[np.int32], used: Sequence[int]) -> list[NDArray[np.int32]]:
    """For each row of a leaf, the model's rows that became it."""
    old = np.flatnonzero(new >= 0)
    order = old[np.argsort(new[old], kind="stable")]
    bounds = np.searchsorted(new[order], np.arange(int(new.max(initial=-1)) + 2))
    return [order[bounds[row] : bounds[row + 1]].astype(np.int32) for row in used]


def _seat(model: Model, circuit: Circuit, position: str) -> _Seat:
    origins = circuit.leaf_rows[model.position_tables[position]]
    classes = [[n for row in rows for n in model.classes[position][row]] for rows in origins]
    sizes = np.array([len(members) for members in classes], np.int64)
    members = np.array([n for one in classes for n in one], np.int32)
    row_of = np.full(len(model.options[position]), -1, np.int32)
    row_of[members] = np.repeat(np.arange(len(classes)), sizes)
    starts = (np.cumsum(sizes) - sizes).astype(np.int32)
    return _Seat(members, starts, row_of, model.costs[position])


@dataclass(slots=True)
class Weighed:
    """The weights that a job puts on the circuit, and whether anything is left at all."""

    weights: dict[int, NDArray[np.int64]]
    possible: bool


def weigh(
    prepared: Prepared,
    job: Job,
    costs: Mapping[str, NDArray[np.int64]] | None = None,
    work_scale: int = 1,
    semiring: Cheapest | None = None,
) -> Weighed:
    """Turn a job's wishes, all but the budget, into weights of rows.

    Parameters
    ----------
    prepared, job
        The case, and whose wishes count.
    costs
        Position → non-negative weight of each option, instead of its cost in minor units.
    work_scale
        By which the cost of shared work is multiplied.
    semiring
        Whose numbers are used; the case's own by default.
    """
    model = prepared.model
    semiring = semiring or prepared.semiring
    possible = bool(prepared.circuit.nodes)
    weights: dict[int, NDArray[np.int64]] = {}
    if not possible:
        return Weighed(weights, possible)
    for position, seat in prepared.seats.items():
        own = seat.costs if costs is None else costs[position]
        each = own[seat.members].astype(semiring.dtype)
        mask = allowed(model, job, position)
        if mask is not None:
            each[~mask[seat.members]] = semiring.impossible
        weights[model.position_tables[position]] = np.minimum.reduceat(each, seat.starts)
    for number, work in model.work_costs.items():
        rows = _first_rows(prepared, number)
        weights[number] = (work[rows] * work_scale).astype(semiring.dtype)
    for goal in job.goals:
        if goal.at_least is None and goal.at_most is None:
            continue
        if goal.figure in model.fixed_figures:
            possible = possible and meets(goal, model.fixed_figures[goal.figure])
            continue
        if goal.figure in model.goal_tables:
            number = model.goal_tables[goal.figure]
            met = [meets(goal, value) for value in goal_values(prepared, goal.figure)]
            weights[number] = np.where(met, 0, semiring.impossible).astype(semiring.dtype)
    return Weighed(weights, possible)


def goal_values(prepared: Prepared, figure: str) -> list[Value]:
    """Values of a figure that some package has, in the order of its leaf's rows."""
    number = prepared.model.goal_tables[figure]
    table = prepared.model.tables[number]
    values = prepared.model.values[table.variables[0]]
    return [values[table.columns[0][row]] for row in _first_rows(prepared, number)]


def _first_rows(prepared: Prepared, number: int) -> NDArray[np.int32]:
    """For each row of a leaf one of the model's rows that became it: they weigh the same."""
    rows = prepared.circuit.leaf_rows[number]
    return np.array([origins[0] for origins in rows], np.int32)


def picks(evaluation: Evaluation, job: Job) -> dict[str, list[int]]:
    """Option numbers that a job's fixed, kept and ruled-out parts leave at each position."""
    return {
        position: [n for n, o in enumerate(evaluation.options(position)) if permitted(job, o)]
        for position in evaluation.families
    }


def allowed(model: Model, job: Job, position: str) -> NDArray[np.bool_] | None:
    """Which options of a position a job's picks leave; None where all."""
    options = model.options[position]
    decided = position in job.fixed or position in job.keep
    excluded = bool(job.excluded) and any(option.key in job.excluded for option in options)
    if not decided and not excluded:
        return None  # the usual case at a large catalog
    return np.array([permitted(job, option) for option in options], np.bool_)


def cheapest_price(prepared: Prepared, job: Job) -> int | None:
    """Price of the cheapest package for a job, its budget left aside; None if there is none."""
    weighed = weigh(prepared, job)
    if not weighed.possible:
        return None
    values = forward(prepared.circuit, weighed.weights, prepared.semiring)
    price = int(answer(values, prepared.semiring))
    return None if price >= prepared.semiring.impossible else price + prepared.model.fixed_cost


@dataclass(frozen=True, slots=True)
class Previews:
    """What each option costs with the cheapest complete package around it.

    ``prices`` and ``if_freed`` map a position to one number per option in minor units, -1 where no
    package exists; ``if_freed`` leaves what is fixed, kept or ruled out at the option's own
    position aside. ``exact`` says which prices are; the others are lower bounds.
    """

    cheapest: int | None
    prices: Mapping[str, NDArray[np.int64]]
    if_freed: Mapping[str, NDArray[np.int64]]
    exact: Mapping[str, NDArray[np.bool_]]


def previews(prepared: Prepared, job: Job, positions: Collection[str] | None = None) -> Previews:
    """Price every option of some or all positions exactly.

    Parameters
    ----------
    prepared
        The case.
    job
        Whose wishes count; the budget is left aside.
    positions
        Positions to price; all by default.
    """
    model, semiring = prepared.model, prepared.semiring
    asked = list(model.options) if positions is None else list(positions)
    nothing = {p: np.full(len(model.options[p]), -1, np.int64) for p in asked}
    weighed = weigh(prepared, job)
    if not weighed.possible:
        return Previews(None, nothing, nothing, _all_exact(nothing))
    values = forward(prepared.circuit, weighed.weights, semiring)
    price = int(answer(values, semiring))
    above = backward(prepared.circuit, values, semiring, {model.position_tables[p] for p in asked})
    strict: dict[str, NDArray[np.int64]] = {}
    freed: dict[str, NDArray[np.int64]] = {}
    for position in asked:
        seat = prepared.seats[position]
        rest = above[model.position_tables[position]].astype(np.int64)
        prices = np.full(len(seat.row_of), -1, np.int64)
        here = seat.row_of >= 0
        total = rest[seat.row_of[here]] + seat.costs[here] + model.fixed_cost
        prices[here] = np.where(rest[seat.row_of[here]] >= semiring.impossible, -1, total)
        freed[position] = prices
        mask = allowed(model, job, position)
        strict[position] = prices if mask is None else np.where(mask, prices, -1)
    cheapest = None if price >= semiring.impossible else price + model.fixed_cost
    return Previews(cheapest, strict, freed, _all_exact(strict))


def _all_exact(prices: Mapping[str, NDArray[np.int64]]) -> dict[str, NDArray[np.bool_]]:
    return {position: np.ones(len(array), np.bool_) for position, array in prices.items()}


@dataclass(frozen=True, slots=True)
class Level:
    """A value of a figure that can be reached, and the cheapest price at exactly this value."""

    value: Value
    price: int


def curve(prepared: Prepared, job: Job, figure: str) -> list[Level]:
    """Give the cheapest price at every value of a figure that can be reached.

    The job's own bounds on the figure are left aside, so that the curve shows what giving way would
    bring; its other wishes count, the budget does not.

    Returns
    -------
    list of Level
        In order of the value; empty if nothing fits.
    """
    job = without_goal(job, figure)
    model, semiring = prepared.model, prepared.semiring
    if figure in model.fixed_figures:
        price = cheapest_price(prepared, job)
        return [] if price is None else [Level(model.fixed_figures[figure], price)]
    weighed = weigh(prepared, job)
    if not weighed.possible:
        return []
    number = model.goal_tables[figure]
    values = forward(prepared.circuit, weighed.weights, semiring)
    above = backward(prepared.circuit, values, semiring, {number})[number]
    return [
        Level(value, int(price) + model.fixed_cost)
        for value, price in zip(goal_values(prepared, figure), above, strict=True)
        if price < semiring.impossible
    ]


def settle(prepared: Prepared, job: Job) -> Job:
    """Turn *as high (or low) as possible* into the best bound that can be had.

    Goals are settled in their order, each within the job's other wishes, those settled before it,
    and the budget; where even the cheapest package is over the budget, the budget is left aside.
    """
    for number, goal in enumerate(job.goals):
        if goal.as_possible is None:
            continue
        levels = [
            level
            for level in curve(prepared, job, goal.figure)
            if isinstance(level.value, float | int)
            and keeps(level.value, goal.at_least, goal.at_most) is not False
        ]
        affordable = [level for level in levels if job.budget is None or level.price <= job.budget]
        values = [float(level.value) for level in affordable or levels]  # type: ignore[arg-type]
        settled = replace(goal, as_possible=None)
        if values and goal.as_possible == "high":
            settled = replace(settled, at_least=max(values))
        elif values:
            settled = replace(settled, at_most=min(values))
        job = replace(job, goals=(*job.goals[:number], settled, *job.goals[number + 1 :]))
    return job


def goal_figures(job: Job) -> list[str]:
    """Names of the figures a job has goals on, in order."""
    return list(dict.fromkeys(goal.figure for goal in job.goals))


def without_goal(job: Job, figure: str) -> Job:
    """Return the job without its goals on one figure."""
    return replace(job, goals=tuple(goal for goal in job.goals if goal.figure != figure))


def without_wishes(job: Job) -> Job:
    """Return the job with nothing asked for."""
    return replace(job, goals=(), fixed={}, keep=(), excluded=(), budget=None)


def class_sizes(prepared: Prepared) -> dict[str, NDArray[np.int64]]:
    """How many options each of the circuit's rows of a position stands for."""
    return {
        position: np.diff(seat.starts, append=len(seat.members)).astype(np.int64)
        for position, seat in prepared.seats.items()
    }
