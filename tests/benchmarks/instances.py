"""A model's tables with one job's wishes put in: what every solver is given, the same for all."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from configurator.search.circuit.dominance import undominated
from configurator.search.optimum.verification import meets, permitted

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.model.jobs import Job
    from configurator.search.encoding.constraint_model import Model
    from configurator.search.optimum.resource_constraints import LinearLimit


@dataclass(frozen=True, slots=True)
class Relation:
    """Allowed combinations of some variables, one a row, and what each row costs.

    Parameters
    ----------
    name
        Of the position or rule.
    variables
        One per column of ``rows``.
    rows
        Codes, each below the size of its variable.
    costs
        Cost of each row in minor units; None where rows cost nothing.
    shares
        What each row adds to each sum that has a limit [sums, rows]; None where nothing.
    """

    name: str
    variables: tuple[int, ...]
    rows: NDArray[np.int32]
    costs: NDArray[np.int64] | None = None
    shares: NDArray[np.int64] | None = None


@dataclass(frozen=True, slots=True)
class Instance:
    """Variables and relations; a package's price is the sum of its rows' costs and ``fixed_cost``.

    ``positions`` says which relation holds the classes of a position: a row for each, or, where
    sums have limits, one for each of its options that no other betters in price and all sums.
    ``rooms`` says what the shares of all rows may come to for each sum.
    """

    name: str
    sizes: tuple[int, ...]
    relations: tuple[Relation, ...]
    positions: Mapping[str, int]
    fixed_cost: int
    possible: bool
    rooms: tuple[int, ...] = ()


def take_apart(name: str, model: Model, job: Job, limits: Sequence[LinearLimit] = ()) -> Instance:
    """Put a job's wishes, all but the budget, into the tables of a model.

    Parameters
    ----------
    name, model, job
        The case, and whose wishes count.
    limits
        Limits on sums over everything; whatever else is decided on whole packages is left out.

    Raises
    ------
    ValueError
        If the job asks for what holds within tolerances: that is not all in tables.
    """
    if job.sure:
        message = f"{name}: only what holds as calculated can be given to another solver"
        raise ValueError(message)
    possible = not model.broken
    costs = {number: work_cost.astype(np.int64) for number, work_cost in model.work_costs.items()}
    kept: dict[int, NDArray[np.bool_]] = {}
    for position, number in model.position_tables.items():
        best = []
        for members in model.classes[position]:
            options = [(model.costs[position][n], model.options[position][n]) for n in members]
            prices = [int(cost) for cost, option in options if permitted(job, option)]
            best.append(min(prices, default=-1))
        costs[number] = np.array(best, np.int64)
        kept[number] = costs[number] >= 0
    for goal in job.goals:
        if goal.figure in model.fixed_figures:
            possible = possible and meets(goal, model.fixed_figures[goal.figure])
        elif goal.figure in model.goal_tables:
            number = model.goal_tables[goal.figure]
            table = model.tables[number]
            values = model.values[table.variables[0]]
            met = np.array([meets(goal, values[code]) for code in table.columns[0]], np.bool_)
            kept[number] = met & kept.get(number, np.ones(table.rows, np.bool_))
    relations = []
    for number, table in enumerate(model.tables):
        rows = np.stack(table.columns, 1) if table.columns else np.zeros((table.rows, 0), np.int32)
        mask = kept.get(number)
        cost = costs.get(number)
        if mask is not None:
            rows = rows[mask]
            cost = None if cost is None else cost[mask]
        relations.append(Relation(table.name, table.variables, rows, cost))
    if limits:
        for position, number in model.position_tables.items():
            relations[number] = _by_option(model, job, position, limits)
    return Instance(
        name,
        tuple(model.sizes),
        tuple(relations),
        dict(model.position_tables),
        model.fixed_cost,
        possible and all(len(r.rows) for r in relations),
        tuple(limit.room for limit in limits),
    )


def _by_option(model: Model, job: Job, position: str, limits: Sequence[LinearLimit]) -> Relation:
    """Give a row for each option of a position that may matter: what it costs, and its shares."""
    table = model.tables[model.position_tables[position]]
    rows, options = [], []
    for row, members in enumerate(model.classes[position]):
        some = [n for n in members if permitted(job, model.options[position][n])]
        rows += [row] * len(some)
        options += some
    row, option = np.array(rows, np.intp), np.array(options, np.intp)
    costs = model.costs[position][option].astype(np.int64)
    shares = np.array([limit.shares[position][option] for limit in limits], np.int64)
    kept = undominated(row, costs, shares)
    columns = [column[row[kept]] for column in table.columns]
    codes = np.stack(columns, 1) if columns else np.zeros((len(kept), 0), np.int32)
    return Relation(table.name, table.variables, codes, costs[kept], shares[:, kept])
