"""Join tables for real, and keep what is needed to do it again: the circuit's nodes.

A draft holds the tables that are not used up yet; joining two of them projects away at once what no
other table mentions, and drops rows that have no partner elsewhere.

Two tables may hold different columns of one position, the diameter of a tyre and its width, say,
and nothing else in common. Not every diameter comes in every width, so they are matched over the
position's own list of pairs: without it most rows of the join would be of no tyre at all.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np

from configurator.core.progress import check
from configurator.search.circuit.nodes import Node
from configurator.search.circuit.pairing import extended, matched
from configurator.search.encoding import tables
from configurator.search.encoding.tables import Table
from configurator.search.limits import LIMITS

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Sequence

    from numpy.typing import NDArray

    from configurator.search.limits import Limits

    Index = NDArray[np.int32]

# Pairs of rows that all joins of a draft may look at, and for each row that it may keep; inner rows
# that all of them may keep, beyond which it is given up.
LOOKED_AT = 200_000_000
PAIRS = 5
LONGEST = 60_000_000


class TooWide(Exception):
    """Joining would take more rows than memory should hold.

    Parameters
    ----------
    names
        Positions and rules whose tables meet in the join that is too wide.
    rows
        Rows it would have.
    """

    def __init__(self, names: Iterable[str], rows: int) -> None:
        self.names = tuple(sorted(names))
        self.rows = rows
        super().__init__(f"joining {', '.join(self.names)} gives {rows} rows")


@dataclass(slots=True)
class Live:
    """A table that is not used up yet, the node that gives its rows their values, its origins."""

    table: Table
    node: int
    origin: frozenset[str]


@dataclass(slots=True)
class CircuitDraft:
    """A circuit being made.

    Parameters
    ----------
    sizes
        Number of values of each variable.
    nodes
        Made so far.
    live
        Number → table; the first ones have the numbers of the tables given.
    users
        Variable → numbers of the live tables that mention it.
    rows
        Inner rows so far.
    looked_at
        Pairs of rows that its joins have looked at.
    budget
        Rows beyond which the draft is given up.
    matched
        Numbers of two live tables → rows that joining them would give, where that was counted.
    lists
        Tables of the positions, as they were given.
    joined
        Numbers of the live tables that were joined, in order.
    order
        Variables in the order in which they were eliminated.
    limits
        What one join may look at.
    """

    sizes: Sequence[int]
    nodes: list[Node] = field(default_factory=list)
    live: dict[int, Live] = field(default_factory=dict)
    users: dict[int, set[int]] = field(default_factory=dict)
    rows: int = 0
    looked_at: int = 0
    budget: int = LONGEST
    matched: dict[tuple[int, int], int] = field(default_factory=dict)
    lists: Sequence[Table] = ()
    joined: list[tuple[int, int]] = field(default_factory=list)
    order: list[int] = field(default_factory=list)
    limits: Limits = LIMITS

    def fork(self, budget: int) -> CircuitDraft:
        """Begin another draft where this one is; nodes are shared, as they do not change."""
        return replace(
            self,
            nodes=list(self.nodes),
            live=dict(self.live),
            users={variable: set(users) for variable, users in self.users.items()},
            budget=budget,
            matched=dict(self.matched),
            joined=list(self.joined),
            order=list(self.order),
        )


def begin(
    given: Sequence[Table],
    sizes: Sequence[int],
    budget: int,
    positions: Collection[int] = (),
    limits: Limits = LIMITS,
) -> CircuitDraft:
    """Start a draft: a leaf per table, what only one table mentions projected away."""
    lists = [given[number] for number in sorted(positions)]
    draft = CircuitDraft(sizes, budget=budget, lists=lists, limits=limits)
    for number, table in enumerate(given):
        draft.nodes.append(Node(table.rows, table.rows, leaf=number))
        _add(draft, number, Live(table, number, frozenset([table.name])))
    for number in list(draft.live):
        _project_private(draft, number)
    return draft


def _add(draft: CircuitDraft, number: int, live: Live) -> None:
    draft.live[number] = live
    for variable in live.table.variables:
        draft.users.setdefault(variable, set()).add(number)


def _take(draft: CircuitDraft, number: int) -> Live:
    live = draft.live.pop(number)
    for variable in live.table.variables:
        draft.users[variable].discard(number)
        if not draft.users[variable]:
            del draft.users[variable]
    return live


def needed_elsewhere(draft: CircuitDraft, numbers: Collection[int]) -> set[int]:
    """Variables of some live tables that other live tables mention too."""
    mine = set(numbers)
    return {
        variable
        for number in numbers
        for variable in draft.live[number].table.variables
        if not draft.users[variable] <= mine
    }


def _project_private(draft: CircuitDraft, number: int) -> None:
    """Project away what only one table mentions."""
    project(draft, number, needed_elsewhere(draft, [number]))


def project(draft: CircuitDraft, number: int, kept: Collection[int]) -> None:
    """Project away all variables of a live table but some."""
    keep = sorted(kept)
    if len(keep) == len(draft.live[number].table.variables):
        return
    live = _take(draft, number)
    draft.order.extend(v for v in live.table.variables if v not in kept)
    for pair in [pair for pair in draft.matched if number in pair]:
        del draft.matched[pair]  # counted with the table as it was
    columns = [live.table.columns[live.table.variables.index(v)] for v in keep]
    order, starts, firsts = tables.group(columns, [draft.sizes[v] for v in keep], live.table.rows)
    draft.nodes.append(
        Node(len(starts), live.table.rows, live.node, from_left=order, starts=starts)
    )
    draft.rows += live.table.rows
    table = Table(live.table.name, tuple(keep), tuple(c[firsts] for c in columns), len(starts))
    _add(draft, number, Live(table, len(draft.nodes) - 1, live.origin))


def matches(draft: CircuitDraft, item: int, two: int) -> int:
    """Count the rows that joining two live tables would give, once for each pair."""
    pair = (item, two) if item < two else (two, item)
    if pair not in draft.matched:
        check()
        first, second = draft.live[pair[0]].table, draft.live[pair[1]].table
        if first.rows > second.rows:
            first, second = second, first
        more, _ = extended(draft, first, second)
        draft.matched[pair] = tables.matches(more, second, draft.sizes)
    return draft.matched[pair]


def join(draft: CircuitDraft, item: int, two: int) -> int | None:
    """Join two live tables and project away what nobody else needs.

    Returns
    -------
    int or None
        Number of the new live table; None if it is empty: there is no package.

    Raises
    ------
    TooWide
        If the join, or the draft with it, is too large.
    """
    check()
    left, right = draft.live[item], draft.live[two]
    if not left.table.variables and not right.table.variables and left.table.rows:
        return _join_rows(draft, item, two)
    keep = sorted(needed_elsewhere(draft, [item, two]))
    expected = matches(draft, item, two)
    draft.looked_at += expected
    most = min(LOOKED_AT, PAIRS * draft.budget)
    if expected > draft.limits.join_pairs or draft.looked_at > most:
        raise TooWide(left.origin | right.origin, expected)
    draft.joined.append((item, two))
    _take(draft, item)
    _take(draft, two)
    if left.table.rows > right.table.rows:
        left, right = right, left
    beside = [draft.live[n].table for n in sorted({n for v in keep for n in draft.users[v]})]
    of_left, of_right = matched(draft, left.table, right.table, beside)
    if draft.rows + len(of_left) > draft.budget:
        raise TooWide(left.origin | right.origin, len(of_left))
    if not len(of_left):
        return None
    gone = {*left.table.variables, *right.table.variables}.difference(keep)
    draft.order.extend(sorted(gone))
    columns = []
    for variable in keep:
        source, index = (
            (left.table, of_left) if variable in left.table.variables else (right.table, of_right)
        )
        columns.append(source.columns[source.variables.index(variable)][index])
    order, starts, firsts = tables.group(columns, [draft.sizes[v] for v in keep], len(of_left))
    merged = len(starts) < len(order)
    draft.nodes.append(
        Node(
            len(starts),
            len(order),
            left.node,
            right.node,
            of_left[order],
            of_right[order],
            starts if merged else None,
        )
    )
    draft.rows += len(of_left)
    number = len(draft.nodes) - 1
    table = Table("", tuple(keep), tuple(c[firsts] for c in columns), len(starts))
    _add(draft, number, Live(table, number, left.origin | right.origin))
    return number


def _join_rows(draft: CircuitDraft, item: int, two: int) -> int | None:
    """Join two tables that have nothing but one row each, as there may be one for each position."""
    left, right = _take(draft, item), _take(draft, two)
    draft.joined.append((item, two))
    draft.looked_at += 1
    if not right.table.rows:
        return None
    if draft.rows + 1 > draft.budget:
        raise TooWide(left.origin | right.origin, 1)
    row = np.zeros(1, np.int32)
    draft.nodes.append(Node(1, 1, left.node, right.node, row, row, None))
    draft.rows += 1
    number = len(draft.nodes) - 1
    _add(draft, number, Live(Table("", (), (), 1), number, left.origin | right.origin))
    return number


def absorb(draft: CircuitDraft) -> bool:
    """Make joins that no order makes better: those that give no more rows than there were.

    False if nothing fits together.
    """
    before = -1
    while before != len(draft.live):
        before = len(draft.live)
        for number in sorted(draft.live):
            other = _around(draft, number)
            if other is not None and join(draft, number, other) is None:
                return False
        for variable in sorted(draft.users):
            users = sorted(draft.users.get(variable, ()))
            if len(users) != 2:
                continue
            most = max(draft.live[number].table.rows for number in users)
            if matches(draft, *users) <= most and join(draft, *users) is None:
                return False
    return True


def _around(draft: CircuitDraft, number: int) -> int | None:
    """Find a table that mentions all a table does."""
    if number not in draft.live:
        return None
    own = set(draft.live[number].table.variables)
    if not own:
        return None
    fewest = min(own, key=lambda variable: (len(draft.users[variable]), variable))
    for other in sorted(draft.users[fewest] - {number}):
        if own <= set(draft.live[other].table.variables):
            return other
    return None
