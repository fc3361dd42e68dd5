"""Whether a package keeps a few of some rules, asked for many such sets: tables are made once.

Only what a set reads is looked at, and only whether there is a package, not which. So a question
takes a small part of what finding the cheapest package under the same rules does.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from configurator.search.encoding import option_columns
from configurator.search.encoding.encoder import make_model
from configurator.search.encoding.reducing import consistent
from configurator.search.encoding.tables import select, supported
from configurator.search.explanation.joint_consistency import met_together
from configurator.search.optimum import queries
from configurator.search.optimum.narrowing import rows_left

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence
    from collections.abc import Set as AbstractSet

    from numpy.typing import NDArray

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
        # What a rule on one position forbids is left out of that position's options.
        self.wide = [rule for rule in rules if len(evaluation.reach(rule)) > 1]
        self._tables: TablesOfRules | None = None
        self._made = False

    def hold(self, rules: Sequence[Rule]) -> bool | None:
        """Whether a package keeps these rules, the picks and the goals; None if not known."""
        evaluation = self.evaluation
        refused: dict[str, NDArray[np.bool_]] = {}
        for rule in rules:
            reach = evaluation.reach(rule)
            if not reach and evaluation.verdict(rule, {}).holds is False:
                return False
            if len(reach) == 1:
                (position,) = reach
                own = option_columns.refused(evaluation, position, rule)
                refused[position] = refused[position] | own if position in refused else own
        if any(not len(left) for left in self.picks.values()):
            return False
        if not self._made:
            self._tables, self._made = self._of_every_rule(), True
        asked = self._tables
        if asked is None or asked.model.late:
            return None if asked is not None else False
        tables = asked.of({rule.name for rule in rules}, refused)
        return tables is not None and met_together(tables, asked.model.sizes)

    def _of_every_rule(self) -> TablesOfRules | None:
        """Make the tables of all rules, and of what they read; None if no package has the picks."""
        model = make_model(
            self.evaluation,
            queries.goal_figures(self.job),
            rules=self.wide,
            allowed=self.picks,
            work=False,
            limits=self.limits,
            positions=self.positions,
        )
        left = rows_left(model, self.job.goals, None)
        if left is None:
            return None
        current = [select(t, left[n]) if n in left else t for n, t in enumerate(model.tables)]
        # What picks and goals leave is the same for every set of rules.
        judging = set(model.rule_tables.values())
        common = [number for number in range(len(current)) if number not in judging]
        kept = consistent([current[number] for number in common], model.sizes)
        if kept is None:
            return None
        classes = dict(model.classes)
        names = {number: position for position, number in model.position_tables.items()}
        for number, rows in zip(common, kept, strict=True):
            current[number] = select(current[number], rows)
            if number in names:
                classes[names[number]] = [classes[names[number]][row] for row in rows.tolist()]
        for number in judging:
            for v in current[number].variables:
                current[number] = select(
                    current[number],
                    supported(current[number], current[model.told_by[v]], model.sizes),
                )
        return TablesOfRules(model, current, classes)


@dataclass(frozen=True, slots=True)
class TablesOfRules:
    """Tables of rules, and those that count whichever rules are asked about.

    Parameters
    ----------
    model, tables
        What they stand for, and what picks and goals leave of them.
    classes
        Position → for each row of its table the options that it stands for.
    """

    model: Model
    tables: Sequence[Table]
    classes: Mapping[str, Sequence[NDArray[np.int32]]]

    def of(
        self, names: AbstractSet[str], refused: Mapping[str, NDArray[np.bool_]]
    ) -> list[Table] | None:
        """Give the tables of some rules, and all that they and the goals read.

        Parameters
        ----------
        names
            Of the rules.
        refused
            Position → which of its options others forbid by themselves.

        Returns
        -------
        list of Table or None
            None if these leave no option at a position.
        """
        model = self.model
        chosen = {n for name, n in model.rule_tables.items() if name in names}
        chosen |= set(model.goal_tables.values())
        waiting = [v for number in chosen for v in self.tables[number].variables]
        while waiting:
            number = model.told_by[waiting.pop()]
            if number not in chosen:
                chosen.add(number)
                waiting.extend(self.tables[number].variables)
        fewer: dict[int, Table] = {}
        for position, forbidden in refused.items():
            number = model.position_tables[position]
            rows = [not forbidden[options].all() for options in self.classes[position]]
            fewer[number] = select(self.tables[number], np.array(rows, np.bool_))
            if not fewer[number].rows:
                return None
        return [fewer.get(number, self.tables[number]) for number in sorted(chosen)]
