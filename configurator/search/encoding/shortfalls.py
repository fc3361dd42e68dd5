"""How far combinations of values are from what a rule asks: for a rule that is asked to be soft."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from configurator.model.parts import Missing
from configurator.model.rules import Limit
from configurator.model.verdicts import judge

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from configurator.evaluation.evaluator import Evaluation
    from configurator.model.parts import Value
    from configurator.model.rules import Rule


def shortfalls(
    evaluation: Evaluation, rule: Rule, seen: Sequence[tuple[Value, ...]], count: int
) -> NDArray[np.float64]:
    """Say of each combination how far it is from what a rule asks.

    Parameters
    ----------
    evaluation, rule
        The rule functions, and the rule.
    seen
        Combinations: what it reads, for a limit both bounds behind it.
    count
        How many values it reads.

    Returns
    -------
    array
        What is short [SI]; of a fit, 1 where it does not fit; 0 where nothing is.
    """
    short = np.zeros(len(seen))
    for row, values in enumerate(seen):
        value = evaluation.ask(rule, values[:count])
        if isinstance(rule, Limit):
            verdict = judge(value, values[count], values[count + 1])
            if verdict.holds is False and verdict.has is not None and verdict.needs is not None:
                short[row] = abs(verdict.has - verdict.needs)
        elif not (value is None or isinstance(value, Missing) or value):
            short[row] = 1.0
    return short
