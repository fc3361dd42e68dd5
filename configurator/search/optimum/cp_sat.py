"""The cheapest combination by a general solver, OR-Tools' CP-SAT, where cases do not decide.

It is loaded when it is asked, and left aside where it is missing. It is told the tables as they
are, with what each row weighs, and answers with a row of each position's table; what it says is
confirmed like every other package. It proves one optimum in minutes where proof by cases finds
none, and knows nothing of the other options: up to some 1,000 parts it is slower than all of them
by the circuit (`make bench`), and is not asked.
"""

from __future__ import annotations

import math
import os
import threading
from contextlib import suppress
from dataclasses import dataclass
from importlib.util import find_spec
from typing import TYPE_CHECKING, Any

import numpy as np

from configurator.core.progress import Cancelled, check
from configurator.search.limits import LIMITS

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.search.encoding.tables import Table

    Rows = Mapping[int, int]

# Combinations up to which a table is told by what it forbids, where that is less.
MOST_FORBIDDEN = 1_000_000
# Seconds between looks at whether somebody stops it.
A_LOOK = 0.1


class Interrupted(Cancelled):
    """Stopped, and the best that was found by then.

    Parameters
    ----------
    rows
        Number of each position's table → its row.
    least
        Weight that no combination is below, as far as the solver came to prove it.
    """

    def __init__(self, rows: Rows, least: int = 0) -> None:
        self.rows, self.least = rows, least
        super().__init__()


class Failed(Exception):
    """The solver ended without a proof.

    Parameters
    ----------
    message
        What happened.
    rows
        The best that was found by then, as of `Interrupted`; None where nothing was.
    least
        Weight that no combination is below, as far as the solver came to prove it.
    """

    def __init__(self, message: str, rows: Rows | None = None, least: int = 0) -> None:
        self.rows, self.least = rows, least
        super().__init__(message)


@dataclass(frozen=True, slots=True)
class WeightedTables:
    """Tables, and what their rows weigh.

    Parameters
    ----------
    tables, sizes
        Tables, and the number of values of each variable.
    weights
        Table number → one weight per row; tables that are not in it weigh nothing.
    impossible
        Weight of a row that may not be used.
    positions
        Numbers of the tables of positions; in each of them all rows differ.
    floor
        Weight that no combination is below, as is proven: the solver is spared much of its proof.
    seconds
        After which the solver ends with the best it has; confirming that there is nothing may take
        as long again.
    start
        A combination that is known, to begin with; any, if there is none.
    """

    tables: Sequence[Table]
    sizes: Sequence[int]
    weights: Mapping[int, NDArray[np.int64]]
    impossible: int
    positions: Collection[int]
    floor: int = 0
    seconds: float = LIMITS.solver_seconds
    start: Rows | None = None


def there() -> bool:
    """Whether the solver is installed."""
    return find_spec("ortools") is not None


def cheapest(problem: WeightedTables, without: Sequence[Rows] = ()) -> Rows | None:
    """Find the row of each position's table that a combination of least weight has.

    Parameters
    ----------
    problem
        What to solve.
    without
        Combinations of rows of all positions that are not wanted.

    Returns
    -------
    dict or None
        None if it is proven that there is none.

    Raises
    ------
    Interrupted
        If it was stopped and something was found by then.
    Cancelled
        If nothing was.
    Failed
        If the solver ends without a proof, after so many seconds or before.
    """
    from ortools.sat.python import cp_model

    known = _told(problem, without)
    if known is None:
        return None
    model, variables = known
    solver, status, stopped = _solved(model, problem.seconds, presolve=True)
    if status == cp_model.INFEASIBLE and stopped is None:
        # Presolving has called models of this trade infeasible that were not.
        solver, status, stopped = _solved(model, problem.seconds, presolve=False)
    rows = None
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        values = [solver.value(variable) for variable in variables]
        rows = {number: _row(problem, number, values) for number in problem.positions}
    if stopped is not None:
        if rows is not None and isinstance(stopped, Cancelled):
            raise Interrupted(rows, _bound(solver, problem)) from stopped
        raise stopped
    if status not in (cp_model.OPTIMAL, cp_model.INFEASIBLE):
        message = f"CP-SAT ended with {solver.status_name(status)}"
        raise Failed(message, rows, _bound(solver, problem))
    return rows


def _bound(solver: Any, problem: WeightedTables) -> int:
    """Give what the solver proved that no combination is below, the problem's floor at least."""
    try:
        bound = solver.best_objective_bound
    except RuntimeError:  # it did not begin
        return problem.floor
    # Weights are whole numbers; what is given as a float may lie a little above one.
    return max(problem.floor, math.ceil(bound - 1e-3)) if math.isfinite(bound) else problem.floor


def _solved(model: Any, seconds: float, *, presolve: bool) -> tuple[Any, Any, BaseException | None]:
    """Solve a model; give the solver, its status, and what stopped it if anything did."""
    from ortools.sat.python import cp_model

    solver = cp_model.CpSolver()
    solver.parameters.num_workers = os.cpu_count() or 1
    solver.parameters.catch_sigint_signal = False  # it is ours
    solver.parameters.cp_model_presolve = presolve
    solver.parameters.max_time_in_seconds = seconds
    solutions: list[Any] = []
    begun, done = threading.Lock(), threading.Event()

    # It does not come back to Python while it works: somebody else must look for a stop.
    def work() -> None:
        if begun.acquire(blocking=False):  # one does, if an interrupt had two started
            with suppress(Exception):  # of memory, say; that there is no answer is told below
                solutions.append(solver.solve(model))
            done.set()

    stopped: BaseException | None = None
    # Not by joining the thread: a join that an interrupt breaks takes it for ended in some Pythons.
    while not done.is_set():
        try:
            if not begun.locked():
                threading.Thread(target=work, daemon=True).start()
            while not done.wait(A_LOOK):
                if stopped is None:
                    check()
                else:  # each time: it may have been told before it began
                    solver.stop_search()
        except RuntimeError as refused:  # nothing was begun that could be waited for
            message = f"CP-SAT could not be started: {refused}"
            raise Failed(message) from refused
        except BaseException as stop:
            stopped = stop
    return solver, solutions[0] if solutions else cp_model.UNKNOWN, stopped


def _told(problem: WeightedTables, without: Sequence[Rows]) -> tuple[Any, list[Any]] | None:
    """Tell the solver the problem: its model and one variable for each of ours."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    domains = [set(range(size)) for size in problem.sizes]
    parts = []
    for number, table in enumerate(problem.tables):
        weights = problem.weights.get(number)
        rows = np.stack(table.columns, 1) if table.columns else np.zeros((table.rows, 0), np.int32)
        if weights is not None:
            allowed = weights < problem.impossible
            rows, weights = rows[allowed], weights[allowed]
        if not len(rows):
            return None
        for variable, column in zip(table.variables, rows.T, strict=True):
            domains[variable] &= set(np.unique(column).tolist())
        parts.append((table.variables, rows, weights))
    if not all(domains):
        return None
    variables = [
        model.new_int_var_from_domain(cp_model.Domain.from_values(sorted(domain)), "")
        for domain in domains
    ]
    weight: list[Any] = []
    for mine, rows, weights in parts:
        those = [variables[v] for v in mine]
        if weights is not None and len(mine):
            levels = sorted(set(weights.tolist()))
            if len(levels) > 1:
                own = model.new_int_var_from_domain(cp_model.Domain.from_values(levels), "")
                weight.append(own)
                table_rows = np.column_stack([rows.astype(np.int64), weights])
                model.add_allowed_assignments([*those, own], table_rows.tolist())
                continue
            weight.extend(levels)
        elif weights is not None:
            weight.append(int(weights.min()))
        many = math.prod(problem.sizes[v] for v in mine)
        if len(mine) < 2 or len(rows) == many:
            continue  # the domains say it
        if 2 * len(rows) > many <= MOST_FORBIDDEN:
            model.add_forbidden_assignments(those, _missing(rows, mine, problem.sizes))
        else:
            model.add_allowed_assignments(those, rows.tolist())
    _leave_out(model, problem, variables, without)
    if problem.start is not None:
        for variable, value in _values(problem, problem.start).items():
            model.add_hint(variables[variable], value)
    if problem.floor > 0 and weight:
        model.add(sum(weight) >= problem.floor)
    model.minimize(sum(weight))
    return model, variables


def _missing(rows: NDArray[np.int32], mine: Sequence[int], sizes: Sequence[int]) -> list[list[int]]:
    there = np.zeros([sizes[v] for v in mine], np.bool_)
    there[tuple(rows.T)] = True
    cells: list[list[int]] = np.argwhere(~there).tolist()
    return cells


def _leave_out(
    model: Any, problem: WeightedTables, variables: Sequence[Any], without: Sequence[Rows]
) -> None:
    if not without:
        return
    place: dict[int, Any] = {}
    combinations = []
    for rows in without:
        values = _values(problem, rows)
        place.update({variable: variables[variable] for variable in values})
        combinations.append([values[variable] for variable in place])
    if place:
        model.add_forbidden_assignments(list(place.values()), combinations)
    else:  # without a variable there is one combination, and it is not wanted
        model.add_bool_or([])


def _values(problem: WeightedTables, rows: Rows) -> dict[int, int]:
    """Give the values that the variables of positions have in a combination."""
    values: dict[int, int] = {}
    for number in problem.positions:
        table = problem.tables[number]
        for variable, column in zip(table.variables, table.columns, strict=True):
            values[variable] = int(column[rows[number]])
    return values


def _row(problem: WeightedTables, number: int, values: Sequence[int]) -> int:
    """Find the row of a position's table that has some values."""
    table = problem.tables[number]
    same = np.ones(table.rows, np.bool_)
    for variable, column in zip(table.variables, table.columns, strict=True):
        same &= column == values[variable]
    rows = np.flatnonzero(same)
    if len(rows) != 1:
        message = f"{len(rows)} rows of {table.name!r} have the solver's values"
        raise RuntimeError(message)
    return int(rows[0])
