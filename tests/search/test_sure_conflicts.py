"""Which limits cannot hold within tolerances together: no package does, and each is needed."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from configurator.evaluation.how_sure import is_sure, unsure_rules
from configurator.model.requirements import with_wishes
from configurator.search.explanation import conflicts
from configurator.search.limits import LIMITS
from configurator.search.optimum import preparing, queries, verification
from configurator.search.optimum.preparing import Question
from tests.search.test_certainty import sure_packages, with_tolerances


def packages_as_calculated(evaluation, job):
    """Give all packages that meet a job and keep all rules as calculated, budget included."""
    domains = {p: evaluation.options(p) for p in evaluation.families}
    return list(verification.packages(evaluation, replace(job, sure=False), domains))


@pytest.mark.parametrize("sums", [False, True])
@pytest.mark.parametrize("rows", [0, LIMITS.marked_rows], ids=["few marked", "all marked"])
def test_a_conflict_of_what_is_to_be_sure_is_one_and_is_smallest(sums, rows):
    explained = several = shown = 0
    for seed in range(150):
        random_case = with_tolerances(seed, sums=sums)
        evaluation, job = random_case.evaluation, random_case.case.job
        chance = random.Random(seed)
        packages = packages_as_calculated(evaluation, job)
        unsure = [choice for choice in packages if not is_sure(evaluation, choice)]
        if not unsure:
            continue
        choice = chance.choice(unsure)
        picks = chance.sample(sorted(choice), min(len(choice), chance.randint(1, 3)))
        job = replace(job, fixed={**job.fixed, **{p: choice[p].key for p in picks}})
        if any(sure_packages(evaluation, job)):
            continue
        limits = replace(LIMITS, marked_rows=rows)
        figures = queries.goal_figures(job)
        prepared = preparing.prepare(evaluation, figures, sure=True, limits=limits)
        reasons = conflicts.explain(Question(prepared, job))
        wishes = [reason.wish for reason in reasons if reason.wish is not None]
        rules = {reason.rule.name for reason in reasons if reason.rule is not None}
        assert rules, seed
        assert all(reason.within for reason in reasons if reason.rule is not None)
        unsure = [
            {item.rule.name for item in unsure_rules(evaluation, choice)}
            for choice in packages_as_calculated(evaluation, with_wishes(job, wishes))
        ]
        assert all(rules & own for own in unsure), seed
        needed = {reason.rule.name for reason in reasons if reason.rule and reason.needed}
        for name in needed:
            assert any(not (rules - {name}) & own for own in unsure), (seed, name)
        shown += needed == rules
        explained += 1
        several += len(rules) > 1
    assert explained > 2
    assert shown > 0.8 * explained
    assert several or not sums
