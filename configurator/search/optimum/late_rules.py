"""What is decided on whole packages, asked of many packages at once: column by column.

The functions are the rules' own, asked once for the same inputs; only the walk through figures and
sums is done for all packages together.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from configurator.core import units
from configurator.evaluation.sure_figures import value_of
from configurator.model.parts import Missing
from configurator.model.references import FigureValue, PartValue
from configurator.model.rules import Limit, Total
from configurator.model.sure_goals import parted
from configurator.model.verdicts import TOLERANCE
from configurator.search.encoding import option_columns
from configurator.search.encoding.joint_values import JointValues
from configurator.search.optimum.uncertain_columns import UncertainColumns
from configurator.search.optimum.verification import meets

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.evaluation.evaluator import Evaluation
    from configurator.model.jobs import Job
    from configurator.model.parts import Value
    from configurator.model.references import Reference
    from configurator.model.rules import Figure, Rule
    from configurator.search.optimum.resource_constraints import Late

    Numbers = Mapping[str, NDArray[np.intp]]


def kept_by(evaluation: Evaluation, job: Job, late: Late, numbers: Numbers) -> NDArray[np.bool_]:
    """Say of each of some packages whether it keeps all that is decided on whole packages.

    Parameters
    ----------
    evaluation, job, late
        The case, whose goals count, and what is decided so.
    numbers
        Position → number of each package's option, in the order of positions.

    Returns
    -------
    array of bool
        As `resource_constraints.keeps_late` says of each.
    """
    many = len(next(iter(numbers.values()), ()))
    columns = PackageColumns(evaluation, numbers, late.joint)
    kept = np.ones(many, np.bool_)
    for rule in late.rules:
        kept &= columns.verdicts(rule)
    for goal in job.goals:
        if evaluation.late(evaluation.definition(goal.figure)):
            met = [meets(goal, value) for value in columns.figure(goal.figure)]
            kept &= np.array(met, np.bool_)
    return kept if late.sure is None else late.sure.kept_by(numbers, kept)


class PackageColumns:
    """Values of references in many packages, a list for each; every figure is worked out once.

    Parameters
    ----------
    evaluation, numbers
        As for `kept_by`.
    joint
        Values over all combinations of parts, where they are known.
    """

    def __init__(
        self, evaluation: Evaluation, numbers: Numbers, joint: JointValues | None = None
    ) -> None:
        self.evaluation, self.joint = evaluation, joint
        self.numbers = numbers
        self.many = len(next(iter(numbers.values()), ()))
        self._known: dict[str, list[Value]] = {}

    def value(self, reference: Reference) -> list[Value]:
        """Give the value of a reference in each package."""
        if isinstance(reference, PartValue):
            key = str(reference)
            if key not in self._known:
                known = option_columns.column(self.evaluation, reference.position, reference)
                codes = known.codes[self.numbers[reference.position]]
                self._known[key] = [known.values[code] for code in codes.tolist()]
            return self._known[key]
        if isinstance(reference, FigureValue) and not reference.before:
            return self.figure(reference.name)
        return [self.evaluation.constant(reference)] * self.many

    def figure(self, name: str) -> list[Value]:
        """Give the value of a figure or a total in each package."""
        if name not in self._known:
            rule = self.evaluation.definition(name)
            if isinstance(rule, Total):
                self._known[name] = self.total(rule)
            elif parted(name)[1] is None:
                self._known[name] = self._worked_out(rule)
            else:
                self._known[name] = self._surely(rule)
        return self._known[name]

    def _surely(self, rule: Figure) -> list[Value]:
        """Give what a figure comes to at the least, or at the most."""
        figure = FigureValue(parted(rule.name)[0])
        joint = self.joint or JointValues(self.evaluation, self._every())
        exact, widths = UncertainColumns(joint, self.numbers).within(figure)
        known = zip(self.figure(figure.name), exact, widths, strict=True)
        return [value_of(rule, *each) for each in known]

    def _every(self) -> dict[str, NDArray[np.bool_]]:
        options = {position: self.evaluation.options(position) for position in self.numbers}
        return {position: np.ones(len(each), np.bool_) for position, each in options.items()}

    def total(self, rule: Total) -> list[Value]:
        """Sum a total over each package, in the same order as over one."""
        start = self.evaluation.bound(rule, rule.start, {})
        if isinstance(start, Missing) or start is None:
            return [Missing.UNKNOWN] * self.many
        amount = np.full(self.many, float(start))
        for position, chosen in self.numbers.items():
            amount += shares_of(self.evaluation, rule, position)[chosen]
        return [
            Missing.UNKNOWN if value != value else units.normalise(value)
            for value in amount.tolist()
        ]

    def _worked_out(self, rule: Figure) -> list[Value]:
        return self._asked(rule, lambda values: self.evaluation.work_out(rule, values))

    def _asked(self, rule: Rule, ask: Any) -> list[Any]:
        """Ask for the inputs in each package, and only once for the same."""
        inputs: Sequence[Any] = rule.inputs
        if not inputs:
            return [ask(())] * self.many
        rows = list(zip(*(self.value(rule_input.reference) for rule_input in inputs), strict=True))
        answers = {row: ask(row) for row in set(rows)}
        return [answers[row] for row in rows]

    def verdicts(self, rule: Rule) -> NDArray[np.bool_]:
        """Say of each package whether it does not break a rule."""
        if isinstance(rule, Total):
            has = self.total(rule)
        else:
            has = self._asked(rule, lambda values: self.evaluation.ask(rule, values))
        if not isinstance(rule, Limit | Total):
            holds = [_may_hold(answer) for answer in has]
            return np.array(holds, np.bool_)
        amount = _numbers(has)
        known, kept = ~np.isnan(amount), np.ones(self.many, np.bool_)
        for bound, sign in ((rule.at_least, 1.0), (rule.at_most, -1.0)):
            if bound is not None:  # as `verdicts.keeps` says of each
                held = _numbers(self._bound(rule, bound))
                known &= ~np.isnan(held)
                slack = TOLERANCE * np.maximum(1.0, np.abs(held))
                kept &= sign * amount >= sign * held - slack
        return kept | ~known

    def _bound(self, rule: Limit | Total, bound: Any) -> list[Any]:
        if bound is None or isinstance(bound, int | float):
            return [self.evaluation.bound(rule, bound, {})] * self.many
        return self.value(bound)


def _numbers(values: Sequence[Any]) -> NDArray[np.float64]:
    """Give values as numbers; not a number (NaN) where one is missing."""
    missing = (None, *Missing)
    return np.array([np.nan if value in missing else value for value in values], np.float64)


def _may_hold(answer: Any) -> bool:
    """Whether an answer to a fit is not no; one that could not be given is not."""
    return answer is None or isinstance(answer, Missing) or bool(answer)


def shares_of(evaluation: Evaluation, rule: Total, position: str) -> NDArray[np.float64]:
    """Give what each option of a position adds to a sum [SI]; NaN where that is not known."""
    key = ("float shares", rule.name, position)
    if key not in evaluation.answers:
        result = [evaluation.share(rule, option) for option in evaluation.options(position)]
        evaluation.answers[key] = np.array(
            [np.nan if isinstance(value, Missing) else value for value in result], np.float64
        )
    kept: NDArray[np.float64] = evaluation.answers[key]
    return kept
