"""Vehicle, parts, rules and goals, put into the terms of the search: classes, tables, costs.

Parts of a position that agree on everything a live rule or goal reads are one class. What a rule
allows is found by calling its own function once per combination of distinct values; figures that
hang on several positions become variables of their own, so that tables stay narrow. Nothing is
restated in other terms: the search knows what the author's function returned, bit for bit.
"""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any

import numpy as np

from configurator.core.errors import PluginError
from configurator.evaluation.evaluator import Evaluation
from configurator.evaluation.operations import needed, priced_operations, work_cost
from configurator.model.knowledge import checked_rules
from configurator.model.parts import Missing, Value
from configurator.model.references import FigureValue, Reference
from configurator.model.rules import Figure, Limit, Operation, Rule
from configurator.model.sure_goals import parted
from configurator.model.unrounded import NOT_ROUNDED
from configurator.model.verdicts import keeps
from configurator.search.encoding import option_columns
from configurator.search.encoding.constraint_model import Model
from configurator.search.encoding.inputs_read import inputs_of, reads_unrounded
from configurator.search.encoding.joint_values import JointValues
from configurator.search.encoding.row_marks import Marking
from configurator.search.encoding.scopes import (
    Span,
    Term,
    TooManyCombinations,
    make_span,
    order,
)
from configurator.search.encoding.shortfalls import shortfalls
from configurator.search.encoding.tables import Table
from configurator.search.encoding.work_tables import add_work
from configurator.search.limits import LIMITS

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.search.encoding.kept_answers import KeptAnswers
    from configurator.search.encoding.row_marks import RowsLeft
    from configurator.search.limits import Limits


def make_model(
    evaluation: Evaluation,
    goals: Collection[str] = (),
    *,
    rules: Collection[Rule] | None = None,
    allowed: Mapping[str, Collection[int]] | None = None,
    work: bool = True,
    soft: str = "",
    sure: bool = False,
    limits: Limits = LIMITS,
    kept: KeptAnswers | None = None,
    left: RowsLeft | None = None,
    positions: Collection[str] | None = None,
) -> Model:
    """Put a case into tables.

    Parameters
    ----------
    evaluation
        The case and the trade.
    goals
        Names of the figures that goals may ask about; they stay in as variables.
    rules
        The limits and fits in force; all by default.
    allowed
        Position → option numbers to choose from; all where a position is not named.
    work, sure
        Whether work costs, and rows of limits are marked that hold within usual tolerances.
    soft
        Name of a rule whose table lists all combinations, the forbidden ones too.
    limits, kept
        How large tables may get; what rules answered before, on disk.
    left
        Which rows of the tables are asked about, where only these need be marked.
    positions
        The only ones that are put into tables; no rule or goal may read another. All by default.

    Returns
    -------
    Model

    Raises
    ------
    PluginError
        If a rule fails or its table is too large.
    """
    among = list(evaluation.families) if positions is None else positions
    maker = _Maker(evaluation, among, goals, rules, allowed or {}, work, soft, sure, limits)
    maker.kept, maker.left = kept, left
    return maker.make()


class _Maker:
    def __init__(
        self,
        evaluation: Evaluation,
        positions: Collection[str],
        goals: Collection[str],
        rules: Collection[Rule] | None,
        allowed: Mapping[str, Collection[int]],
        work: bool,
        soft: str,
        sure: bool,
        limits: Limits,
    ) -> None:
        self.evaluation = evaluation
        self.limits, self.sure, self.soft = limits, sure, soft
        self.kept: KeptAnswers | None = None
        self.left: RowsLeft | None = None
        self.marking: Marking | None = None
        every = checked_rules(evaluation.trade) if rules is None else list(rules)
        late = [rule for rule in every if evaluation.late(rule)]
        self.rules = [rule for rule in every if not evaluation.late(rule)]
        self.operations = priced_operations(evaluation) if work else []
        self.goals = [g for g in goals if not evaluation.late(evaluation.definition(g))]
        self.allowed = allowed
        options = {p: evaluation.options(p) for p in evaluation.families if p in positions}
        self.model = Model(
            evaluation,
            options,
            costs={p: np.array([o.price for o in os], np.int64) for p, os in options.items()},
            blocked={p: np.zeros(len(os), np.bool_) for p, os in options.items()},
            late=late,
        )
        self.columns: dict[str, dict[str, Reference]] = {p: {} for p in options}
        self.variables: dict[tuple[str, str], int] = {}
        self.figures: dict[str, int] = {}

    def make(self) -> Model:
        wide = self._sort_rules()
        shared = self._sort_work()
        for name in self.goals:
            self._note(FigureValue(parted(name)[0]))
        for rule in [*wide, *shared]:
            for reference in inputs_of(rule):
                self._note(reference)
        self._make_classes()
        for name in self.goals:
            self._goal_table(name)
        for rule in wide:
            if any(reads_unrounded(reference) for reference in inputs_of(rule)):
                self._unrounded_rule_table(rule)
            else:
                self._rule_table(rule)
        ties = Counter(p for rule in (*wide, *shared) for p in self.evaluation.reach(rule))
        for operation in shared:
            add_work(self, operation, ties)
        if self.marking is not None:
            self.marking.mark(self.model, self.term, self.left)
        return self.model

    # -- rules that only one position, or none, has a say in ------------------------------------

    def _sort_rules(self) -> list[Rule]:
        wide: list[Rule] = []
        alone: list[Rule] = []
        for rule in self.rules:
            reach = self.evaluation.reach(rule)
            if len(reach) > 1 or (reach and rule.name == self.soft):
                wide.append(rule)
            elif not reach:
                if self.evaluation.verdict(rule, {}).holds is False:
                    self.model.broken.append(rule.name)
            else:
                (position,) = reach
                blocked = self.model.blocked[position]
                blocked |= option_columns.refused(self.evaluation, position, rule)
                alone.append(rule)
        alive = {p: self._alive(p) for p in self.model.options}
        if self.sure:
            self.sure = sum(int(a.sum()) for a in alive.values()) <= self.limits.marked_options
            self.model.marked_apart = not self.sure
        if self.sure or any(parted(name)[1] for name in self.goals):
            joint = JointValues(self.evaluation, alive, self.kept)
            self.marking = Marking(joint, limits=self.sure, tuned=self.limits)
            wide += [rule for rule in alone if self.marking.told_apart(rule)]
        return wide

    def _alive(self, position: str) -> NDArray[np.bool_]:
        """Which options of a position no rule forbids by itself, of those to choose from."""
        alive = ~self.model.blocked[position]
        if position in self.allowed:
            wanted = np.zeros(len(alive), np.bool_)
            wanted[list(self.allowed[position])] = True
            alive &= wanted
        return alive

    def _sort_work(self) -> list[Operation]:
        shared: list[Operation] = []
        for operation in self.operations:
            if self.evaluation.late(operation):
                message = f"operation {operation.name!r} hangs on a total"
                raise PluginError(operation.plugin, message, "let it read parts and figures only")
            reach = self.evaluation.reach(operation)
            if len(reach) > 1:
                shared.append(operation)
            elif not reach:
                if needed(self.evaluation, operation, {}):
                    self.model.fixed_cost += work_cost(self.evaluation, operation, {})
            else:
                (position,) = reach
                asking = option_columns.asking(self.evaluation, position, operation)
                costs = option_columns.work_costs(self.evaluation, position, operation)
                self.model.costs[position] += np.where(asking, costs, 0)
        return shared

    # -- variables ------------------------------------------------------------------------------

    def _note(self, reference: Reference) -> None:
        """Remember which columns of which positions are read."""
        reach = self.evaluation.reach_of(reference)
        if len(reach) == 1:
            (position,) = reach
            self.columns[position][str(reference)] = reference
        elif reach and isinstance(reference, FigureValue):
            for deeper in inputs_of(self.evaluation.definition(reference.name)):
                self._note(deeper)

    def _make_classes(self) -> None:
        for position in self.model.options:
            read = self.columns[position]
            chosen = np.flatnonzero(self._alive(position))
            columns_read = [
                option_columns.column(self.evaluation, position, reference).among(chosen)
                for reference in read.values()
            ]
            first, kind = option_columns.distinct(
                [(c, len(v)) for v, c in columns_read], len(chosen)
            )
            variables = []
            for name, (values, _) in zip(read, columns_read, strict=True):
                self.variables[position, name] = variable = self._declared(values, name)
                variables.append(variable)
            self.model.position_tables[position] = len(self.model.tables)
            # Within a class the cheapest come first.
            rank = option_columns.rank_by_key(self.evaluation, position)[chosen]
            ordered = np.lexsort((rank, self.model.costs[position][chosen], kind))
            ends = np.cumsum(np.bincount(kind, minlength=len(first)))
            members = chosen[ordered].astype(np.int32)
            self.model.classes[position] = np.split(members, ends[:-1]) if len(first) else []
            codes = tuple(c[first] for _, c in columns_read)
            self.model.tables.append(Table(position, tuple(variables), codes, len(first)))

    def _declared(self, domain: list[Value], name: str) -> int:
        """Make a variable of some values in order, told by the table that is made next."""
        self.model.values.append(domain)
        self.model.sizes.append(len(domain))
        self.model.told_by.append(len(self.model.tables))
        self.model.variable_names.append(name)
        return len(self.model.sizes) - 1

    def variable(self, values: Sequence[Value], name: str) -> tuple[int, NDArray[np.int32]]:
        """Make a variable of the distinct values and return their codes."""
        domain = sorted(dict.fromkeys(values), key=order)
        numbers = {value: code for code, value in enumerate(domain)}
        return self._declared(domain, name), np.array([numbers[v] for v in values], np.int32)

    def term(self, reference: Reference) -> Term:
        """Return what a reference is in the model: a variable or a value."""
        reach = self.evaluation.reach_of(reference)
        if not reach:
            return Term(self.evaluation.value(reference, {}))
        if len(reach) == 1:
            (position,) = reach
            return Term(position=position, variable=self.variables[position, str(reference)])
        if not isinstance(reference, FigureValue):
            raise TypeError(reference)
        return Term(variable=self._figure(reference.name))

    def _figure(self, name: str) -> int:
        """Make a figure over several positions a variable, with the table that defines it."""
        if name in self.figures:
            return self.figures[name]
        rule = self.evaluation.definition(name)
        if not isinstance(rule, Figure):
            raise TypeError(name)
        terms = [self.term(rule_input.reference) for rule_input in rule.inputs]
        span = self.span(rule, terms)
        if name.endswith(NOT_ROUNDED) and span.rows > self.limits.unrounded_rows:
            what = f"{name!r} has {span.rows:,} combinations"
            raise TooManyCombinations(rule.plugin, what, "decide it on whole packages")
        values = self._remembered(
            rule, span, lambda: [self.evaluation.work_out(rule, v) for v in span.arguments()]
        )
        variable, column = self.variable(values, rule.name)
        self.figures[name] = variable
        self.add(rule.name, (*span.variables, variable), (*span.columns, column))
        return variable

    def _remembered(self, rule: Rule, span: Span, work_out: Callable[[], Any]) -> Any:
        """Ask a rule's function once for the same combinations, however many models are made."""
        known = self.evaluation.answers
        key = (type(rule).__name__, rule.name, span.key)
        if key not in known:
            kept = self.kept
            known[key] = work_out() if kept is None else kept.ask(rule, span, work_out)
        return known[key]

    # -- tables ---------------------------------------------------------------------------------

    def span(self, rule: Rule, terms: Sequence[Term]) -> Span:
        """Every combination of codes a rule can meet in this model."""
        model = self.model
        codes: dict[int, NDArray[np.int32]] = {}
        for position in {term.position for term in terms if term.position}:
            table = model.tables[model.position_tables[position]]
            codes.update(zip(table.variables, table.columns, strict=True))
        return make_span(rule, terms, codes, model.values)

    def add(self, name: str, variables: Sequence[int], columns: Sequence[NDArray[np.int32]]) -> int:
        """Add a table and return its number."""
        rows = len(columns[0]) if columns else 1
        self.model.tables.append(Table(name, tuple(variables), tuple(columns), rows))
        return len(self.model.tables) - 1

    def _goal_table(self, name: str) -> None:
        figure, side = parted(name)
        term = self.term(FigureValue(figure))
        if term.variable < 0:
            self.model.fixed_figures[name] = self.evaluation.figure(name, {})
            return
        if side is not None and self.marking is not None:
            self.marking.note_goal(name, term)
            return
        codes = np.arange(self.model.sizes[term.variable], dtype=np.int32)
        self.model.goal_tables[name] = self.add(name, [term.variable], [codes])

    def _unrounded_rule_table(self, rule: Rule) -> None:
        """Put a rule on unrounded figures into a table, or off where that is too wide."""
        model = self.model
        filled = len(model.tables), len(model.sizes), dict(self.figures)
        try:
            self._rule_table(rule)
        except TooManyCombinations:
            tables, sizes, self.figures = filled
            del model.tables[tables:]
            for listed in (model.sizes, model.values, model.told_by, model.variable_names):
                del listed[sizes:]
            self.evaluation.put_off(rule)
            model.late.append(rule)

    def _rule_table(self, rule: Rule) -> None:
        inputs = [rule_input.reference for rule_input in rule.inputs]
        terms = [self.term(reference) for reference in inputs]
        if isinstance(rule, Limit):
            for bound in (rule.at_least, rule.at_most):
                if bound is None or isinstance(bound, int | float):
                    value = self.evaluation.bound(rule, bound, {})
                    terms.append(Term(value))
                else:
                    terms.append(self.term(bound))
        count = len(inputs)
        span = self.span(rule, terms)
        if rule.name == self.soft:
            self._soft_table(rule, span, count)
            return
        kept = self._remembered(rule, span, lambda: self._kept(rule, span, count))
        self.model.rule_tables[rule.name] = self.add(
            rule.name, span.variables, [column[kept] for column in span.columns]
        )
        if self.marking is not None:
            self.marking.note(rule, terms)

    def _kept(self, rule: Rule, span: Span, count: int) -> NDArray[np.bool_]:
        """Which combinations a rule allows."""
        ask = self.evaluation.ask
        if isinstance(rule, Limit):
            answers = (
                keeps(ask(rule, v[:count]), v[count], v[count + 1]) is not False
                for v in span.arguments()
            )
        else:
            result = (ask(rule, v) for v in span.arguments())
            answers = (f is None or isinstance(f, Missing) or bool(f) for f in result)
        return np.fromiter(answers, np.bool_, span.rows)

    def _soft_table(self, rule: Rule, span: Span, count: int) -> None:
        """List every combination, with how far it is from what the rule asks."""
        seen = list(span.arguments())
        self.model.soft_values = seen
        self.model.shortfalls = shortfalls(self.evaluation, rule, seen, count)
        self.model.soft_table = self.add(rule.name, span.variables, span.columns)
        self.model.rule_tables[rule.name] = self.model.soft_table
