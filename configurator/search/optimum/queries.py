"""Ask the circuit: what is possible, what it costs, which packages are the cheapest."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from configurator.model.jobs import Job
from configurator.model.sure_goals import lowered, parted
from configurator.search.circuit.cost_shifting import NOTHING, look_for, move
from configurator.search.circuit.mini_buckets import carry
from configurator.search.circuit.passes import answer, backward, forward
from configurator.search.circuit.semirings import CHEAPEST_64, MinPlus
from configurator.search.encoding import option_columns
from configurator.search.encoding.constraint_model import Model
from configurator.search.optimum.verification import meets, permitted

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from numpy.typing import NDArray

    from configurator.evaluation.evaluator import Evaluation
    from configurator.model.parts import Value
    from configurator.search.circuit.cost_shifting import Shift
    from configurator.search.circuit.semirings import Values
    from configurator.search.optimum.preparing import Prepared, Question


# What no package weighs.
IMPOSSIBLE = CHEAPEST_64.impossible
# How many of what raised bounds are kept.
KEPT_SHIFTS = 4


def values_for(prepared: Prepared, weighed: Weighed) -> list[Values | None]:
    """Run the forward pass in prices, from what the last one left."""
    lately = prepared.lately
    values = forward(prepared.circuit, weighed.weights, prepared.semiring, lately.prices)
    lately.prices = values
    return values


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
    question: Question,
    costs: Mapping[str, NDArray[np.int64]] | None = None,
    work_scale: int = 1,
    semiring: MinPlus | None = None,
    *,
    carried: bool = True,
) -> Weighed:
    """Turn a job's wishes, all but the budget, into weights of rows.

    Parameters
    ----------
    question
        The case, and whose goals count.
    costs
        Position → non-negative weight of each option, instead of its cost in minor units.
    work_scale
        By which the cost of shared work is multiplied.
    semiring
        Whose numbers are used; the case's own by default.
    carried
        Whether what is decided is carried through tables that are too wide to be joined.
    """
    prepared = question.prepared
    model = question.model
    semiring = semiring or prepared.semiring
    possible = bool(prepared.circuit.nodes)
    weights: dict[int, NDArray[np.int64]] = {}
    if not possible:
        return Weighed(weights, possible)
    for position, seat in prepared.seats.items():
        mask = allowed(model, question.job, position)
        if mask is None and costs is None and semiring == prepared.semiring:
            weights[model.position_tables[position]] = seat.least
            continue
        own = seat.costs if costs is None else costs[position]
        if mask is None:
            each = own[seat.members].astype(semiring.dtype)
            least = np.minimum.reduceat(each, seat.starts)
        else:  # mostly one part or a few
            left = np.flatnonzero(mask)
            rows = np.full(len(seat.starts) + 1, semiring.impossible, semiring.dtype)
            np.minimum.at(rows, seat.row_of[left], own[left].astype(semiring.dtype))
            least = rows[:-1]
        weights[model.position_tables[position]] = least
    for number, work in model.work_costs.items():
        rows = _first_rows(prepared, number)
        weights[number] = (work[rows] * work_scale).astype(semiring.dtype)
    for number, sure in model.sure_rows.items() if question.job.sure else ():
        rows = of_leaf(prepared, number, sure)
        weights[number] = np.where(rows, 0, semiring.impossible).astype(semiring.dtype)
    for goal in question.job.goals:
        if goal.at_least is None and goal.at_most is None:
            continue
        if goal.figure in model.fixed_figures:
            possible = possible and meets(goal, model.fixed_figures[goal.figure])
        elif goal.figure in model.goal_tables:
            number = model.goal_tables[goal.figure]
            met = [meets(goal, value) for value in goal_values(prepared, goal.figure)]
            before = weights.get(number, 0)  # another goal on the same figure holds as well
            weights[number] = np.where(met, before, semiring.impossible).astype(semiring.dtype)
    if not possible or prepared.loose is None:
        return Weighed(weights, possible)
    if not carried:
        return Weighed(weights, possible, exact=False)
    carried_weights = carry(prepared.loose, weights, semiring)
    if carried_weights is None:
        return Weighed(weights, possible=False)
    return Weighed(
        carried_weights.weights, possible=True, exact=not carried_weights.open, carried=True
    )


def bounds_only(question: Question) -> bool:
    """Whether tables too wide to be joined leave the prices of a job lower bounds."""
    return question.prepared.loose is not None and not weigh(question).exact


def goal_values(prepared: Prepared, figure: str) -> list[Value]:
    """Values of a figure that some package has, in the order of its leaf's rows."""
    number = prepared.model.goal_tables[figure]
    table = prepared.model.tables[number]
    values = prepared.model.values[table.variables[0]]
    return [values[table.columns[0][row]] for row in _first_rows(prepared, number)]


def of_leaf(prepared: Prepared, number: int, marks: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Give marks of a table's rows for those of its leaf: rows that became one are alike."""
    return marks[_first_rows(prepared, number)]


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
        or job.parts_within is not None
        or position in job.fixed
        or position in job.keep
    }


def allowed(model: Model, job: Job, position: str) -> NDArray[np.bool_] | None:
    """Which options of a position a job's picks leave; None where all."""
    evaluation = model.evaluation
    masks: list[NDArray[np.bool_]] = []
    if position in job.fixed:
        masks.append(option_columns.named(evaluation, position, [job.fixed[position]]))
    if position in job.keep:
        masks.append(~option_columns.changed(evaluation, position))
    excluded = option_columns.named(evaluation, position, job.excluded) if job.excluded else None
    if excluded is not None and excluded.any():
        masks.append(~excluded)
    if job.parts_within is not None:
        masks.append(option_columns.in_time(evaluation, position, job))
    return np.logical_and.reduce(masks) if masks else None


def cheapest_price(question: Question) -> int | None:
    """Price of the cheapest package for a job, its budget left aside; None if there is none."""
    weighed = weigh(question)
    if not weighed.possible:
        return None
    price, _ = priced(question.prepared, weighed, (), shift_for(question, weighed))
    return (
        None
        if price >= question.prepared.semiring.impossible
        else price + question.model.fixed_cost
    )


def shift_for(
    question: Question,
    weighed: Weighed | None = None,
    costs: Mapping[str, NDArray[np.int64]] | None = None,
    work_scale: int = 1,
) -> Shift:
    """Give what raises the bounds of a job, or of one that only has other parts fixed.

    Parameters
    ----------
    question, costs, work_scale
        As for `weigh`.
    weighed
        What that gave, if it is known.
    """
    prepared = question.prepared
    if prepared.loose is None:
        return NOTHING
    asked = replace(question.job, fixed={}, budget=None)
    shifts = prepared.lately.shifts
    for known, others, scale, shift in shifts:
        if others is costs and scale == work_scale and known == asked:
            return shift
    semiring = prepared.semiring if costs is None else CHEAPEST_64
    weighed = weighed or weigh(question, costs, work_scale, semiring)
    if weighed.exact or not weighed.possible:
        return NOTHING
    begin = next((shift for _, others, _, shift in reversed(shifts) if others is costs), NOTHING)
    rounds = prepared.limits.shifting_rounds
    shift = look_for(prepared.loose, prepared.circuit, weighed.weights, semiring, begin, rounds)
    prepared.lately.shifts = (*shifts[1 - KEPT_SHIFTS :], (asked, costs, work_scale, shift))
    return shift


def priced(
    prepared: Prepared, weighed: Weighed, numbers: Collection[int], shift: Shift
) -> tuple[int, dict[int, Values]]:
    """Price the cheapest package, and with each row of some tables, the row's own price left out.

    Where prices are bounds, each is the better of two: as weights are, and with cost moved.
    """
    semiring = prepared.semiring
    values = values_for(prepared, weighed)
    price = int(answer(values, semiring))
    above = backward(prepared.circuit, values, semiring, numbers) if numbers else {}
    if prepared.loose is None or not shift.amounts:
        return price, above
    moved = move(prepared.loose, weighed.weights, shift, semiring)
    values = forward(prepared.circuit, moved.weights, semiring)
    least = int(answer(values, semiring))
    possible = least < semiring.impossible
    price = max(price, least + moved.base) if possible else semiring.impossible
    raised = backward(prepared.circuit, values, semiring, numbers) if numbers else {}
    for number, rest in raised.items():
        more = rest + moved.by.get(number, 0) + moved.base
        more[rest >= semiring.impossible] = semiring.impossible
        above[number] = np.maximum(above[number], more)
    return price, above


@dataclass(frozen=True, slots=True)
class Previews:
    """What each option costs with the cheapest complete package around it.

    ``prices`` and ``if_freed`` map a position to one number per option in minor units, -1 where no
    package exists; ``if_freed`` leaves what is fixed, kept, ruled out or there too late at the
    option's own position aside. ``exact`` and ``freed_exact`` say which of them are; the others are
    lower bounds.
    """

    cheapest: int | None
    prices: Mapping[str, NDArray[np.signedinteger]]
    if_freed: Mapping[str, NDArray[np.signedinteger]]
    exact: Mapping[str, NDArray[np.bool_]]
    freed_exact: Mapping[str, NDArray[np.bool_]]


def previews(
    question: Question, positions: Collection[str] | None = None, *, raised: bool = True
) -> Previews:
    """Price every option of positions: exactly, if the tables could be joined.

    Parameters
    ----------
    question
        Whose wishes count, the budget left aside.
    positions
        To price; all by default.
    raised
        Whether cost is moved to raise bounds.
    """
    prepared, model = question.prepared, question.model
    asked = list(model.options) if positions is None else list(positions)
    masks = {position: allowed(model, question.job, position) for position in asked}
    decided = {position: mask for position, mask in masks.items() if mask is not None}
    weighed = weigh(question)
    shift = shift_for(question, weighed) if raised else NOTHING
    if weighed.possible:
        cheapest, freed = _prices(prepared, weighed, asked, shift)
    else:
        nothing = {p: np.full(len(model.options[p]), -1, np.int64) for p in asked}
        cheapest, freed = None, nothing
        if prepared.loose is None:
            return Previews(None, nothing, nothing, _all_exact(nothing), _all_exact(nothing))
    strict = dict(freed)
    for position, mask in decided.items():
        strict[position] = np.where(mask, freed[position], -1)
    if prepared.loose is not None and decided:
        # What is decided here has been carried elsewhere, where it must not count if it is freed.
        apart = weigh(question, carried=False)
        freed = {**freed, **_prices(prepared, apart, decided, shift)[1]}
    if weighed.exact and prepared.loose is None:
        return Previews(cheapest, strict, freed, _all_exact(strict), _all_exact(freed))
    exact = _all_exact(strict)
    if not weighed.exact:
        exact = {position: prices < 0 for position, prices in strict.items()}
    freed_exact = {position: prices < 0 for position, prices in freed.items()}
    return Previews(cheapest, strict, freed, exact, freed_exact)


def _prices(
    prepared: Prepared, weighed: Weighed, positions: Collection[str], shift: Shift
) -> tuple[int | None, dict[str, NDArray[np.signedinteger]]]:
    """Price the options of some positions, what is decided at an option's own left aside."""
    model, semiring = prepared.model, prepared.semiring
    tables = model.position_tables
    price, above = priced(prepared, weighed, {tables[p] for p in positions}, shift)
    one_more = semiring.ones(1)
    result: dict[str, NDArray[np.signedinteger]] = {}
    for position in positions:
        seat = prepared.seats[position]
        # Lists are long: no pass too many over them, and none in larger numbers than needed. The
        # row more is for options in no package: they cost -1 in themselves.
        rest = np.concatenate((above[tables[position]], one_more))
        possible = rest < semiring.impossible
        if prepared.loose is not None and weighed.carried:
            possible[:-1] &= weighed.weights[tables[position]] < semiring.impossible
        some_not = not possible.all()
        if some_not:  # so far below zero that no cost lifts it
            rest[~possible] = -semiring.impossible
        prices = rest.take(seat.row_of, mode="clip")
        prices += seat.prices
        if some_not:
            np.maximum(prices, -1, out=prices)
        result[position] = prices
    return None if price >= semiring.impossible else price + model.fixed_cost, result


def _all_exact(prices: Mapping[str, NDArray[np.signedinteger]]) -> dict[str, NDArray[np.bool_]]:
    return {position: np.ones(len(array), np.bool_) for position, array in prices.items()}


def curve(question: Question, figure: str) -> list[tuple[Value, int]]:
    """Give the cheapest price at every value of a figure, what is decided late left aside.

    The job's own bounds on the figure and its budget are left aside too.

    Returns
    -------
    list of tuple
        Value and price in minor units, in order of the value; empty if nothing fits.
    """
    prepared = question.prepared
    shift = shift_for(question)
    question = question.about(without_goal(question.job, figure))
    model, semiring = question.model, prepared.semiring
    if figure in model.fixed_figures:
        price = cheapest_price(question)
        return [] if price is None else [(model.fixed_figures[figure], price)]
    weighed = weigh(question)
    if not weighed.possible:
        return []
    number = model.goal_tables[figure]
    above = priced(prepared, weighed, {number}, shift)[1][number]
    return [
        (value, int(price) + model.fixed_cost)
        for value, price in zip(goal_values(prepared, figure), above, strict=True)
        if price < semiring.impossible
    ]


def goal_figures(job: Job) -> list[str]:
    """Names of the figures that the search asks a job's goals of, in order."""
    return list(dict.fromkeys(goal.figure for goal in lowered(job).goals))


def without_goal(job: Job, figure: str) -> Job:
    """Return the job without its goals on one figure, those included that are to be sure."""
    about, _ = parted(figure)
    return replace(job, goals=tuple(g for g in job.goals if parted(g.figure)[0] != about))


def without_wishes(job: Job) -> Job:
    """Return the job with nothing asked for."""
    return replace(job, goals=(), fixed={}, keep=(), excluded=(), budget=None, parts_within=None)


def class_sizes(prepared: Prepared) -> dict[str, NDArray[np.int64]]:
    """How many options each of the circuit's rows of a position stands for."""
    return {
        position: np.diff(seat.starts, append=len(seat.members)).astype(np.int64)
        for position, seat in prepared.seats.items()
    }
