"""Marks on the rows of limits: which of them may hold within usual tolerances.

Rows that are sure with some combinations of parts and not with others are told apart
(`splitting.py`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from configurator.model.parts import Missing
from configurator.model.rules import TOLD_HOW_SURE, Limit, Total
from configurator.search.encoding.compatible_pairs import CompatiblePairs
from configurator.search.encoding.marked_limits import worth_marking
from configurator.search.encoding.reducing import consistent
from configurator.search.encoding.scopes import TooManyCombinations
from configurator.search.encoding.splitting import MixedLimit, Splitting
from configurator.search.encoding.sure_goal_tables import sure_goal
from configurator.search.encoding.sure_limits import (
    asked_of,
    counts,
    references_of,
    sure_kinds,
    sure_table,
)
from configurator.search.encoding.tables import keys, select
from configurator.search.encoding.unmarked_tables import UnmarkedTables
from configurator.search.encoding.values_in_packages import ValuesInPackages

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.model.references import Reference
    from configurator.model.rules import Rule
    from configurator.search.encoding.asked_values import AskedValues
    from configurator.search.encoding.constraint_model import Model
    from configurator.search.encoding.joint_values import JointValues
    from configurator.search.encoding.scopes import Term
    from configurator.search.encoding.tables import Table
    from configurator.search.limits import Limits

    Flags = NDArray[np.bool_]
    # Gives for tables of a model the rows that are asked about; of others all are.
    RowsLeft = Callable[[Model], Mapping[int, NDArray[np.int32]] | None]


def rows_of(
    table: Table, sizes: Sequence[int], codes: Mapping[int, NDArray[np.int32]]
) -> NDArray[np.int64]:
    """Give for each distinct combination that a limit reads its row; -1 where it has none.

    Parameters
    ----------
    table, sizes
        The rows that hold as calculated; the number of values of each variable.
    codes
        Variable → its code in each of these combinations.
    """
    columns = [codes[variable] for variable in table.variables]
    mine, theirs, _ = keys(table.columns, [sizes[v] for v in table.variables], table.rows, columns)
    if theirs is None:
        raise ValueError(table.name)
    known = np.ones(len(theirs), np.bool_)
    for column in columns:
        known &= column >= 0
    order = np.argsort(mine, kind="stable")
    place = np.minimum(np.searchsorted(mine, theirs, sorter=order), table.rows - 1)
    rows = order[place]
    known &= mine[rows] == theirs
    return np.where(known, rows, -1)


class Marking:
    """Marks the rows of a model's limits while it is made.

    Parameters
    ----------
    joint
        Values over all combinations of the options that may be chosen.
    limits
        Whether it is asked of limits, and not of the values of goals only.
    tuned
        From how many rows and values on it pays to see what may be left out.
    """

    def __init__(self, joint: JointValues, *, limits: bool, tuned: Limits) -> None:
        self.joint, self.limits, self.tuned = joint, limits, tuned
        self._goals: list[tuple[str, Term]] = []
        self._waiting: list[tuple[Limit, Sequence[Term]]] = []

    def told_apart(self, rule: Rule) -> bool:
        """Whether some options of the only position that a limit reads hold as calculated only."""
        if not self.limits or not isinstance(rule, Limit) or not counts(rule):
            return False
        given = asked_of(self.joint, rule)
        table = sure_table(rule, given, sure_kinds(self.joint, rule, given))
        return not bool(table.sure.all())

    def note(self, rule: Rule, terms: Sequence[Term]) -> None:
        """Remember what a limit with a table reads: inputs, then both bounds."""
        if self.limits and isinstance(rule, Limit) and counts(rule):
            self._waiting.append((rule, terms))

    def note_goal(self, name: str, term: Term) -> None:
        """Remember a goal that is to be sure, and where its figure comes from."""
        self._goals.append((name, term))

    def mark(
        self, model: Model, term: Callable[[Reference], Term], left: RowsLeft | None = None
    ) -> None:
        """Mark all rows, and note what is left to be decided package by package.

        Parameters
        ----------
        model
            With all its tables.
        term
            Says where a reference comes from in it.
        left
            Which of its rows are asked about: others count as sure, and what packages have no part
            in is not worked out. All rows are marked where nothing is left.
        """
        model.joint, model.limits_marked = self.joint, self.limits
        rows = None if left is None else left(model)
        kept = _kept(model, rows) if rows else None
        model.marked_within = kept is not None
        if kept is None:  # all rows are asked about, or nothing is left of them
            kept = consistent(model.tables, model.sizes)
        if kept is None:  # there is no package, whatever is asked of goals
            for name, _ in self._goals:
                model.fixed_figures[name] = Missing.UNKNOWN
            return
        self.joint.narrow(
            {p: _members(model, p, kept[number]) for p, number in model.position_tables.items()},
            CompatiblePairs(model, kept),
            ValuesInPackages(model, kept, self.tuned.checked_values),
        )
        model.unsure_by_package = [
            rule
            for rule in model.late
            if isinstance(rule, Limit | Total) and rule.concerns in TOLD_HOW_SURE
        ]
        goals = []
        for name, of_figure in self._goals:
            try:
                goals.append(sure_goal(self.joint, name, of_figure))
            except TooManyCombinations:
                self.joint.evaluation.put_off(self.joint.evaluation.definition(name))
        verdicts: dict[int, tuple[Limit, AskedValues, Flags]] = {}
        sure_rows: dict[int, Flags] = {}
        mixed: dict[int, MixedLimit] = {}
        for rule, terms in self._waiting:
            number = model.rule_tables[rule.name]
            if not model.tables[number].rows:
                continue
            try:
                given = asked_of(self.joint, rule)
            except TooManyCombinations:
                model.unsure_by_package.append(rule)
                continue
            read = _read(rule, terms)
            own_rows = model.tables[number].rows
            row = rows_of(model.tables[number], model.sizes, _codes(model, read, given))
            alive = np.zeros(own_rows, np.bool_)
            alive[kept[number]] = True
            holds = (row >= 0) & alive[row]
            sure = sure_kinds(self.joint, rule, given, holds)
            some_sure = np.bincount(row[holds & sure], minlength=own_rows) > 0
            some_not = np.bincount(row[holds & ~sure], minlength=own_rows) > 0
            if not some_not.any():
                continue
            verdicts[number] = rule, given, sure
            sure_rows[number] = some_sure | ~alive
            if (some_sure & some_not).any():
                mixed_rows = holds & (some_sure & some_not)[row]
                own = references_of(rule), read, given, holds, sure, mixed_rows
                mixed[number] = MixedLimit(rule, *own)
        model.unmarked = _unmarked(model)
        marked = worth_marking(model, kept, sure_rows, self.tuned.marked_rows)
        model.sure_rows = {
            number: rows
            for number, rows in sure_rows.items()
            if number in marked and not rows.all()
        }
        model.unsure_by_parts = [
            sure_table(*verdict) for number, verdict in verdicts.items() if number not in marked
        ]
        Splitting(model, self.joint, term).split(
            [limit for number, limit in mixed.items() if number in marked], goals
        )
        model.partnered = {
            number: own
            for number, (own, table) in enumerate(zip(kept, model.unmarked.tables, strict=True))
            if len(own) < table.rows and model.tables[number] is table
        }


def _kept(model: Model, left: Mapping[int, NDArray[np.int32]]) -> list[NDArray[np.int32]] | None:
    """Give the rows with a partner in all other tables, where some tables have fewer left."""
    tables = [select(t, left[n]) if n in left else t for n, t in enumerate(model.tables)]
    kept = consistent(tables, model.sizes)
    if kept is None:
        return None
    return [left[n][own] if n in left else own for n, own in enumerate(kept)]


def _unmarked(model: Model) -> UnmarkedTables:
    """Take the tables of a model as they are; the model may be changed afterwards."""
    labels = {n: np.arange(model.tables[n].rows) for n in model.goal_tables.values()}
    labels |= model.work_costs
    known = tuple(model.tables), tuple(model.sizes), tuple(model.told_by)
    return UnmarkedTables(*known, frozenset(model.position_tables.values()), labels)


def _members(model: Model, position: str, rows: NDArray[np.int32]) -> NDArray[np.bool_]:
    """Say which options of a position are in some of its rows."""
    alive = np.zeros(len(model.options[position]), np.bool_)
    for row in rows.tolist():
        alive[model.classes[position][row]] = True
    return alive


def _read(rule: Limit, terms: Sequence[Term]) -> list[Term]:
    """Leave out the bounds that are numbers: inputs, then bounds that are references."""
    count = len(rule.inputs)
    bounds = zip((rule.at_least, rule.at_most), terms[count:], strict=True)
    read = [term for bound, term in bounds if not isinstance(bound, int | float | None)]
    return [*terms[:count], *read]


def _codes(model: Model, read: Sequence[Term], given: AskedValues) -> dict[int, NDArray[np.int32]]:
    """Give for each variable of a limit's table its code in each combination that is read."""
    codes = {}
    for term, value, rows in zip(read, given.inputs, given.rows, strict=True):
        if term.variable < 0:
            continue
        own = value.codes_in(model.values[term.variable])
        codes[term.variable] = own.astype(np.int32)[rows]
    return codes
