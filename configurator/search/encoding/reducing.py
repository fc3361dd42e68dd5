"""Make tables smaller before they are joined, without changing any answer.

Three things are done in turn until none helps: rows without a partner in another table are
dropped, values of a variable that no table can tell apart are made one, and columns that forbid
nothing are left out. A housing that may bear 7.1 or 7.3 kN m is the same housing if the same
reinforcements suffice for both; parts that differ only in such values become one class.

Values that a goal can tell apart are told apart by the goal's own table, which has a label of its
own on every row, and so stay separate.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from configurator.search.encoding import tables
from configurator.search.encoding.implied_columns import choices_left, without_implied
from configurator.search.encoding.tables import Table

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from numpy.typing import NDArray

    Index = NDArray[np.int32]


@dataclass(frozen=True, slots=True)
class Reduced:
    """Smaller tables and where the rows went.

    Parameters
    ----------
    tables, sizes
        The smaller tables and numbers of values.
    rows
        For each table: old row → new row, -1 where the row is in no package.
    """

    tables: list[Table]
    sizes: list[int]
    rows: list[Index]

    def origins(self, number: int, used: Sequence[int]) -> list[Index]:
        """Give for some rows of a smaller table the rows that became each."""
        new = self.rows[number]
        old = np.flatnonzero(new >= 0)
        order = old[np.argsort(new[old], kind="stable")]
        bounds = np.searchsorted(new[order], np.arange(int(new.max(initial=-1)) + 2))
        return [order[bounds[row] : bounds[row + 1]].astype(np.int32) for row in used]


def reduce_tables(
    given: Sequence[Table],
    sizes: Sequence[int],
    told_by: Sequence[int],
    positions: Collection[int],
    labels: Mapping[int, NDArray[np.int64]],
) -> Reduced | None:
    """Drop, merge and leave out until nothing changes.

    Parameters
    ----------
    given, sizes
        Tables, and the number of values of each variable.
    told_by
        For each variable the table that tells its value and does not judge it: a position's, or
        the one that defines a figure, in which the other columns leave no choice. Every other
        table reads it.
    positions
        Numbers of the tables of positions.
    labels
        Table number → for each row a number; rows with different labels are never made one.

    Returns
    -------
    Reduced or None
        None if a table runs empty: there is no package.
    """
    current = list(given)
    now = list(sizes)
    marks = {number: np.asarray(label) for number, label in labels.items()}
    rows = [np.arange(t.rows, dtype=np.int32) for t in given]
    changed = True
    while True:
        dropped = _drop(current, now, marks, rows)
        if dropped is None:
            return None
        if not dropped and not changed:
            break
        merged = _merge(current, now, told_by, marks, rows)
        changed = _leave_out(current, now, told_by, positions, marks, rows)
        if not (merged or changed):
            break
    return Reduced(current, now, rows)


def _drop(
    current: list[Table],
    sizes: Sequence[int],
    marks: dict[int, NDArray[np.int64]],
    rows: list[Index],
) -> bool | None:
    """Drop rows without a partner; say whether there were any, None if a table runs empty."""
    kept = consistent(current, sizes)
    if kept is None:
        return None
    dropped = False
    for number, keep in enumerate(kept):
        if len(keep) == current[number].rows:
            continue
        dropped = True
        new = np.full(current[number].rows, -1, np.int32)
        new[keep] = np.arange(len(keep), dtype=np.int32)
        rows[number] = _follow(rows[number], new)
        current[number] = tables.select(current[number], keep)
        if number in marks:
            marks[number] = marks[number][keep]
    return dropped


def _leave_out(
    current: list[Table],
    sizes: Sequence[int],
    told_by: Sequence[int],
    positions: Collection[int],
    marks: dict[int, NDArray[np.int64]],
    rows: list[Index],
) -> bool:
    """Leave out columns that forbid nothing; say whether there were any with a choice."""
    changed = False
    choices = choices_left(current, sizes, told_by)
    for number in range(len(current)):
        label = marks.get(number)
        fewer = without_implied(current, number, sizes, choices, told_by, positions, label)
        if fewer is None:
            continue
        left = set(current[number].variables) - set(fewer[0].variables)
        changed |= any(choices[v] > 1 for v in left)
        current[number], new = fewer
        rows[number] = _follow(rows[number], new)
        if number in marks:
            kept = np.zeros(fewer[0].rows, marks[number].dtype)
            kept[new] = marks[number]
            marks[number] = kept
    return changed


def _follow(old: Index, new: Index) -> Index:
    return np.where(old >= 0, new[old], -1).astype(np.int32)


def consistent(
    given: Sequence[Table], sizes: Sequence[int], fewer: Collection[int] | None = None
) -> list[Index] | None:
    """Drop rows without a partner in some other table, until nothing changes.

    Tables that have one variable in common are held against the values that all tables leave it;
    only those that have several are held against each other.

    Parameters
    ----------
    given, sizes
        Tables, and the number of values of each variable.
    fewer
        Tables that have lost rows since all were consistent; None where they were not yet.

    Returns
    -------
    list of arrays or None
        For each table the rows that stay; None if one runs empty.
    """
    if any(not t.rows for t in given):
        return None
    current = list(given)
    rows: list[Index | None] = [None for _ in given]
    domains: dict[int, NDArray[np.bool_]] = {}
    left = list(sizes)
    using = _using(given)
    beside = _pairs(given, using, sizes)
    # For each table how many values of its variables, and rows of others, were left when it was
    # held against them: what has lost none since need not be looked at again.
    values_met: list[dict[int, int]] = [{} for _ in given]
    rows_met: list[dict[int, int]] = [{} for _ in given]
    waiting = dict.fromkeys(range(len(current)) if fewer is None else sorted(fewer))
    first = set(waiting)
    if fewer is not None:
        waiting.update(dict.fromkeys(other for number in fewer for other in beside[number]))
    while waiting:
        number = next(iter(waiting))
        del waiting[number]
        table = current[number]
        keep: NDArray[np.bool_] | None = None
        for variable, column in zip(table.variables, table.columns, strict=True):
            if left[variable] < values_met[number].get(variable, sizes[variable]):
                values_met[number][variable] = left[variable]
                inside = domains[variable][column]
                keep = inside if keep is None else keep & inside
        table, kept = _selected(table, keep)
        changed = kept is not None
        rows[number] = _composed(rows[number], kept)
        for other in beside[number]:
            if rows_met[number].get(other) == current[other].rows:
                continue
            rows_met[number][other] = current[other].rows
            table, kept = _selected(table, tables.supported(table, current[other], sizes))
            changed = changed or kept is not None
            rows[number] = _composed(rows[number], kept)
        if not table.rows:
            return None
        current[number] = table
        if not changed and number not in first:
            continue
        first.discard(number)
        if changed:
            waiting.update(dict.fromkeys(beside[number]))
        for variable, column in zip(table.variables, table.columns, strict=True):
            if left[variable] == 1:  # it cannot get fewer: the table has rows
                continue
            present = np.zeros(sizes[variable], np.bool_)
            present[column] = True
            count = int(np.count_nonzero(present))
            if count < left[variable]:
                domains[variable], left[variable] = present, count
                values_met[number][variable] = count
                waiting.update(dict.fromkeys(n for n in using[variable] if n != number))
    return [
        np.arange(table.rows, dtype=np.int32) if kept is None else kept
        for table, kept in zip(given, rows, strict=True)
    ]


def _using(given: Sequence[Table]) -> dict[int, list[int]]:
    """For each variable the tables that mention it."""
    using: dict[int, list[int]] = {}
    for number, table in enumerate(given):
        for variable in table.variables:
            using.setdefault(variable, []).append(number)
    return using


def _pairs(
    given: Sequence[Table], using: Mapping[int, Sequence[int]], sizes: Sequence[int]
) -> list[list[int]]:
    """For each table the others that share several variables with it that have a choice."""
    pairs = []
    for number, table in enumerate(given):
        often = Counter(n for v in table.variables if sizes[v] > 1 for n in using[v])
        pairs.append(sorted(n for n, times in often.items() if times > 1 and n != number))
    return pairs


def _selected(table: Table, keep: NDArray[np.bool_] | None) -> tuple[Table, Index | None]:
    """Keep some rows of a table, and give their numbers; None where all stay."""
    if keep is None or keep.all():
        return table, None
    kept = np.flatnonzero(keep).astype(np.int32)
    return tables.select(table, kept), kept


def _composed(before: Index | None, kept: Index | None) -> Index | None:
    return before if kept is None else kept if before is None else before[kept]


def _merge(
    current: list[Table],
    sizes: list[int],
    told_by: Sequence[int],
    marks: dict[int, NDArray[np.int64]],
    rows: list[Index],
) -> bool:
    """Make values one that no table can tell apart; say whether that changed anything."""
    using = _using(current)
    changed = False
    waiting = dict.fromkeys(sorted(using, reverse=True))
    while waiting:
        variable = next(iter(waiting))
        del waiting[variable]
        readers = [number for number in using[variable] if number != told_by[variable]]
        codes = _alike(variable, readers, current, sizes, marks)
        if codes is None:
            continue
        changed = True
        sizes[variable] = int(codes.max()) + 1
        for number in using[variable]:
            current[number], new = _recoded(current[number], variable, codes, sizes, marks, number)
            rows[number] = _follow(rows[number], new)
            waiting.update(dict.fromkeys(v for v in current[number].variables if v != variable))
    return changed


def _alike(
    variable: int,
    readers: Sequence[int],
    current: Sequence[Table],
    sizes: Sequence[int],
    marks: Mapping[int, NDArray[np.int64]],
) -> Index | None:
    """Give values with the same rows in every reader one code; None if all differ."""
    size = sizes[variable]
    if size < 2:
        return None
    signatures: list[list[bytes]] = [[] for _ in range(size)]
    for number in readers:
        table = current[number]
        column = table.columns[table.variables.index(variable)]
        key = _key(table, sizes, marks.get(number), without=variable)
        order = np.lexsort((key, column))
        ordered = key[order]
        bounds = np.searchsorted(column[order], np.arange(size + 1))
        for value in range(size):
            signatures[value].append(ordered[bounds[value] : bounds[value + 1]].tobytes())
    codes: dict[tuple[bytes, ...], int] = {}
    alike = [codes.setdefault(tuple(signature), len(codes)) for signature in signatures]
    return None if len(codes) == size else np.array(alike, np.int32)


def _key(
    table: Table,
    sizes: Sequence[int],
    label: NDArray[np.int64] | None,
    without: int = -1,
) -> NDArray[np.int64]:
    """One number per row that tells rows apart by their columns and label."""
    columns = [c for v, c in zip(table.variables, table.columns, strict=True) if v != without]
    bounds = [sizes[v] for v in table.variables if v != without]
    if label is not None:
        distinct, ranks = np.unique(label, return_inverse=True)
        columns.append(ranks.astype(np.int32))
        bounds.append(len(distinct))
    key, _, _ = tables.keys(columns, bounds, table.rows)
    return key


def _recoded(
    table: Table,
    variable: int,
    codes: Index,
    sizes: Sequence[int],
    marks: dict[int, NDArray[np.int64]],
    number: int,
) -> tuple[Table, Index]:
    """Put the new codes in, and keep one of each set of rows that became equal."""
    columns = tuple(
        codes[c] if v == variable else c
        for v, c in zip(table.variables, table.columns, strict=True)
    )
    recoded = Table(table.name, table.variables, columns, table.rows)
    key = _key(recoded, sizes, marks.get(number))
    _, first, new = np.unique(key, return_index=True, return_inverse=True)
    # Rows keep their order: the answer must not hang on how keys happen to sort.
    order = np.argsort(first, kind="stable")
    rank = np.empty(len(order), np.int32)
    rank[order] = np.arange(len(order), dtype=np.int32)
    kept = first[order].astype(np.int32)
    if number in marks:
        marks[number] = marks[number][kept]
    return tables.select(recoded, kept), rank[new.reshape(-1)]
