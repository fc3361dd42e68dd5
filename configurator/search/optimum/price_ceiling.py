"""Exact prices up to a ceiling, where tables are too wide to be joined at once.

Of a long list most parts fit the vehicle with some package or other, and hardly any is in one near
the cheapest. So what a job's goals and picks leave is cut out of the tables, which are reduced
anew; of these a circuit of bounds is made, and cost moved in it until they are close. Rows that are
in no package up to a ceiling go, and what is left is joined as a short list is. Every package up to
the ceiling is in that circuit: what it prices so far is exact, and nothing else costs less than the
ceiling. Where no package is found, or more are asked for, the ceiling is raised.

For loose circuits only (`mini_buckets.py`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from configurator.core.progress import check
from configurator.search.circuit.cost_shifting import NOTHING, look_for, move
from configurator.search.circuit.elimination import make_circuit, make_loose
from configurator.search.circuit.join import TooWide
from configurator.search.circuit.mini_buckets import Loose
from configurator.search.circuit.nodes import Circuit
from configurator.search.circuit.passes import answer, backward, forward
from configurator.search.encoding.reducing import reduce_tables
from configurator.search.encoding.tables import select
from configurator.search.optimum import queries
from configurator.search.optimum.preparing import seated

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.model.jobs import Job
    from configurator.search.encoding.reducing import Reduced
    from configurator.search.encoding.tables import Table
    from configurator.search.optimum.preparing import Prepared, Question

    # For each row of a leaf the rows given that it stands for.
    Origins = Sequence[NDArray[np.int32]]

# How far above the bound on the cheapest package ceilings are; rows of a circuit beyond which none
# higher is tried, and beyond which none higher is made only for more of the options' prices.
MARGINS = (0.04, 0.08, 0.15, 0.3, 0.6, 1.2)
ROWS = 200_000
ROWS_FOR_PRICES = 20_000
# Pairs that a join may look at there, for each row that the circuit may have.
PAIRS = 2
# Jobs whose bounds are kept.
KEPT = 3


@dataclass(frozen=True, slots=True)
class Within:
    """All packages of a job up to a price.

    Parameters
    ----------
    prepared
        The case with a circuit that is exact for them.
    ceiling
        The price [minor units]; None where all packages of the job are in it.
    """

    prepared: Prepared
    ceiling: int | None

    @property
    def limit(self) -> float:
        """The price [minor units], infinite where all packages are in it."""
        return math.inf if self.ceiling is None else self.ceiling

    def has(self, price: int) -> bool:
        """Whether every package of a price is in it."""
        return self.ceiling is None or price <= self.ceiling


def narrowed(question: Question) -> NarrowedTables | None:
    """Give a job's bounds, or those of a job that asks for less.

    None if nothing is possible, or circuits below ceilings may have no rows.
    """
    prepared = question.prepared
    if prepared.limits.ceiling_rows < 0:
        return None
    kept: tuple[NarrowedTables, ...] = prepared.lately.narrowed
    for known in reversed(kept):
        if serves(known.job, question.job):
            return known
    made = NarrowedTables.of(question)
    if made is not None:
        _keep(prepared, made)
    return made


def _keep(prepared: Prepared, made: NarrowedTables) -> None:
    prepared.lately.narrowed = (*prepared.lately.narrowed[1 - KEPT :], made)


def ceilings(question: Question) -> Iterator[Within]:
    """Give circuits up to higher and higher ceilings; it ends where the next one is too wide."""
    tables = narrowed(question)
    while tables is not None:
        rank = 0
        while (within := tables.within(rank)) is not None:
            yield replace(within, prepared=replace(within.prepared, model=question.model))
            rank += 1
        # What was made for another job has more in it than this one needs.
        own = None if tables.asked_by(question.job) else NarrowedTables.of(question)
        if own is not None:
            _keep(question.prepared, own)
        tables = own


def serves(own: Job, job: Job) -> bool:
    """Whether every package of a job is one of another's, which has no budget."""
    alike = replace(
        job, budget=None, fixed=own.fixed, keep=own.keep, excluded=own.excluded, title=own.title
    )
    return (
        alike == own
        and own.fixed.items() <= job.fixed.items()
        and set(own.keep) <= set(job.keep)
        and set(own.excluded) <= set(job.excluded)
    )


class NarrowedTables:
    """What a job's goals and picks leave of tables that are too wide, and bounds on each row.

    Parameters
    ----------
    job
        The job.
    prepared
        The case; its circuit gives bounds.
    origins
        For each table and row of its leaf the rows of the case's leaf.
    circuit, loose, weights
        Of bounds, of these tables, and of the job.

    Attributes
    ----------
    least
        No package of the job costs less [minor units].
    """

    def __init__(
        self,
        job: Job,
        prepared: Prepared,
        origins: Sequence[Origins],
        circuit: Circuit,
        loose: Loose,
        weights: Mapping[int, NDArray[np.int64]],
    ) -> None:
        self.job = job
        self._prepared, self._origins = prepared, origins
        self._loose = loose
        self._weights = weights
        self._rest, self.least = self._bounds(circuit)
        self._made: list[Within | None] = []
        self._full = False

    @classmethod
    def of(cls, question: Question) -> NarrowedTables | None:
        """Cut a job out of wide tables; None if nothing is left."""
        prepared = question.prepared
        wide = prepared.loose
        weighed = queries.weigh(question)
        if not weighed.possible or wide is None or question.model.soft_table >= 0:
            return None
        every = [np.arange(table.rows, dtype=np.int32) for table in wide.tables]
        rows = [
            own[weighed.weights[number] < prepared.semiring.impossible]
            if number in weighed.weights
            else own
            for number, own in enumerate(every)
        ]
        narrow = _Reduced.of(prepared, wide.tables, rows)
        if narrow is None:
            return None
        check()
        try:
            circuit, apart = make_loose(*narrow.given, prepared.limits)
        except TooWide:
            return None
        if not circuit.nodes:
            return None
        origins = narrow.origins(circuit)
        tables = tuple(
            select(table, leaf)
            for table, leaf in zip(narrow.reduced.tables, circuit.leaf_rows, strict=True)
        )
        loose = Loose(tables, tuple(narrow.reduced.sizes), wide.told_by, apart, ())
        weights = {
            number: np.array([own[group].min() for group in origins[number]], np.int64)
            for number, own in weighed.weights.items()
        }
        asked = replace(question.job, budget=None)
        made = cls(asked, prepared, origins, circuit, loose, weights)
        return made if made.least < prepared.semiring.impossible else None

    def asked_by(self, job: Job) -> bool:
        """Whether it was made for a job, whatever its budget."""
        return replace(job, budget=None, title=self.job.title) == self.job

    def within(self, rank: int) -> Within | None:
        """Give the circuit up to a ceiling, the lowest first; None where it is too wide."""
        while len(self._made) <= rank:
            last = self._made[-1] if self._made else None
            if self._full or len(self._made) == len(MARGINS):
                return None
            if last is not None and (last.ceiling is None or last.prepared.circuit.rows > ROWS):
                return None
            made = self._up_to(int(self.least * (1 + MARGINS[len(self._made)])))
            if made is None:
                self._full = True
                return None
            self._made.append(made)
        return self._made[rank]

    def latest(self, dearer: float | None = None) -> Within | None:
        """Give the circuit up to the highest ceiling that takes little to be made, or is there.

        Parameters
        ----------
        dearer
            How many times the cheapest package the ceiling need be.
        """
        within = self.within(0)
        while within is not None and within.prepared.circuit.rows <= ROWS_FOR_PRICES:
            if dearer and (within.ceiling is None or within.ceiling >= dearer * self.least):
                break
            if self.within(len(self._made)) is None:
                break
            within = self._made[-1]
        return self._made[-1] if self._made else None

    def option_bounds(self, position: str) -> NDArray[np.int64]:
        """Give for each option of a position what no package with it costs less than, or -1."""
        prepared, seat = self._prepared, self._prepared.seats[position]
        number = prepared.model.position_tables[position]
        place = np.full(len(seat.starts) + 1, -1, np.intp)
        for leaf, group in enumerate(self._origins[number]):
            place[group] = leaf
        leaf_of = place[seat.row_of]
        rest = self._rest[number]
        bounds = rest[leaf_of] + seat.costs + prepared.model.fixed_cost
        bounds[(leaf_of < 0) | (rest[leaf_of] >= prepared.semiring.impossible)] = -1
        return bounds

    def _bounds(self, circuit: Circuit) -> tuple[list[NDArray[np.int64]], int]:
        """Bound what every row costs, itself left aside, and the cheapest package."""
        semiring = self._prepared.semiring
        every = set(range(len(self._loose.tables)))
        rounds = self._prepared.limits.shifting_rounds
        shift = NOTHING
        if self._loose.apart:
            shift = look_for(self._loose, circuit, self._weights, semiring, rounds=rounds)
        moved = move(self._loose, self._weights, shift, semiring)
        rest = [np.zeros(table.rows, np.int64) for table in self._loose.tables]
        least = 0
        # Each of the two is better for some rows.
        for weights, by, base in ((self._weights, {}, 0), (moved.weights, moved.by, moved.base)):
            values = forward(circuit, weights, semiring)
            least = max(least, int(answer(values, semiring)) + base)
            for number, above in backward(circuit, values, semiring, every).items():
                raised = above + by.get(number, 0) + base
                raised[above >= semiring.impossible] = semiring.impossible
                rest[number] = np.maximum(rest[number], raised)
        return rest, least + self._prepared.model.fixed_cost

    def _up_to(self, ceiling: int) -> Within | None:
        """Join the rows that are in some package up to a ceiling, by their bounds."""
        prepared = self._prepared
        most = ceiling - prepared.model.fixed_cost
        totals = [rest + self._weights.get(number, 0) for number, rest in enumerate(self._rest)]
        rows = [np.flatnonzero(total <= most).astype(np.int32) for total in totals]
        everything = all(
            len(own) == np.count_nonzero(total < prepared.semiring.impossible)
            for own, total in zip(rows, totals, strict=True)
        )
        narrow = _Reduced.of(prepared, self._loose.tables, rows, self._loose.sizes, self._origins)
        circuit = Circuit([], [[] for _ in rows])
        if narrow is not None:
            check()
            most_rows = prepared.limits.ceiling_rows
            limits = replace(
                prepared.limits,
                circuit_rows=most_rows,
                join_pairs=PAIRS * most_rows,
                perturbed_from_rows=most_rows,  # asked a few times only
            )
            try:
                circuit = make_circuit(*narrow.given, limits=limits)
            except TooWide:
                return None
            if circuit.nodes:
                of_case = narrow.origins(circuit)
                leaves = prepared.circuit.leaf_rows
                circuit.leaf_rows = [
                    [
                        np.concatenate(
                            [
                                leaves[number][row]
                                for leaf in group.tolist()
                                for row in self._origins[number][leaf].tolist()
                            ]
                        )
                        for group in of_case[number]
                    ]
                    for number in range(len(leaves))
                ]
        made = seated(prepared.model, circuit, None, prepared.limits)
        return Within(made, None if everything else ceiling)


@dataclass(frozen=True, slots=True)
class _Reduced:
    """Tables of some rows, reduced.

    Parameters
    ----------
    reduced
        The reduced tables.
    told_by, positions
        As `make_circuit` takes them.
    rows
        Table → the rows that were taken.
    """

    reduced: Reduced
    told_by: Sequence[int]
    positions: set[int]
    rows: Sequence[NDArray[np.int32]]

    @classmethod
    def of(
        cls,
        prepared: Prepared,
        tables: Sequence[Table],
        rows: Sequence[NDArray[np.int32]],
        sizes: Sequence[int] | None = None,
        origins: Sequence[Origins] | None = None,
    ) -> _Reduced | None:
        """Take some rows; None if a table runs empty."""
        wide, model = prepared.loose, prepared.model
        if wide is None:
            message = "a circuit that is exact is not narrowed"
            raise ValueError(message)
        if not all(len(own) for own in rows):
            return None
        leaves = prepared.circuit.leaf_rows
        labels = {}
        for number, work in model.work_costs.items():
            taken = rows[number].tolist()
            first = taken if origins is None else [origins[number][row][0] for row in taken]
            labels[number] = np.array([work[leaves[number][row][0]] for row in first], np.int64)
        chosen = [select(table, own) for table, own in zip(tables, rows, strict=True)]
        positions = set(model.position_tables.values())
        given = list(wide.sizes if sizes is None else sizes)
        reduced = reduce_tables(chosen, given, wide.told_by, positions, labels)
        if reduced is None:
            return None
        return cls(reduced, wide.told_by, positions, rows)

    @property
    def given(self) -> tuple[Sequence[Table], Sequence[int], Sequence[int], set[int]]:
        """What `make_circuit` takes."""
        return self.reduced.tables, self.reduced.sizes, self.told_by, self.positions

    def origins(self, circuit: Circuit) -> list[list[NDArray[np.int32]]]:
        """For each table and row of a circuit's leaf the rows that it stands for."""
        return [
            [own[group] for group in self.reduced.origins(number, used)]
            for number, (own, used) in enumerate(zip(self.rows, circuit.leaf_rows, strict=True))
        ]
