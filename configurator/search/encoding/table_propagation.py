"""Tables that leave each other no row: found by carrying on what is ruled out, and traced back.

A value that no row of a table has any more is ruled out in all tables; rows that need it go, and
with them more values. When a table runs empty, each of its rows is traced back to what ruled it
out first. The tables met on the way cannot be met together; there may be fewer that cannot. Where
rows cost, those are ruled out, too, that would cost too much with the cheapest of all others.

References
----------
.. [1] O. Ohrimenko, P. J. Stuckey and M. Codish, *TablePropagation via lazy clause generation*,
   Constraints 14 (2009): reasons that propagators give, and conflicts traced through them.
.. [2] J. Larrosa and T. Schiex, *Solving weighted CSP by maintaining arc consistency*, Artificial
   Intelligence 159 (2004): values that cost more than is left.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.search.encoding.tables import Table

    Flags = NDArray[np.bool_]
    # Step → for each variable the values whose being ruled out then is to be explained.
    Asked = dict[int, dict[int, Flags]]

# Stands for a value that was never ruled out.
NEVER = np.iinfo(np.int32).max


@dataclass(frozen=True, slots=True)
class Conflict:
    """Tables and decisions, by their numbers, that leave nothing."""

    tables: set[int] = field(default_factory=set)
    decisions: set[int] = field(default_factory=set)

    def without(self, decision: int) -> Conflict:
        """Leave one decision out."""
        return Conflict(self.tables, self.decisions - {decision})


@dataclass(frozen=True, slots=True)
class _Step:
    """What ruled out values: a table, a conflict that rows would lead to, or what rows cost.

    For the cost it is remembered what the cheapest row of each table that costs came to then.
    """

    table: int = -1
    conflict: Conflict | None = None
    cheapest: Mapping[int, int] | None = None


@dataclass(frozen=True, slots=True)
class Mark:
    """How far things had come."""

    gone: dict[int, NDArray[np.int32]]
    alive: dict[int, Flags]
    single: set[int]
    rows: dict[int, _Rows]
    cheapest: dict[int, int]
    steps: int


@dataclass(frozen=True, slots=True)
class _Rows:
    """The rows of a table that were left when it was last looked at, and what was left then.

    ``alive`` has for each column the values that were left, None where all were.
    """

    numbers: NDArray[np.intp]
    alive: Sequence[Flags | None]


class TablePropagation:
    """What is ruled out in tables, and by what.

    Parameters
    ----------
    given, sizes
        Tables, and the number of values of each variable.
    split
        Numbers of tables whose single rows are told apart, beside those that cost.
    costs, most
        Number of a table → what each row costs, and what all may cost together.

    Examples
    --------
    >>> from configurator.search.encoding.tables import Table
    >>> def holds(name, *columns):
    ...     codes = [np.array(c, np.int32) for c in columns[1::2]]
    ...     return Table(name, columns[::2], tuple(codes), len(codes[0]))
    >>> small = holds("small", 0, [0, 1])
    >>> tables = [small, holds("double", 0, [1, 2], 1, [2, 4]), holds("big", 1, [3, 4])]
    >>> sorted(TablePropagation(tables, [5, 5]).carry_on([0, 1, 2]).tables)
    [0, 1, 2]
    """

    def __init__(
        self,
        given: Sequence[Table],
        sizes: Sequence[int],
        split: Iterable[int] = (),
        costs: Mapping[int, NDArray[np.int64]] | None = None,
        most: int = 0,
    ) -> None:
        self.given = given
        self.costs, self.most = costs or {}, most
        self._sizes = list(sizes)
        # The rows of some tables have numbers: one variable more for each.
        self._numbered: dict[int, int] = {}
        for number in dict.fromkeys([*split, *self.costs]):
            self._numbered[number] = len(self._sizes)
            self._sizes.append(given[number].rows)
        self._variables = [
            (*table.variables, *([self._numbered[n]] if n in self._numbered else []))
            for n, table in enumerate(given)
        ]
        self._columns = [
            (*t.columns, *([np.arange(t.rows, dtype=np.int32)] if n in self._numbered else []))
            for n, t in enumerate(given)
        ]
        self._using: dict[int, list[int]] = {}
        for number, variables in enumerate(self._variables):
            for variable in variables:
                self._using.setdefault(variable, []).append(number)
        # For each variable that lost values, by which step each was ruled out, and what is left.
        self._gone: dict[int, NDArray[np.int32]] = {}
        self._values_left: dict[int, Flags] = {}
        # Variables that have a single value left, which some row has as long as there is any.
        self._single: set[int] = set()
        # Of tables that were looked at: no value is left there without a row that is.
        self._rows: dict[int, _Rows] = {}
        self._steps: list[_Step] = []
        self._least = {n: int(each.min(initial=NEVER)) for n, each in self.costs.items()}
        self._dearest = {n: int(each.max(initial=0)) for n, each in self.costs.items()}
        self._cheapest = dict(self._least)
        # What is left of a table that costs, and the least of it; whether rows were held to it.
        self._cheapest_of: dict[int, tuple[Flags, int]] = {}
        self._held_to_cost = False
        # How often each table had a part in a failure, and one.
        self.failed = np.ones(len(given))

    # -- carrying on ------------------------------------------------------------------------------

    def carry_on(self, begin: Iterable[int]) -> Conflict | None:
        """Carry on what is ruled out; give what leaves nothing, or None if something is left."""
        waiting = dict.fromkeys(begin)
        while waiting:
            number = next(iter(waiting))
            del waiting[number]
            rows = self._look_at(number)
            if rows is not None and not len(rows):
                self.failed[number] += 1
                asked: Asked = {}
                every = np.ones(self.given[number].rows, np.bool_)
                self._ask_rows(number, every, len(self._steps), asked)
                return self._traced(asked, Conflict({number}))
            if rows is not None:
                self._support(number, rows, waiting)
            if not waiting and self.costs:
                over = self._carry_cost(waiting)
                if over is not None:
                    return over
        return None

    def _look_at(self, number: int) -> NDArray[np.intp] | None:
        """Give the rows of a table that are left; None if none went since it was looked at."""
        known, variables = self._rows.get(number), self._variables[number]
        alive = [self._values_left.get(variable) for variable in variables]
        rows = before = np.arange(self.given[number].rows) if known is None else known.numbers
        seen = () if known is None else known.alive
        for place, (values, column) in enumerate(zip(alive, self._columns[number], strict=True)):
            if values is not None and not (seen and values is seen[place]):
                rows = rows[values[column[rows]]]
        if len(rows):
            self._rows[number] = _Rows(rows, alive)
        return None if known is not None and len(rows) == len(before) else rows

    def left(self, number: int) -> Flags:
        """Say which rows of a table have values that are left."""
        left: Flags | None = None
        for variable, column in zip(self._variables[number], self._columns[number], strict=True):
            if variable in self._values_left:
                here = self._values_left[variable][column]
                left = here if left is None else left & here
        return np.ones(self.given[number].rows, np.bool_) if left is None else left

    def _support(self, number: int, rows: NDArray[np.intp], waiting: dict[int, None]) -> None:
        """Rule out the values that no row of a table has any more."""
        step = len(self._steps)
        for variable, column in zip(self._variables[number], self._columns[number], strict=True):
            if variable in self._single:
                continue
            fresh = self.alive(variable).copy()
            fresh[column[rows]] = False
            if np.count_nonzero(fresh):
                if step == len(self._steps):
                    self._steps.append(_Step(table=number))
                self._rule_out(variable, fresh, step)
                for other in self._using[variable]:
                    if other != number:
                        waiting[other] = None

    def _carry_cost(self, waiting: dict[int, None]) -> Conflict | None:
        """Rule out rows that cost too much with the cheapest of all others."""
        before = dict(self._cheapest) if self._held_to_cost else None
        for number in self.costs:
            self._cheapest[number] = self._cheapest_left(number)
        if self._cheapest == before:
            return None
        spare = self.most - sum(self._cheapest.values())
        if spare < 0:
            asked: Asked = {}
            self._ask_cost(self._cheapest, self.most, len(self._steps), asked)
            return self._traced(asked, Conflict())
        self._held_to_cost = True
        step = len(self._steps)
        for number, each in self.costs.items():
            if self._dearest[number] <= self._cheapest[number] + spare:
                continue
            variable = self._numbered[number]
            dear = self.alive(variable) & (each > self._cheapest[number] + spare)
            if np.count_nonzero(dear):
                if step == len(self._steps):
                    self._steps.append(_Step(cheapest=dict(self._cheapest)))
                self._rule_out(variable, dear, step)
                waiting[number] = None
        return None

    def _cheapest_left(self, number: int) -> int:
        variable = self._numbered[number]
        alive = self._values_left.get(variable)
        if alive is None:
            return self._least[number]
        known = self._cheapest_of.get(number)
        if known is None or known[0] is not alive:
            known = self._cheapest_of[number] = alive, int(self.costs[number][alive].min())
        return known[1]

    def alive(self, variable: int) -> Flags:
        """Say which values of a variable are left."""
        alive = self._values_left.get(variable)
        return np.ones(self._sizes[variable], np.bool_) if alive is None else alive

    def _rule_out(self, variable: int, values: Flags, step: int) -> None:
        gone = self._gone.get(variable)
        gone = np.full(self._sizes[variable], NEVER, np.int32) if gone is None else gone.copy()
        gone[values] = step
        self._gone[variable] = gone
        left = self._values_left[variable] = gone == NEVER
        if np.count_nonzero(left) == 1:
            self._single.add(variable)

    # -- cases ------------------------------------------------------------------------------------

    def neighbours(self, number: int) -> set[int]:
        """Give the tables that share a variable with one, and that one."""
        return {n for variable in self._variables[number] for n in self._using[variable]}

    def rows_left(self, number: int) -> int:
        """How many rows of a table with numbered rows are left."""
        return int(np.count_nonzero(self.alive(self._numbered[number])))

    def first_left(self, number: int) -> int:
        """Give the first row that is left of a table with numbered rows."""
        return int(np.argmax(self.alive(self._numbered[number])))

    def cheapest_left(self, number: int) -> int:
        """Give the cheapest row that is left of a table with numbered rows."""
        left = np.flatnonzero(self.alive(self._numbered[number]))
        if number not in self.costs:
            return int(left[0])
        return int(left[np.argmin(self.costs[number][left])])

    def mark(self) -> Mark:
        """Remember how far things have come."""
        return Mark(
            *(dict(self._gone), dict(self._values_left), set(self._single)),
            *(dict(self._rows), dict(self._cheapest), len(self._steps)),
        )

    def back_to(self, mark: Mark) -> None:
        """Take back all that came after."""
        self._gone, self._values_left = dict(mark.gone), dict(mark.alive)
        self._single, self._rows = set(mark.single), dict(mark.rows)
        self._cheapest = dict(mark.cheapest)
        del self._steps[mark.steps :]

    def decide(self, number: int, row: int) -> int:
        """Take a row of a table; give the decision's number."""
        decision = len(self._steps)
        self._steps.append(_Step(conflict=Conflict(decisions={decision})))
        others = self.alive(self._numbered[number]).copy()
        others[row] = False
        self._rule_out(self._numbered[number], others, decision)
        return decision

    def refuse(self, number: int, row: int, because: Conflict) -> Conflict | None:
        """Rule out a row that leads to a conflict; give what leaves nothing then."""
        step, variable = len(self._steps), self._numbered[number]
        self._steps.append(_Step(conflict=because))
        values = np.zeros(self._sizes[variable], np.bool_)
        values[row] = True
        self._rule_out(variable, values, step)
        if self._values_left[variable].any():
            return None
        asked: Asked = {}
        self._ask_values(variable, ~self._values_left[variable], asked)
        return self._traced(asked, Conflict())

    # -- tracing back -----------------------------------------------------------------------------

    def _traced(self, asked: Asked, conflict: Conflict) -> Conflict:
        """Name the tables and decisions that ruled values out."""
        tables, decisions = set(conflict.tables), set(conflict.decisions)
        while asked:
            number = max(asked)
            values, step = asked.pop(number), self._steps[number]
            if step.conflict is not None:
                tables |= step.conflict.tables
                decisions |= step.conflict.decisions
            elif step.cheapest is not None:
                self._ask_dear(values, step.cheapest, number, asked)
            else:
                tables.add(step.table)
                self.failed[step.table] += 1
                rows = np.zeros(self.given[step.table].rows, np.bool_)
                pairs = zip(self._variables[step.table], self._columns[step.table], strict=True)
                for variable, column in pairs:
                    if variable in values:
                        rows |= values[variable][column]
                self._ask_rows(step.table, rows, number, asked)
        return Conflict(tables, decisions)

    def _ask_rows(self, number: int, rows: Flags, before: int, asked: Asked) -> None:
        """Ask for each of some rows what ruled it out first, before a step."""
        some = [
            (variable, column[rows])
            for variable, column in zip(self._variables[number], self._columns[number], strict=True)
            if variable in self._gone
        ]
        if not some or not rows.any():
            return
        times = np.array([self._gone[variable][column] for variable, column in some])
        times[times >= before] = NEVER
        chosen = np.argmin(times, axis=0)
        for place, (variable, column) in enumerate(some):
            values = np.zeros(self._sizes[variable], np.bool_)
            values[column[chosen == place]] = True
            self._ask_values(variable, values, asked)

    def _ask_values(self, variable: int, values: Flags, asked: Asked) -> None:
        """Ask what ruled out some values of a variable."""
        gone = self._gone[variable]
        for step in set(gone[values].tolist()):
            here = asked.setdefault(step, {})
            own = values & (gone == step)
            here[variable] = here[variable] | own if variable in here else own

    def _ask_dear(
        self, values: Mapping[int, Flags], cheapest: Mapping[int, int], before: int, asked: Asked
    ) -> None:
        """Ask why rows cost too much with the cheapest of all others at a step."""
        for number, variable in self._numbered.items():
            if variable in values:
                least = int(self.costs[number][values[variable]].min())
                others = {n: each for n, each in cheapest.items() if n != number}
                self._ask_cost(others, self.most - least, before, asked)

    def _ask_cost(self, cheapest: Mapping[int, int], most: int, before: int, asked: Asked) -> None:
        """Ask what ruled out cheaper rows of tables that come to more than is left.

        As much as they come to more, rows may be cheaper all the same: small differences are not
        asked about.
        """
        over = sum(cheapest.values()) - most - 1
        raised = sorted((each - self._least[n], n) for n, each in cheapest.items())
        for more, number in raised:
            if more <= over:
                over -= more
                continue
            cheaper = self.costs[number] < cheapest[number] - over
            over = 0
            variable = self._numbered[number]
            gone = self._gone[variable]
            if (gone[cheaper] >= before).any():
                message = "a row is not ruled out that is cheaper than the cheapest that is left"
                raise AssertionError(message)
            self._ask_values(variable, cheaper, asked)
