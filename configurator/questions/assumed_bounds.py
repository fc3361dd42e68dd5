"""What the cheapest package costs where an assumed measure usually lies: the job solved anew."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.core.errors import InputError
from configurator.core.progress import report
from configurator.evaluation.assumed import with_measure
from configurator.questions import answers

if TYPE_CHECKING:
    from collections.abc import Sequence

    from configurator.evaluation.assumed import AssumedMeasure
    from configurator.model.parts import Value
    from configurator.search.optimum.preparing import Prepared


def prices_at_bounds(
    prepared: Prepared,
    assumed: Sequence[AssumedMeasure],
    *,
    keep: bool = True,
) -> dict[tuple[str, Value], int | None]:
    """Find the price of the cheapest package with each assumed measure at each usual bound.

    Parameters
    ----------
    prepared
        The job with what was assumed.
    assumed
        From `configurator.evaluation.assumed.assumed_of`.
    keep
        Whether plans are kept on disk.

    Returns
    -------
    dict
        Measure and value [SI] → price [minor units]; None where nothing fits. A bound at which the
        search gave up before anything was proven is left out.
    """
    evaluation = prepared.evaluation
    bounds = [(item.measure.name, bound.value) for item in assumed for bound in item.bounds]
    prices: dict[tuple[str, Value], int | None] = {}
    for done, (name, value) in enumerate(bounds):
        report(done, len(bounds))
        case = with_measure(evaluation.case, name, value)
        try:
            answer = answers.find(answers.ready(case, evaluation.trade, keep=keep))
        except InputError:  # a goal cannot be worked out there
            continue
        if answer.outcome == "found":
            prices[name, value] = answer.packages[0].price
        elif answer.outcome == "nothing fits":
            prices[name, value] = None
    return prices
