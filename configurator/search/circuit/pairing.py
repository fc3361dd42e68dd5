"""Pair the rows of two tables that are to be joined, those without a partner elsewhere left out."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

import numpy as np

from configurator.core.progress import check
from configurator.search.encoding import tables
from configurator.search.encoding.tables import Table

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from configurator.search.limits import Limits

    Index = NDArray[np.int32]

# Pairs that are in memory at a time.
AT_A_TIME = 4_000_000


class Draft(Protocol):
    """What is to be known of the circuit that is being made."""

    @property
    def lists(self) -> Sequence[Table]:
        """Tables of the positions, as their own lists combine columns."""

    @property
    def sizes(self) -> Sequence[int]:
        """Number of values of each variable."""

    @property
    def limits(self) -> Limits:
        """How many pairs may be looked at."""


def extended(draft: Draft, table: Table, other: Table) -> tuple[Table, Index | None]:
    """Give a table the columns of another that belong to positions both have a say in.

    Returns
    -------
    tuple
        The columns that the other table mentions too, now, and for each row the row of the table
        that it came from; None where they are the same.
    """
    own = dict(zip(table.variables, table.columns, strict=True))
    added: dict[int, Index] = {}
    origin: Index | None = None
    rows = table.rows
    mine, theirs = set(table.variables), set(other.variables)

    def column(variable: int) -> Index:
        if variable in added:
            return added[variable]
        return own[variable] if origin is None else own[variable][origin]

    for listed in draft.lists:
        known = mine.intersection(listed.variables)
        more = theirs.intersection(listed.variables) - mine
        if not more or not known - theirs:
            continue
        pairs = _projected(listed, sorted(known | more), draft.sizes)
        projection = Table("", tuple(sorted(known)), tuple(map(column, sorted(known))), rows)
        if tables.matches(projection, pairs, draft.sizes) > draft.limits.join_pairs:
            continue
        of_table, of_pairs = tables.match_all(projection, pairs, draft.sizes)
        added = {v: values[of_table] for v, values in added.items()}
        added |= {v: pairs.columns[pairs.variables.index(v)][of_pairs] for v in more}
        origin = of_table if origin is None else origin[of_table]
        rows = len(of_table)
        mine |= more
    shared = sorted(mine & theirs)
    return Table(table.name, tuple(shared), tuple(map(column, shared)), rows), origin


def _projected(table: Table, variables: Sequence[int], sizes: Sequence[int]) -> Table:
    columns = [table.columns[table.variables.index(v)] for v in variables]
    _, starts, firsts = tables.group(columns, [sizes[v] for v in variables], table.rows)
    return Table(table.name, tuple(variables), tuple(c[firsts] for c in columns), len(starts))


def matched(draft: Draft, left: Table, right: Table, beside: Sequence[Table]) -> list[Index]:
    """Pair the rows of two tables that have a partner in each of the tables beside them."""
    beside, (left, kept_left), (right, kept_right) = _filtered(draft, left, right, beside)
    more, origin = extended(draft, left, right)
    rows_matched: list[tuple[Index, Index]] = []
    for here, of_right in tables.match(more, right, draft.sizes, AT_A_TIME):
        check()
        of_left = here if origin is None else origin[here]
        columns: dict[int, Index] = {}
        for other in beside:
            shared = [
                v
                for v in other.variables
                if draft.sizes[v] > 1 and (v in left.variables or v in right.variables)
            ]
            if not shared:
                continue
            for v in shared:
                if v not in columns:
                    in_left = v in left.variables
                    source, rows = (left, of_left) if in_left else (right, of_right)
                    columns[v] = source.columns[source.variables.index(v)][rows]
            pairs = Table("", tuple(shared), tuple(columns[v] for v in shared), len(of_left))
            keep = tables.supported(pairs, other, draft.sizes)
            if not keep.all():
                of_left, of_right = of_left[keep], of_right[keep]
                columns = {v: values[keep] for v, values in columns.items()}
        rows_matched.append((of_left, of_right))
    none = np.zeros(0, np.int32)
    both = [np.concatenate([none, *(pair[side] for pair in rows_matched)]) for side in (0, 1)]
    return [
        rows if kept is None else kept[rows]
        for rows, kept in zip(both, (kept_left, kept_right), strict=True)
    ]


def _filtered(
    draft: Draft, left: Table, right: Table, beside: Sequence[Table]
) -> tuple[list[Table], tuple[Table, Index | None], tuple[Table, Index | None]]:
    """Drop rows of two tables that a table beside them has no partner for, before they are paired.

    Returns
    -------
    tuple
        The tables beside them that look at columns of both; and each of the two with the rows it
        kept, None for all.
    """
    both: list[Table] = []
    sides: list[tuple[Table, Index | None]] = [(left, None), (right, None)]
    for other in beside:
        shared = {v for v in other.variables if draft.sizes[v] > 1}
        shared &= {*left.variables, *right.variables}
        side = next((n for n in (0, 1) if shared <= set(sides[n][0].variables)), None)
        if side is None:
            both.append(other)
            continue
        if not shared:
            continue
        table, kept = sides[side]
        keep = tables.supported(table, other, draft.sizes)
        if not keep.all():
            rows = np.flatnonzero(keep).astype(np.int32)
            sides[side] = tables.select(table, rows), rows if kept is None else kept[rows]
    return both, sides[0], sides[1]
