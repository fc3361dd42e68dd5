"""Which packages keep law, plates and contact within usual tolerances."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from configurator.evaluation.how_sure import grade_of, is_sure
from configurator.evaluation.propagation import Propagation
from configurator.model.knowledge import checked_rules
from configurator.model.rules import TOLD_HOW_SURE, Limit, Total
from configurator.search.encoding import option_columns
from configurator.search.encoding.joint_values import JointValues
from configurator.search.optimum.uncertain_columns import UncertainColumns

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.search.encoding.sure_limits import SureTable

    Flags = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class SureLimits:
    """The limits that must hold within usual tolerances, where the circuit does not decide it.

    Parameters
    ----------
    by_parts
        Verdicts for the parts behind a limit.
    by_package
        Limits that are decided package by package.
    joint
        Values over all combinations of the options that are in packages.
    marked
        Whether all other limits are decided by the circuit; else each package is looked at by
        itself, as values of all combinations would take minutes.
    """

    by_parts: tuple[SureTable, ...]
    by_package: tuple[Limit | Total, ...]
    joint: JointValues
    marked: bool = True

    @classmethod
    def unmarked(cls, evaluation: Evaluation) -> SureLimits:
        """Decide all limits package by package."""
        every = tuple(
            rule
            for rule in checked_rules(evaluation.trade)
            if isinstance(rule, Limit | Total) and rule.concerns in TOLD_HOW_SURE
        )
        options = {p: evaluation.options(p) for p in evaluation.families}
        alive = {p: np.ones(len(own), np.bool_) for p, own in options.items()}
        return cls((), every, JointValues(evaluation, alive), marked=False)

    def kept_by(self, numbers: Mapping[str, NDArray[np.intp]], which: Flags) -> Flags:
        """Say of each of some packages whether it keeps them.

        Parameters
        ----------
        numbers
            Position → number of each package's option.
        which
            Those that are asked about; of the others it is no.
        """
        kept = which.copy()
        for table in self.by_parts:
            kept &= table.of(numbers)
        some = np.flatnonzero(kept)
        if not self.by_package or not len(some):
            return kept
        if not self.marked:
            evaluation = self.joint.evaluation
            options = {p: evaluation.options(p) for p in numbers}
            for at in some.tolist():
                choice = {p: options[p][int(own[at])] for p, own in numbers.items()}
                kept[at] = is_sure(evaluation, choice)
            return kept
        columns = UncertainColumns(self.joint, {p: own[some] for p, own in numbers.items()})
        for rule in self.by_package:
            kept[some] &= columns.sure(rule)
        return kept

    def unsure_of(self, numbers: Mapping[str, NDArray[np.intp]]) -> list[Limit | Total]:
        """List the limits that the first of some packages does not keep."""
        columns = UncertainColumns(self.joint, numbers)
        unsure: list[Limit | Total] = [t.rule for t in self.by_parts if not t.of(numbers)[0]]
        return [*unsure, *(rule for rule in self.by_package if not columns.sure(rule)[0])]

    def kept_by_one(self, evaluation: Evaluation, choice: Mapping[str, Option]) -> bool:
        """Say the same of one package: worked out for it alone, not by columns."""
        numbers = option_columns.numbers_of(evaluation, choice)
        if not all(bool(table.of(numbers)[0]) for table in self.by_parts):
            return False
        propagation = Propagation.of(evaluation, choice)
        return all(grade_of(propagation, rule) != "calculated" for rule in self.by_package)
