"""Price against time: from which wait on the cheapest package becomes cheaper."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from configurator.core.progress import report
from configurator.evaluation.lead_times import wait_of
from configurator.search.optimum import lexicographic, option_prices

if TYPE_CHECKING:
    from configurator.search.optimum.preparing import Question

# Packages looked at for each wait before its price is called the best found.
PATIENCE = 2000


@dataclass(frozen=True, slots=True)
class PriceByDelivery:
    """The cheapest package whose parts are all there within so many days.

    Parameters
    ----------
    days
        From the order until all parts are in the workshop.
    price
        In minor units.
    proven
        Whether there is none cheaper; else it is the best found.
    """

    days: int
    price: int
    proven: bool = True


def waits(question: Question) -> list[PriceByDelivery]:
    """Give each wait at which the price of the cheapest package changes, the shortest first.

    What the job says of waiting, and its budget, are left aside; its other wishes count. Parts
    whose lead time no list gives count as there in time, as everywhere.

    Parameters
    ----------
    question
        The case, and whose other wishes count.

    Returns
    -------
    list of Wait
        Empty where nothing fits, however long one waits.
    """
    evaluation = question.evaluation
    every = {
        wait_of(option, question.job.vehicles)
        for position in evaluation.families
        for option in evaluation.options(position)
    }
    longest_first = sorted((days for days in every if days is not None), reverse=True)
    levels: list[PriceByDelivery] = []
    for number, days in enumerate(longest_first):
        report(number, len(longest_first))
        asked = replace(question.job, parts_within=days, budget=None)
        cheapest = option_prices.cheapest(lexicographic.settle(question.about(asked)), PATIENCE)
        if cheapest.price is None:
            break  # with fewer parts to choose from there is no package either
        wait = PriceByDelivery(days, cheapest.price, cheapest.proven)
        if levels and (levels[-1].price, levels[-1].proven) == (wait.price, wait.proven):
            levels[-1] = wait  # the same can be had sooner
        else:
            levels.append(wait)
    return levels[::-1]
