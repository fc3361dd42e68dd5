"""What certainty costs: the cheapest package as calculated, and within usual tolerances."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from configurator.questions.explanations import ways_out
from configurator.search.optimum import lexicographic, option_prices
from configurator.search.optimum.preparing import Question

if TYPE_CHECKING:
    from configurator.search.explanation.conflicts import Repair
    from configurator.search.optimum.option_prices import CheapestPackage
    from configurator.search.optimum.preparing import Prepared


@dataclass(frozen=True, slots=True)
class CertaintyPrice:
    """The two totals of a job, its budget left aside.

    Parameters
    ----------
    calculated
        The cheapest package that keeps everything as calculated.
    sure
        The cheapest one that keeps law, plates and clearances within usual tolerances.
    differing
        Positions at which the two differ, in order.
    instead
        Where no package is sure: what would have to give so that one is.
    """

    calculated: CheapestPackage
    sure: CheapestPackage
    differing: tuple[str, ...] = ()
    instead: tuple[Repair, ...] = ()


def price_of_certainty(prepared: Prepared, *, partial: bool = False) -> CertaintyPrice:
    """Find both totals of a job.

    Parameters
    ----------
    prepared
        From `answers.ready`, made ready for what is sure.
    partial
        Whether Ctrl-C gives the totals without what could be had instead.
    """
    asked = replace(prepared.evaluation.case.job, budget=None)
    both = []
    for sure in (False, True):
        question = lexicographic.settle(Question(prepared, replace(asked, sure=sure)))
        both.append(option_prices.cheapest(question))
    calculated, certain = both
    differing: tuple[str, ...] = ()
    instead: tuple[Repair, ...] = ()
    if calculated.choice is not None and certain.choice is not None:
        choices = calculated.choice, certain.choice
        differing = tuple(p for p in choices[0] if choices[0][p] is not choices[1][p])
    elif calculated.choice is not None and certain.proven:
        question = Question(prepared, replace(asked, sure=True))
        instead = ways_out(question, (), partial=partial)
    return CertaintyPrice(calculated, certain, differing, instead)
