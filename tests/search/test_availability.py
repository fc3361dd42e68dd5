"""What is possible at all, told by any package: against enumeration, with limits that bind."""

from __future__ import annotations

import itertools
import random
from dataclasses import replace

import numpy as np
import pytest

from configurator.model.knowledge import checked_rules
from configurator.search.encoding.tables import Table
from configurator.search.explanation.joint_consistency import met_together
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


def random_tables(chance):
    """A few tables of two or three variables each, in rings and without."""
    sizes = [chance.choice((1, 2, 3)) for _ in range(chance.randint(2, 6))]
    tables = []
    for number in range(chance.randint(1, 7)):
        variables = tuple(
            chance.sample(range(len(sizes)), min(len(sizes), chance.choice((1, 2, 2, 3))))
        )
        every = list(itertools.product(*(range(sizes[v]) for v in variables)))
        rows = chance.sample(every, max(1, round(len(every) * chance.choice((0.4, 0.6, 0.9)))))
        columns = tuple(np.array(column, np.int32) for column in zip(*rows, strict=True))
        tables.append(Table(f"table {number}", variables, columns, len(rows)))
    return tables, sizes


def test_tables_are_met_together_if_some_values_meet_them_all():
    answers = []
    for seed in range(1500):
        tables, sizes = random_tables(random.Random(seed))
        allowed = [set(zip(*map(list, table.columns), strict=True)) for table in tables]
        expected = any(
            all(
                tuple(values[v] for v in table.variables) in rows
                for table, rows in zip(tables, allowed, strict=True)
            )
            for values in itertools.product(*map(range, sizes))
        )
        assert met_together(tables, sizes) is expected, seed
        answers.append(expected)
    assert 200 < sum(answers) < 1300


@pytest.mark.parametrize("start", range(0, 60, 20))
def test_few_rules_are_kept_together_as_enumeration_says(start):
    for seed in range(start, start + 20):
        random_case = make(seed, families=4)
        evaluation = random_case.evaluation
        job = replace(random_case.case.job, budget=None, parts_within=None)
        every = [rule for rule in checked_rules(evaluation.trade) if not evaluation.late(rule)]
        subsets = RuleSubsets(evaluation, job, every, list(evaluation.families), LIMITS)
        chance = random.Random(f"subsets {seed}")
        domains = {p: evaluation.options(p) for p in evaluation.families}
        for _ in range(4):
            rules = chance.sample(every, chance.randint(0, len(every)))
            listed = verification.packages(evaluation, job, domains, rules=rules)
            names = [rule.name for rule in rules]
            assert subsets.hold(rules) is (next(listed, None) is not None), (seed, names)
