"""Sums over everything beside the price: against full enumeration."""

from __future__ import annotations

from dataclasses import replace

import pytest

from configurator.model.requirements import with_wishes
from configurator.questions import answers
from configurator.search.explanation import conflicts
from configurator.search.optimum import option_prices, preparing, queries
from configurator.search.optimum.preparing import Question
from tests.search.random_cases import make
from tests.search.test_against_enumeration import everything


@pytest.mark.parametrize("start", range(0, 240, 30))
def test_packages_in_order_of_price_keep_every_sum(start):
    for seed in range(start, start + 30):
        random_case = make(seed, sums=True)
        evaluation, job = random_case.evaluation, random_case.case.job
        expected = everything(evaluation, job)
        prepared = preparing.prepare(evaluation, queries.goal_figures(job))
        packages = list(option_prices.in_order(Question(prepared, job)))
        assert all(proven for _, _, proven in packages)
        assert [price for price, _, _ in packages] == sorted(expected.values()), seed
        assert {
            tuple((p, o.key) for p, o in sorted(choice.items())): price
            for price, choice, _ in packages
        } == expected


def test_the_sums_bite():
    bitten = 0
    for seed in range(60):
        random_case = make(seed, sums=True)
        evaluation, job = random_case.evaluation, random_case.case.job
        prepared = preparing.prepare(evaluation, queries.goal_figures(job))
        free = queries.cheapest_price(Question(prepared, job))
        bitten += free is not None and option_prices.cheapest(Question(prepared, job)).price != free
    assert bitten > 8


def test_patience_is_said_and_what_was_found_is_given():
    for seed in range(200):
        random_case = make(seed, sums=True, families=5, parts=4)
        evaluation, job = random_case.evaluation, random_case.case.job
        prepared = preparing.prepare(evaluation, queries.goal_figures(job))
        exact = option_prices.cheapest(Question(prepared, job))
        hasty = option_prices.cheapest(Question(prepared, job), patience=1)
        if hasty.proven:
            assert hasty.price == exact.price
        elif hasty.price is not None:
            assert exact.price is not None
            assert hasty.price >= exact.price


@pytest.mark.parametrize("start", range(0, 100, 25))
def test_conflicts_with_sums_are_real_and_minimal(start):
    for seed in range(start, start + 25):
        random_case = make(seed, sums=True, families=4)
        evaluation, job = random_case.evaluation, random_case.case.job
        prices = everything(evaluation, job).values()
        if any(job.budget is None or price <= job.budget for price in prices):
            continue
        prepared = preparing.prepare(evaluation, queries.goal_figures(job))
        reasons = conflicts.explain(Question(prepared, job))
        wishes = [r.wish for r in reasons if r.wish is not None]
        rules = [r.rule for r in reasons if r.rule is not None]
        few = with_wishes(job, wishes)

        def holds(job, rules):
            prices = everything(evaluation, job, rules).values()  # noqa: B023
            return any(job.budget is None or price <= job.budget for price in prices)

        assert not holds(few, rules), seed
        for dropped in rules:
            assert holds(few, [rule for rule in rules if rule is not dropped]), (seed, dropped.name)


@pytest.mark.parametrize("start", range(0, 100, 25))
def test_previews_are_bounds_until_closed_and_exact_after(start):
    for seed in range(start, start + 25):
        random_case = make(seed, sums=True, families=4)
        evaluation, job = random_case.evaluation, random_case.case.job
        expected = everything(evaluation, job)
        prepared = preparing.prepare(evaluation, queries.goal_figures(job))
        previews = option_prices.previews(Question(prepared, job))
        closed = {p: array.copy() for p, array in previews.prices.items()}
        for position, number, price, proven in option_prices.close(
            Question(prepared, job), previews
        ):
            assert proven
            closed[position][number] = price
        for position, options in prepared.model.options.items():
            for number, option in enumerate(options):
                prices = [c for key, c in expected.items() if (position, option.key) in key]
                exact = min(prices, default=-1)
                bound = int(previews.prices[position][number])
                assert exact == -1 or 0 <= bound <= exact, (seed, option.key)
                assert not previews.exact[position][number] or bound == exact
                assert closed[position][number] == exact, (seed, option.key)


def test_the_cheapest_package_with_a_part_is_exact_where_options_are_bounds():
    """What was decided for the part's position gives way; sums count, the budget does not."""
    above = 0
    for seed in range(30):
        random_case = make(seed, sums=True)
        evaluation, job = random_case.evaluation, random_case.case.job
        prepared = preparing.prepare(evaluation, queries.goal_figures(job))
        bounds = answers.options(prepared, close=False)
        for position, options in prepared.model.options.items():
            fixed = {at: key for at, key in job.fixed.items() if at != position}
            kept = tuple(at for at in job.keep if at != position)
            for option, state in zip(options, bounds[position], strict=True):
                excluded = tuple(key for key in job.excluded if key != option.key)
                asked = replace(job, fixed=fixed, keep=kept, excluded=excluded)
                expected = min(
                    (
                        price
                        for key, price in everything(evaluation, asked).items()
                        if (position, option.key) in key
                    ),
                    default=None,
                )
                cheapest = answers.cheapest(prepared, position, option.key)
                assert cheapest.proven
                assert cheapest.price == expected, (seed, option)
                if option.key not in job.excluded:  # it may be ruled out elsewhere too
                    assert (state.if_freed, state.freed_exact) == (expected, True), (seed, option)
                above += expected is not None and state.price is None
    assert above
