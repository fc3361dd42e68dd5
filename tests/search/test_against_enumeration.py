"""The search against full enumeration by python-constraint over the rule functions themselves."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest

from configurator.evaluation.packages import make_package
from configurator.search.circuit.passes import answer, forward
from configurator.search.circuit.semirings import Count
from configurator.search.optimum import k_best, preparing, queries, verification
from configurator.search.optimum.preparing import Question
from tests.search.random_cases import make

BATCH = 25


def everything(evaluation, job, rules=None):
    """All packages that keep the rules and the wishes, as {position: key} with their prices."""
    domains = {p: evaluation.options(p) for p in evaluation.families}
    result = {}
    for choice in verification.packages(evaluation, job, domains, rules=rules):
        key = tuple((p, o.key) for p, o in sorted(choice.items()))
        result[key] = make_package(evaluation, choice).price
    return result


@pytest.mark.parametrize("batch", range(12))
def test_previews_prices_order_and_counts(batch):
    for seed in range(batch * BATCH, (batch + 1) * BATCH):
        random_case = make(seed)
        evaluation, job = random_case.evaluation, random_case.case.job
        expected = everything(evaluation, job)
        prepared = preparing.prepare(evaluation, queries.goal_figures(job))
        cheapest = min(expected.values()) if expected else None
        assert queries.cheapest_price(Question(prepared, job)) == cheapest, seed

        previews = queries.previews(Question(prepared, job))
        assert previews.cheapest == cheapest
        for position, options in prepared.model.options.items():
            for number, option in enumerate(options):
                prices = [c for key, c in expected.items() if (position, option.key) in key]
                assert previews.prices[position][number] == min(prices, default=-1), (seed, option)

        listed = list(itertools.islice(k_best.in_order(Question(prepared, job)), len(expected) + 1))
        assert [price for price, _ in listed] == sorted(expected.values()), seed
        assert {
            tuple((p, o.key) for p, o in sorted(choice.items())): price for price, choice in listed
        } == expected
        for _, choice in listed[:3]:
            verification.confirm(evaluation, job, choice)

        for goal in job.goals:
            others = everything(evaluation, queries.without_goal(job, goal.figure))
            levels = {}
            domains = {p: {o.key: o for o in evaluation.options(p)} for p in evaluation.families}
            for key, price in others.items():
                value = evaluation.figure(goal.figure, {p: domains[p][k] for p, k in key})
                levels[value] = min(price, levels.get(value, price))
            curve = queries.curve(Question(prepared, job), goal.figure)
            assert dict(curve) == levels, seed


def test_some_problems_have_packages_and_some_have_none():
    sizes = [len(everything(make(seed).evaluation, make(seed).case.job)) for seed in range(120)]
    assert sum(size == 0 for size in sizes) > 10
    assert sum(size > 20 for size in sizes) > 10


def test_counting_all_packages_of_the_unmasked_circuit():
    for seed in range(60):
        random_case = make(seed)
        evaluation = random_case.evaluation
        free = queries.without_wishes(random_case.case.job)
        prepared = preparing.prepare(evaluation, [])
        expected = len(everything(evaluation, free))
        if not prepared.circuit.nodes:
            assert expected == 0
            continue
        weights = {
            prepared.model.position_tables[p]: seat_sizes.astype(float)
            for p, seat_sizes in queries.class_sizes(prepared).items()
        }
        count = answer(forward(prepared.circuit, weights, Count()), Count())
        assert count == expected, seed


def test_two_goals_on_one_figure_both_hold():
    dearer = 0
    for seed in range(120):
        case = make(seed)
        both = [g for g in case.case.job.goals if None not in (g.at_least, g.at_most)]
        if not both:
            continue
        goal, parted = both[0], [replace(both[0], at_least=None), replace(both[0], at_most=None)]
        prices = set()
        for goals in ([goal], parted, parted[::-1], parted[:1], parted[1:]):
            rest = (g for g in case.case.job.goals if g is not goal)
            job = replace(case.case.job, goals=(*goals, *rest))
            prepared = preparing.prepare(case.evaluation, queries.goal_figures(job))
            expected = everything(case.evaluation, job)
            cheapest = min(expected.values()) if expected else None
            assert queries.cheapest_price(Question(prepared, job)) == cheapest, seed
            prices.add(cheapest)
        dearer += len(prices) > 1
    assert dearer > 3
