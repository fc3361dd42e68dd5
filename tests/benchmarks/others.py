"""General solvers on an instance, each in the encoding that served it best.

Every variable has its codes for values; a relation whose rows are all combinations is left out, one
over a single variable narrows its domain.
"""

from __future__ import annotations

import math
import time
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from tests.benchmarks.instances import Instance, Relation

# Combinations up to which a relation is written down by what it forbids.
MOST_FORBIDDEN = 1_000_000


@dataclass(frozen=True, slots=True)
class Solved:
    """What a solver found.

    ``price`` is None where nothing fits; ``proven`` says whether that, or the price, is certain.
    ``seconds`` is for solving, ``setup`` for telling the solver the problem.
    """

    price: int | None
    proven: bool
    seconds: float
    setup: float = 0.0


def full(instance: Instance, relation: Relation) -> bool:
    """Whether a relation allows every combination."""
    return len(relation.rows) == math.prod(instance.sizes[v] for v in relation.variables)


def missing(instance: Instance, relation: Relation) -> np.ndarray:
    """List the combinations that a relation forbids."""
    shape = [instance.sizes[v] for v in relation.variables]
    there = np.zeros(shape, np.bool_)
    there[tuple(relation.rows.T)] = True
    return np.argwhere(~there)


def combinations(instance: Instance, relation: Relation) -> int:
    """Count the combinations of a relation's variables."""
    return math.prod(instance.sizes[v] for v in relation.variables)


def cp_sat(
    instance: Instance,
    seconds: float,
    workers: int = 2,
    taken: tuple[str, int] | None = None,
    *,
    presolve: bool = True,
) -> Solved:
    """Ask ortools' CP-SAT for the cheapest package.

    Parameters
    ----------
    instance
        The tables.
    seconds
        When to stop.
    workers
        Threads.
    taken
        A position and the row of its relation that must be used.
    presolve
        Whether the model is made simpler first.
    """
    from ortools.sat.python import cp_model

    begun = time.perf_counter()
    if not instance.possible:
        return Solved(None, True, 0.0)
    model = cp_model.CpModel()
    domains = [set(range(size)) for size in instance.sizes]
    for relation in instance.relations:
        if len(relation.variables) == 1:
            domains[relation.variables[0]] &= set(relation.rows[:, 0].tolist())
    if not all(domains):
        return Solved(None, True, 0.0)
    variables = [
        model.new_int_var_from_domain(cp_model.Domain.from_values(sorted(d)), f"v{k}")
        for k, d in enumerate(domains)
    ]
    price: list[Any] = []
    sums: list[list[Any]] = [[] for _ in instance.rooms]
    for number, relation in enumerate(instance.relations):
        mine = [variables[v] for v in relation.variables]
        rows, costs = relation.rows, relation.costs
        if taken is not None and instance.positions.get(taken[0]) == number:
            only = slice(taken[1], taken[1] + 1)
            rows, costs = rows[only], None if costs is None else costs[only]
        if relation.shares is not None:
            own = [costs, *relation.shares]
            weighed = []
            for column in own:
                levels = cp_model.Domain.from_values(sorted(set(column.tolist())))
                weighed.append(model.new_int_var_from_domain(levels, ""))
            price.append(weighed[0])
            for shares, variable in zip(sums, weighed[1:], strict=True):
                shares.append(variable)
            model.add_allowed_assignments([*mine, *weighed], np.column_stack([rows, *own]).tolist())
            continue
        if costs is not None:
            if not mine:
                price.append(int(costs.min()))
                continue
            levels = sorted(set(costs.tolist()))
            cost = model.new_int_var_from_domain(cp_model.Domain.from_values(levels), f"c{number}")
            price.append(cost)
            table = np.column_stack([rows, costs])
            model.add_allowed_assignments([*mine, cost], table.tolist())
        elif len(mine) < 2 or full(instance, relation):
            continue
        elif 2 * len(rows) > combinations(instance, relation) <= MOST_FORBIDDEN:
            model.add_forbidden_assignments(mine, missing(instance, relation).tolist())
        else:
            model.add_allowed_assignments(mine, rows.tolist())
    for shares, room in zip(sums, instance.rooms, strict=True):
        model.add(sum(shares) <= room)
    model.minimize(sum(price))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = workers
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.cp_model_presolve = presolve
    setup = time.perf_counter() - begun
    begun = time.perf_counter()
    status = solver.solve(model)
    took = time.perf_counter() - begun
    if status == cp_model.INFEASIBLE:
        return Solved(None, True, took, setup)
    optimum = None
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        optimum = round(solver.objective_value) + instance.fixed_cost
    return Solved(optimum, status == cp_model.OPTIMAL, took, setup)


def python_constraint(instance: Instance, seconds: float) -> Solved:
    """Ask python-constraint for all packages and take the cheapest: it knows no prices."""
    from constraint import Problem

    begun = time.perf_counter()
    if not instance.possible:
        return Solved(None, True, 0.0)
    problem = Problem()
    for k, size in enumerate(instance.sizes):
        problem.addVariable(k, list(range(size)))
    weighed: list[tuple[tuple[int, ...], dict[tuple[int, ...], int]]] = []
    for relation in instance.relations:
        rows = [tuple(row) for row in relation.rows.tolist()]
        if relation.variables and not full(instance, relation):
            allowed = frozenset(rows)
            problem.addConstraint(lambda *row, a=allowed: row in a, list(relation.variables))
        if relation.costs is not None:
            least: dict[tuple[int, ...], int] = {}
            for row, cost in zip(rows, relation.costs.tolist(), strict=True):
                least[row] = min(cost, least.get(row, cost))
            weighed.append((relation.variables, least))
    setup = time.perf_counter() - begun
    begun = time.perf_counter()
    lowest: int | None = None
    for solution in problem.getSolutionIter():
        price = sum(costs[tuple(solution[v] for v in scope)] for scope, costs in weighed)
        lowest = price if lowest is None else min(lowest, price)
        if time.perf_counter() - begun > seconds:
            return Solved(lowest, False, seconds, setup)
    took = time.perf_counter() - begun
    return Solved(None if lowest is None else lowest + instance.fixed_cost, True, took, setup)


def toulbar2(instance: Instance, seconds: float) -> Solved:
    """Ask toulbar2 for the cheapest package."""
    import pytoulbar2

    begun = time.perf_counter()
    if not instance.possible:
        return Solved(None, True, 0.0)
    most = 1 + sum(int(r.costs.max()) for r in instance.relations if r.costs is not None)
    problem = pytoulbar2.CFN(most, verbose=-1)
    for k, size in enumerate(instance.sizes):
        problem.AddVariable(f"v{k}", range(size))
    for number, relation in enumerate(instance.relations):
        costs = relation.costs
        if not relation.variables or (costs is None and full(instance, relation)):
            continue
        prices = np.zeros(len(relation.rows), np.int64) if costs is None else costs
        _relation(problem, instance, number, relation, prices, most)
    setup = time.perf_counter() - begun
    begun = time.perf_counter()
    status = problem.Solve(timeLimit=math.ceil(seconds))
    took = time.perf_counter() - begun
    extra = sum(
        int(r.costs.min()) for r in instance.relations if r.costs is not None and not r.variables
    )
    proven = took < seconds
    if status is None:
        return Solved(None, proven, took, setup)
    return Solved(round(status[1]) + extra + instance.fixed_cost, proven, took, setup)


def _relation(
    problem: Any, instance: Instance, number: int, relation: Relation, prices: np.ndarray, most: int
) -> None:
    shape = [instance.sizes[v] for v in relation.variables]
    scope = [f"v{v}" for v in relation.variables]
    if len(shape) <= 2 or (len(shape) == 3 and math.prod(shape) <= MOST_FORBIDDEN):
        dense = np.full(shape, most, np.int64)
        dense[tuple(relation.rows.T)] = prices
        problem.AddFunction(scope, dense.ravel().tolist())
        return
    # Wider ones over a variable for the row itself, each column tied to it: pairs propagate.
    problem.AddVariable(f"r{number}", range(len(relation.rows)))
    if prices.any():
        problem.AddFunction([f"r{number}"], prices.tolist())
    for column, name in enumerate(scope):
        codes = relation.rows[:, column].tolist()
        tuples = [[row, code] for row, code in enumerate(codes)]
        problem.AddCompactFunction([f"r{number}", name], most, tuples, [0] * len(tuples))
