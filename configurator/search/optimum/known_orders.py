"""The order in which a vehicle's tables were joined, tried first for its next job.

Looking for an order takes longer than joining in it. The next job of a vehicle asks for other
goals, conditions or prices, of much the same tables: variables are kept by what they stand for.
"""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING

from configurator.search.circuit import cache
from configurator.search.circuit.elimination import KnownOrder

if TYPE_CHECKING:
    from configurator.search.circuit.nodes import Circuit
    from configurator.search.encoding.constraint_model import Model


def name_of(model: Model) -> str:
    """Name what an order is kept under: the vehicle, and the positions it has."""
    vehicle = model.evaluation.case.vehicle.key
    return hashlib.sha256(repr((vehicle, sorted(model.options))).encode()).hexdigest()


def look_up(model: Model) -> KnownOrder | None:
    """Look up the order that served another job of this vehicle; None if there is none."""
    kept = cache.load_order(name_of(model))
    if kept is None:
        return None
    names, rows = kept
    numbers = {name: variable for variable, name in enumerate(model.variable_names)}
    return KnownOrder(tuple(numbers[name] for name in names if name in numbers), rows)


def note(model: Model, circuit: Circuit, served: KnownOrder | None) -> None:
    """Keep the order that was looked for, beside what was known before.

    An order of more variables serves jobs with fewer goals, not the other way round.
    """
    if served is None or len(circuit.order) >= len(served.order):
        names = [model.variable_names[v] for v in circuit.order]
        cache.save_order(name_of(model), names, circuit.joined_rows)
