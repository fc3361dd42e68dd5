"""The order in which a vehicle's tables were joined, tried first for its next job.

Looking for an order takes longer than joining in it. The next job of a vehicle asks for other
goals, conditions or prices, of much the same tables: variables are kept by what they stand for.
For vehicles that come with Fitwright an order comes with it, looked for at length once. Orders
decide how long joining takes, never what comes of it, and one that does not serve is given up.
"""

from __future__ import annotations

import hashlib
import json
from typing import TYPE_CHECKING, Any

from configurator.core import paths
from configurator.core.errors import FitwrightError
from configurator.search.circuit import cache
from configurator.search.circuit.elimination import KnownOrder

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from configurator.search.circuit.nodes import Circuit
    from configurator.search.encoding.constraint_model import Model

# Vehicle → the orders that come with it: names of variables, and the rows they took.
BUNDLED = "elimination_orders.json"


def bundled_file() -> Path:
    """Say where the orders of vehicles are that come with Fitwright."""
    return paths.catalogs() / BUNDLED


def name_of(model: Model) -> str:
    """Name what an order is kept under: the vehicle, and the positions it has."""
    vehicle = model.evaluation.case.vehicle.key
    return hashlib.sha256(repr((vehicle, sorted(model.options))).encode()).hexdigest()


def look_up(model: Model) -> KnownOrder | None:
    """Look up the order that served another job of this vehicle; None if there is none."""
    order = cache.load_order(name_of(model)) or _bundled(model.evaluation.case.vehicle.key)
    return None if order is None else as_numbers(model, *order)


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


def note(model: Model, circuit: Circuit, served: KnownOrder | None) -> None:
    """Keep the order that was looked for, beside what was known before.

    An order of more variables serves jobs with fewer goals, not the other way round.
    """
    if served is None or len(circuit.order) >= len(served.order):
        names = [model.variable_names[v] for v in circuit.order]
        cache.save_order(name_of(model), names, circuit.joined_rows)
