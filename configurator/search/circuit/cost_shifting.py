"""Raise the bounds of a loose circuit: move cost between tables that tell the same variable.

A variable that was taken apart may have one value in one table and another in the next, and what
a circuit says is cheap because of that. Cost can be moved: what a value is made dearer by in one
table, it is made cheaper by in another. On every package the two cancel, as it has one value; a
combination that fits together only in part gets dearer or cheaper, and the amounts are chosen so
that the cheapest of them gets dearer.

In each round it is worked out what every value costs at least according to each table; amounts
bring these closer to their mean [1]_, [2]_, and go on a little in the direction that they took
before [3]_. A round takes a pass in each direction; what is moved is best after some dozens.

For loose circuits only, and so for lists of some 2,000 parts on (`mini_buckets.py`).

References
----------
.. [1] T. Werner, *A linear programming approach to max-sum problem: a review*, IEEE Transactions
       on Pattern Analysis and Machine Intelligence 29 (2007), 1165-1179.
.. [2] A. Ihler, N. Flerova, R. Dechter and L. Otten, *Join-graph based cost-shifting schemes*,
       Uncertainty in Artificial Intelligence 28 (2012).
.. [3] B. T. Polyak, *Some methods of speeding up the convergence of iteration methods*, USSR
       Computational Mathematics and Mathematical Physics 4 (1964), 1-17.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from configurator.search.circuit.passes import answer, backward, forward
from configurator.search.limits import LIMITS

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.search.circuit.mini_buckets import Loose
    from configurator.search.circuit.nodes import Circuit
    from configurator.search.circuit.semirings import MinPlus

    Amounts = dict[tuple[int, int], NDArray[np.float64]]
    # Table number → one weight for each row of its leaf.
    Weights = Mapping[int, NDArray[np.int64]]

# After how many rounds it ends where they raised the bound by less than a share of it.
LOOKED_BACK = 10
WORTH_IT = 0.01
# How far towards the mean amounts go in the first round, by what this is multiplied after a round
# that raised the bound and after one that did not, and how much of the last direction stays.
STEP = 0.1
LONGER = 1.03
SHORTER = 0.7
ONWARD = 0.8


@dataclass(frozen=True, slots=True)
class Shift:
    """Amounts to move, in minor units: variable and number of a table → one for each value.

    Those of one value in all tables that mention the variable add up to nothing.
    """

    amounts: Mapping[tuple[int, int], NDArray[np.int64]]


NOTHING = Shift({})


@dataclass(frozen=True, slots=True)
class Moved:
    """Weights after cost was moved, none below zero.

    Parameters
    ----------
    weights
        Table number → one weight per row.
    by
        Table number → what was added to each of its rows, where that is not nothing.
    base
        To be added to whatever comes of a package's weights.
    """

    weights: dict[int, NDArray[np.int64]]
    by: dict[int, NDArray[np.int64]]
    base: int


def move(loose: Loose, weights: Weights, shift: Shift, semiring: MinPlus) -> Moved:
    """Move cost between tables.

    Parameters
    ----------
    loose
        What the circuit leaves open.
    weights
        Table number → one weight per row; tables that are not in it weigh nothing.
    shift
        What to move.
    semiring
        Whose numbers the weights are; its ``impossible`` must be far above all sums of them.
    """
    by: dict[int, NDArray[np.int64]] = {}
    for (variable, number), amounts in shift.amounts.items():
        table = loose.tables[number]
        own = amounts[table.columns[table.variables.index(variable)]]
        by[number] = by[number] + own if number in by else own
    moved_weights = dict(weights)
    base = 0
    for number, own in by.items():
        before = weights.get(number)
        after = own if before is None else before + own
        left = np.ones(len(own), np.bool_) if before is None else before < semiring.impossible
        # What is below zero could not be told from what is impossible, less something.
        least = int(after[left].min()) if left.any() else 0
        base += least
        by[number] = own - least
        moved_weights[number] = np.where(left, after - least, semiring.impossible)
    return Moved(moved_weights, by, base)


def look_for(
    loose: Loose,
    circuit: Circuit,
    weights: Weights,
    semiring: MinPlus,
    begin: Shift = NOTHING,
    rounds: int = LIMITS.shifting_rounds,
) -> Shift:
    """Look for amounts that raise the bound on the cheapest package.

    Parameters
    ----------
    loose, circuit
        What the circuit leaves open, and the circuit.
    weights, semiring
        As for `move`.
    begin
        Amounts that served similar weights.
    rounds
        How many at most.
    """
    state = _Rounds(loose, circuit, weights, semiring)
    none = {key: np.zeros(loose.sizes[key[0]]) for key in state.segments}
    amounts = {key: own + begin.amounts.get(key, 0) for key, own in none.items()}
    direction = none
    step = STEP
    best: _Looked | None = None
    bounds: list[int] = []
    for _ in range(rounds):
        looked = state.look(_whole(amounts))
        if best is None or looked.bound >= best.bound:
            best = looked
            step *= LONGER
        else:
            amounts = {key: own.astype(np.float64) for key, own in best.shift.amounts.items()}
            direction = none
            step *= SHORTER
        bounds.append(best.bound)
        earlier = bounds[-1 - LOOKED_BACK :][0]
        if len(bounds) > LOOKED_BACK and best.bound - earlier <= WORTH_IT * best.bound:
            break
        direction = {k: ONWARD * own + step * best.towards[k] for k, own in direction.items()}
        amounts = {key: own + direction[key] for key, own in amounts.items()}
    return NOTHING if best is None else best.shift


@dataclass(frozen=True, slots=True)
class _Looked:
    """What some amounts came to, and the way from there towards the means."""

    shift: Shift
    bound: int
    towards: Amounts


class _Rounds:
    """What is the same in each round."""

    def __init__(self, loose: Loose, circuit: Circuit, weights: Weights, semiring: MinPlus) -> None:
        self._loose, self._circuit = loose, circuit
        self._weights, self._semiring = weights, semiring
        # Variable and table that mentions it → its rows by value, and where those of each begin.
        self.segments: dict[tuple[int, int], tuple[NDArray[np.int64], NDArray[np.int64]]] = {}
        self._tables: dict[int, list[int]] = {variable: [] for variable in loose.apart}
        for number, table in enumerate(loose.tables):
            for variable, column in zip(table.variables, table.columns, strict=True):
                if variable in self._tables:
                    self._tables[variable].append(number)
                    order = np.argsort(column, kind="stable")
                    begins = np.arange(loose.sizes[variable] + 1)
                    self.segments[variable, number] = order, np.searchsorted(column[order], begins)

    def look(self, shift: Shift) -> _Looked:
        """Work out the bound, and what each value costs according to each table."""
        semiring = self._semiring
        moved = move(self._loose, self._weights, shift, semiring)
        values = forward(self._circuit, moved.weights, semiring)
        bound = int(answer(values, semiring)) + moved.base
        above = backward(self._circuit, values, semiring, {number for _, number in self.segments})
        least = {
            number: np.minimum(rest + moved.weights.get(number, 0), semiring.impossible)
            for number, rest in above.items()
        }
        towards: Amounts = {}
        for variable, numbers in self._tables.items():
            margins = [self._margin(variable, number, least[number]) for number in numbers]
            towards.update(zip(((variable, n) for n in numbers), self._means(margins), strict=True))
        return _Looked(shift, bound, towards)

    def _margin(self, variable: int, number: int, least: NDArray[np.int64]) -> NDArray[np.int64]:
        order, begins = self.segments[variable, number]
        values = np.full(len(begins) - 1, self._semiring.impossible, np.int64)
        there = begins[:-1] < begins[1:]
        if there.any():
            values[there] = np.minimum.reduceat(least[order], begins[:-1][there])
        return values

    def _means(self, margins: Sequence[NDArray[np.int64]]) -> list[NDArray[np.float64]]:
        """Give for each table how far each value's cost is below the mean."""
        # Tables that were joined before the variable was taken apart say the same: they count as
        # one, and the first of them takes the amount.
        first = [
            next(k for k, other in enumerate(margins) if np.array_equal(own, other))
            for own in margins
        ]
        apart = sorted(set(first))
        different = np.array([margins[k] for k in apart])
        open_ = (different < self._semiring.impossible).all(axis=0)
        mean = different.mean(axis=0)
        nothing = np.zeros(len(mean))
        return [
            np.where(open_, mean - own, 0.0) if k == first[k] else nothing
            for k, own in enumerate(margins)
        ]


def _whole(amounts: Amounts) -> Shift:
    """Round amounts so that those of one value add up to nothing."""
    whole = {key: np.rint(own).astype(np.int64) for key, own in amounts.items()}
    last = dict(whole.keys())  # variable → number of the last table that mentions it
    for variable, number in last.items():
        others = [own for (v, n), own in whole.items() if v == variable and n != number]
        whole[variable, number] = -sum(others, np.zeros_like(whole[variable, number]))
    return Shift(whole)
