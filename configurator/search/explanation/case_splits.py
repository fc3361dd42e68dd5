"""Whether tables can be met together within a cost, by cases; and if not, which of them cannot.

What is ruled out is carried on through the tables (`encoding.table_propagation`), and so is the
cost: a row goes that would cost too much with the cheapest of all others. Where that leaves several
rows of a table that is split, its cheapest row is tried, and then the others without it. A case
that fails is traced back, to decisions too; if it hangs on none, there is no need to look at the
others. So what is named at the end is what all cases together hang on.

References
----------
.. [1] P. Prosser, *Hybrid algorithms for the constraint satisfaction problem*, Computational
   Intelligence 9 (1993): jumping back to what a failure hangs on.
.. [2] F. Boussemart, F. Hemery, C. Lecoutre and L. Sais, *Boosting systematic search by weighting
   constraints*, ECAI 2004: splitting next to the tables that failed most.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from configurator.core.progress import check
from configurator.search.encoding.table_propagation import Conflict, TablePropagation

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.search.encoding.tables import Table


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of tables that were to be met together.

    Parameters
    ----------
    conflict
        Numbers of tables that cannot be met together, with what rows cost; None if none are known.
    rows
        Number of each table that was split → its row, of rows that meet all tables; None if none
        are known. Neither is known where that took more cases than were to be looked at.
    """

    conflict: frozenset[int] | None
    rows: Mapping[int, int] | None


class _TooManyCasesError(Exception):
    """More cases than were to be looked at."""


def met_by_cases(
    given: Sequence[Table],
    sizes: Sequence[int],
    split: Sequence[int],
    *,
    begin: Iterable[int] = (),
    costs: Mapping[int, NDArray[np.int64]] | None = None,
    most: int = 0,
    cases: int,
) -> Outcome:
    """Look for rows of all tables that fit together and do not cost too much.

    Parameters
    ----------
    given, sizes
        Tables, and the number of values of each variable.
    split
        Numbers of tables: one row of each decides what there is of the others.
    begin
        Numbers of the tables to look at first.
    costs, most
        Number of a table → what each row costs, and what all may cost together. Without costs there
        is no limit.
    cases
        How many are looked at.

    Examples
    --------
    >>> from configurator.search.encoding.tables import Table
    >>> def unequal(left, right):
    ...     values = np.array([0, 1], np.int32)
    ...     return Table("unequal", (left, right), (values, values[::-1]), 2)
    >>> ring = [unequal(0, 1), unequal(1, 2), unequal(2, 0)]
    >>> sorted(met_by_cases(ring, [2, 2, 2], [0], cases=5).conflict)
    [0, 1, 2]
    >>> dict(met_by_cases(ring[:2], [2, 2, 2], [0, 1], cases=5).rows)
    {0: 0, 1: 1}
    """
    search = _CaseSearch(TablePropagation(given, sizes, split, costs, most), split, cases)
    try:
        conflict = search.run(begin)
    except _TooManyCasesError:
        return Outcome(None, None)
    if conflict is not None:
        return Outcome(frozenset(conflict.tables), None)
    return Outcome(None, {number: search.state.first_left(number) for number in split})


class _CaseSearch:
    def __init__(self, state: TablePropagation, split: Sequence[int], cases: int) -> None:
        self.state, self.split, self.cases = state, split, cases
        near = state.neighbours
        self.near = {number: np.array(sorted(near(number)), np.intp) for number in split}

    def run(self, begin: Iterable[int]) -> Conflict | None:
        first = list(dict.fromkeys(begin))
        conflict = self.state.carry_on(first)
        if conflict is None:
            conflict = self.state.carry_on(
                [number for number in range(len(self.state.given)) if number not in first]
            )
        return self._case() if conflict is None else conflict

    def _case(self) -> Conflict | None:
        """Say on which tables and decisions it hangs that nothing is left; None if rows are."""
        state = self.state
        while (number := self._next()) is not None:
            check()
            self.cases -= 1
            if self.cases < 0:
                raise _TooManyCasesError
            before = state.mark()
            row = state.cheapest_left(number)
            decision = state.decide(number, row)
            conflict = state.carry_on([number]) or self._case()
            if conflict is None:
                return None
            state.back_to(before)
            if decision not in conflict.decisions:
                return conflict
            conflict = state.refuse(number, row, conflict.without(decision))
            conflict = conflict or state.carry_on([number])
            if conflict is not None:
                return conflict
        return None

    def _next(self) -> int | None:
        """Choose the table with fewest rows left for what failed beside it so far."""
        best, least = None, np.inf
        for number in self.split:
            left = self.state.rows_left(number)
            if left > 1:
                share = left / self.state.failed[self.near[number]].sum()
                if share < least:
                    best, least = number, share
        return best
