"""Where the options of a position sit in a circuit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from configurator.search.circuit.nodes import Circuit
    from configurator.search.circuit.semirings import Values
    from configurator.search.encoding.constraint_model import Model


@dataclass(slots=True)
class Seat:
    """The options of a position by the circuit's rows: one segment of ``members`` per class."""

    members: NDArray[np.int32]
    starts: NDArray[np.int32]
    row_of: NDArray[np.intp]  # option → circuit row, one past the last where it is in no package
    costs: NDArray[np.int64]
    # In the numbers of the semiring:
    least: Values  # cost of each circuit row while every option is allowed
    prices: Values  # costs, with what every package costs; -1 where an option is in none

    @property
    def inside(self) -> NDArray[np.bool_]:
        """Which options are in some package."""
        return self.row_of < len(self.starts)


def seat_of(model: Model, circuit: Circuit, position: str) -> Seat:
    """Look up where the options of a position sit in a circuit; prices are costs so far."""
    origins = circuit.leaf_rows[model.position_tables[position]]
    classes = model.classes[position]
    groups = [[classes[row] for row in rows.tolist()] for rows in origins]
    sizes = np.array([sum(map(len, group)) for group in groups], np.int64)
    flat = [item for group in groups for item in group]
    members = np.concatenate(flat) if flat else np.zeros(0, np.int32)
    row_of = np.full(len(model.options[position]), len(groups), np.intp)
    row_of[members] = np.repeat(np.arange(len(groups)), sizes)
    starts = (np.cumsum(sizes) - sizes).astype(np.int32)
    costs = model.costs[position]
    least = np.minimum.reduceat(costs[members], starts) if len(starts) else costs[:0]
    return Seat(members, starts, row_of, costs, least, costs)
