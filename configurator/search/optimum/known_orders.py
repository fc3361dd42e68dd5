"""The order in which a vehicle's tables were joined, tried first for its next job.

Looking for an order takes longer than joining in it. The next job of a vehicle asks for other
goals, conditions or prices, of much the same tables: variables are kept by what they stand for.
For vehicles that come with Fitwright an order comes with it, looked for at length once. Orders
decide how long joining takes, never what comes of it, and one that does not serve is given up.
"""

from __future__ import annotations

import hashlib
import json
from contextlib import suppress
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from configurator.core import paths
from configurator.core.errors import FitwrightError
from configurator.search.circuit import cache
from configurator.search.circuit.elimination import ALIKE, DRAWN, KnownOrder, make_circuit
from configurator.search.circuit.join import TooWide

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence
    from pathlib import Path

    from configurator.search.circuit.nodes import Circuit
    from configurator.search.encoding.constraint_model import Model
    from configurator.search.encoding.tables import Table
    from configurator.search.limits import Limits

    Given = tuple[Sequence[Table], Sequence[int], Sequence[int], Collection[int]]

# Rows of joins up to which the first order that comes along will do.
FEW_ROWS = 2_000_000
# How many times the rows that an order took joins in it may take where limits are marked.
MARKED = 3
# How many times those rows the tables may take, where nobody waits for another order. Of bundled
# vehicles with a goal on one more figure most took up to 1.7; one of 2.5 took 4 s, and one that no
# order serves was given up at 2 after 2 s, at 2.5 after 5 s.
SOON = 2.0

# Vehicle → the orders that come with it: names of variables, and the rows they took.
BUNDLED = "elimination_orders.json"
# Behind a vehicle's name: the order for limits that are marked, where the other does not serve.
WITH_MARKS = ", limits marked"


def bundled_file() -> Path:
    """Say where the orders of vehicles are that come with Fitwright."""
    return paths.catalogs() / BUNDLED


def name_of(model: Model) -> str:
    """Name what an order is kept under: the vehicle, its positions, whether limits are marked."""
    vehicle = model.evaluation.case.vehicle.key
    case = (vehicle, sorted(model.options), bool(model.sure_rows))
    return hashlib.sha256(repr(case).encode()).hexdigest()


def look_up(model: Model) -> KnownOrder | None:
    """Look up the order that served another job of this vehicle; None if there is none."""
    vehicle = model.evaluation.case.vehicle.key
    with_marks = _bundled(f"{vehicle}{WITH_MARKS}") if model.sure_rows else None
    order = cache.load_order(name_of(model)) or with_marks or _bundled(vehicle)
    return None if order is None else as_numbers(model, *order)


def order_is_known(model: Model) -> bool:
    """Whether an order is known that has all figures of goals: then it mostly serves."""
    order = look_up(model)
    if order is None:
        return False
    asked = {model.tables[number].variables[0] for number in model.goal_tables.values()}
    return asked <= set(order.order)


def as_numbers(model: Model, names: Sequence[str], rows: int) -> KnownOrder:
    """Give an order in the variables of a model; those it does not have are left out."""
    numbers = {name: variable for variable, name in enumerate(model.variable_names)}
    return KnownOrder(tuple(numbers[name] for name in names if name in numbers), rows)


def _bundled(vehicle: str) -> tuple[list[str], int] | None:
    try:
        entry: Any = json.loads(bundled_file().read_text(encoding="utf-8")).get(vehicle)
        names, rows = ([], 0) if entry is None else (entry["order"], entry["rows"])
    except (OSError, ValueError, KeyError, TypeError, AttributeError, FitwrightError):
        return None  # not there, or damaged: then an order is looked for
    sound = isinstance(names, list) and all(isinstance(name, str) for name in names)
    return (names, rows) if names and sound and isinstance(rows, int) else None


def joined(model: Model, given: Given, served: KnownOrder | None, limits: Limits) -> Circuit:
    """Join tables in the order that is known; with rows of limits marked, else in one looked for.

    What values are told apart for leads estimates astray. So with marks an order that served
    without may take more rows; then the first that comes along is taken if it needs few; then one
    is looked for without marks, which mostly serves with them too.

    Parameters
    ----------
    model
        Whose tables, and what they were without marks.
    given, served, limits
        As for `elimination.make_circuit`.

    Raises
    ------
    TooWide
        If the tables are too wide even without marks, or in each order that was tried.
    """
    if model.unmarked is None or not model.sure_rows:
        return make_circuit(*given, served, limits)
    if served is not None:
        with suppress(TooWide):
            wider = KnownOrder(served.order, MARKED * served.rows)
            return make_circuit(*given, wider, limits, ())
    with suppress(TooWide):
        few = replace(limits, circuit_rows=min(FEW_ROWS, limits.circuit_rows))
        return make_circuit(*given, None, few, DRAWN[:1])
    plain = model.unmarked.reduced()
    if plain is None:  # then there is no package with marks either
        return make_circuit(*given, served, limits)
    told_by, positions = model.unmarked.told_by, model.unmarked.positions
    other = make_circuit(plain.tables, plain.sizes, told_by, positions, None, limits)
    order = KnownOrder(other.order, other.joined_rows) if other.order else None
    circuit = make_circuit(*given, order, limits)
    if order is not None and not circuit.order:  # it was followed
        circuit = replace(circuit, order=order.order, joined_rows=order.rows)
    return circuit


def joined_soon(model: Model, given: Given, served: KnownOrder | None, limits: Limits) -> Circuit:
    """Join tables in the order that is known, or the first that comes along; none is looked for.

    Parameters
    ----------
    model
        Whose tables.
    given, served, limits
        As for `elimination.make_circuit`.

    Raises
    ------
    TooWide
        If they take many more rows in that order than it took.
    """
    del model
    took = 0 if served is None else int(SOON * served.rows)
    most = min(max(took, limits.unsampled_rows), limits.circuit_rows)
    order = None if served is None else replace(served, rows=int(took / ALIKE))
    return make_circuit(*given, order, replace(limits, circuit_rows=most), ())


def note(model: Model, circuit: Circuit, served: KnownOrder | None, *, narrowed: bool) -> None:
    """Keep the order that was looked for, beside what was known before.

    An order of more variables serves jobs with fewer goals, not the other way round; that of a
    case ``narrowed`` to a job serves the whole case badly.
    """
    if served is not None and narrowed:
        return
    if served is None or len(circuit.order) >= len(served.order):
        names = [model.variable_names[v] for v in circuit.order]
        cache.save_order(name_of(model), names, circuit.joined_rows)
