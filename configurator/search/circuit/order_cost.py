"""What an order of joins comes to, without making its circuit.

Tables are joined for their sizes only, and what was joined before is remembered, so that an order
that differs in one place costs little more than what differs.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING

from configurator.core.progress import check
from configurator.search.circuit.join import PAIRS
from configurator.search.circuit.pairing import extended, matched
from configurator.search.encoding import tables
from configurator.search.encoding.tables import Table

if TYPE_CHECKING:
    from collections.abc import Sequence

    from configurator.search.circuit.join import CircuitDraft
    from configurator.search.limits import Limits


@dataclass(frozen=True, slots=True)
class Elimination:
    """What eliminating a variable came to: inner rows, and the variables that met there."""

    rows: int
    met: frozenset[int]
    variable: int


class Rehearsal:
    """Joins made for their sizes only, and remembered by what went into them.

    Parameters
    ----------
    draft
        Its live tables are where every order begins.
    """

    def __init__(self, draft: CircuitDraft) -> None:
        self._draft = draft
        self._given = [draft.live[number].table for number in sorted(draft.live)]
        self._tables = list(self._given)
        self._counts: dict[tuple[int, int], int] = {}
        self._joined: dict[tuple[int, int, tuple[int, ...]], tuple[int, int]] = {}
        self._held = 0
        self.work = 0

    @property
    def limits(self) -> Limits:
        """How much may be tried and remembered."""
        return self._draft.limits

    @property
    def sizes(self) -> Sequence[int]:
        """Number of values of each variable."""
        return self._draft.sizes

    @property
    def variables(self) -> set[int]:
        """Variables there are to be eliminated."""
        return {variable for table in self._given for variable in table.variables}

    def run(self, order: Sequence[int], most: int) -> list[Elimination] | None:
        """Eliminate variables in an order; None if that takes more than ``most`` rows."""
        check()
        self._forget()
        users: dict[int, set[int]] = {}
        for number, table in enumerate(self._given):
            for variable in table.variables:
                users.setdefault(variable, set()).add(number)
        steps: list[Elimination] = []
        left = most
        begun = self.work
        for variable in order:
            waiting = sorted(users.get(variable, ()))
            if not waiting:
                continue
            met = frozenset(v for number in waiting for v in self._tables[number].variables)
            before = left
            while True:
                pair = self._cheapest(waiting)
                joined = self._join(*pair, users, left)
                if joined is None:
                    return None
                number, rows = joined
                left -= rows
                if left < 0 or self.work - begun > PAIRS * most:
                    return None
                waiting = [pending for pending in waiting if pending not in pair] + [number]
                if len(waiting) == 1:
                    break
            steps.append(Elimination(before - left, met, variable))
        return steps

    def _cheapest(self, waiting: Sequence[int]) -> tuple[int, int]:
        if len(waiting) < 3:
            return waiting[0], waiting[-1]
        return min(combinations(waiting, 2), key=lambda pair: (self._count(*pair), pair))

    def _count(self, item: int, two: int) -> int:
        pair = (item, two) if item < two else (two, item)
        if pair not in self._counts:
            left, right = sorted((self._tables[n] for n in pair), key=lambda table: table.rows)
            more, _ = extended(self._draft, left, right)
            self._counts[pair] = tables.matches(more, right, self.sizes)
            self.work += left.rows + right.rows
        return self._counts[pair]

    def _join(
        self, item: int, two: int, users: dict[int, set[int]], most: int
    ) -> tuple[int, int] | None:
        """Join two tables, or project one; give the number of what comes of it and its rows."""
        mine = {item, two}
        mentioned = {v for number in mine for v in self._tables[number].variables}
        keep = tuple(sorted(v for v in mentioned if not users[v] <= mine))
        key = (min(mine), max(mine), keep)
        if key not in self._joined:
            made = self._made(item, two, keep, users, most)
            if made is None:
                return None
            self._tables.append(made[0])
            self._held += made[0].rows * len(keep)
            self._joined[key] = (len(self._tables) - 1, made[1])
        number, rows = self._joined[key]
        for variable in mentioned:
            users[variable] -= mine
        for variable in keep:
            users[variable].add(number)
        return number, rows

    def _made(
        self, item: int, two: int, keep: Sequence[int], users: dict[int, set[int]], most: int
    ) -> tuple[Table, int] | None:
        left, right = sorted((self._tables[n] for n in (item, two)), key=lambda table: table.rows)
        if item == two:
            columns = [left.columns[left.variables.index(v)] for v in keep]
            rows = left.rows
        else:
            expected = self._count(item, two)
            if expected > most:
                return None
            self.work += expected
            beside = sorted({n for v in keep for n in users[v]} - {item, two})
            others = [self._tables[n] for n in beside]
            of_left, of_right = matched(self._draft, left, right, others)
            columns = [
                left.columns[left.variables.index(v)][of_left]
                if v in left.variables
                else right.columns[right.variables.index(v)][of_right]
                for v in keep
            ]
            rows = len(of_left)
        _, starts, firsts = tables.group(columns, [self.sizes[v] for v in keep], rows)
        return Table("", tuple(keep), tuple(c[firsts] for c in columns), len(starts)), rows

    def _forget(self) -> None:
        """Begin anew with remembering where it takes too much memory."""
        if self._held > self._draft.limits.remembered_values:
            self._tables = list(self._given)
            self._counts.clear()
            self._joined.clear()
            self._held = 0
