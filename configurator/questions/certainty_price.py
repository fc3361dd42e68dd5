"""What certainty costs: the cheapest package as calculated, and within usual tolerances."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from configurator.evaluation.how_sure import is_sure
from configurator.questions.certainty_records import CertaintyPrice
from configurator.questions.explanations import ways_out
from configurator.search.optimum import lexicographic, option_prices, preparing, sure_ceilings
from configurator.search.optimum.preparing import Question

if TYPE_CHECKING:
    from configurator.model.jobs import Job
    from configurator.search.optimum.cheapest_package import CheapestPackage
    from configurator.search.optimum.preparing import Prepared

# Packages looked at without a proof before it is said that certainty is not decided.
PATIENCE = 2000


def made_sure(prepared: Prepared) -> Prepared:
    """Make a case ready for what is sure; as it is where it is so already."""
    model = prepared.model
    if model.asks_certainty:
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
        Whether a stop gives the totals without what could be had instead.
    """
    evaluation = prepared.evaluation
    asked = replace(evaluation.case.job, budget=None)
    plain = lexicographic.settle(Question(prepared, replace(asked, sure=False)))
    calculated = option_prices.cheapest(plain)
    if calculated.choice is None:
        return CertaintyPrice(calculated, calculated)
    if calculated.proven and is_sure(evaluation, calculated.choice):
        return CertaintyPrice(calculated, calculated)
    certain = _cheapest_sure(prepared, replace(asked, sure=True))
    if certain.choice is not None:
        both = calculated.choice, certain.choice
        differing = tuple(p for p in both[0] if both[0][p].key != both[1][p].key)
        return CertaintyPrice(calculated, certain, differing)
    if not certain.proven:
        return CertaintyPrice(calculated, certain)
    question = Question(made_sure(prepared), replace(asked, sure=True)).whole()
    return CertaintyPrice(calculated, certain, (), ways_out(question, (), partial=partial))


def _cheapest_sure(prepared: Prepared, asked: Job) -> CheapestPackage:
    """Find the cheapest package that is sure, among more and more of the options."""
    if any(goal.as_possible is not None for goal in asked.goals):
        prepared = made_sure(prepared)  # what is to be as high as possible is so whatever it costs
    return option_prices.cheapest(lexicographic.settle(Question(prepared, asked)), PATIENCE)


def options_within(prepared: Prepared, asked: Job, ceiling: int | None) -> dict[str, list[int]]:
    """Give the options that are in some package of a job up to a price, as calculated.

    A package that holds within tolerances holds as calculated: the cheapest of the former has no
    other options than these if it costs no more.

    Parameters
    ----------
    prepared
        The case; figures as calculated suffice.
    asked
        The job, what is to be as high or low as possible left aside.
    ceiling
        In minor units; None for whatever price.

    Returns
    -------
    dict
        Position → option numbers.
    """
    goals = tuple(replace(goal, as_possible=None) for goal in asked.goals)
    plain = replace(asked, goals=goals, budget=None, sure=True)
    prices = sure_ceilings.certain(Question(prepared, plain)).bounds.prices
    most = np.inf if ceiling is None else ceiling
    within = {p: np.flatnonzero((own >= 0) & (own <= most)) for p, own in prices.items()}
    return {position: numbers.tolist() for position, numbers in within.items()}
