"""Which limits cannot hold within usual tolerances with a few wishes that can be met as calculated.

All rules hold as calculated there; what is searched for is a smallest set of limits that no package
holds within tolerances. The circuit answers that: each question counts the marks of some limits.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from configurator.evaluation.how_sure import unsure_rules
from configurator.model.knowledge import checked_rules
from configurator.search.explanation.quickxplain import smallest
from configurator.search.optimum import option_prices
from configurator.search.optimum.availability import can_be_had
from configurator.search.optimum.lately import Lately
from configurator.search.optimum.preparing import Question

if TYPE_CHECKING:
    from collections.abc import Collection

    from configurator.model.rules import Rule

# Packages to look at, for each set of limits, before sums over everything are called undecided.
PATIENCE = 400
# How many limits are taken up at once that a package does not surely keep.
AT_ONCE = 2


def holds_as_calculated(question: Question) -> bool:
    """Whether a job asks for what is sure, and can be met as calculated, as far as is known."""
    job = question.job
    if not job.sure or not question.model.limits_marked:
        return False
    return can_be_had(question.about(replace(job, sure=False)), PATIENCE) is not False


def smallest_limits(question: Question) -> list[tuple[Rule, bool]]:
    """Find a smallest set of limits that no package of a job holds within usual tolerances.

    Parameters
    ----------
    question
        A job that asks for what is sure, and that no package meets.

    Returns
    -------
    list of tuple
        Each limit, and whether it is shown that the others could be held without it. Empty where
        sums over everything leave it undecided.
    """
    names = _limits(question)
    gathered: list[str] = []
    while True:
        package = option_prices.some(_among(question, gathered), PATIENCE)
        if package.choice is None:
            if not package.proven:
                gathered = list(names)  # of them together it is known
            break
        unsure = [item.rule.name for item in unsure_rules(question.evaluation, package.choice)]
        fresh = [name for name in unsure if name in names and name not in gathered]
        if not fresh:
            return []
        gathered.extend(fresh[:AT_ONCE])

    known: dict[frozenset[str], bool | None] = {}

    def held(these: Collection[str]) -> bool | None:
        key = frozenset(these)
        if key not in known:
            known[key] = can_be_had(_among(question, these), PATIENCE)
        return known[key]

    conflicting = smallest([], gathered, lambda these: held(these) is not False)
    every = {rule.name: rule for rule in checked_rules(question.evaluation.trade)}
    return [
        (every[name], held([other for other in conflicting if other != name]) is True)
        for name in every
        if name in conflicting
    ]


def _limits(question: Question) -> list[str]:
    """Name the limits whose certainty is not given by itself."""
    model = question.model
    marked = [name for name, number in model.rule_tables.items() if number in model.sure_rows]
    by_parts = [table.rule.name for table in model.unsure_by_parts]
    return [*marked, *by_parts, *(rule.name for rule in model.unsure_by_package)]


def _among(question: Question, names: Collection[str]) -> Question:
    """Ask for certainty of some limits only."""
    model = question.model
    numbers = {model.rule_tables.get(name) for name in names}
    some = replace(
        model,
        sure_rows={n: rows for n, rows in model.sure_rows.items() if n in numbers},
        unsure_by_parts=[table for table in model.unsure_by_parts if table.rule.name in names],
        unsure_by_package=[rule for rule in model.unsure_by_package if rule.name in names],
    )
    prepared = replace(question.prepared, model=some, lately=Lately())
    return Question(prepared, question.job, question.picks)
