"""Whether a package keeps a few of some rules, asked for many such sets: tables are made once.

Only what a set reads is looked at, and only whether there is a package, not which. So a question
takes a small part of what finding the cheapest package under the same rules does.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from configurator.search.encoding.encoder import make_model
from configurator.search.encoding.tables import select, supported
from configurator.search.explanation.joint_consistency import agreeing_tables, met_together
from configurator.search.optimum import queries
from configurator.search.optimum.narrowing import rows_left

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence
    from collections.abc import Set as AbstractSet

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
        self._asked: dict[frozenset[str], TablesOfRules | None] = {}

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
        key = frozenset(rule.name for rule in alone)
        if key not in self._asked:
            self._asked[key] = self._tables([*self.wide, *alone])
        asked = self._asked[key]
        if asked is None or asked.model.late:
            return None if asked is not None else False
        return met_together(asked.of({rule.name for rule in rules}), asked.model.sizes)

    def _tables(self, rules: Sequence[Rule]) -> TablesOfRules | None:
        """Make the tables of rules, and of what they read; None if no package has the picks."""
        model = make_model(
            self.evaluation,
            queries.goal_figures(self.job),
            rules=rules,
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
        agreeing = agreeing_tables([current[number] for number in common], model.sizes)
        if agreeing is None:
            return None
        for number, table in zip(common, agreeing, strict=True):
            current[number] = table
        for number in judging:
            for v in current[number].variables:
                current[number] = select(
                    current[number],
                    supported(current[number], current[model.told_by[v]], model.sizes),
                )
        return TablesOfRules(model, current, common)


@dataclass(frozen=True, slots=True)
class TablesOfRules:
    """Tables of rules, and those that count whichever rules are asked about."""

    model: Model
    tables: Sequence[Table]
    common: Sequence[int]

    def of(self, names: AbstractSet[str]) -> list[Table]:
        """Give the tables of some rules, and all that they and the goals read."""
        model = self.model
        chosen = {n for name, n in model.rule_tables.items() if name in names}
        chosen |= set(model.goal_tables.values())
        waiting = [v for number in chosen for v in self.tables[number].variables]
        while waiting:
            number = model.told_by[waiting.pop()]
            if number not in chosen:
                chosen.add(number)
                waiting.extend(self.tables[number].variables)
        return [self.tables[number] for number in sorted(chosen)]
