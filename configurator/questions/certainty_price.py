"""What certainty costs: the cheapest package as calculated, and within usual tolerances."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from configurator.evaluation.how_sure import unsure_rules
from configurator.questions.explanations import ways_out
from configurator.search.optimum import lexicographic, option_prices, preparing
from configurator.search.optimum.preparing import Question

if TYPE_CHECKING:
    from configurator.search.explanation.conflicts import Repair
    from configurator.search.optimum.option_prices import CheapestPackage
    from configurator.search.optimum.preparing import Prepared

# Packages looked at without a proof before it is said that certainty is not decided.
PATIENCE = 2000


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


def made_sure(prepared: Prepared) -> Prepared:
    """Make a case ready for what is sure; as it is where it is so already."""
    model = prepared.model
    if model.limits_marked:
        return prepared
    figures = [*model.goal_tables, *model.fixed_figures]
    return preparing.prepare(
        prepared.evaluation, figures, sure=True, keep=True, limits=prepared.limits
    )


def price_of_certainty(prepared: Prepared, *, partial: bool = False) -> CertaintyPrice:
    """Find both totals of a job.

    Parameters
    ----------
    prepared
        From `answers.ready`; made ready for what is sure only where the package that is cheapest as
        calculated is not.
    partial
        Whether Ctrl-C gives the totals without what could be had instead.
    """
    evaluation = prepared.evaluation
    asked = replace(evaluation.case.job, budget=None)
    plain = lexicographic.settle(Question(prepared, replace(asked, sure=False)))
    calculated = option_prices.cheapest(plain)
    if calculated.choice is None:
        return CertaintyPrice(calculated, calculated)
    if calculated.proven and not unsure_rules(evaluation, calculated.choice):
        return CertaintyPrice(calculated, calculated)
    question = Question(made_sure(prepared), replace(asked, sure=True))
    certain = option_prices.cheapest(lexicographic.settle(question), PATIENCE)
    if certain.choice is not None:
        both = calculated.choice, certain.choice
        differing = tuple(p for p in both[0] if both[0][p].key != both[1][p].key)
        return CertaintyPrice(calculated, certain, differing)
    instead = ways_out(question, (), partial=partial) if certain.proven else ()
    return CertaintyPrice(calculated, certain, (), instead)
