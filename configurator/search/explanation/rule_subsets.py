"""Whether a package keeps a few of some rules, asked for many such sets: tables are made once.

Only what a set reads is looked at, and only whether there is a package, not which. So a question
takes a small part of what finding the cheapest package under the same rules does.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from configurator.search.encoding.encoder import make_model
from configurator.search.encoding.tables import select
from configurator.search.explanation.joint_consistency import met_together
from configurator.search.optimum import queries
from configurator.search.optimum.verification import meets

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from configurator.evaluation.evaluator import Evaluation
    from configurator.model.jobs import Job
    from configurator.model.rules import Rule
    from configurator.search.encoding.constraint_model import Model
    from configurator.search.encoding.tables import Table
    from configurator.search.limits import Limits


class RuleSubsets:
    """Sets of rules, none of them on sums over everything, and the picks and goals of a job.

    Parameters
    ----------
    evaluation, job
        The case, and whose picks and goals count; it has no budget.
    rules
        Of which any few are asked about.
    positions
        What rules and goals read.
    limits
        How large tables may get.
    """

    def __init__(
        self,
        evaluation: Evaluation,
        job: Job,
        rules: Sequence[Rule],
        positions: Collection[str],
        limits: Limits,
    ) -> None:
        self.evaluation, self.job, self.limits = evaluation, job, limits
        self.positions = positions
        self.picks: Mapping[str, Sequence[int]] = queries.picks(evaluation, job)
        self.wide = [rule for rule in rules if len(evaluation.reach(rule)) > 1]
        # What a rule on one position forbids is left out of that position's table.
        self._models: dict[frozenset[str], Model] = {}

    def hold(self, rules: Sequence[Rule]) -> bool | None:
        """Whether a package keeps these rules, the picks and the goals; None if not known."""
        evaluation = self.evaluation
        alone = [rule for rule in rules if len(evaluation.reach(rule)) == 1]
        if any(
            evaluation.verdict(rule, {}).holds is False
            for rule in rules
            if not evaluation.reach(rule)
        ):
            return False
        if any(not len(left) for left in self.picks.values()):
            return False
        model = self._model(alone)
        if model.late:
            return None
        tables = self._tables(model, [rule.name for rule in rules])
        return False if tables is None else met_together(tables, model.sizes)

    def _model(self, alone: Sequence[Rule]) -> Model:
        key = frozenset(rule.name for rule in alone)
        if key not in self._models:
            self._models[key] = make_model(
                self.evaluation,
                queries.goal_figures(self.job),
                rules=[*self.wide, *alone],
                allowed=self.picks,
                work=False,
                limits=self.limits,
                positions=self.positions,
            )
        return self._models[key]

    def _tables(self, model: Model, names: Sequence[str]) -> list[Table] | None:
        """Take the tables of rules, goals and what they read; None if one is empty."""
        chosen: dict[int, Table] = {}
        for goal in self.job.goals:
            if goal.figure in model.fixed_figures:
                if not meets(goal, model.fixed_figures[goal.figure]):
                    return None
            elif goal.figure in model.goal_tables:
                number = model.goal_tables[goal.figure]
                table = chosen.get(number, model.tables[number])
                values = model.values[table.variables[0]]
                met = np.array([meets(goal, value) for value in values], np.bool_)
                chosen[number] = select(table, met[table.columns[0]])
        for name in names:
            if name in model.rule_tables:
                chosen[model.rule_tables[name]] = model.tables[model.rule_tables[name]]
        for number in model.position_tables.values():
            chosen[number] = model.tables[number]
        waiting = [variable for table in chosen.values() for variable in table.variables]
        while waiting:
            number = model.told_by[waiting.pop()]
            if number not in chosen:
                chosen[number] = model.tables[number]
                waiting.extend(model.tables[number].variables)
        return list(chosen.values()) if all(table.rows for table in chosen.values()) else None
