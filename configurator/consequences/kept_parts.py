"""What a choice leaves alone: a package that keeps a part, and the numbers of its rules."""

from __future__ import annotations

from itertools import islice
from typing import TYPE_CHECKING

import numpy as np

from configurator.consequences.upgrade_records import Untouched
from configurator.evaluation.packages import make_package
from configurator.model.knowledge import checked_rules
from configurator.search.optimum import k_best, option_prices, resource_constraints, verification

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.model.rules import Rule
    from configurator.search.optimum.preparing import Question

# Packages that are looked at for one that keeps the sums, before that is said to be undecided.
PATIENCE = 400


def fewest_changes(question: Question) -> tuple[Mapping[str, Option] | None, bool]:
    """Find a package that changes as little as possible, and say whether the answer is proven.

    Packages near the vehicle as it stands are the ones that most likely keep its sums, and show
    best what a choice leaves alone.

    Returns
    -------
    tuple
        The package, confirmed by the referee; None and True if there is none, None and False if
        none was found among those looked at.
    """
    job = question.job
    evaluation = question.evaluation
    late = resource_constraints.late_of(question)
    changes = {
        position: np.array([int(option.changed) for option in options], np.int64)
        for position, options in question.model.options.items()
    }
    ordered = k_best.numbers_in_order(question, changes, 0)
    looked = 0
    for _, numbers in islice(ordered, PATIENCE):
        looked += 1
        choice = k_best.chosen(question.prepared, numbers)
        if resource_constraints.keeps_late(evaluation, job, late, choice) and within(
            make_package(evaluation, choice).price, job.budget
        ):
            return verification.confirm(evaluation, job, choice).choice, True
    if looked < PATIENCE:
        return None, True
    cheapest = option_prices.cheapest(question, PATIENCE)
    if cheapest.choice is not None and within(cheapest.price, job.budget):
        return verification.confirm(evaluation, job, cheapest.choice).choice, True
    return None, cheapest.proven


def within(price: int | None, budget: int | None) -> bool:
    """Whether there is a package (a price of -1 says no) and the budget, if any, bears it."""
    return price is not None and price >= 0 and (budget is None or price <= budget)


def rules_of(
    evaluation: Evaluation, position: str, choice: Mapping[str, Option]
) -> tuple[Untouched, ...]:
    """Hold the rules that read a position before and after; those on sums read everything."""
    rules = [
        _untouched(evaluation, rule, choice)
        for rule in checked_rules(evaluation.trade)
        if not evaluation.late(rule) and position in evaluation.reach(rule)
    ]
    return tuple(rule for rule in rules if rule is not None)


def _untouched(
    evaluation: Evaluation, rule: Rule, choice: Mapping[str, Option]
) -> Untouched | None:
    before = evaluation.verdict(rule, evaluation.fitted)
    after = evaluation.verdict(rule, choice)
    if before.holds is None and after.holds is None:
        return None
    same = (before.holds, before.has, before.needs) == (after.holds, after.has, after.needs)
    return Untouched(rule, before.has, after.has, after.needs, after.at_least, same)
