"""Conflicts cannot be met and are minimal; repairs work and are minimal: by enumeration."""

from __future__ import annotations

import itertools

import pytest

from configurator.packages import make_package
from configurator.search import conflicts, queries, referee
from configurator.trade import checked_rules
from configurator.wishes import Wish, wishes_of, with_wishes
from tests.search.random_cases import make


def holds(evaluation, job, rules=None):
    """Whether any package meets the job with these rules, the budget included."""
    domains = {p: evaluation.options(p) for p in evaluation.families}
    for choice in referee.packages(evaluation, job, domains, rules=rules):
        if job.budget is None or make_package(evaluation, choice).price <= job.budget:
            return True
    return False


def unmet(seeds):
    for seed in seeds:
        random_case = make(seed, families=4)
        evaluation, job = random_case.evaluation, random_case.case.job
        if not holds(evaluation, job):
            yield seed, evaluation, job


@pytest.mark.parametrize("start", range(0, 160, 20))
def test_conflicts_are_real_and_minimal(start):
    for seed, evaluation, job in unmet(range(start, start + 20)):
        prepared = queries.prepare(evaluation, queries.goal_figures(job))
        reasons = conflicts.explain(prepared, job)
        assert reasons, seed
        wishes = [r.wish for r in reasons if r.wish is not None]
        rules = [r.rule for r in reasons if r.rule is not None]
        assert not holds(evaluation, with_wishes(job, wishes), rules), seed
        for dropped in rules:
            rest = [rule for rule in rules if rule is not dropped]
            assert holds(evaluation, with_wishes(job, wishes), rest), (seed, dropped.name)
        # A wish is only in the conflict if all rules together need it there.
        for dropped in wishes:
            rest = [wish for wish in wishes if wish != dropped]
            assert holds(evaluation, with_wishes(job, rest)), (seed, dropped.name)


@pytest.mark.parametrize("start", range(0, 120, 20))
def test_repairs_are_all_the_smallest_ones(start):
    for seed, evaluation, job in unmet(range(start, start + 20)):
        prepared = queries.prepare(evaluation, queries.goal_figures(job))
        found = {
            frozenset(wish for wish, _ in repair.given_up): repair.price
            for repair in conflicts.repairs(prepared, job)
        }
        wishes = wishes_of(job)
        expected: set[frozenset[Wish]] = set()
        for size in (1, 2, 3):
            if size == 3 and expected:
                break
            for dropped in itertools.combinations(wishes, size):
                if any(smaller <= set(dropped) for smaller in expected):
                    continue
                rest = with_wishes(job, [w for w in wishes if w not in dropped])
                if holds(evaluation, rest):
                    expected.add(frozenset(dropped))
        assert set(found) == expected, seed


def test_why_not_one_part_names_that_part():
    told = 0
    for seed in range(60):
        random_case = make(seed, families=4)
        evaluation, job = random_case.evaluation, queries.without_wishes(random_case.case.job)
        prepared = queries.prepare(evaluation, [])
        prices = queries.previews(prepared, job).prices
        for position, options in prepared.model.options.items():
            for number, option in enumerate(options):
                if prices[position][number] >= 0:
                    continue
                pick = Wish("fixed", position, part=option.key)
                reasons = conflicts.explain(prepared, job, [pick])
                rules = [r.rule for r in reasons if r.rule is not None]
                assert rules, (seed, option.key)
                assert checked_rules(evaluation.trade)
                told += 1
    assert told > 20
