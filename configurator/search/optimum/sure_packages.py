"""Which packages keep law, plates and contact within usual tolerances."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from configurator.search.encoding import option_columns
from configurator.search.optimum.uncertain_columns import UncertainColumns

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.model.rules import Limit, Total
    from configurator.search.encoding.joint_values import JointValues
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
    """

    by_parts: tuple[SureTable, ...]
    by_package: tuple[Limit | Total, ...]
    joint: JointValues

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
        columns = UncertainColumns(self.joint, {p: own[some] for p, own in numbers.items()})
        for rule in self.by_package:
            kept[some] &= columns.sure(rule)
        return kept

    def kept_by_one(self, evaluation: Evaluation, choice: Mapping[str, Option]) -> bool:
        """Say the same of one package."""
        numbers = option_columns.numbers_of(evaluation, choice)
        return bool(self.kept_by(numbers, np.ones(1, np.bool_))[0])
