"""Counts, curves and fronts against full enumeration over the rule functions themselves.

Small problems by the hundred: goals that keep merged values apart, kept and fixed parts, empty
positions, shared work, sums over everything, values that are not known.
"""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest

from configurator.model.knowledge import gather
from configurator.search.circuit.semirings import CountModulo
from configurator.search.counting import limited_counts, model_counting, sum_counts
from configurator.search.optimum import k_best, preparing, queries
from configurator.search.optimum.preparing import Question
from configurator.search.pareto import fronts
from tests.search.random_cases import RandomCase, make
from tests.search.test_against_enumeration import everything

BATCH = 50


def listed(random_case, job=None):
    """Every package as position → option, with its price."""
    evaluation = random_case.evaluation
    options = {p: {o.key: o for o in evaluation.options(p)} for p in evaluation.families}
    packages = everything(evaluation, job or random_case.case.job)
    return [({p: options[p][k] for p, k in key}, price) for key, price in packages.items()]


def expected_counts(random_case, packages=None):
    packages = listed(random_case) if packages is None else packages
    evaluation = random_case.evaluation
    options = {
        position: tuple(
            sum(choice[position].key == option.key for choice, _ in packages)
            for option in evaluation.options(position)
        )
        for position in evaluation.families
    }
    return len(packages), options


# The first three hundred problems are those of test_against_enumeration.py: a thousand in all.
@pytest.mark.parametrize("batch", range(6, 20))
def test_counts_in_all_and_per_option_previews_and_the_cheapest(batch):
    for seed in range(batch * BATCH, (batch + 1) * BATCH):
        random_case = make(seed, families=4)
        job = random_case.case.job
        prepared = preparing.prepare(random_case.evaluation, queries.goal_figures(job))
        counts = model_counting.count(Question(prepared, job), listed=10**6)
        packages = listed(random_case)
        total, options = expected_counts(random_case, packages)
        assert counts.exact
        assert (counts.total, dict(counts.options)) == (total, options), seed
        if job.budget is not None:
            inside = sum(price <= job.budget for _, price in packages)
            assert (counts.within_budget, counts.budget_exact) == (inside, True), seed
        prices = queries.previews(Question(prepared, job)).prices
        for position, family in prepared.model.options.items():
            for number, option in enumerate(family):
                own = [price for choice, price in packages if choice[position].key == option.key]
                assert prices[position][number] == min(own, default=-1), (seed, option)
        first = list(itertools.islice(k_best.in_order(Question(prepared, job)), 8))
        assert [price for price, _ in first] == sorted(price for _, price in packages)[:8], seed


@pytest.mark.parametrize("batch", range(4))
def test_counts_with_sums_are_bounds_or_exact_and_say_which(batch):
    exact = bounds = by_sums = 0
    for seed in range(batch * BATCH, (batch + 1) * BATCH):
        random_case = make(seed, families=4, sums=True)
        job = random_case.case.job
        prepared = preparing.prepare(random_case.evaluation, queries.goal_figures(job))
        packages = listed(random_case)
        total, options = expected_counts(random_case, packages)
        few = model_counting.count(Question(prepared, job), listed=10**6)
        assert few.exact
        assert (few.total, dict(few.options)) == (total, options), seed
        inside = None
        if job.budget is not None:
            inside = sum(price <= job.budget for _, price in packages)
        # With all the effort there is, so little that steps are wide, and none.
        for effort in (10**9, 10**6, 0):
            many = model_counting.count(Question(prepared, job), listed=0, effort=effort)
            assert (many.at_least or 0) <= total <= many.total, seed
            assert all(
                most >= number
                for position, numbers in options.items()
                for most, number in zip(many.options[position], numbers, strict=True)
            )
            if many.exact:
                assert (many.total, dict(many.options)) == (total, options), seed
                exact += effort == 0 and total > 0
                by_sums += effort > 0 and total > 0
            else:
                assert many.undecided
                bounds += 1
            if inside is None:
                assert many.within_budget is None
            elif many.budget_exact:
                assert many.within_budget == inside, seed
            else:
                assert many.within_budget <= inside <= many.budget_at_most, seed
    assert by_sums > exact  # counting by a sum tells more than the circuit alone
    assert bounds > 5
    assert exact > 0 or batch  # some sums bite nowhere: the first batch has such a problem


def test_more_primes_where_a_number_is_larger_than_one():
    primes = model_counting._primes(10**40)
    assert len(primes) == 5
    assert primes[0] == 2**31 - 1
    number = 12_345_678_901_234_567_890_123_456_789
    assert model_counting.combine([number % prime for prime in primes], primes) == number


def test_a_count_beyond_what_a_float_holds(monkeypatch):
    # Every prime is tried: a count that fits into one must come out alike from several.
    monkeypatch.setattr(model_counting, "_at_most", lambda *_: 10**30)
    for seed in range(40):
        random_case = make(seed, families=4)
        job = random_case.case.job
        prepared = preparing.prepare(random_case.evaluation, queries.goal_figures(job))
        assert (
            model_counting.count(Question(prepared, job)).total == expected_counts(random_case)[0]
        )


def test_counting_modulo_a_small_prime_is_counting():
    for seed in range(40):
        random_case = make(seed, families=4)
        job = random_case.case.job
        prepared = preparing.prepare(random_case.evaluation, queries.goal_figures(job))
        masks = limited_counts.masks_of(Question(prepared, job))
        if masks is None:
            continue
        from configurator.search.circuit.passes import answer, forward

        values = forward(prepared.circuit, masks, CountModulo(7))
        assert answer(values, CountModulo(7)) % 7 == expected_counts(random_case)[0] % 7


def test_packages_within_a_budget_are_counted_by_price_not_one_by_one():
    told_of = 0
    for seed in range(80):
        random_case = make(seed, families=5, parts=4)
        job = replace(random_case.case.job, budget=700)
        prepared = preparing.prepare(random_case.evaluation, queries.goal_figures(job))
        counts = model_counting.count(Question(prepared, job), listed=0)
        inside = sum(price <= job.budget for _, price in listed(random_case))
        assert (counts.within_budget, counts.budget_exact) == (inside, True), seed
        told_of += 0 < inside < counts.total
    assert told_of > 20


def test_one_limited_sum_is_counted_exactly_with_each_option():
    bitten = 0
    for seed in range(120):
        random_case = only_the_mass_is_limited(make(seed, families=4, sums=True))
        job = random_case.case.job
        prepared = preparing.prepare(random_case.evaluation, queries.goal_figures(job))
        counts = model_counting.count(Question(prepared, job), listed=0)
        assert counts.exact, seed
        assert (counts.total, dict(counts.options)) == expected_counts(random_case), seed
        bitten += bool(model_counting.can_bite(Question(prepared, job))) and counts.total > 0
    assert bitten > 20


def only_the_mass_is_limited(random_case):
    trade, case = random_case.trade, random_case.case
    rules = [
        *trade.figures.values(),
        *(limit for limit in trade.limits.values() if limit.name != "height limit"),
        *trade.fits.values(),
        *(replace(total, at_least=None) for total in trade.totals.values() if total.name != "mass"),
        replace(trade.totals["mass"], at_most=104.0),
        *trade.operations.values(),
    ]
    goals = tuple(goal for goal in case.job.goals if goal.figure != "moment")
    again = gather(list(trade.families.values()), list(trade.measures.values()), [], [], rules)
    return RandomCase(again, replace(case, job=replace(case.job, goals=goals)))


def test_where_steps_are_wide_the_number_lies_between_two(monkeypatch):
    monkeypatch.setattr(sum_counts, "_steps", lambda *_: None)
    between = 0
    for seed in range(120):
        random_case = only_the_mass_is_limited(make(seed, families=4, sums=True))
        job = replace(random_case.case.job, budget=700)
        prepared = preparing.prepare(random_case.evaluation, queries.goal_figures(job))
        total, options = expected_counts(random_case)
        inside = sum(price <= 700 for _, price in listed(random_case, job))
        for effort in (10**6, 60_000):
            counts = model_counting.count(Question(prepared, job), listed=0, effort=effort)
            at_least = counts.total if counts.exact else counts.at_least
            assert at_least <= total <= counts.total, seed
            assert all(
                most >= number
                for position, numbers in options.items()
                for most, number in zip(counts.options[position], numbers, strict=True)
            )
            if counts.budget_exact:
                assert counts.within_budget == inside, seed
            else:
                assert counts.within_budget <= inside <= counts.budget_at_most, seed
            between += not counts.exact and 0 < at_least < counts.total
    assert between > 5


# -- curves and fronts --------------------------------------------------------------------------


def cheapest_by_level(random_case, job, figures):
    evaluation = random_case.evaluation
    levels = {}
    for choice, price in listed(random_case, job):
        values = tuple(evaluation.figure(figure, choice) for figure in figures)
        levels[values] = min(price, levels.get(values, price))
    return levels


def beaten(point, other, better):
    """Whether a level and price are equalled or beaten by another, which is not the same."""
    (values, price), (others, other_price) = point, other
    good = {
        "high": lambda a, b: b >= a,
        "low": lambda a, b: b <= a,
        None: lambda a, b: a == b,
    }
    return (
        values != others
        and other_price <= price
        and all(good[d](a, b) for a, b, d in zip(values, others, better, strict=True))
    )


def front_of(levels, better):
    known = {
        values: price
        for values, price in levels.items()
        if all(isinstance(value, int | float) for value in values)
    }
    return {
        values: price
        for values, price in known.items()
        if not any(beaten((values, price), other, better) for other in known.items())
    }


@pytest.mark.parametrize("sums", [False, True], ids=["without sums", "with sums"])
@pytest.mark.parametrize("batch", range(6))
def test_curves_and_fronts(batch, sums):
    pairs = 0
    for seed in range(batch * BATCH, (batch + 1) * BATCH):
        random_case = make(seed, families=4, sums=sums)
        evaluation, job = random_case.evaluation, random_case.case.job
        names = [
            name for name, figure in evaluation.trade.figures.items() if not evaluation.late(figure)
        ]
        directions = ("high", "low", None)
        asked = [(name, directions[(seed + k) % 3]) for k, name in enumerate(names[:2])]
        prepared = preparing.prepare(
            evaluation, dict.fromkeys([*queries.goal_figures(job), *names[:2]])
        )
        for figures in (asked[:1], asked):
            only = [name for name, _ in figures]
            free = job
            for name in only:
                free = queries.without_goal(free, name)
            levels = cheapest_by_level(random_case, free, only)
            front = fronts.front(Question(prepared, job), figures)
            assert all(point.exact for point in front)
            expected = front_of(levels, [direction for _, direction in figures])
            assert {p.values: p.price for p in front} == expected, (seed, figures)
            assert [p.price for p in front] == sorted(expected.values())
            pairs += len(figures) == 2 and len(expected) > 1
            curve = fronts.levels(Question(prepared, job), only)
            known = {p.values: p.price for p in curve if p.exact}
            assert known.items() <= levels.items()
            assert {p.values for p in curve} >= set(levels)
            for point in curve:
                assert point.exact or point.price <= levels.get(point.values, point.price)
            # Of two levels of which one is no number, sums cannot be said to be kept or not.
            assert {values: known[values] for values in known if fronts._known(values)} == {
                values: price for values, price in levels.items() if fronts._known(values)
            }
            assert len(only) > 1 or known == levels
    assert pairs > 1
