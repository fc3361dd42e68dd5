"""Tables that leave each other no row: found by carrying on what is ruled out, and traced back.

A value that no row of a table has any more is ruled out in all tables; rows that need it go, and
with them more values. When a table runs empty, each of its rows is traced back to what ruled it
out first. The tables met on the way cannot be met together; there may be fewer that cannot.

References
----------
.. [1] O. Ohrimenko, P. J. Stuckey and M. Codish, *Propagation via lazy clause generation*,
   Constraints 14 (2009): reasons that propagators give, and conflicts traced through them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from numpy.typing import NDArray

    from configurator.search.encoding.tables import Table

# Stands for a value that was never ruled out.
NEVER = np.iinfo(np.int32).max


def conflicting_tables(
    given: Sequence[Table], sizes: Sequence[int], begin: Iterable[int]
) -> set[int] | None:
    """Find tables that cannot be met together, near those that are looked at first.

    Parameters
    ----------
    given, sizes
        Tables, and the number of values of each variable.
    begin
        Numbers of the tables to look at first: those that lost rows of late.

    Returns
    -------
    set of int or None
        Numbers of tables that have no value for each variable in common. None where carrying on
        single values does not show that there are such.

    Examples
    --------
    >>> from configurator.search.encoding.tables import Table
    >>> def holds(name, *columns):
    ...     codes = [np.array(c, np.int32) for c in columns[1::2]]
    ...     return Table(name, columns[::2], tuple(codes), len(codes[0]))
    >>> small = holds("small", 0, [0, 1])
    >>> tables = [small, holds("double", 0, [1, 2], 1, [2, 4]), holds("big", 1, [3, 4])]
    >>> sorted(conflicting_tables(tables, [5, 5], [0]))
    [0, 1, 2]
    """
    return _Trace(given, sizes).run(begin)


class _Trace:
    def __init__(self, given: Sequence[Table], sizes: Sequence[int]) -> None:
        self.given, self.sizes = given, sizes
        self.using: dict[int, list[int]] = {}
        for number, table in enumerate(given):
            for variable in table.variables:
                self.using.setdefault(variable, []).append(number)
        # For each variable that lost values, by which step each was ruled out; and whose step.
        self.gone: dict[int, NDArray[np.int32]] = {}
        self.steps: list[int] = []

    def run(self, begin: Iterable[int]) -> set[int] | None:
        """Carry on what is ruled out until a table runs empty, and trace that back."""
        first = list(begin)
        # All others come later: what is near is looked at first, for that is spoken of.
        rest = [number for number in range(len(self.given)) if number not in first]
        for waiting in (dict.fromkeys(first), dict.fromkeys(rest)):
            while waiting:
                number = next(iter(waiting))
                del waiting[number]
                left = self._left(number)
                if not left.any():
                    return self._traced(number)
                self._carry_on(number, left, waiting)
        return None

    def _left(self, number: int) -> NDArray[np.bool_]:
        table = self.given[number]
        left = np.ones(table.rows, np.bool_)
        for variable, column in zip(table.variables, table.columns, strict=True):
            if variable in self.gone:
                left &= self.gone[variable][column] == NEVER
        return left

    def _carry_on(self, number: int, left: NDArray[np.bool_], waiting: dict[int, None]) -> None:
        """Rule out the values that no row of a table has any more."""
        table, step = self.given[number], len(self.steps)
        for variable, column in zip(table.variables, table.columns, strict=True):
            gone = self.gone.get(variable)
            if gone is None:
                gone = np.full(self.sizes[variable], NEVER, np.int32)
            fresh = gone == NEVER
            fresh[column[left]] = False
            if fresh.any():
                gone[fresh] = step
                self.gone[variable] = gone
                waiting.update(dict.fromkeys(n for n in self.using[variable] if n != number))
        self.steps.append(number)

    def _traced(self, empty: int) -> set[int]:
        """Name the tables by which one ran empty."""
        traced = {empty}
        # Step → for each variable the values whose being ruled out then is to be explained.
        asked: dict[int, dict[int, NDArray[np.bool_]]] = {}
        self._ask(empty, np.ones(self.given[empty].rows, np.bool_), len(self.steps), asked)
        while asked:
            step = max(asked)
            number = self.steps[step]
            traced.add(number)
            table = self.given[number]
            values = asked.pop(step)
            rows = np.zeros(table.rows, np.bool_)
            for variable, column in zip(table.variables, table.columns, strict=True):
                if variable in values:
                    rows |= values[variable][column]
            self._ask(number, rows, step, asked)
        return traced

    def _ask(
        self,
        number: int,
        rows: NDArray[np.bool_],
        before: int,
        asked: dict[int, dict[int, NDArray[np.bool_]]],
    ) -> None:
        """Ask for each of some rows what ruled it out first, before a step."""
        table = self.given[number]
        some = [
            (variable, column[rows])
            for variable, column in zip(table.variables, table.columns, strict=True)
            if variable in self.gone
        ]
        if not some or not rows.any():
            return
        times = np.array([self.gone[variable][column] for variable, column in some])
        times[times >= before] = NEVER
        chosen = np.argmin(times, axis=0)
        for place, (variable, column) in enumerate(some):
            here = chosen == place
            for step in np.unique(times[place][here]).tolist():
                values = asked.setdefault(step, {}).setdefault(
                    variable, np.zeros(self.sizes[variable], np.bool_)
                )
                values[column[here & (times[place] == step)]] = True
