"""Whether a package keeps a few of some rules, asked for many such sets: tables are made once.

Only what a set reads is looked at, and any package will do, not the cheapest. So a question takes a
small part of what finding the cheapest package under the same rules does; and where there is no
package, it names the rules of the set that this hangs on.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

import numpy as np

from configurator.search.encoding import option_columns
from configurator.search.encoding.encoder import make_model
from configurator.search.encoding.table_propagation import TablePropagation
from configurator.search.encoding.tables import Table, select
from configurator.search.explanation.case_splits import met_by_cases
from configurator.search.optimum import queries
from configurator.search.optimum.narrowing import rows_left

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.model.jobs import Job
    from configurator.model.rules import Rule
    from configurator.search.encoding.constraint_model import Model
    from configurator.search.limits import Limits

# Cases of options that are looked at before a set of rules is left to a circuit.
CASES = 300


@dataclass(frozen=True, slots=True)
class RulesHeld:
    """What is known of a set of rules.

    Parameters
    ----------
    holds
        Whether a package keeps them, the picks, the goals and the budget; None if not known.
    conflict
        If none does: names of those of the rules that this hangs on.
    choice
        If one does: its options at the positions that count.
    """

    holds: bool | None
    conflict: frozenset[str] = frozenset()
    choice: Mapping[str, Option] | None = None


class RuleSubsets:
    """Sets of rules, none of them on sums over everything, and the picks and goals of a job.

    Parameters
    ----------
    evaluation, job
        The case, and whose picks, goals and budget count.
    rules
        Of which any few are asked about.
    positions
        What rules and goals read. With a budget, all positions count.
    limits
        How large tables may get.
    allowed
        Position → numbers of options, beside what the job permits.
    """

    def __init__(
        self,
        evaluation: Evaluation,
        job: Job,
        rules: Sequence[Rule],
        positions: Collection[str],
        limits: Limits,
        allowed: Mapping[str, Sequence[int]] = MappingProxyType({}),
    ) -> None:
        self.evaluation, self.job, self.limits = evaluation, job, limits
        self.positions = list(evaluation.families) if job.budget is not None else positions
        self.picks: dict[str, Sequence[int]] = dict(queries.picks(evaluation, job))
        for position, numbers in allowed.items():
            among = self.picks.get(position, numbers)
            self.picks[position] = [number for number in numbers if number in among]
        # What a rule on one position forbids is no table of the model: it gets one here.
        self.wide = [rule for rule in rules if len(evaluation.reach(rule)) > 1]
        self._tables: TablesOfRules | None = None
        self._made = False

    def hold(self, rules: Sequence[Rule]) -> bool | None:
        """Whether a package keeps these rules, the picks and the goals; None if not known."""
        return self.ask(rules).holds

    def ask(self, rules: Sequence[Rule]) -> RulesHeld:
        """Say whether a package keeps these rules, and by which, or by which of them none does."""
        evaluation = self.evaluation
        for rule in rules:
            if not evaluation.reach(rule) and evaluation.verdict(rule, {}).holds is False:
                return RulesHeld(False, frozenset({rule.name}))
        if any(not len(left) for left in self.picks.values()):
            return RulesHeld(False)
        if not self._made:
            self._tables, self._made = self._of_every_rule(), True
        if self._tables is None:
            return RulesHeld(False)
        if self._tables.model.late:
            return RulesHeld(None)
        return self._tables.ask(rules)

    def _of_every_rule(self) -> TablesOfRules | None:
        """Make the tables of all rules, and of what they read; None if no package has the picks."""
        budget = self.job.budget
        model = make_model(
            self.evaluation,
            queries.goal_figures(self.job),
            rules=self.wide,
            allowed=self.picks,
            work=budget is not None,
            limits=self.limits,
            positions=self.positions,
        )
        left = rows_left(model, self.job.goals, None)
        if left is None:
            return None
        made = TablesOfRules(model, left, None if budget is None else budget - model.fixed_cost)
        return made if made.agree() else None


class TablesOfRules:
    """Tables of rules, and those that count whichever rules are asked about.

    Parameters
    ----------
    model, left
        What they stand for, and the rows that goals leave of their tables.
    most
        What parts and work may cost together, in minor units; None without a budget.
    """

    def __init__(
        self, model: Model, left: Mapping[int, NDArray[np.int32]], most: int | None
    ) -> None:
        self.model, self.most = model, most
        self.tables = [select(t, left[n]) if n in left else t for n, t in enumerate(model.tables)]
        self.sizes = list(model.sizes)
        self.judging = set(model.rule_tables.values())
        self.costs: dict[int, NDArray[np.int64]] = {}
        # Position → the number of its table, the variable of its options, and those of its rows.
        self.option_rows: dict[str, tuple[int, int, NDArray[np.int32]]] = {}
        for position, number in model.position_tables.items():
            self._tell_options_apart(position, number)
        if most is not None:
            self.costs.update(model.work_costs)

    def _tell_options_apart(self, position: str, number: int) -> None:
        """Give each option of a position a row of its own, and a value."""
        table, classes = self.tables[number], self.model.classes[position]
        rows = np.repeat(np.arange(table.rows), [len(members) for members in classes])
        numbers = np.concatenate([*classes, np.zeros(0, np.int32)])
        variable = len(self.sizes)
        self.sizes.append(len(self.model.options[position]))
        columns = (*(column[rows] for column in table.columns), numbers)
        variables = (*table.variables, variable)
        self.tables[number] = Table(table.name, variables, columns, len(rows))
        self.option_rows[position] = number, variable, numbers
        if self.most is not None:
            self.costs[number] = self.model.costs[position][numbers]

    def agree(self) -> bool:
        """Leave out what picks, goals and budget forbid whichever rules count; say if any is left.

        Why that is left out need not be traced: it is the same for every set of rules.
        """
        common = [number for number in range(len(self.tables)) if number not in self.judging]
        costs = {place: self.costs[n] for place, n in enumerate(common) if n in self.costs}
        state = TablePropagation(
            [self.tables[n] for n in common], self.sizes, (), costs, self.most or 0
        )
        if state.carry_on(range(len(common))) is not None:
            return False
        numbers = {number: position for position, (number, _, _) in self.option_rows.items()}
        for place, number in enumerate(common):
            kept = np.flatnonzero(state.left(place)).astype(np.int32)
            self.tables[number] = select(self.tables[number], kept)
            if number in self.costs:
                self.costs[number] = self.costs[number][kept]
            if number in numbers:
                _, variable, options = self.option_rows[numbers[number]]
                self.option_rows[numbers[number]] = number, variable, options[kept]
        for number in self.judging:
            table = self.tables[number]
            inside = np.ones(table.rows, np.bool_)
            for variable, column in zip(table.variables, table.columns, strict=True):
                inside &= state.alive(variable)[column]
            self.tables[number] = select(table, inside)
        return True

    def ask(self, rules: Iterable[Rule]) -> RulesHeld:
        """Say whether a package keeps some rules, of those that the tables were made for."""
        model = self.model
        evaluation = model.evaluation
        names: dict[int, str] = {}
        alone: list[tuple[Rule, str]] = []
        for rule in rules:
            if rule.name in model.rule_tables:
                names[model.rule_tables[rule.name]] = rule.name
            elif len(reach := evaluation.reach(rule)) == 1:
                alone.extend((rule, position) for position in reach)
        chosen = self._read_by({*names, *model.goal_tables.values()})
        chosen |= {model.position_tables[position] for _, position in alone}
        if self.most is not None:
            chosen = self._read_by({*chosen, *self.costs})
        numbers = sorted(chosen)
        place_of = {number: place for place, number in enumerate(numbers)}
        given = [self.tables[number] for number in numbers]
        named = [names.get(number) for number in numbers]
        for rule, position in alone:
            refused = option_columns.refused(evaluation, position, rule)
            options = np.flatnonzero(~refused).astype(np.int32)
            _, variable, _ = self.option_rows[position]
            given.append(Table(rule.name, (variable,), (options,), len(options)))
            named.append(rule.name)
        positions = {p: place_of[n] for p, (n, _, _) in self.option_rows.items() if n in place_of}
        outcome = met_by_cases(
            given,
            self.sizes,
            list(positions.values()),
            begin=[place_of[number] for number in model.goal_tables.values()],
            costs={place_of[n]: each for n, each in self.costs.items()},
            most=self.most or 0,
            cases=CASES,
        )
        if outcome.conflict is not None:
            conflict = (named[place] for place in outcome.conflict)
            return RulesHeld(False, frozenset(name for name in conflict if name is not None))
        if outcome.rows is None:
            return RulesHeld(None)
        return RulesHeld(
            True,
            choice={
                position: model.options[position][
                    self.option_rows[position][2][outcome.rows[place]]
                ]
                for position, place in positions.items()
            },
        )

    def _read_by(self, asked: set[int]) -> set[int]:
        """Add to some tables those that tell what they read."""
        chosen = set(asked)
        waiting = [v for number in chosen for v in self.model.tables[number].variables]
        while waiting:
            number = self.model.told_by[waiting.pop()]
            if number not in chosen:
                chosen.add(number)
                waiting.extend(self.model.tables[number].variables)
        return chosen
