"""How many combinations of some columns there are: what joins will come to, before they are made.

Columns of one position are looked up in its list. Over several positions that would say far too
much, since most tyres go on few of the wheels; so packages of the positions that share rules with
most others are drawn by chance, and distinct combinations among them are counted and scaled up.

References
----------
.. [1] M. Charikar, S. Chaudhuri, R. Motwani and V. Narasayya, *Towards estimation error guarantees
       for distinct values*, PODS 2000: the guaranteed-error estimator.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from configurator.search.encoding import tables
from configurator.search.encoding.tables import Table

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from numpy.typing import NDArray

# Rows of the sample, and pairs that one step of drawing it may look at for each of them.
SAMPLE = 20_000
PAIRS = 200
# By what factor estimates are shaken, where they are: the standard deviation of its logarithm.
SHAKEN = 0.4


@dataclass(frozen=True, slots=True)
class Sample:
    """Combinations of some positions that fit together, drawn by chance.

    Parameters
    ----------
    table
        Those drawn.
    of
        About how many there are.
    """

    table: Table
    of: float


def scopes(
    given: Sequence[Table], told_by: Sequence[int], positions: Collection[int]
) -> list[frozenset[int]]:
    """For each table, the tables of the positions that what it mentions hangs on."""
    reach: dict[int, frozenset[int]] = {}

    def behind(variable: int) -> frozenset[int]:
        if variable not in reach:
            number = told_by[variable]
            if number in positions:
                reach[variable] = frozenset([number])
            else:
                reach[variable] = frozenset()  # a figure's own column says nothing about itself
                result = [behind(v) for v in given[number].variables if v != variable]
                reach[variable] = frozenset().union(*result)
        return reach[variable]

    return [frozenset().union(*(behind(v) for v in table.variables)) for table in given]


def most_tied(
    given: Sequence[Table], told_by: Sequence[int], positions: Collection[int]
) -> list[int]:
    """Rank the tables of positions: first what shares rules with most others."""
    graph = _ties(scopes(given, told_by, positions), positions)
    return sorted(positions, key=lambda p: (-len(graph[p]), -given[p].rows, p))


def _ties(reach: Sequence[frozenset[int]], positions: Collection[int]) -> dict[int, set[int]]:
    """For each position the others that it shares a rule with."""
    graph: dict[int, set[int]] = {position: set() for position in positions}
    for scope in reach:
        for position in scope:
            graph[position] |= scope - {position}
    return graph


def draw(
    given: Sequence[Table],
    sizes: Sequence[int],
    told_by: Sequence[int],
    positions: Collection[int],
    most: int,
    size: int = SAMPLE,
) -> Sample | None:
    """Draw ``size`` combinations of the ``most`` positions that share rules with most others.

    Position after position is joined with all rules that are settled by then; where too many rows
    come of it, as many as fit are drawn. None if nothing fits together, as far as was drawn.
    """
    reach = scopes(given, told_by, positions)
    graph = _ties(reach, positions)
    ranked = most_tied(given, told_by, positions)
    # The same sample on every run: answers and circuits must not change by chance.
    chance = np.random.default_rng(0)
    drawing = _Drawing(sizes)
    share = 1.0
    inside: set[int] = set()
    used: set[int] = set()
    for position in ranked:
        if len(inside) == most:
            break
        if inside and not graph[position] & inside:
            continue
        inside.add(position)
        waiting = [n for n, s in enumerate(reach) if s and s <= inside and n not in used]
        used.update(waiting)
        while waiting:
            pairs, number = min((drawing.pairs(given[n]), n) for n in waiting)
            waiting.remove(number)
            share *= drawing.thin(PAIRS * size * drawing.rows // max(pairs, 1), chance)
            drawing.join(given[number])
        share *= drawing.thin(size, chance)
    return Sample(drawing.table(), drawing.rows / share) if drawing.rows else None


class _Drawing:
    """Rows drawn so far; a column is gathered when it is compared, not with every step."""

    def __init__(self, sizes: Sequence[int]) -> None:
        self.rows = 1
        self._sizes = sizes
        self._steps: list[NDArray[np.int32]] = []
        # Number of steps → for each row, where it was after them.
        self._ways: dict[int, NDArray[np.int32]] = {}
        # Variable → its column, and how many of the steps it has been taken through.
        self._columns: dict[int, tuple[NDArray[np.int32], int]] = {}

    def pairs(self, other: Table) -> int:
        """Count the rows that joining a table would give."""
        return tables.matches(self._shared(other), other, self._sizes)

    def join(self, other: Table) -> None:
        """Join a table."""
        shared = self._shared(other)
        more = [v for v in other.variables if v not in self._columns]
        if not more:
            kept = np.flatnonzero(tables.supported(shared, other, self._sizes))
            if len(kept) < self.rows:
                self._take(kept.astype(np.int32))
            return
        mine, theirs = tables.match_all(shared, other, self._sizes)
        self._take(mine)
        for v in more:
            self._columns[v] = other.columns[other.variables.index(v)][theirs], len(self._steps)

    def thin(self, most: int, chance: np.random.Generator) -> float:
        """Draw some rows where there are more, and say which share of them."""
        rows = self.rows
        if rows <= max(most, 1):
            return 1.0
        self._take(np.sort(chance.choice(rows, max(most, 1), replace=False)).astype(np.int32))
        return self.rows / rows

    def table(self) -> Table:
        """Give the rows with all their columns."""
        variables = tuple(self._columns)
        return Table("", variables, tuple(map(self._column, variables)), self.rows)

    def _shared(self, other: Table) -> Table:
        known = [v for v in other.variables if v in self._columns]
        return Table("", tuple(known), tuple(map(self._column, known)), self.rows)

    def _take(self, kept: NDArray[np.int32]) -> None:
        self._steps.append(kept)
        self._ways.clear()
        self.rows = len(kept)

    def _column(self, variable: int) -> NDArray[np.int32]:
        values, taken = self._columns[variable]
        if taken < len(self._steps):
            values = values[self._way(taken)]
            self._columns[variable] = values, len(self._steps)
        return values

    def _way(self, taken: int) -> NDArray[np.int32]:
        """Say where rows were before the steps that come after the first ``taken``.

        Followed backwards, from the few rows there are now; columns that are as far behind go the
        same way.
        """
        known = min((k for k in self._ways if k >= taken), default=len(self._steps))
        way = self._ways.get(known)
        for k in range(known - 1, taken - 1, -1):
            step = self._steps[k]
            way = self._ways[k] = step if way is None else step[way]
        return self._ways[taken]


class Guide:
    """Estimates of how many combinations of some variables there are.

    Parameters
    ----------
    given, sizes, told_by, positions
        As `plan.make_circuit` has them.
    sample
        Of the positions that hang together most; None to do without.
    chance
        With it, estimates are shaken: orders that follow from them differ.
    """

    def __init__(
        self,
        given: Sequence[Table],
        sizes: Sequence[int],
        told_by: Sequence[int],
        positions: Collection[int],
        sample: Sample | None,
        chance: np.random.Generator | None = None,
    ) -> None:
        self._given = given
        self._sizes = sizes
        self._told_by = told_by
        self._positions = set(positions)
        self._sample = sample
        self._chance = chance
        self._drawn = frozenset(sample.table.variables) if sample else frozenset()
        self._listed: dict[tuple[int, frozenset[int]], int] = {}
        self._known: dict[frozenset[int], float] = {}
        self._codes: dict[frozenset[int], tuple[NDArray[np.int32], int]] = {}

    def combinations(self, variables: Collection[int]) -> float:
        """Estimate how many combinations of some variables there are."""
        wanted = frozenset(variables)
        if wanted not in self._known:
            inside = wanted & self._drawn
            estimate = self._of_sample(inside) if inside else 1.0
            estimate *= self._apart(wanted - inside, wanted)
            shaken = self._chance.lognormal(0.0, SHAKEN) if self._chance is not None else 1.0
            self._known[wanted] = estimate * shaken
        return self._known[wanted]

    def _apart(self, variables: Collection[int], wanted: frozenset[int]) -> float:
        """Count as if positions had nothing to do with each other."""
        by_table: dict[int, list[int]] = {}
        for variable in variables:
            by_table.setdefault(self._told_by[variable], []).append(variable)
        product = 1.0
        for number, mine in by_table.items():
            if number in self._positions:
                key = (number, frozenset(mine))
                if key not in self._listed:
                    self._listed[key] = len(_counts(self._given[number], mine, self._sizes))
                product *= self._listed[key]
            elif not wanted.issuperset(self._given[number].variables):
                # A figure all of whose inputs are there adds nothing: they settle it.
                product *= math.prod(self._sizes[v] for v in mine)
        return product

    def _of_sample(self, variables: frozenset[int]) -> float:
        sample = self._sample
        if sample is None:
            return 1.0
        counts = self._drawn_often(variables)
        once = int(np.count_nonzero(counts == 1))
        distinct = int(np.count_nonzero(counts))
        scale = math.sqrt(max(1.0, sample.of / sample.table.rows))
        estimate = scale * once + distinct - once
        return min(estimate, sample.of, self._apart(variables, variables))

    def _drawn_often(self, variables: frozenset[int]) -> NDArray[np.int64]:
        """How often each combination of some columns was drawn; columns of a position go together.

        The same columns of a position meet in scope after scope: they are numbered once.
        """
        by_table: dict[int, set[int]] = {}
        for variable in variables:
            by_table.setdefault(self._told_by[variable], set()).add(variable)
        columns, bounds = [], []
        for mine in by_table.values():
            codes, bound = self._numbered(frozenset(mine))
            columns.append(codes)
            bounds.append(bound)
        key, _, bound = tables.keys(columns, bounds, len(columns[0]))
        if bound <= 4 * len(key):
            return np.bincount(key)
        key.sort()
        return np.diff(np.flatnonzero(np.concatenate(([True], key[1:] != key[:-1], [True]))))

    def _numbered(self, variables: frozenset[int]) -> tuple[NDArray[np.int32], int]:
        if variables not in self._codes:
            sample = self._sample
            if sample is None:
                raise TypeError(sample)
            places = {v: k for k, v in enumerate(sample.table.variables)}
            columns = [sample.table.columns[places[v]] for v in sorted(variables)]
            sizes = [self._sizes[v] for v in sorted(variables)]
            key, _, bound = tables.keys(columns, sizes, sample.table.rows)
            if len(columns) > 1:
                present = np.bincount(key) if bound <= 4 * len(key) else None
                if present is None:
                    _, key = np.unique(key, return_inverse=True)
                else:
                    key = (np.cumsum(present > 0) - 1)[key]
                bound = int(key.max(initial=-1)) + 1
            self._codes[variables] = key.reshape(-1).astype(np.int32), bound
        return self._codes[variables]


def _counts(
    table: Table, variables: Collection[int], sizes: Sequence[int]
) -> np.typing.NDArray[np.int64]:
    """How often each distinct combination of some columns comes."""
    chosen = sorted(variables)
    columns = [table.columns[table.variables.index(v)] for v in chosen]
    key, _, _ = tables.keys(columns, [sizes[v] for v in chosen], table.rows)
    return np.unique(key, return_counts=True)[1]
