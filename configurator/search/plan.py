"""Choose the order in which tables are joined; join them once; keep the circuit.

Variables are eliminated one after the other: all tables that mention the variable are joined, the
cheapest pair first, and what no other table mentions is projected away. Which variable comes next
is decided on real tables; only the one step ahead is estimated.

Some trades hang together so tightly that every order is bad which does not start in the right
place: tyre, wheel, hubs and axles have a say in nearly every rule. So where a plain order would be
long, the positions that share rules with most others are joined first, as long as few enough
combinations of them fit together at all. This *core* also tells how many combinations of its
columns there really are, which no estimate from single tables does; with it, everything else is
eliminated around the core before the core itself.
"""

from __future__ import annotations

import random
from typing import TYPE_CHECKING

import networkx as nx
import numpy as np

from configurator.search import tables
from configurator.search.circuit import Circuit
from configurator.search.joining import LONGEST, TooWide, begin, join, needed_elsewhere, prune

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from configurator.search.joining import Draft
    from configurator.search.tables import Table

# A plain order that stays below this many rows is good enough to keep.
SHORT = 400_000
# The core may have so many rows; of so many of them the combinations are counted.
CORE_ROWS = 150_000
SAMPLE = 20_000
# Positions in the core at most, and how many that do not fit are tried.
CORE_POSITIONS = 8
REFUSALS = 2
# How much a row of a join that is projected away at once counts beside one that stays.
PASSING = 0.3


def make_circuit(
    given: Sequence[Table],
    sizes: Sequence[int],
    told_by: Sequence[int],
    positions: Collection[int],
) -> Circuit:
    """Join all tables into a circuit.

    Parameters
    ----------
    given
        Tables; every variable of one is below ``len(sizes)``.
    sizes
        Number of values of each variable.
    told_by
        For each variable the number of the table that tells its value.
    positions
        Numbers of the tables of positions.

    Returns
    -------
    Circuit
        Without nodes if no combination satisfies all tables; rows in no package are cut out.

    Raises
    ------
    TooWide
        If no order that was tried keeps the joins small enough.
    """
    best: Circuit | None = None
    try:
        found = _contract(given, sizes, told_by, positions, (), SHORT)
        return prune(found) if found else _nothing(given)
    except TooWide:
        pass
    refused: TooWide | None = None
    for core in _cores(given, sizes, told_by, positions):
        try:
            found = _contract(given, sizes, told_by, positions, core, LONGEST)
        except TooWide as problem:
            refused = problem
            continue
        if found is None:
            return _nothing(given)
        best = prune(found)
        break
    if best is None:
        raise refused or TooWide((), 0)
    return best


def _nothing(given: Sequence[Table]) -> Circuit:
    return Circuit([], [np.zeros(0, np.int32) for _ in given])


def _contract(
    given: Sequence[Table],
    sizes: Sequence[int],
    told_by: Sequence[int],
    positions: Collection[int],
    core: Collection[int],
    budget: int,
) -> Circuit | None:
    """Join everything, the tables of the core first; None if nothing fits together."""
    draft = begin(given, sizes, budget)
    middle: int | None = None
    if core:
        middle = _join_all(draft, [number for number in core if number in draft.live])
        if middle is None:
            return None
    guess = _Guess(given, sizes, told_by, positions, draft, middle)
    if not _eliminate(draft, guess):
        return None
    # What is left are single rows that have nothing to do with each other.
    if _join_all(draft, list(draft.live)) is None:
        return None
    return Circuit(draft.nodes, [np.arange(t.rows, dtype=np.int32) for t in given])


def _join_all(draft: Draft, numbers: Sequence[int]) -> int | None:
    """Join some live tables into one, the cheapest pair first; None if nothing fits together."""
    waiting = sorted(numbers)
    counts: dict[tuple[int, int], int] = {}
    while len(waiting) > 1:
        for k, one in enumerate(waiting):
            for two in waiting[k + 1 :]:
                if (one, two) not in counts:
                    counts[one, two] = tables.matches(
                        draft.live[one].table, draft.live[two].table, draft.sizes
                    )
        one, two = min(counts, key=lambda pair: (counts[pair], pair))
        merged = join(draft, one, two)
        if merged is None:
            return None
        counts = {pair: count for pair, count in counts.items() if not {one, two} & set(pair)}
        waiting = [number for number in waiting if number not in (one, two)] + [merged]
    return waiting[0]


def _eliminate(draft: Draft, guess: _Guess) -> bool:
    """Eliminate variable by variable, the cheapest next; False if nothing fits together."""
    costs: dict[frozenset[int], float] = {}
    while draft.users:
        for users in {frozenset(users) for users in draft.users.values()}:
            if users not in costs:
                costs[users] = guess.cost(users)
        chosen = min(costs, key=lambda users: (costs[users], sorted(users)))
        touched = {v for number in chosen for v in draft.live[number].table.variables}
        if _join_all(draft, sorted(chosen)) is None:
            return False
        costs = {
            users: cost
            for users, cost in costs.items()
            if not users & chosen
            and users <= draft.live.keys()
            and not any(touched & set(draft.live[n].table.variables) for n in users)
        }
    return True


class _Guess:
    """Estimates of how many rows a join will have and keep."""

    def __init__(
        self,
        given: Sequence[Table],
        sizes: Sequence[int],
        told_by: Sequence[int],
        positions: Collection[int],
        draft: Draft,
        middle: int | None,
    ) -> None:
        self.given = given
        self.sizes = sizes
        self.told_by = told_by
        self.positions = set(positions)
        self.draft = draft
        self.known: dict[tuple[int, frozenset[int]], float] = {}
        self.sample: Table | None = None
        self.rows = 0
        if middle is not None:
            core = draft.live[middle].table
            self.rows = core.rows
            # The same sample on every run: answers and circuits must not change by chance.
            chosen = random.Random(0).sample(range(core.rows), min(SAMPLE, core.rows))
            self.sample = tables.select(core, np.array(sorted(chosen), np.int32))

    def cost(self, numbers: Collection[int]) -> float:
        """Estimate what a join adds, less the largest table that it takes away."""
        live = [self.draft.live[number].table for number in numbers]
        everything = {variable for table in live for variable in table.variables}
        joined = self.combinations(everything)
        if len(live) == 2:
            joined = min(joined, float(tables.matches(live[0], live[1], self.sizes)))
        kept = min(joined, self.combinations(needed_elsewhere(self.draft, numbers)))
        return kept + PASSING * joined - max(table.rows for table in live)

    def combinations(self, variables: Collection[int]) -> float:
        """At most about so many combinations of some variables there are."""
        wanted = frozenset(variables)
        inside = wanted & set(self.sample.variables) if self.sample is not None else frozenset()
        found = self._of_core(inside) if inside else 1.0
        by_table: dict[int, list[int]] = {}
        for variable in wanted - inside:
            by_table.setdefault(self.told_by[variable], []).append(variable)
        for number, mine in by_table.items():
            told = set(self.given[number].variables)
            if number in self.positions:
                found *= self._of_position(number, frozenset(mine))
            elif not told - set(mine) <= wanted:
                # A figure all of whose inputs are there adds nothing: they settle it.
                found *= float(np.prod([self.sizes[v] for v in mine]))
        return found

    def _of_position(self, number: int, variables: frozenset[int]) -> float:
        if (number, variables) not in self.known:
            self.known[number, variables] = float(
                _distinct(self.given[number], variables, self.sizes)
            )
        return self.known[number, variables]

    def _of_core(self, variables: frozenset[int]) -> float:
        if self.sample is None:
            return 1.0
        if (-1, variables) not in self.known:
            count = _distinct(self.sample, variables, self.sizes)
            share = count / self.sample.rows
            # Where the sample hardly repeats itself there are more than it shows.
            self.known[-1, variables] = count * (self.rows / self.sample.rows) ** share
        return self.known[-1, variables]


def _distinct(table: Table, variables: Collection[int], sizes: Sequence[int]) -> int:
    chosen = sorted(variables)
    columns = [table.columns[table.variables.index(v)] for v in chosen]
    key, _, _ = tables.keys(columns, [sizes[v] for v in chosen], table.rows)
    return len(np.unique(key))


def _cores(
    given: Sequence[Table],
    sizes: Sequence[int],
    told_by: Sequence[int],
    positions: Collection[int],
) -> list[list[int]]:
    """List sets of tables to join first, the most promising first; none at all comes last."""
    reach: dict[int, frozenset[int]] = {}

    def positions_behind(variable: int) -> frozenset[int]:
        if variable not in reach:
            number = told_by[variable]
            if number in positions:
                reach[variable] = frozenset([number])
            else:
                reach[variable] = frozenset()  # a figure's own column says nothing about itself
                behind = [positions_behind(v) for v in given[number].variables if v != variable]
                reach[variable] = frozenset().union(*behind)
        return reach[variable]

    scopes = [frozenset().union(*(positions_behind(v) for v in t.variables)) for t in given]
    graph = nx.Graph()
    graph.add_nodes_from(positions)
    for scope in scopes:
        graph.add_edges_from((a, b) for a in scope for b in scope if a < b)
    ranked = sorted(positions, key=lambda p: (-graph.degree(p), -given[p].rows, p))
    core: list[int] = []
    found: list[list[int]] = []
    refused = 0
    for position in ranked:
        if len(core) == CORE_POSITIONS or graph.degree(position) < 2 or refused == REFUSALS:
            break
        if core and not set(graph[position]) & set(core):
            continue
        inside = {*core, position}
        chosen = [n for n, scope in enumerate(scopes) if scope and scope <= inside]
        if _core_fits(given, sizes, chosen):
            core.append(position)
            found.insert(0, chosen)
        else:
            refused += 1
    return [*found[:3], []]


def _core_fits(given: Sequence[Table], sizes: Sequence[int], chosen: Sequence[int]) -> bool:
    """Whether a core stays small enough, found by joining it."""
    draft = begin(given, sizes, 8 * CORE_ROWS)
    try:
        merged = _join_all(draft, [n for n in chosen if n in draft.live])
    except TooWide:
        return False
    return merged is None or draft.live[merged].table.rows <= CORE_ROWS
