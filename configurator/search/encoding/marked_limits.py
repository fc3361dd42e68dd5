"""Which limits have the certainty of their rows marked in tables.

A limit that forbids nothing as calculated, once rows without a partner are dropped, falls out of
the circuit. If it were marked, values would have to be told apart for it alone, and a circuit may
grow to several times its size for the sake of packages that nobody asks for. Its verdicts are
looked up package by package instead.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from configurator.search.encoding.implied_columns import forbids_nothing
from configurator.search.encoding.reducing import consistent
from configurator.search.encoding.tables import select

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.search.encoding.constraint_model import Model

    Index = NDArray[np.int32]


def worth_marking(
    model: Model,
    kept: Sequence[Index],
    sure_rows: Mapping[int, NDArray[np.bool_]],
    few_rows: int,
) -> set[int]:
    """Give the limits whose marks tell no values apart that are alike as calculated.

    Merging values that no table tells apart, and leaving out columns that forbid nothing, change
    nothing about what a table forbids: so tables need not be reduced to see it.

    Parameters
    ----------
    model
        With all its tables, none marked yet.
    kept
        For each table the rows that have a partner in all others.
    sure_rows
        Number of a limit's table → which of its rows may hold within usual tolerances.
    few_rows
        Rows of all tables that have a partner, up to which every limit is marked: no circuit of so
        few is wide.

    Returns
    -------
    set
        Numbers of those tables in which something is forbidden as calculated, or nothing is by
        what is sure either; all of them where tables are small.
    """
    if sum(map(len, kept)) <= few_rows:
        return set(sure_rows)
    idle = _idle(model, kept, sure_rows)
    if not idle:
        return set(sure_rows)
    rows = [own[sure_rows[n][own]] if n in sure_rows else own for n, own in enumerate(kept)]
    tables = [select(table, own) for table, own in zip(model.tables, rows, strict=True)]
    certain = consistent(tables, model.sizes, sure_rows.keys())
    if certain is None:
        return set(sure_rows) - idle
    left = [own[there] for own, there in zip(rows, certain, strict=True)]
    return set(sure_rows) - (idle - _idle(model, left, idle))


def _idle(
    model: Model, kept: Sequence[Index], among: Mapping[int, NDArray[np.bool_]] | set[int]
) -> set[int]:
    """Give the tables of some limits that forbid nothing which the other tables allow."""
    positions = set(model.position_tables.values())
    tables = list(model.tables)
    read = {model.told_by[v] for number in among for v in tables[number].variables}
    for number in read.union(among):
        tables[number] = select(tables[number], kept[number])
    return {n for n in among if forbids_nothing(tables, n, model.sizes, model.told_by, positions)}
