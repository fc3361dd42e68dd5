"""What is possible at all, told by any package: against enumeration, with limits that bind."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from configurator.evaluation.packages import make_package
from configurator.model.knowledge import checked_rules
from configurator.search.explanation.rule_subsets import RuleSubsets
from configurator.search.limits import LIMITS
from configurator.search.optimum import preparing, queries, verification
from configurator.search.optimum.availability import available, can_be_had
from configurator.search.optimum.preparing import Question
from tests.search.random_cases import make
from tests.search.tight_cases import tight_case

ENOUGH = 100_000


def budgets_of(prices):
    """No budget, one below the cheapest, and some at which part of the packages can be had."""
    ordered = sorted(prices)
    if not ordered:
        return [None]
    return [None, ordered[0] - 1, ordered[0], ordered[len(ordered) // 2]]


@pytest.mark.parametrize("start", range(0, 160, 20))
def test_options_are_possible_if_a_listed_package_has_them(start):
    for seed in range(start, start + 20):
        case = tight_case(seed)
        if case is None:
            continue
        prepared = preparing.prepare(case.evaluation, queries.goal_figures(case.job))
        for budget in budgets_of(case.packages.values()):
            job = replace(case.job, budget=budget)
            packages = [
                dict(package)
                for package, price in case.packages.items()
                if budget is None or price <= budget
            ]
            question = Question(prepared, job)
            known = available(question, listed=ENOUGH)
            for position, options in prepared.model.options.items():
                there = [any(p[position] == option.key for p in packages) for option in options]
                assert known.proven[position].all(), (seed, budget, position)
                assert known.possible[position].tolist() == there, (seed, budget, position)
            assert can_be_had(question) is bool(packages), (seed, budget)


@pytest.mark.parametrize("start", range(0, 60, 20))
def test_few_rules_are_kept_together_as_enumeration_says(start):
    held = fewer = 0
    for seed in range(start, start + 20):
        random_case = make(seed, families=4)
        evaluation = random_case.evaluation
        budget = random_case.case.job.budget if seed % 2 else None
        job = replace(random_case.case.job, budget=budget, parts_within=None)
        every = [rule for rule in checked_rules(evaluation.trade) if not evaluation.late(rule)]
        subsets = RuleSubsets(evaluation, job, every, list(evaluation.families), LIMITS)
        chance = random.Random(f"subsets {seed}")
        domains = {p: evaluation.options(p) for p in evaluation.families}

        def packages(rules, evaluation=evaluation, job=job, domains=domains):
            for choice in verification.packages(evaluation, job, domains, rules=rules):
                if job.budget is None or make_package(evaluation, choice).price <= job.budget:
                    yield choice

        for _ in range(4):
            rules = chance.sample(every, chance.randint(0, len(every)))
            names = [rule.name for rule in rules]
            known = subsets.ask(rules)
            assert known.holds is (next(packages(rules), None) is not None), (seed, names)
            if known.holds:
                held += 1
                there = known.choice.items()
                assert any(
                    all(choice[p].key == o.key for p, o in there) for choice in packages(rules)
                ), (seed, names)
            else:
                conflict = [rule for rule in rules if rule.name in known.conflict]
                fewer += len(conflict) < len(rules)
                assert next(packages(conflict), None) is None, (seed, names)
    assert held
    assert fewer
