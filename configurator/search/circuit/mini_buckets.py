"""Tables that are too wide to be joined: a circuit of bounds, and what tightens it.

Where joining all tables of a variable would take too many rows, the variable is projected away from
each of them by itself. Every package is still in such a circuit, and combinations that fit together
only in part are too: prices read off it are never too high. What is decided for some positions is
carried through all tables before weights are put on the circuit; as soon as that leaves one value
of every variable that was taken apart, the circuit is exact.

It pays where a circuit would have more than `Limits.circuit_rows` inner rows, which is so from some
2,000 parts of the demo's depth on; no job of a shop's own 700 parts comes here.

References
----------
.. [1] R. Dechter and I. Rish, *Mini-buckets: a general scheme for bounded inference*, Journal of
       the ACM 50 (2003), 107-153.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from configurator.search.encoding import tables
from configurator.search.encoding.reducing import consistent

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.search.circuit.semirings import MinPlus
    from configurator.search.encoding.tables import Table


@dataclass(frozen=True, slots=True)
class Loose:
    """What a circuit of bounds leaves open.

    Parameters
    ----------
    tables
        Those it was made of, each with one row per row of its leaf, in the same order.
    sizes
        Number of values of each variable.
    told_by
        For each variable the number of the table that tells its value.
    apart
        Variables that were taken apart.
    names
        Of the tables that tell them, for words.
    """

    tables: tuple[Table, ...]
    sizes: tuple[int, ...]
    told_by: tuple[int, ...]
    apart: tuple[int, ...]
    names: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CarriedWeights:
    """Weights after decisions have been carried through all tables.

    Parameters
    ----------
    weights
        Table number → one weight per row, impossible where the row is in no package any more.
    open
        Variables taken apart that still have several values; without any the circuit is exact.
    """

    weights: dict[int, NDArray[np.int64]]
    open: tuple[int, ...]


def carry(
    loose: Loose, weights: Mapping[int, NDArray[np.int64]], semiring: MinPlus
) -> CarriedWeights | None:
    """Carry what weights rule out through all tables; None if nothing is left.

    Parameters
    ----------
    loose
        What the circuit leaves open.
    weights
        Table number → one weight per row of its leaf; tables that are not in it weigh nothing.
    semiring
        Whose numbers the weights are.
    """
    left = [
        np.flatnonzero(weights[number] < semiring.impossible).astype(np.int32)
        if number in weights
        else np.arange(table.rows, dtype=np.int32)
        for number, table in enumerate(loose.tables)
    ]
    current = [
        table if len(rows) == table.rows else tables.select(table, rows)
        for table, rows in zip(loose.tables, left, strict=True)
    ]
    kept = consistent(current, loose.sizes)
    if kept is None:
        return None
    moved_weights = dict(weights)
    for number, (rows, stay) in enumerate(zip(left, kept, strict=True)):
        if len(stay) == len(rows) and (number in weights or len(rows) == loose.tables[number].rows):
            continue
        own = np.full(loose.tables[number].rows, semiring.impossible, semiring.dtype)
        chosen = rows[stay]
        own[chosen] = weights[number][chosen] if number in weights else 0
        moved_weights[number] = own
    return CarriedWeights(moved_weights, _open(loose, current, kept))


def _open(
    loose: Loose, current: Sequence[Table], kept: Sequence[NDArray[np.int32]]
) -> tuple[int, ...]:
    open_tables = []
    for variable in loose.apart:
        number = loose.told_by[variable]
        table, rows = current[number], kept[number]
        column = table.columns[table.variables.index(variable)]
        if len(rows) > 1 and column[rows].min() != column[rows].max():
            open_tables.append(variable)
    return tuple(open_tables)
