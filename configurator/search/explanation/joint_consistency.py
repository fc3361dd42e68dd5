"""Whether some tables can be met together at all: yes or no, without the ways to do it.

Tables of which each agrees with each are met together if no ring of them is left once variables
that only one table mentions, and tables of which another mentions all, are taken away. So only
rings are joined.

References
----------
.. [1] C. Beeri, R. Fagin, D. Maier and M. Yannakakis, *On the desirability of acyclic database
   schemes*, Journal of the ACM 30 (1983).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.search.encoding import tables
from configurator.search.encoding.reducing import consistent
from configurator.search.encoding.tables import Table

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    Counts = dict[tuple[int, int], tuple[int, Table, Table]]

# Rows that a join may have; beyond, the question is left to a circuit, which joins in a good order.
MOST_ROWS = 500_000


def met_together(given: Sequence[Table], sizes: Sequence[int]) -> bool | None:
    """Whether a value can be chosen for each variable so that every table has a row for them.

    Parameters
    ----------
    given, sizes
        Tables, and the number of values of each variable.

    Returns
    -------
    bool or None
        None where that would take a join that is too large.

    Examples
    --------
    >>> import numpy as np
    >>> def unequal(left, right):
    ...     values = np.array([0, 1], np.int32)
    ...     return Table("unequal", (left, right), (values, values[::-1]), 2)
    >>> met_together([unequal(0, 1), unequal(1, 2)], [2, 2, 2])
    True
    >>> met_together([unequal(0, 1), unequal(1, 2), unequal(2, 0)], [2, 2, 2])
    False
    """
    agreeing = agreeing_tables(given, sizes)
    counts: Counts = {}
    while agreeing is not None:
        current = _without_ends(agreeing)
        if len(current) < 2:
            return True
        joined = _smallest_join(current, sizes, counts)
        if joined is None:
            return None
        agreeing = agreeing_tables(joined, sizes, [len(joined) - 1])
    return False


def agreeing_tables(
    given: Sequence[Table], sizes: Sequence[int], fewer: Collection[int] | None = None
) -> list[Table] | None:
    """Drop rows without a partner in another table; None if that leaves a table without rows.

    ``fewer`` names the tables that are new or lost rows since all the others agreed.
    """
    kept = consistent(given, sizes, fewer)
    if kept is None:
        return None
    return [
        t if len(rows) == t.rows else tables.select(t, rows)
        for t, rows in zip(given, kept, strict=True)
    ]


def _without_ends(given: Sequence[Table]) -> list[Table]:
    """Leave out what is no part of a ring, of tables of which each agrees with each."""
    current = [_without_constants(table) for table in given]
    before = -1
    while before != len(current):
        before = len(current)
        users = _users(current)
        shared = [[v for v in table.variables if len(users[v]) > 1] for table in current]
        current = [_projected(t, own) for t, own in zip(current, shared, strict=True) if own]
        for table in sorted(current, key=lambda t: len(t.variables)):
            others = [other for other in current if other is not table]
            if any(set(table.variables) <= set(other.variables) for other in others):
                current = others
    return current


def _users(current: Sequence[Table]) -> dict[int, set[int]]:
    users: dict[int, set[int]] = {}
    for number, table in enumerate(current):
        for variable in table.variables:
            users.setdefault(variable, set()).add(number)
    return users


def _without_constants(table: Table) -> Table:
    """Leave out variables of which one value is left: every other table has it too."""
    varying = [
        v
        for v, column in zip(table.variables, table.columns, strict=True)
        if (column != column[0]).any()
    ]
    return table if len(varying) == len(table.variables) else _projected(table, varying)


def _projected(table: Table, variables: Sequence[int]) -> Table:
    """Keep some columns, each combination once."""
    if tuple(variables) == table.variables:
        return table
    columns = [table.columns[table.variables.index(v)] for v in variables]
    sizes = [int(column.max(initial=0)) + 1 for column in columns]
    _, _, firsts = tables.group(columns, sizes, table.rows)
    return Table(table.name, tuple(variables), tuple(c[firsts] for c in columns), len(firsts))


def _smallest_join(
    current: Sequence[Table], sizes: Sequence[int], known: Counts
) -> list[Table] | None:
    """Join the two tables that give the fewest rows, put last; None if even these are too many.

    How many rows two tables give is known if both are those of before.
    """
    users = _users(current)
    pairs = {
        (item, other)
        for several in users.values()
        for item in several
        for other in several
        if item < other
    }
    counts: dict[tuple[int, int], int] = {}
    for pair in sorted(pairs):
        first, second = current[pair[0]], current[pair[1]]
        key = (id(first), id(second))
        if key not in known:  # with the tables, so that no other gets their identities
            known[key] = (tables.matches(first, second, sizes), first, second)
        counts[pair] = known[key][0]
    pair = min(counts, key=lambda p: (counts[p], p))
    if counts[pair] > MOST_ROWS:
        return None
    left, right = current[pair[0]], current[pair[1]]
    of_left, of_right = tables.match_all(left, right, sizes)
    rest = [table for number, table in enumerate(current) if number not in pair]
    elsewhere = {v for table in rest for v in table.variables}
    columns = {v: c[of_right] for v, c in zip(right.variables, right.columns, strict=True)}
    columns.update((v, c[of_left]) for v, c in zip(left.variables, left.columns, strict=True))
    whole = Table("", tuple(columns), tuple(columns.values()), len(of_left))
    return [*rest, _projected(whole, [v for v in whole.variables if v in elsewhere])]
