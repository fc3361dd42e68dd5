"""Tables that are too wide to be joined: bounds and proofs against full enumeration."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest

from configurator.core import sealed_arrays
from configurator.search.circuit import elimination
from configurator.search.optimum import (
    branch_and_bound,
    k_best,
    lexicographic,
    model_joining,
    option_prices,
    preparing,
    price_ceiling,
    queries,
)
from configurator.search.optimum.preparing import Question
from configurator.search.pareto import fronts
from tests.search.narrow import CEILINGS, NARROW
from tests.search.random_cases import make
from tests.search.test_against_enumeration import everything
from tests.search.test_counts_and_fronts import cheapest_by_level

SEEDS = range(60)


AS_IT_IS = replace(NARROW, shifting_rounds=0)


@pytest.fixture(params=[CEILINGS, NARROW, AS_IT_IS], ids=["ceilings", "cost moved", "as it is"])
def limits(request):
    return request.param


def cases_of(seeds, limits, **kinds):
    for seed in seeds:
        random_case = make(seed, **kinds)
        evaluation, job = random_case.evaluation, random_case.case.job
        prepared = preparing.prepare(evaluation, queries.goal_figures(job), limits=limits)
        yield seed, evaluation, job, prepared, everything(evaluation, job)


def named(choice):
    return tuple((position, option.key) for position, option in sorted(choice.items()))


def test_variables_are_taken_apart_in_most_cases(limits):
    loose_parts = [prepared.loose for _, _, _, prepared, _ in cases_of(SEEDS, limits)]
    assert sum(loose is not None for loose in loose_parts) > 20


@pytest.mark.parametrize("kinds", [{}, {"sums": True}])
def test_packages_come_in_order_of_price_and_proven(kinds, limits):
    for seed, _, job, prepared, expected in cases_of(SEEDS, limits, **kinds):
        packages = list(
            itertools.islice(option_prices.in_order(Question(prepared, job)), len(expected) + 1)
        )
        assert all(proven for _, _, proven in packages), seed
        assert [price for price, _, _ in packages] == sorted(expected.values()), seed
        assert {named(choice): price for price, choice, _ in packages} == expected, seed


def test_prices_are_never_too_high_and_exact_where_they_say_so(limits):
    loose = 0
    for seed, _, job, prepared, expected in cases_of(SEEDS, limits):
        previews = option_prices.previews(Question(prepared, job))
        for position, options in prepared.model.options.items():
            for number, option in enumerate(options):
                prices = [c for key, c in expected.items() if (position, option.key) in key]
                exact = min(prices, default=-1)
                price = int(previews.prices[position][number])
                if previews.exact[position][number]:
                    assert price == exact, (seed, option)
                else:
                    loose += 1
                    assert price >= 0, (seed, option)
                    assert exact < 0 or price <= exact, (seed, option)
    assert loose > 20


@pytest.mark.parametrize("kinds", [{}, {"sums": True}])
def test_prices_below_a_ceiling_are_exact_and_others_no_less(kinds):
    exact = beyond = 0
    for seed, _, job, prepared, expected in cases_of(SEEDS, CEILINGS, **kinds):
        question = Question(prepared, job)
        tables = price_ceiling.narrowed(question) if prepared.loose is not None else None
        within = None if tables is None else tables.within(0)
        if within is None:
            continue
        assert tables.least <= min(expected.values(), default=2**60), seed
        inside = option_prices.previews(Question(within.prepared, job))
        for position, options in prepared.model.options.items():
            for number, option in enumerate(options):
                prices = [c for key, c in expected.items() if (position, option.key) in key]
                true, price = min(prices, default=-1), int(inside.prices[position][number])
                if true >= 0 and within.has(true):
                    assert price == true, (seed, option)
                    exact += 1
                else:
                    assert price < 0 or not within.has(price) or not inside.exact[position][number]
                    beyond += 1
    assert exact > 30
    assert beyond > 30


def test_a_job_with_one_more_part_takes_the_bounds_that_are_there():
    taken = 0
    for seed, _, job, prepared, expected in cases_of(SEEDS, CEILINGS):
        if prepared.loose is None or not expected:
            continue
        before = price_ceiling.narrowed(Question(prepared, job))
        for key in itertools.islice(expected, 0, None, 7):
            position, part = key[0]
            asked = Question(prepared, replace(job, fixed={**job.fixed, position: part}))
            taken += price_ceiling.narrowed(asked) is before
            least = min(price for other, price in expected.items() if key[0] in other)
            assert option_prices.cheapest(asked).price == least, seed
    assert taken > 20


def test_what_is_freed_is_never_too_dear(limits):
    for seed, evaluation, job, prepared, _ in cases_of(range(30), limits):
        previews = option_prices.previews(Question(prepared, job))
        for position, options in prepared.model.options.items():
            fixed = {at: key for at, key in job.fixed.items() if at != position}
            kept = tuple(at for at in job.keep if at != position)
            expected = everything(evaluation, replace(job, fixed=fixed, keep=kept, excluded=()))
            for number, option in enumerate(options):
                prices = [c for key, c in expected.items() if (position, option.key) in key]
                price = int(previews.if_freed[position][number])
                if prices and not job.excluded:
                    assert 0 <= price <= min(prices), (seed, option)


def test_closing_makes_every_price_exact(limits):
    for seed, _, job, prepared, expected in cases_of(range(40), limits):
        previews = option_prices.previews(Question(prepared, job))
        closed = {p: prices.copy() for p, prices in previews.prices.items()}
        for position, number, price, proven in option_prices.close(
            Question(prepared, job), previews
        ):
            assert proven
            closed[position][number] = price
        for position, options in prepared.model.options.items():
            for number, option in enumerate(options):
                prices = [c for key, c in expected.items() if (position, option.key) in key]
                assert closed[position][number] == min(prices, default=-1), (seed, option)


def test_decided_parts_make_it_exact(limits):
    """With one part decided at every position nothing is open, whatever was taken apart."""
    settled = 0
    for seed, _, job, prepared, expected in cases_of(SEEDS, limits):
        if prepared.loose is None or not expected:
            continue
        key, price = min(expected.items(), key=lambda entry: entry[1])
        previews = option_prices.previews(Question(prepared, replace(job, fixed=dict(key))))
        assert previews.cheapest == price, seed
        assert all(exact.all() for exact in previews.exact.values()), seed
        settled += 1
    assert settled > 10


def test_as_high_as_possible_is_what_a_package_has(limits):
    reached = 0
    for seed, evaluation, job, prepared, _ in cases_of(SEEDS, limits):
        for goal in job.goals:
            wished = replace(goal, at_least=None, at_most=None, as_possible="high")
            asked = replace(job, goals=(wished,), budget=None)
            expected = everything(evaluation, replace(asked, goals=()))
            domains = {p: {o.key: o for o in evaluation.options(p)} for p in evaluation.families}
            values = [
                evaluation.figure(goal.figure, {p: domains[p][k] for p, k in key})
                for key in expected
            ]
            numbers = [value for value in values if isinstance(value, float | int)]
            if numbers and len(numbers) == len(values):
                (got,) = lexicographic.settle(Question(prepared, asked)).job.goals
                assert got.at_least == max(numbers), seed
                reached += 1
    assert reached > 10


def test_patience_ends_with_what_was_found():
    limits = AS_IT_IS  # with cost moved the first case proves them all
    undecided = 0
    for seed, _, job, prepared, expected in cases_of(SEEDS, limits):
        if prepared.loose is None:
            continue
        exact = min(expected.values(), default=None)
        try:
            first = next(
                branch_and_bound.numbers_in_order(Question(prepared, job), patience=1), None
            )
        except branch_and_bound.Undecided as given_up:
            undecided += 1
            for weight, numbers in given_up.packages:
                choice = k_best.chosen(prepared, numbers)
                assert expected[named(choice)] == weight + prepared.model.fixed_cost, seed
        else:
            price = None if first is None else first[0] + prepared.model.fixed_cost
            assert price == exact, seed
    assert undecided > 2


def test_bounds_are_kept_on_disk_and_a_damaged_file_is_made_anew(tmp_path, monkeypatch, limits):
    monkeypatch.setenv("FITWRIGHT_DATA", str(tmp_path))
    seed = next(
        seed for seed, _, _, prepared, _ in cases_of(SEEDS, limits) if prepared.loose is not None
    )
    case = make(seed)
    made = []

    def counted(*given):
        made.append(1)
        return elimination.make_loose(*given)

    monkeypatch.setattr(model_joining, "make_loose", counted)

    def prepared():
        return preparing.prepare(
            case.evaluation, queries.goal_figures(case.case.job), keep=True, limits=limits
        )

    first, again = prepared(), prepared()
    assert first.loose is not None
    assert len(made) == 1
    assert again.loose.apart == first.loose.apart
    assert queries.cheapest_price(Question(first, case.case.job)) == queries.cheapest_price(
        Question(again, case.case.job)
    )
    (path,) = (tmp_path / "circuits").glob("*-loose.npz")
    with np.load(path) as data:
        arrays = dict(data)
    for harm in (np.array([10**6], np.int32), np.array([0.5])):
        np.savez(path, **{**arrays, "apart": harm})
        assert prepared().loose.apart == first.loose.apart
    path.write_bytes(b"no archive")
    assert prepared().loose.apart == first.loose.apart
    assert len(made) == 4
    assert sealed_arrays.folder() == tmp_path / "circuits"


def levels_of_cases(seeds, limits):
    """Cases with tables taken apart, a figure of theirs, and what each level of it costs."""
    for seed in seeds:
        random_case = make(seed, families=4)
        evaluation, job = random_case.evaluation, random_case.case.job
        figure = next(
            n for n, item in evaluation.trade.figures.items() if not evaluation.late(item)
        )
        job = queries.without_goal(job, figure)
        prepared = preparing.prepare(
            evaluation, [*queries.goal_figures(job), figure], limits=limits
        )
        if prepared.loose is not None:
            yield seed, prepared, job, figure, cheapest_by_level(random_case, job, [figure])


def test_levels_of_a_figure_are_bounds_at_once_and_exact_when_closed(limits):
    bounds = 0
    for seed, prepared, job, figure, expected in levels_of_cases(SEEDS, limits):
        open_ones = fronts.levels(Question(prepared, job), [figure], close=False)
        assert {point.values for point in open_ones} >= set(expected), seed
        for point in open_ones:
            assert point.price <= expected.get(point.values, point.price), seed
            bounds += not point.exact
        closed = fronts.levels(Question(prepared, job), [figure])
        # One that is no number cannot be asked for.
        known = {values: price for values, price in expected.items() if fronts._known(values)}
        assert {p.values: p.price for p in closed if p.exact} == known, seed
        for point in fronts.front(Question(prepared, job), [(figure, "high")], close=False):
            assert point.price <= expected.get(point.values, point.price), seed
            bounds += not point.exact
    assert bounds > 20


def test_a_level_that_is_not_decided_stays(monkeypatch):
    undecided = 0
    for seed, prepared, job, figure, expected in levels_of_cases(SEEDS, AS_IT_IS):

        def given_up(*_, **__):
            raise branch_and_bound.Undecided(1)

        with monkeypatch.context() as patch:
            patch.setattr(k_best, "numbers_in_order", given_up)
            points = {p.values: p for p in fronts.levels(Question(prepared, job), [figure])}
        assert set(points) >= set(expected), seed
        undecided += sum(not point.exact for point in points.values())
    assert undecided > 20
