"""Tables of a model with values told apart, so that the certainty of limits is exact in them.

A few rows of a limit hold within usual tolerances with some parts and not with others. Their values
are told apart where it takes that, down to the attributes behind them: a deceleration of 6.4 m/s²
becomes one that is sure and one that is not. All other tables read the values as before.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from configurator.model.references import FigureValue
from configurator.search.encoding.partitions import NO_MATTER, refined
from configurator.search.encoding.sure_goal_tables import add_goal
from configurator.search.encoding.tables import (
    Table,
    distinct_count,
    keys,
    match_all,
    numbered,
    present,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.model.references import Reference
    from configurator.model.rules import Limit, Rule
    from configurator.search.encoding.asked_values import AskedValues, JointValue
    from configurator.search.encoding.constraint_model import Model
    from configurator.search.encoding.joint_values import JointValues
    from configurator.search.encoding.scopes import Term
    from configurator.search.encoding.sure_goal_tables import SureGoal

    Numbers = NDArray[np.int64]
    Codes = NDArray[np.int32]


@dataclass(frozen=True, slots=True)
class MixedLimit:
    """A limit of whose rows some are sure with some parts only.

    Parameters
    ----------
    rule
        The limit.
    read, terms
        What it reads and, where they are references, its bounds; and where these come from.
    given
        Its distinct combinations.
    holds, sure
        For each of them whether it is a row of the limit's table, and whether it is sure.
    mixed
        For each of them whether it is of a row that is sure with some parts only.
    """

    rule: Limit
    read: Sequence[Reference]
    terms: Sequence[Term]
    given: AskedValues
    holds: NDArray[np.bool_]
    sure: NDArray[np.bool_]
    mixed: NDArray[np.bool_]


class Splitting:
    """Tells values of a model apart.

    Parameters
    ----------
    model
        Whose tables are replaced.
    joint
        Values over all combinations of parts.
    term
        Says where a reference comes from in the model.
    """

    def __init__(self, model: Model, joint: JointValues, term: Callable[[Reference], Term]) -> None:
        self.model, self.joint, self.term = model, joint, term
        self._blocks: dict[int, Numbers] = {}
        self._references: dict[int, Reference] = {}
        self._linking: set[int] = set()
        # Variable → for each value told apart the code of the rounded one.
        self._link: dict[int, Codes] = {}
        # Variable → for each value of its reference the code of what is told apart.
        self._codes: dict[int, Codes] = {}

    def split(self, limits: Sequence[MixedLimit], goals: Sequence[SureGoal] = ()) -> None:
        """Tell apart what decides some limits and goals; put their tables in terms of it."""
        for goal in goals:
            self._refine([goal.reference], [goal.term], goal.given, goal.codes())
        for limit in limits:
            answers = np.where(limit.mixed, limit.sure.astype(np.int64), NO_MATTER)
            self._refine(limit.read, limit.terms, limit.given, answers)
        self._refine_figures()
        self._replace(limits)
        for goal in goals:
            add_goal(self.model, goal, self._codes_of(goal))

    def _codes_of(self, goal: SureGoal) -> Codes:
        """Give for each value of a goal's figure its code, told apart where that was needed."""
        variable = goal.term.variable
        if variable in self._codes:
            return self._codes[variable]
        return self._rounded_codes(variable, goal.given.inputs[0]).astype(np.int32)

    # -- which values -----------------------------------------------------------------------------

    def _refine(
        self,
        read: Sequence[Reference],
        terms: Sequence[Term],
        given: AskedValues,
        answers: Numbers,
    ) -> None:
        places = [n for n, term in enumerate(terms) if term.variable >= 0]
        variables = [terms[n].variable for n in places]
        for n, variable in zip(places, variables, strict=True):
            if variable not in self._blocks:
                self._references[variable] = read[n]
                self._blocks[variable] = self._rounded_codes(variable, given.inputs[n])
        rows = [given.rows[n] for n in places]
        blocks = refined(rows, [self._blocks[v] for v in variables], answers)
        for variable, block in zip(variables, blocks, strict=True):
            self._blocks[variable] = block

    def _rounded_codes(self, variable: int, value: JointValue) -> Numbers:
        return value.codes_in(self.model.values[variable])

    def _is_split(self, variable: int) -> bool:
        values, _ = self.joint.value(self._references[variable]).distinct
        return distinct_count(self._blocks[variable]) > len(values)

    def _refine_figures(self) -> None:
        """Carry what is told apart of figures down to what these read."""
        done: dict[int, int] = {}
        while True:
            waiting = [
                variable
                for variable, block in self._blocks.items()
                if done.get(variable) != int(block.max(initial=-1))
                and self._defined(variable)
                and self._is_split(variable)
            ]
            # A figure comes after all figures that read it.
            ready = [v for v in waiting if not any(self._behind(o, v) for o in waiting if o != v)]
            if not ready:
                return
            for variable in ready:
                done[variable] = int(self._blocks[variable].max())
                reference = self._references[variable]
                rule, given, kind = self._definition(reference)
                read = [item.reference for item in rule.inputs]
                terms = [self.term(item) for item in read]
                self._refine(read, terms, given, self._blocks[variable][kind])

    def _defined(self, variable: int) -> bool:
        reference = self._references[variable]
        return (
            isinstance(reference, FigureValue)
            and len(self.joint.evaluation.reach_of(reference)) > 1
        )

    def _definition(self, reference: Reference) -> tuple[Rule, AskedValues, Numbers]:
        if not isinstance(reference, FigureValue):
            raise TypeError(reference)
        rule = self.joint.evaluation.definition(reference.name)
        given, kind = self.joint.defined[reference.name]
        return rule, given, kind

    def _behind(self, variable: int, other: int) -> bool:
        """Whether a figure reads another one, directly or through others."""
        names = self.joint.figures_behind(self._references[variable])
        reference = self._references[other]
        return isinstance(reference, FigureValue) and reference.name in names

    # -- tables -----------------------------------------------------------------------------------

    def _replace(self, limits: Sequence[MixedLimit]) -> None:
        model = self.model
        wide = {v: self._links(v) for v in self._blocks if self._is_split(v)}
        self._link = links = {v: link for v, (link, _) in wide.items()}
        self._codes = codes = {v: own for v, (_, own) in wide.items()}
        self._goals(links)
        own_tables = {model.rule_tables[limit.rule.name] for limit in limits}
        own_tables |= {model.told_by[v] for v in links}
        own_tables |= set(model.position_tables.values()) | self._linking
        for number in range(len(model.tables)):
            if number not in own_tables:
                self._expand(number, links)
        for variable in links:
            if self._defined(variable):
                self._redefine(variable, codes)
        for position in {self.term(self._references[v]).position for v in links} - {""}:
            self._split_position(position, codes)
        old = {v: list(model.values[v]) for v in links}
        for variable, link in links.items():
            model.values[variable] = [old[variable][code] for code in link.tolist()]
            model.sizes[variable] = len(link)
        for limit in limits:
            self._relabel(limit, codes)

    def _links(self, variable: int) -> tuple[Codes, Codes]:
        """Give for each value told apart its rounded one's code; and for each id its new code."""
        reference = self._references[variable]
        rounded_codes = self._rounded_codes(variable, self.joint.value(reference))
        blocks = self._blocks[variable]
        many = int(blocks.max(initial=0)) + 1
        pairs, place = np.unique(rounded_codes * many + blocks, return_inverse=True)
        distinct = pairs // many
        # A value that none of these combinations has stays as it was.
        there = np.zeros(self.model.sizes[variable], np.bool_)
        kept = distinct >= 0
        there[distinct[kept]] = True
        missing = np.flatnonzero(~there)
        link = np.concatenate([distinct[kept], missing]).astype(np.int32)
        new = np.full(len(kept), -1, np.int32)
        new[kept] = np.arange(int(kept.sum()))
        return link, new[place.reshape(-1)]

    def _goals(self, links: Mapping[int, Codes]) -> None:
        """Let goals ask for rounded values as before: these become variables of their own."""
        model = self.model
        for number in model.goal_tables.values():
            (variable,) = model.tables[number].variables
            if variable not in links:
                continue
            model.values.append(list(model.values[variable]))
            model.sizes.append(model.sizes[variable])
            model.told_by.append(len(model.tables))
            model.variable_names.append(f"{model.variable_names[variable]}, rounded")
            rounded = len(model.sizes) - 1
            link = links[variable]
            every = np.arange(len(link), dtype=np.int32)
            name = model.tables[number].name
            model.tables.append(Table(name, (variable, rounded), (every, link), len(link)))
            old = model.tables[number]
            model.tables[number] = Table(old.name, (rounded,), old.columns, old.rows)
            self._linking.add(len(model.tables) - 1)

    def _expand(self, number: int, links: Mapping[int, Codes]) -> None:
        """Put a table that reads rounded values in terms of what is told apart."""
        model = self.model
        table = model.tables[number]
        rows = np.arange(table.rows)
        for variable in table.variables:
            if variable not in links:
                continue
            table, origin = _joined(table, variable, links[variable], model.sizes[variable])
            rows = rows[origin]
        model.tables[number] = table
        if number == model.soft_table:
            model.soft_values = [model.soft_values[row] for row in rows.tolist()]
            model.shortfalls = model.shortfalls[rows]
        if number in model.work_costs:
            model.work_costs[number] = model.work_costs[number][rows]
        if number in model.sure_rows:
            model.sure_rows[number] = model.sure_rows[number][rows]

    def _redefine(self, variable: int, codes: Mapping[int, Codes]) -> None:
        """Define a figure anew, by what is told apart of what it reads and of itself."""
        rule, given, kind = self._definition(self._references[variable])
        terms = [self.term(item.reference) for item in rule.inputs]
        variables, columns = self._columns(terms, given, codes)
        number = self.model.told_by[variable]
        own = codes[variable][kind]
        self._put(number, [*variables, variable], [*columns, own])

    def _put(
        self,
        number: int,
        variables: Sequence[int],
        columns: Sequence[Codes],
        label: NDArray[np.bool_] | None = None,
    ) -> NDArray[np.bool_] | None:
        """Replace a table by combinations that are told apart, and give their labels in its order.

        What no package has is not among them: such rows stay, so that it can be said of an option
        which rule is in its way.
        """
        old = self.model.tables[number]
        listed = [*columns, *([] if label is None else [label.astype(np.int32)])]
        rows = _distinct(listed)
        columns = [column[rows] for column in columns]
        order = [variables.index(v) for v in old.variables]
        sizes = [self._told_size(v) for v in old.variables]
        rounded = [self._rounded(v, columns[n]) for v, n in zip(old.variables, order, strict=True)]
        mine, theirs, _ = keys(old.columns, sizes, old.rows, rounded)
        rest = np.flatnonzero(~present(mine, mine[:0] if theirs is None else theirs))
        kept = [
            np.concatenate([columns[n], self._first_codes(v, column[rest])])
            for v, n, column in zip(old.variables, order, old.columns, strict=True)
        ]
        many = len(rows) + len(rest)
        self.model.tables[number] = Table(old.name, old.variables, tuple(kept), many)
        if label is None:
            return None
        return np.concatenate([label[rows], np.ones(len(rest), np.bool_)])

    def _told_size(self, variable: int) -> int:
        link = self._link.get(variable)
        return self.model.sizes[variable] if link is None else int(link.max(initial=-1)) + 1

    def _rounded(self, variable: int, codes: Codes) -> Codes:
        link = self._link.get(variable)
        return codes if link is None else link[codes]

    def _first_codes(self, variable: int, rounded_codes: Codes) -> Codes:
        """Give the first of the values told apart that stand for each rounded one."""
        link = self._link.get(variable)
        if link is None:
            return rounded_codes
        first = np.full(int(link.max(initial=-1)) + 1, -1, np.int32)
        first[link[::-1]] = np.arange(len(link), dtype=np.int32)[::-1]
        return first[rounded_codes]

    def _columns(
        self, terms: Sequence[Term], given: AskedValues, codes: Mapping[int, Codes]
    ) -> tuple[list[int], list[Codes]]:
        """Give the variables that combinations are told by, and their codes."""
        variables: list[int] = []
        columns: list[Codes] = []
        for n, term in enumerate(terms):
            if term.variable < 0 or term.variable in variables:
                continue
            variables.append(term.variable)
            own = codes.get(term.variable)
            if own is None:
                rounded_codes = self._rounded_codes(term.variable, given.inputs[n])
                own = rounded_codes.astype(np.int32)
            columns.append(own[given.rows[n]])
        return variables, columns

    def _split_position(self, position: str, codes: Mapping[int, Codes]) -> None:
        model = self.model
        number = model.position_tables[position]
        table = model.tables[number]
        members = model.classes[position]
        options = np.concatenate(members) if members else np.zeros(0, np.int32)
        row = np.repeat(np.arange(table.rows), [len(each) for each in members])
        columns = []
        for variable, column in zip(table.variables, table.columns, strict=True):
            if variable in codes:
                value = self.joint.value(self._references[variable])
                own = value.classes[position].class_of[options]
                known = codes[variable][value.ids[np.maximum(own, 0)]]
                columns.append(np.where(own >= 0, known, self._first_codes(variable, column[row])))
            else:
                columns.append(column[row])
        key, _, _ = keys(
            [row.astype(np.int32), *columns],
            [table.rows, *(int(c.max(initial=0)) + 1 for c in columns)],
            len(options),
        )
        _, first, kind = np.unique(key, return_index=True, return_inverse=True)
        kind = kind.reshape(-1)
        model.tables[number] = Table(
            table.name, table.variables, tuple(c[first] for c in columns), len(first)
        )
        model.classes[position] = [options[kind == k] for k in range(len(first))]

    def _relabel(self, limit: MixedLimit, codes: Mapping[int, Codes]) -> None:
        """Give a limit a table that says of each combination of blocks whether it is sure."""
        model = self.model
        variables, columns = self._columns(limit.terms, limit.given, codes)
        kept = np.flatnonzero(limit.holds)
        number = model.rule_tables[limit.rule.name]
        columns = [column[kept] for column in columns]
        label = self._put(number, variables, columns, limit.sure[kept])
        table = model.tables[number]
        if label is None or len(_distinct(list(table.columns))) < table.rows:
            message = f"{table.name!r} is still mixed"
            raise ValueError(message)
        model.sure_rows[number] = label


def _distinct(columns: Sequence[Codes]) -> Codes:
    """Give one row of each combination, in order."""
    sizes = [int(column.max(initial=0)) + 1 for column in columns]
    key, _, bound = keys(columns, sizes, len(columns[0]))
    return np.sort(numbered(key, bound)[0])


def _joined(table: Table, variable: int, link: Codes, size: int) -> tuple[Table, NDArray[np.int32]]:
    """Replace a column of rounded values by what is told apart; give each row's origin too."""
    every = np.arange(len(link), dtype=np.int32)
    spare = max(table.variables) + 1
    wide = Table("link", (variable, spare), (link, every), len(link))
    own, other = match_all(table, wide, [size] * (spare + 1))  # only the first one is shared
    columns = tuple(
        every[other] if v == variable else c[own]
        for v, c in zip(table.variables, table.columns, strict=True)
    )
    return Table(table.name, table.variables, columns, len(own)), own
