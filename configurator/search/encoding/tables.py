"""Relations as columns of codes, and the two operations on them: match rows, group rows.

A table lists the combinations of values that are allowed, one row each. A column belongs to a
variable and holds codes: positions in that variable's list of values.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from numpy.typing import NDArray

    Codes = NDArray[np.int32]
    Index = NDArray[np.int32]
    Keys = NDArray[np.signedinteger[Any]]

_LARGEST_KEY = 2**62


@dataclass(frozen=True, slots=True)
class Table:
    """Allowed combinations.

    Parameters
    ----------
    name
        Of the position or rule it stands for.
    variables
        One per column.
    columns
        Codes, one array of equal length per variable.
    rows
        Number of rows; a table without variables has one (true) or none (false).
    """

    name: str
    variables: tuple[int, ...]
    columns: tuple[Codes, ...]
    rows: int


def keys(
    columns: Sequence[Codes], sizes: Sequence[int], rows: int, others: Sequence[Codes] | None = None
) -> tuple[NDArray[np.int64], NDArray[np.int64] | None, int]:
    """Give every combination in some columns a number, alike in two tables.

    Parameters
    ----------
    columns, others
        The same variables' codes in one table and, if given, in another.
    sizes
        Number of values of each variable.
    rows
        Of the first table, for when there are no columns.

    Returns
    -------
    tuple
        Key of each row of the first table, of the second (or None), and a bound above all keys.
    """
    first = np.zeros(rows, np.int64)
    second = None if others is None else np.zeros(len(others[0]) if others else 1, np.int64)
    bound = 1
    for k, (column, size) in enumerate(zip(columns, sizes, strict=True)):
        if size == 1:  # tells nothing apart
            continue
        if bound > _LARGEST_KEY // max(size, 1):
            # Too many combinations for one integer: number only those that are there.
            if second is None:
                seen, first = np.unique(first, return_inverse=True)
            else:
                seen, both = np.unique(np.concatenate([first, second]), return_inverse=True)
                first, second = both[: len(first)], both[len(first) :]
            bound = len(seen)
        if bound == 1:
            first = column.astype(np.int64)
            second = None if others is None else others[k].astype(np.int64)
        else:
            first *= size
            first += column
            if second is not None and others is not None:
                second *= size
                second += others[k]
        bound *= size
    return first, second, bound


def _shared(
    left: Table, right: Table, sizes: Mapping[int, int] | Sequence[int]
) -> tuple[NDArray[np.int64], NDArray[np.int64], int]:
    common = [v for v in left.variables if v in right.variables]
    mine, theirs, bound = keys(
        [left.columns[left.variables.index(v)] for v in common],
        [sizes[v] for v in common],
        left.rows,
        [right.columns[right.variables.index(v)] for v in common],
    )
    if theirs is None or not common:
        theirs = np.zeros(right.rows, np.int64)
    return mine, theirs, bound


def _tally(values: NDArray[np.int64], bound: int) -> NDArray[np.int64] | None:
    """Count by key in one array, where the keys are few enough for that."""
    if bound <= 4 * len(values) + 65536:
        return np.bincount(values, minlength=bound)
    return None


def _sorted(values: NDArray[np.int64], bound: int) -> tuple[NDArray[np.int64], Index]:
    """Sort keys below a bound; rows that have the same key keep their order.

    Returns
    -------
    tuple of arrays
        The keys in order, and the row of each.
    """
    bits = len(values).bit_length()
    if bound > _LARGEST_KEY >> bits:
        order = np.argsort(values, kind="stable")
        return values[order], order.astype(np.int32)
    # Whole numbers are sorted ten times as fast alone as with their rows: so these are put in.
    packed = values << bits
    packed |= np.arange(len(values), dtype=np.int64)
    packed.sort()
    rows = (packed & ((1 << bits) - 1)).astype(np.int32)
    packed >>= bits
    return packed, rows


def _begins(ordered: NDArray[np.int64]) -> NDArray[np.intp]:
    """Say where each key begins in keys that are in order."""
    first = np.ones(len(ordered), np.bool_)
    first[1:] = ordered[1:] != ordered[:-1]
    return np.flatnonzero(first)


def numbered(keys_below: Keys, bound: int) -> tuple[Index, Index]:
    """Give distinct keys numbers in order.

    Returns
    -------
    tuple of arrays
        The first row of each key, and the number of each row's key.

    Examples
    --------
    >>> first, number = numbered(np.array([7, 3, 7]), 8)
    >>> first.tolist(), number.tolist()
    ([1, 0], [1, 0, 1])
    """
    if bound <= 4 * len(keys_below):
        return _numbered_by_key(keys_below, bound)
    ordered, rows = _sorted(keys_below.astype(np.int64, copy=False), bound)
    begins = _begins(ordered)
    number = np.empty(len(rows), np.int32)
    lengths = np.diff(begins, append=len(rows))
    number[rows] = np.repeat(np.arange(len(begins), dtype=np.int32), lengths)
    return rows[begins], number


def _numbered_by_key(keys_below: Keys, bound: int) -> tuple[Index, Index]:
    """Give distinct keys numbers by a list of all keys below the bound; nothing is sorted."""
    first = np.full(bound, len(keys_below), np.int32)
    np.minimum.at(first, keys_below, np.arange(len(keys_below), dtype=np.int32))
    there = np.flatnonzero(first < len(keys_below))
    number = np.empty(bound, np.int32)
    number[there] = np.arange(len(there), dtype=np.int32)
    return first[there], number[keys_below]


def distinct_count(values: NDArray[Any]) -> int:
    """Count distinct values.

    Examples
    --------
    >>> distinct_count(np.array([4, 2, 4]))
    2
    """
    if not len(values):
        return 0
    ordered = np.sort(values)
    return 1 + int(np.count_nonzero(ordered[1:] != ordered[:-1]))


def matches(left: Table, right: Table, sizes: Sequence[int]) -> int:
    """Count the rows that joining two tables would give.

    Examples
    --------
    >>> a = Table("a", (0,), (np.array([0, 1, 1], np.int32),), 3)
    >>> b = Table("b", (0, 1), (np.array([1, 1], np.int32), np.array([0, 1], np.int32)), 2)
    >>> matches(a, b, [2, 2])
    4
    """
    mine, theirs, bound = _shared(left, right, sizes)
    item, other = _tally(mine, bound), _tally(theirs, bound)
    if item is not None and other is not None:
        return int(item @ other)
    both = np.concatenate([mine, theirs])
    ordered, rows = _sorted(both, bound)
    begins = _begins(ordered)
    ends = np.append(begins[1:], len(both))
    of_left = np.append(0, np.cumsum(rows < left.rows))
    here = of_left[ends] - of_left[begins]
    return int(here @ (ends - begins - here))


def match(
    left: Table, right: Table, sizes: Sequence[int], most: int = 2**31
) -> Iterator[tuple[Index, Index]]:
    """Pair the rows of two tables that agree on their common variables.

    Parameters
    ----------
    left, right, sizes
        The tables, and the number of values of each variable.
    most
        About how many pairs are given at a time, so that they need not all be in memory.

    Yields
    ------
    tuple of arrays
        Row numbers in ``left`` and in ``right``, one pair per joined row.
    """
    if not left.rows or not right.rows:
        return
    mine, theirs, bound = _shared(left, right, sizes)
    ordered, order = _sorted(theirs, bound)
    many = _tally(theirs, bound)
    if many is not None:
        count = many[mine]
        start = (np.cumsum(many) - many)[mine]
    else:
        begins = _begins(ordered)
        place = np.searchsorted(ordered[begins], mine)
        place[place == len(begins)] = 0
        start = begins[place]
        count = np.diff(begins, append=right.rows)[place]
        count[ordered[start] != mine] = 0
    ends = np.cumsum(count)
    total = int(ends[-1]) if len(ends) else 0
    cuts = np.searchsorted(ends, np.arange(most, total, most), "right")
    for first, last in itertools.pairwise(sorted({0, *cuts.tolist(), len(mine)})):
        here = count[first:last]
        of_left = np.repeat(np.arange(first, last), here)
        offset = np.arange(len(of_left)) - np.repeat(np.cumsum(here) - here, here)
        of_right = order[np.repeat(start[first:last], here) + offset]
        yield of_left.astype(np.int32), of_right.astype(np.int32)


def match_all(left: Table, right: Table, sizes: Sequence[int]) -> tuple[Index, Index]:
    """Pair the rows of two tables that agree on their common variables, all at once."""
    listed = list(match(left, right, sizes))
    none = np.zeros(0, np.int32)
    return listed[0] if listed else (none, none)


def supported(left: Table, right: Table, sizes: Sequence[int]) -> NDArray[np.bool_]:
    """Say which rows of ``left`` have a partner in ``right``."""
    mine, theirs, bound = _shared(left, right, sizes)
    if bound == 1:
        return np.full(left.rows, right.rows > 0)
    if bound <= 16 * (left.rows + right.rows) + 65536:
        seen = np.zeros(bound, np.bool_)
        seen[theirs] = True
        return seen[mine]
    return present(mine, theirs)


def present(values: NDArray[np.integer], known: NDArray[np.integer]) -> NDArray[np.bool_]:
    """Say which of some values are among others.

    Examples
    --------
    >>> present(np.array([4, 2, 4]), np.array([4, 3])).tolist()
    [True, False, True]
    """
    if not len(known):
        return np.zeros(len(values), np.bool_)
    ordered = np.sort(known)
    place = np.searchsorted(ordered, values)
    place[place == len(ordered)] = 0
    there: NDArray[np.bool_] = ordered[place] == values
    return there


def select(table: Table, rows: NDArray[np.bool_] | Index) -> Table:
    """Keep some rows of a table."""
    columns = tuple(column[rows] for column in table.columns)
    count = int(rows.sum()) if rows.dtype == np.bool_ else len(rows)
    return Table(table.name, table.variables, columns, count)


def group(columns: Sequence[Codes], sizes: Sequence[int], rows: int) -> tuple[Index, Index, Index]:
    """Sort rows by the combination in some columns.

    Returns
    -------
    tuple of arrays
        The order of the rows, where each group starts in it, and one row of each group.
    """
    key, _, bound = keys(columns, sizes, rows)
    ordered, order = _sorted(key, bound)
    starts = _begins(ordered).astype(np.int32)
    return order, starts, order[starts]
