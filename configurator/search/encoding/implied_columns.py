"""Columns of a table that forbid nothing: leave them out, so that fewer tables meet in a join.

A rule reads all its inputs whatever the case. With a counter that sits at the gearbox, the way per
turn of a wheel makes no difference; where every absorber that is left is long enough for the
highest spring, neither does the spring. Such a column says no more than the list of its position,
or the values of its figure, say already. As long as it stands in the table, its variable ties the
table to others, and joins grow by all its values.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from configurator.search.encoding import tables
from configurator.search.encoding.tables import Table

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from numpy.typing import NDArray

    Index = NDArray[np.int32]


def without_implied(
    given: Sequence[Table],
    number: int,
    sizes: Sequence[int],
    choices: Sequence[int],
    told_by: Sequence[int],
    positions: Collection[int],
    label: NDArray[np.int64] | None = None,
) -> tuple[Table, Index] | None:
    """Leave out the columns of a table that forbid nothing.

    A column may go if the table is what comes of joining its other columns with all values that
    the variable may have beside them: those that the position's own list has with the columns of
    the same position, else all.

    Parameters
    ----------
    given
        All tables.
    number
        Of the table; not one of a position, whose rows are its classes.
    sizes
        Number of values of each variable.
    choices
        Number of them that it still has, as `choices_left` counts them.
    told_by
        For each variable the number of the table that tells its value. That column stays, unless
        it has one value only.
    positions
        Numbers of the tables of positions.
    label
        For each row a number that must still hang on the columns that stay.

    Returns
    -------
    tuple or None
        The smaller table, and for each row the row it became; None if every column is needed.
    """
    table = given[number]
    kept = [v for v in table.variables if choices[v] > 1]
    # The dearest first: those with many values that few other columns tell.
    for variable in sorted(kept, key=lambda v: (-choices[v], v)):
        if told_by[variable] == number:
            continue
        rest = [v for v in kept if v != variable]
        if _implied(
            given, table, variable, rest, sizes, choices[variable], told_by, positions, label
        ):
            kept = rest
    if len(kept) == len(table.variables):
        return None
    return _projected(table, kept, sizes, label)


def forbids_nothing(
    given: Sequence[Table],
    number: int,
    sizes: Sequence[int],
    told_by: Sequence[int],
    positions: Collection[int],
) -> bool:
    """Whether a table allows whatever the tables that tell its variables allow.

    Parameters
    ----------
    given, number, sizes, told_by, positions
        As for `without_implied`.
    """
    table = given[number]
    choices = {v: _choices(given[told_by[v]], v) for v in table.variables}
    kept = sorted((v for v in table.variables if choices[v] > 1), key=lambda v: (-choices[v], v))
    while kept:
        variable, *kept = kept
        if not _implied(
            given, table, variable, kept, sizes, choices[variable], told_by, positions, None
        ):
            return False
    return True


def choices_left(given: Sequence[Table], sizes: Sequence[int], told_by: Sequence[int]) -> list[int]:
    """Count for each variable the values that the table that tells it still has."""
    counts = [1] * len(sizes)
    for variable, number in enumerate(told_by):
        if variable in given[number].variables:
            counts[variable] = _choices(given[number], variable)
    return counts


def _choices(table: Table, variable: int) -> int:
    column = table.columns[table.variables.index(variable)]
    return int(np.count_nonzero(np.bincount(column, minlength=1)))


def _implied(
    given: Sequence[Table],
    table: Table,
    variable: int,
    rest: Sequence[int],
    sizes: Sequence[int],
    choices: int,
    told_by: Sequence[int],
    positions: Collection[int],
    label: NDArray[np.int64] | None,
) -> bool:
    """Whether a table is all that its other columns, and the values of a variable, allow.

    ``rest`` and the variable need not be all columns of the table; of ``choices`` the variable has
    as many.
    """
    owner = told_by[variable]
    beside = [v for v in rest if told_by[v] == owner] if owner in positions else []
    whole = _distinct(table, [*rest, variable], sizes, label)
    if not beside:
        return whole == _distinct(table, rest, sizes, label) * choices
    fewer, _ = _projected(table, rest, sizes, label)
    listed, _ = _projected(given[owner], [*beside, variable], sizes, None)
    return whole == tables.matches(fewer, listed, sizes)


def _distinct(
    table: Table, variables: Sequence[int], sizes: Sequence[int], label: NDArray[np.int64] | None
) -> int:
    key, bound = _key(table, variables, sizes, label)
    if bound <= 4 * table.rows + 65536:
        return int(np.count_nonzero(np.bincount(key, minlength=1)))
    return tables.distinct_count(key)


def _key(
    table: Table, variables: Sequence[int], sizes: Sequence[int], label: NDArray[np.int64] | None
) -> tuple[NDArray[np.int64], int]:
    columns = [table.columns[table.variables.index(v)] for v in variables]
    bounds = [sizes[v] for v in variables]
    if label is not None:
        kinds, ranks = np.unique(label, return_inverse=True)
        columns.append(ranks.reshape(-1).astype(np.int32))
        bounds.append(len(kinds))
    key, _, bound = tables.keys(columns, bounds, table.rows)
    return key, bound


def _projected(
    table: Table, variables: Sequence[int], sizes: Sequence[int], label: NDArray[np.int64] | None
) -> tuple[Table, Index]:
    key, _ = _key(table, variables, sizes, label)
    _, first, new = np.unique(key, return_index=True, return_inverse=True)
    # Rows keep their order: the answer must not hang on how keys happen to sort.
    order = np.argsort(first, kind="stable")
    rank = np.empty(len(order), np.int32)
    rank[order] = np.arange(len(order), dtype=np.int32)
    rows = first[order]
    columns = tuple(table.columns[table.variables.index(v)][rows] for v in variables)
    return Table(table.name, tuple(variables), columns, len(rows)), rank[new.reshape(-1)]
