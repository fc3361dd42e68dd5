"""Ask the circuit: what is possible, what it costs, which packages are the cheapest."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from configurator import columns
from configurator.jobs import Goal, Job
from configurator.problem import Model, make_model
from configurator.search import keeping
from configurator.search.circuit import Circuit, answer, backward, forward
from configurator.search.joining import TooWide
from configurator.search.loose import Loose, carry
from configurator.search.plan import make_circuit, make_loose
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
    from configurator.search.reducing import Reduced
    from configurator.search.semirings import Values


# A price that stays below zero whatever is added to it.
NEVER = -(2**62)


@dataclass(slots=True)
class _Seat:
    """The options of a position by the circuit's rows: one segment of ``members`` per class."""

    members: NDArray[np.int32]
    starts: NDArray[np.int32]
    row_of: NDArray[np.intp]  # option → circuit row, -1 where it is in no package
    costs: NDArray[np.int64]
    least: NDArray[np.int64]  # cost of each circuit row while every option is allowed


@dataclass(slots=True)
class Prepared:
    """A case ready to be asked: model, circuit, and where options sit in it.

    Goals, fixed parts, kept and ruled-out parts are not in it; they come with each question. What
    the last question left on the circuit is kept, as the next one mostly differs in one wish, and
    what *as high as possible* came to.
    """

    model: Model
    circuit: Circuit
    semiring: Cheapest
    seats: dict[str, _Seat]
    loose: Loose | None = None  # what makes prices lower bounds only; None where they are exact
    last: list[Values | None] | None = None
    settled: dict[Any, tuple[Goal, ...]] = field(default_factory=dict)

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
    circuit, loose = _circuit(model, cut, keep=keep)
    seats = {position: _seat(model, circuit, position) for position in model.options}
    most = sum(int(seat.costs.max(initial=0)) for seat in seats.values())
    most += sum(int(costs.max(initial=0)) for costs in model.work_costs.values())
    semiring = CHEAPEST_32 if most < CHEAPEST_32.impossible // 2 else CHEAPEST_64
    for position, seat in seats.items():
        seat.least = seat.least.astype(semiring.dtype)
        columns.numbers_by_key(evaluation, position)  # now, or the first click would wait for it
    return Prepared(model, circuit, semiring, seats, loose)


def values_for(prepared: Prepared, weighed: Weighed) -> list[Values | None]:
    """Run the forward pass in prices, from what the last one left.

    The list that is kept is replaced, never changed: questions asked at the same time each start
    from a whole one.
    """
    values = forward(prepared.circuit, weighed.weights, prepared.semiring, prepared.last)
    prepared.last = values
    return values


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


def _circuit(model: Model, cut: Sequence[Goal], *, keep: bool) -> tuple[Circuit, Loose | None]:
    """Reduce the tables and join them; leaf rows are lists of the model's own rows."""
    nothing = Circuit([], [[] for _ in model.tables])
    kept = _cut(model, cut)
    if model.broken or kept is None:
        return nothing, None
    tables = [select(t, kept[n]) if n in kept else t for n, t in enumerate(model.tables)]
    moving = set(model.goal_tables.values()) - set(kept)
    labels = {n: np.arange(model.tables[n].rows) for n in moving}
    labels.update(model.work_costs)
    if model.soft_table >= 0:
        labels[model.soft_table] = np.arange(model.tables[model.soft_table].rows)
    reduced = reduce_tables(tables, model.sizes, model.told_by, labels)
    if reduced is None:
        return nothing, None
    circuit, apart = _joined(model, reduced, keep=keep)
    if not circuit.nodes:
        return nothing, None
    loose = None
    if apart:
        loose = Loose(
            tuple(select(t, r) for t, r in zip(reduced.tables, circuit.leaf_rows, strict=True)),
            tuple(reduced.sizes),
            tuple(model.told_by),
            apart,
            tuple(dict.fromkeys(model.tables[model.told_by[v]].name for v in apart)),
        )
    for number, (new, used) in enumerate(zip(reduced.rows, circuit.leaf_rows, strict=True)):
        origins = _origins(new, used)
        if number in kept:
            origins = [kept[number][rows] for rows in origins]
        circuit.leaf_rows[number] = origins
    return circuit, loose


def _joined(model: Model, reduced: Reduced, *, keep: bool) -> tuple[Circuit, tuple[int, ...]]:
    """Join reduced tables, or look up on disk what came of it; a circuit of bounds if need be.

    Returns
    -------
    tuple
        The circuit, and the variables that were taken apart.
    """
    positions = set(model.position_tables.values())
    given = (reduced.tables, reduced.sizes, model.told_by, positions)
    name = keeping.name_of(*given) if keep else ""
    try:
        circuit = keeping.load(name, reduced.tables) if keep else None
        if circuit is None:
            circuit = make_circuit(*given)
            if keep:
                keeping.save(name, circuit)
    except TooWide as refusal:
        known = keeping.load_loose(name, reduced.tables) if keep else None
        if known is not None:
            return known
        if keep:
            keeping.save_refusal(name, refusal)
        circuit, apart = make_loose(*given)
        if keep:
            keeping.save_loose(name, circuit, apart)
        return circuit, apart
    return circuit, ()


def _origins(new: NDArray[np.int32], used: Sequence[int]) -> list[NDArray[np.int32]]:
    """For each row of a leaf, the model's rows that became it."""
    old = np.flatnonzero(new >= 0)
    order = old[np.argsort(new[old], kind="stable")]
    bounds = np.searchsorted(new[order], np.arange(int(new.max(initial=-1)) + 2))
    return [order[bounds[row] : bounds[row + 1]].astype(np.int32) for row in used]


def _seat(model: Model, circuit: Circuit, position: str) -> _Seat:
    origins = circuit.leaf_rows[model.position_tables[position]]
    classes = model.classes[position]
    groups = [[classes[row] for row in rows.tolist()] for rows in origins]
    sizes = np.array([sum(map(len, group)) for group in groups], np.int64)
    flat = [one for group in groups for one in group]
    members = np.concatenate(flat) if flat else np.zeros(0, np.int32)
    row_of = np.full(len(model.options[position]), -1, np.intp)
    row_of[members] = np.repeat(np.arange(len(groups)), sizes)
    starts = (np.cumsum(sizes) - sizes).astype(np.int32)
    costs = model.costs[position]
    least = np.minimum.reduceat(costs[members], starts) if len(starts) else costs[:0]
    return _Seat(members, starts, row_of, costs, least)


@dataclass(slots=True)
class Weighed:
    """The weights that a job puts on the circuit, and whether anything is left at all.

    ``exact`` says whether what comes of them is; otherwise it is a lower bound. ``carried`` says
    whether what is decided was carried through tables that are too wide to be joined.
    """

    weights: dict[int, NDArray[np.int64]]
    possible: bool
    exact: bool = True
    carried: bool = False


def weigh(
    prepared: Prepared,
    job: Job,
    costs: Mapping[str, NDArray[np.int64]] | None = None,
    work_scale: int = 1,
    semiring: Cheapest | None = None,
    *,
    carried: bool = True,
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
    carried
        Whether what is decided is carried through tables that are too wide to be joined.
    """
    model = prepared.model
    semiring = semiring or prepared.semiring
    possible = bool(prepared.circuit.nodes)
    weights: dict[int, NDArray[np.int64]] = {}
    if not possible:
        return Weighed(weights, possible)
    for position, seat in prepared.seats.items():
        mask = allowed(model, job, position)
        if mask is None and costs is None and semiring == prepared.semiring:
            weights[model.position_tables[position]] = seat.least
            continue
        own = seat.costs if costs is None else costs[position]
        each = own[seat.members].astype(semiring.dtype)
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
    if not possible or prepared.loose is None:
        return Weighed(weights, possible)
    if not carried:
        return Weighed(weights, possible, exact=False)
    found = carry(prepared.loose, weights, semiring)
    if found is None:
        return Weighed(weights, possible=False)
    return Weighed(found.weights, possible=True, exact=not found.open, carried=True)


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
    """Option numbers that a job's picks leave, at positions where they leave not all."""
    return {
        position: [n for n, o in enumerate(evaluation.options(position)) if permitted(job, o)]
        for position in evaluation.families
        if job.excluded
        or job.ready_within is not None
        or position in job.fixed
        or position in job.keep
    }


def allowed(model: Model, job: Job, position: str) -> NDArray[np.bool_] | None:
    """Which options of a position a job's picks leave; None where all."""
    evaluation = model.evaluation
    masks: list[NDArray[np.bool_]] = []
    if position in job.fixed:
        masks.append(columns.named(evaluation, position, [job.fixed[position]]))
    if position in job.keep:
        masks.append(~columns.changed(evaluation, position))
    excluded = columns.named(evaluation, position, job.excluded) if job.excluded else None
    if excluded is not None and excluded.any():
        masks.append(~excluded)
    if job.ready_within is not None:
        masks.append(columns.in_time(evaluation, position, job))
    return np.logical_and.reduce(masks) if masks else None


def cheapest_price(prepared: Prepared, job: Job) -> int | None:
    """Price of the cheapest package for a job, its budget left aside; None if there is none."""
    weighed = weigh(prepared, job)
    if not weighed.possible:
        return None
    values = values_for(prepared, weighed)
    price = int(answer(values, prepared.semiring))
    return None if price >= prepared.semiring.impossible else price + prepared.model.fixed_cost


@dataclass(frozen=True, slots=True)
class Previews:
    """What each option costs with the cheapest complete package around it.

    ``prices`` and ``if_freed`` map a position to one number per option in minor units, -1 where no
    package exists; ``if_freed`` leaves what is fixed, kept, ruled out or there too late at the
    option's own position aside. ``exact`` says which prices are; the others are lower bounds.
    """

    cheapest: int | None
    prices: Mapping[str, NDArray[np.int64]]
    if_freed: Mapping[str, NDArray[np.int64]]
    exact: Mapping[str, NDArray[np.bool_]]


def previews(prepared: Prepared, job: Job, positions: Collection[str] | None = None) -> Previews:
    """Price every option of some or all positions: exactly, if the tables could be joined.

    Parameters
    ----------
    prepared
        The case.
    job
        Whose wishes count; the budget is left aside.
    positions
        Positions to price; all by default.
    """
    model = prepared.model
    asked = list(model.options) if positions is None else list(positions)
    masks = {position: allowed(model, job, position) for position in asked}
    decided = {position: mask for position, mask in masks.items() if mask is not None}
    weighed = weigh(prepared, job)
    if weighed.possible:
        cheapest, freed = _prices(prepared, weighed, asked)
    else:
        nothing = {p: np.full(len(model.options[p]), -1, np.int64) for p in asked}
        cheapest, freed = None, nothing
        if prepared.loose is None:
            return Previews(None, nothing, nothing, _all_exact(nothing))
    strict = dict(freed)
    for position, mask in decided.items():
        strict[position] = np.where(mask, freed[position], -1)
    if prepared.loose is not None and decided:
        # What is decided here has been carried elsewhere, where it must not count if it is freed.
        apart = weigh(prepared, job, carried=False)
        freed = {**freed, **_prices(prepared, apart, decided)[1]}
    exact = _all_exact(strict)
    if not weighed.exact:
        exact = {position: prices < 0 for position, prices in strict.items()}
    return Previews(cheapest, strict, freed, exact)


def _prices(
    prepared: Prepared, weighed: Weighed, positions: Collection[str]
) -> tuple[int | None, dict[str, NDArray[np.int64]]]:
    """Price the options of some positions, what is decided at an option's own left aside."""
    model, semiring = prepared.model, prepared.semiring
    values = values_for(prepared, weighed)
    price = int(answer(values, semiring))
    tables = model.position_tables
    above = backward(prepared.circuit, values, semiring, {tables[p] for p in positions})
    found: dict[str, NDArray[np.int64]] = {}
    for position in positions:
        seat = prepared.seats[position]
        rest = above[tables[position]].astype(np.int64)
        if prepared.loose is not None and weighed.carried:
            own = weighed.weights[tables[position]]
            rest[own >= semiring.impossible] = semiring.impossible
        # What is impossible so far below zero that no cost lifts it; one more at the end, for the
        # options whose row is -1: those in no package. Lists are long: no pass too many over them.
        rest = np.append(np.where(rest >= semiring.impossible, NEVER, rest), NEVER)
        rest += model.fixed_cost
        prices = rest[seat.row_of]
        prices += seat.costs
        np.maximum(prices, -1, out=prices)
        found[position] = prices
    return None if price >= semiring.impossible else price + model.fixed_cost, found


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
    values = values_for(prepared, weighed)
    above = backward(prepared.circuit, values, semiring, {number})[number]
    return [
        Level(value, int(price) + model.fixed_cost)
        for value, price in zip(goal_values(prepared, figure), above, strict=True)
        if price < semiring.impossible
    ]


def goal_figures(job: Job) -> list[str]:
    """Names of the figures a job has goals on, in order."""
    return list(dict.fromkeys(goal.figure for goal in job.goals))


def without_goal(job: Job, figure: str) -> Job:
    """Return the job without its goals on one figure."""
    return replace(job, goals=tuple(goal for goal in job.goals if goal.figure != figure))


def without_wishes(job: Job) -> Job:
    """Return the job with nothing asked for."""
    return replace(job, goals=(), fixed={}, keep=(), excluded=(), budget=None, ready_within=None)


def class_sizes(prepared: Prepared) -> dict[str, NDArray[np.int64]]:
    """How many options each of the circuit's rows of a position stands for."""
    return {
        position: np.diff(seat.starts, append=len(seat.members)).astype(np.int64)
        for position, seat in prepared.seats.items()
    }
