"""Which options are in some package that keeps everything: any package settles it.

That is known sooner than what the cheapest such package costs: where the cheapest exceeds a limit
on a sum, the lightest mostly does not, and one proof less is needed for each option.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from configurator.search.optimum import k_best, option_prices, queries
from configurator.search.optimum.constrained_prices import LISTED, Pricing
from configurator.search.optimum.known_prices import ANY
from configurator.search.optimum.resource_constraints import has_late, keeps_late, late_of
from configurator.search.optimum.weighing import PricingProblem

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.search.optimum.preparing import Question

    Flags = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Availability:
    """Position → for each option whether a package with it meets a job, the budget included.

    Parameters
    ----------
    possible
        Whether nothing rules it out.
    proven
        Whether that is proven; where it is not, there may be no package all the same.
    """

    possible: Mapping[str, Flags]
    proven: Mapping[str, Flags]


def available(
    question: Question,
    positions: Collection[str] | None = None,
    listed: int = LISTED,
    among: Mapping[str, Sequence[int]] | None = None,
) -> Availability:
    """Say of every option of some positions, all by default, whether a package may have it.

    Parameters
    ----------
    question
        The case, and whose goals and budget count.
    positions
        Whose options are asked about.
    listed
        How many packages are looked at in all for what rules on several sums leave open.
    among
        Position → the numbers of the only options that are asked about; of the others is said
        only what nothing costs less than says.
    """
    budget = question.job.budget
    bounds = queries.previews(question, positions)
    possible = {}
    for position, prices in bounds.prices.items():
        possible[position] = (prices >= 0) if budget is None else (prices >= 0) & (prices <= budget)
    late = late_of(question)
    if not has_late(question.evaluation, question.job, replace(late, loose=False)):
        exact = bounds.exact
        return Availability(possible, {p: exact[p] | ~own for p, own in possible.items()})
    if question.prepared.loose is not None:
        return Availability(possible, {p: ~own for p, own in possible.items()})
    asked = {position: np.flatnonzero(own) for position, own in possible.items()}
    for position, numbers in (among or {}).items():
        asked[position] = np.intersect1d(asked[position], np.array(numbers, np.intp))
    proven = {position: ~own for position, own in possible.items()}
    if not any(len(numbers) for numbers in asked.values()):
        return Availability(possible, proven)
    problem = PricingProblem(question)
    enough = ANY if budget is None else budget
    known = Pricing(problem, asked, listed=listed, enough=enough).work_out()
    for number, position in enumerate(problem.positions):
        here = known.position == number
        if position in possible:
            possible[position][known.option[here]] = ~known.refused[here]
            proven[position][known.option[here]] = ~known.open[here]
    return Availability(possible, proven)


def can_be_had(question: Question, patience: int = option_prices.PATIENCE) -> bool | None:
    """Whether some package meets a job, the budget included; None where that is not settled.

    Parameters
    ----------
    question
        The case, and whose goals and budget count.
    patience
        How many packages to look at without a proof.
    """
    price, budget = queries.cheapest_price(question), question.job.budget
    if price is None or (budget is not None and price > budget):
        return False
    late = late_of(question)
    if not has_late(question.evaluation, question.job, late):
        return True
    if question.prepared.loose is not None:
        package = option_prices.some(question, patience)
        return package.choice is not None or (False if package.proven else None)
    # Mostly no limit binds, and the cheapest package is all that has to be looked at.
    first = next(k_best.numbers_in_order(question), None)
    if first is not None:
        choice = k_best.chosen(question.prepared, first[1])
        if keeps_late(question.evaluation, question.job, late, choice):
            return True
    enough = ANY if budget is None else budget
    problem = PricingProblem(question)
    known = Pricing(problem, {}, root=True, listed=patience, enough=enough).work_out()
    return None if known.open[-1] else not bool(known.refused[-1])
