"""Why an option does not fit, in one rule or wish: the first that rules it out, found cheaply.

What is decided, and what goals leave, is carried through the tables of all rules; each value that
is lost remembers which rule, or goal, it was lost by. That tells nearly all options at once. One
that is left is tried by itself: decided, and carried through. Where even that shows nothing, it is
several rules together, which `conflicts` names.

References
----------
.. [1] A. K. Mackworth, *Consistency in networks of relations*, Artificial Intelligence 8 (1977).
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from configurator.core.progress import check
from configurator.evaluation.lead_times import too_late
from configurator.model.knowledge import checked_rules
from configurator.model.requirements import Wish
from configurator.search.encoding import option_columns
from configurator.search.optimum import queries
from configurator.search.optimum.resource_constraints import SCALE, late_of, linear_limits
from configurator.search.optimum.verification import meets
from configurator.search.optimum.weighing import WEIGHTS, PricingProblem

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterable, Iterator, Mapping

    from numpy.typing import NDArray

    from configurator.evaluation.evaluator import Option
    from configurator.model.jobs import Job
    from configurator.model.rules import Rule
    from configurator.search.encoding.constraint_model import Model
    from configurator.search.optimum.preparing import Prepared, Question

    Flags = NDArray[np.bool_]

ReasonKind = Literal[
    "fixed", "keep", "ruled out", "parts within", "rule", "goal", "sum", "together"
]


@dataclass(frozen=True, slots=True)
class OptionReason:
    """The first thing found that rules an option out.

    Parameters
    ----------
    kind
        ``"fixed"``, ``"keep"``, ``"ruled out"`` and ``"parts within"``: what the job says of its
        position or of the part. ``"rule"``: one rule, whatever else is chosen of what is left.
        ``"goal"``: one goal. ``"sum"``: a limit on a sum that every package with it exceeds.
        ``"together"``: no single one of them.
    rule
        For ``"rule"`` and for a ``"sum"`` that a rule limits.
    wish
        For ``"goal"``, for a ``"sum"`` that a goal limits, and for what the job says of the part.
    beside
        Other positions that the rule reads and that are decided: fixed or kept.
    has, needs
        Where the numbers are known, in SI: the best that can be had with the option, and the bound.
    at_least
        Whether ``needs`` is a lower bound.
    """

    kind: ReasonKind
    rule: Rule | None = None
    wish: Wish | None = None
    beside: tuple[str, ...] = ()
    has: float | None = None
    needs: float | None = None
    at_least: bool = True


def option_reasons(
    question: Question,
    missing: Mapping[str, Collection[int]],
    before_each: Callable[[Mapping[str, Collection[int]]], None] | None = None,
) -> Iterator[tuple[str, int, OptionReason]]:
    """Say of options that do not fit why, those first that are told soonest.

    Parameters
    ----------
    question
        The case, and whose goals count; its budget is left aside.
    missing
        Position → numbers of options that are in no package.
    before_each
        Called with those that are left before they are tried one by one, which takes longer.

    Yields
    ------
    tuple
        Position, option number and reason: each once.
    """
    left: dict[str, set[int]] = {}
    for position, numbers in missing.items():
        left[position] = set()
        for number in numbers:
            reason = _of_job(question.model.options[position][number], question.job)
            if reason is None:
                left[position].add(number)
            else:
                yield position, number, reason
    if not any(left.values()):
        return
    carrying = _Carrying(question.model, question.job)
    steps = (
        _of_one_position(question.prepared, left),
        _of_tables(question, left, carrying),
        _of_sums(question, left),
    )
    for step in steps:
        for position, number, reason in step:
            if number in left[position]:
                left[position].discard(number)
                yield position, number, reason
    if before_each is not None:
        before_each(left)
    for position, numbers in left.items():
        for number in sorted(numbers):
            tried = _tried(question, position, number, carrying)
            yield position, number, tried or OptionReason("together")


def _of_job(option: Option, job: Job) -> OptionReason | None:
    """Give what the job itself says of a part or its position."""
    fixed = job.fixed.get(option.position)
    if fixed is not None and fixed != option.key:
        return OptionReason("fixed", wish=Wish("fixed", option.position, part=fixed))
    if option.position in job.keep and option.changed:
        return OptionReason("keep", wish=Wish("keep", option.position))
    if option.key in job.excluded:
        return OptionReason("ruled out", wish=Wish("ruled out", option.key))
    if too_late(job, option):
        wish = Wish("parts within", bound=float(job.parts_within or 0))
        return OptionReason("parts within", wish=wish, at_least=False, needs=wish.bound)
    return None


def _of_one_position(
    prepared: Prepared, left: Mapping[str, set[int]]
) -> Iterator[tuple[str, int, OptionReason]]:
    """Rules that forbid an option by itself, with their numbers."""
    evaluation, model = prepared.evaluation, prepared.model
    for rule in checked_rules(evaluation.trade):
        reach = evaluation.reach(rule)
        if evaluation.late(rule) or len(reach) > 1:
            continue
        for position in reach or left:
            if reach and position in left:
                refused = option_columns.refused(evaluation, position, rule)
            elif not reach and rule.name in model.broken:
                refused = np.ones(len(model.options[position]), np.bool_)
            else:
                continue
            for number in sorted(n for n in left[position] if refused[n]):
                option = model.options[position][number]
                verdict = evaluation.verdict(rule, {**evaluation.fitted, position: option})
                yield (
                    position,
                    number,
                    OptionReason(
                        "rule",
                        rule,
                        has=verdict.has,
                        needs=verdict.needs,
                        at_least=verdict.at_least,
                    ),
                )


# -- through all tables --------------------------------------------------------------------------


class _Carrying:
    """Values that are left of each variable, and by which table each other was lost."""

    def __init__(self, model: Model, job: Job) -> None:
        self.model = model
        self.alive = [np.ones(size, np.bool_) for size in model.sizes]
        self.lost_by = [np.full(size, -1, np.int64) for size in model.sizes]
        self.rows = [np.ones(table.rows, np.bool_) for table in model.tables]
        self.row_lost_by = [np.full(table.rows, -1, np.int64) for table in model.tables]
        # A table that tells a value judges nothing: what is lost in it was lost elsewhere.
        self.telling = np.zeros(len(model.tables), np.bool_)
        self.telling[model.told_by] = True
        self.users: list[list[int]] = [[] for _ in model.sizes]
        for number, table in enumerate(model.tables):
            for variable in table.variables:
                self.users[variable].append(number)
        for position, number in model.position_tables.items():
            mask = queries.allowed(model, job, position)
            if mask is not None:
                classes = model.classes[position]
                self.rows[number] &= np.array([bool(mask[c].any()) for c in classes], np.bool_)
        for number, sure in model.sure_rows.items() if job.sure else ():
            self.rows[number] &= sure
        for goal in job.goals:
            number = model.goal_tables.get(goal.figure, -1)
            if number >= 0 and (goal.at_least is not None or goal.at_most is not None):
                variable = model.tables[number].variables[0]
                met = [meets(goal, value) for value in model.values[variable]]
                self.rows[number] &= np.array(met, np.bool_)[model.tables[number].columns[0]]

    def copy(self) -> _Carrying:
        other = object.__new__(_Carrying)
        other.model, other.telling, other.users = self.model, self.telling, self.users
        other.alive = [each.copy() for each in self.alive]
        other.lost_by = [each.copy() for each in self.lost_by]
        other.rows = [each.copy() for each in self.rows]
        other.row_lost_by = [each.copy() for each in self.row_lost_by]
        return other

    def carry(self, begin: Iterable[int]) -> int | None:
        """Carry what is lost through all tables; return by which one of them nothing is left."""
        waiting = deque(begin)
        queued = set(waiting)
        while waiting:
            check()
            number = waiting.popleft()
            queued.discard(number)
            changed = self._revise(number)
            if not self.rows[number].any():
                return self._cause(number)
            for variable in changed:
                for other in self.users[variable]:
                    if other != number and other not in queued:
                        waiting.append(other)
                        queued.add(other)
        return None

    def _cause(self, number: int) -> int:
        """Say which table rules out all rows of one."""
        if not self.telling[number]:
            return number
        causes = self.row_lost_by[number]
        causes = causes[causes >= 0]
        ruled = causes[~self.telling[causes]]
        return int(ruled[-1] if len(ruled) else causes[-1] if len(causes) else number)

    def _revise(self, number: int) -> list[int]:
        """Drop rows whose values are lost, then values without a row; name what changed."""
        table = self.model.tables[number]
        judging = not self.telling[number]
        rows, row_lost_by = self.rows[number], self.row_lost_by[number]
        for variable, column in zip(table.variables, table.columns, strict=True):
            gone = rows & ~self.alive[variable][column]
            if gone.any():
                rows &= ~gone
                cause = self.lost_by[variable][column[gone]]
                row_lost_by[gone] = number if judging else cause
        changed = []
        for variable, column in zip(table.variables, table.columns, strict=True):
            supported = np.zeros(len(self.alive[variable]), np.bool_)
            supported[column[rows]] = True
            lost = self.alive[variable] & ~supported
            if not lost.any():
                continue
            self.alive[variable] &= supported
            causes = np.full(len(lost), number, np.int64)
            if not judging:
                dead = np.flatnonzero(row_lost_by >= 0)
                causes[column[dead]] = row_lost_by[dead]
                # Rather a rule than that another position is decided.
                ruled = dead[~self.telling[row_lost_by[dead]]]
                causes[column[ruled]] = row_lost_by[ruled]
            self.lost_by[variable][lost] = causes[lost]
            changed.append(variable)
        return changed


def _of_tables(
    question: Question, left: Mapping[str, set[int]], carrying: _Carrying
) -> Iterator[tuple[str, int, OptionReason]]:
    model = question.model
    carrying.carry(range(len(model.tables)))
    for position, numbers in left.items():
        table = model.position_tables[position]
        lost = carrying.row_lost_by[table]
        for row, members in enumerate(model.classes[position]):
            if lost[row] >= 0 and numbers:
                reason = _reason(question, int(lost[row]), position)
                for number in sorted(numbers.intersection(members.tolist())):
                    yield position, number, reason


def _reason(question: Question, table: int, position: str) -> OptionReason:
    """Name the rule or the goal that a table stands for."""
    job = question.job
    model, evaluation = question.model, question.evaluation
    name = model.tables[table].name
    if table in model.goal_tables.values():
        goal = next(goal for goal in job.goals if goal.figure == name)
        at_least = goal.at_least is not None
        bound = goal.at_least if goal.at_least is not None else goal.at_most
        wish = Wish("at least" if at_least else "at most", name, bound=float(bound or 0.0))
        return OptionReason("goal", wish=wish, needs=bound, at_least=at_least)
    rule = next((rule for rule in checked_rules(evaluation.trade) if rule.name == name), None)
    if rule is None or table not in model.rule_tables.values():
        return OptionReason("together")
    decided = {*job.fixed, *job.keep} - {position}
    beside = tuple(sorted(evaluation.reach(rule) & decided))
    return OptionReason("rule", rule, beside=beside)


def _tried(
    question: Question, position: str, number: int, carried: _Carrying
) -> OptionReason | None:
    """Decide for an option and carry that through: what leaves nothing rules it out."""
    model = question.model
    carrying = carried.copy()
    table = model.position_tables[position]
    row = next((r for r, m in enumerate(model.classes[position]) if number in m), None)
    if row is None:
        return None
    only = np.zeros(model.tables[table].rows, np.bool_)
    only[row] = True
    carrying.rows[table] &= only
    cause = carrying.carry([table])
    return None if cause is None else _reason(question, cause, position)


def _of_sums(
    question: Question, left: Mapping[str, set[int]]
) -> Iterator[tuple[str, int, OptionReason]]:
    """Options with which the least of a sum is too much, with the numbers."""
    if (
        question.prepared.loose is not None
        or not any(left.values())
        or not question.prepared.circuit.nodes
    ):
        return
    late, evaluation = late_of(question), question.evaluation
    problem = PricingProblem(question)
    for limit in linear_limits(late.ceilings):
        passed = problem.passed(problem.weighed(0, [limit], [1]))
        if passed is None:
            return
        ceiling = min(
            (c for c in late.ceilings if c.room >= limit.room and _alike(c.shares, limit.shares)),
            key=lambda c: c.room,
            default=None,
        )
        for position, numbers in left.items():
            least = passed.least(position)
            for number in sorted(numbers):
                if not limit.room < least[number] < WEIGHTS.impossible or ceiling is None:
                    continue
                total = evaluation.trade.totals[ceiling.name]
                start = float(evaluation.bound(total, total.start, {}))
                sign = -1 if ceiling.turned else 1
                yield (
                    position,
                    number,
                    OptionReason(
                        "sum",
                        None if ceiling.asked else total,
                        Wish("at least" if ceiling.turned else "at most", ceiling.name)
                        if ceiling.asked
                        else None,
                        has=start + sign * int(least[number]) / SCALE,
                        needs=start + sign * (limit.room - 1) / SCALE,
                        at_least=ceiling.turned,
                    ),
                )


def _alike(shares: Mapping[str, NDArray[np.int64]], other: Mapping[str, NDArray[np.int64]]) -> bool:
    return all(np.array_equal(each, other[position]) for position, each in shares.items())
