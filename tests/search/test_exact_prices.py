"""Exact prices under limits on sums, by packages and by labels: against full enumeration."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest

from configurator.model.jobs import Goal
from configurator.search.circuit.dominance import undominated
from configurator.search.limits import LIMITS, Limits
from configurator.search.optimum import (
    constrained_prices,
    label_fronts,
    levels,
    lexicographic,
    option_prices,
    preparing,
    queries,
    resource_constraints,
)
from configurator.search.optimum.late_rules import kept_by
from configurator.search.optimum.preparing import Question
from configurator.search.optimum.weighing import PricingProblem
from tests.search.limited_problems import Tally, hold_many
from tests.search.test_against_enumeration import everything
from tests.search.test_counts_and_fronts import cheapest_by_level, front_of
from tests.search.tight_cases import SUMS, tight_case

BATCH = 125
ENOUGH = 100_000


def priced(case, *, root=True, listed=ENOUGH, limits=LIMITS):
    prepared = preparing.prepare(case.evaluation, queries.goal_figures(case.job), limits=limits)
    if not prepared.circuit.nodes:
        return None
    every = {p: np.flatnonzero(seat.inside) for p, seat in prepared.seats.items()}
    pricing = constrained_prices.Pricing(
        PricingProblem(Question(prepared, case.job)), every, root=root, listed=listed
    )
    return pricing, pricing.work_out()


def expected_of(case, problem, prices, at):
    """The price of a place by enumeration; what is decided at its own position gives way."""
    if prices.position[at] < 0:
        return min(case.packages.values(), default=None)
    position = problem.positions[prices.position[at]]
    option = problem.prepared.model.options[position][prices.option[at]]
    if problem.allowed[position][prices.option[at]]:
        packages = case.packages
    elif option.key in case.job.excluded:
        return "it may be ruled out elsewhere too"
    else:
        job = replace(
            case.job,
            fixed={p: key for p, key in case.job.fixed.items() if p != position},
            keep=tuple(p for p in case.job.keep if p != position),
        )
        packages = everything(case.evaluation, job)
    return min((c for key, c in packages.items() if (position, option.key) in key), default=None)


# Together more than a thousand problems; `python -m tests.search.limited_problems` draws others.
@pytest.mark.parametrize("batch", range(14))
def test_with_two_or_three_limits_on_sums_every_option_costs_what_enumeration_says(batch):
    tally = Tally()
    # Every third batch as where multipliers decide nothing before labels are made.
    hold_many(tally, 75, 10_000 * batch, Limits(multiplier_passes=0) if batch % 3 == 2 else LIMITS)
    assert tally.wrong == []
    assert tally.held >= 75
    assert tally.with_limits_that_bind(1) > 70
    assert tally.with_limits_that_bind(2) > 50
    assert tally.with_limits_that_bind(3) > 10


# With other wishes beside limits on sums; the thousand problems above have none.
@pytest.mark.parametrize("way", ["all ways", "labels alone"])
@pytest.mark.parametrize("batch", range(2))
def test_every_option_costs_what_enumeration_says(batch, way):
    # Without multipliers nothing is decided before labels are made.
    limits = LIMITS if way == "all ways" else Limits(multiplier_passes=0)
    bind = several = 0
    for seed in range(batch * BATCH, (batch + 1) * BATCH):
        case = tight_case(seed, families=4 if way == "all ways" else 5)
        pair = case and priced(case, limits=limits)
        if not pair:
            continue
        pricing, prices = pair
        bind += len(pricing.used) > 0
        several += len(pricing.used) > 1
        for at in range(len(prices.least)):
            expected = expected_of(case, pricing.problem, prices, at)
            if isinstance(expected, str):
                continue
            assert not prices.open[at], (seed, at)
            price = None if prices.impossible[at] else int(prices.known[at])
            assert price == expected, (seed, at)
    assert bind > 20
    assert several > 10


def test_packages_behind_prices_are_packages_that_cost_so_much():
    held = 0
    for seed in range(400):
        case = tight_case(seed, families=4)
        pair = case and priced(case)
        if not pair:
            continue
        pricing, prices = pair
        options = pricing.problem.prepared.model.options
        for at in np.flatnonzero(~prices.impossible).tolist():
            position = prices.position[at]
            if (
                position >= 0
                and not pricing.problem.allowed[pricing.problem.positions[position]][
                    prices.option[at]
                ]
            ):
                continue
            key = tuple(
                sorted(
                    (p, options[p][number].key)
                    for p, number in zip(
                        pricing.problem.positions, prices.numbers[:, at].tolist(), strict=True
                    )
                )
            )
            assert case.packages[key] == prices.known[at], seed
            held += 1
    assert held > 300


def test_many_packages_are_judged_as_each_by_itself():
    judged = broken = 0
    for seed in range(40):
        case = tight_case(seed)
        if case is None:
            continue
        prepared = preparing.prepare(case.evaluation, queries.goal_figures(case.job))
        late = resource_constraints.late_of(Question(prepared, case.job))
        options = prepared.model.options
        choices = list(
            itertools.islice(itertools.product(*map(range, map(len, options.values()))), 60)
        )
        numbers = {p: np.array([choice[at] for choice in choices]) for at, p in enumerate(options)}
        kept = kept_by(case.evaluation, case.job, late, numbers)
        for choice, keeps in zip(choices, kept.tolist(), strict=True):
            package = {p: options[p][n] for p, n in zip(options, choice, strict=True)}
            alone = resource_constraints.keeps_late(case.evaluation, case.job, late, package)
            assert keeps == alone, seed
            judged += 1
            broken += not keeps
    assert judged > broken > 200


@pytest.mark.parametrize("sums", [0, 1, 2, 3])
def test_no_label_that_is_kept_is_dominated_and_every_other_is(sums):
    chance = np.random.default_rng(sums)
    for _ in range(60):
        many = int(chance.integers(1, 60))
        rows = chance.integers(0, 4, many)
        cost = chance.integers(0, 9, many)
        amounts = chance.integers(-4, 5, (sums, many))
        kept = undominated(rows, cost, amounts).tolist()
        assert [(rows[n], cost[n]) for n in kept] == sorted((rows[n], cost[n]) for n in kept)

        def beats(first, other, rows=rows, cost=cost, amounts=amounts):
            return (
                rows[first] == rows[other]
                and cost[first] <= cost[other]
                and bool((amounts[:, first] <= amounts[:, other]).all())
            )

        for n in range(many):
            assert (n in kept) or any(beats(k, n) for k in kept)
        assert not any(beats(a, b) for a in kept for b in kept if a != b)


# -- fronts ------------------------------------------------------------------------------------


@pytest.mark.parametrize("way", ["labels", "boxes"])
@pytest.mark.parametrize("batch", range(4))
def test_fronts_of_sums_and_figures_are_those_of_enumeration(batch, way):
    limits = LIMITS if way == "labels" else Limits(label_rows=-1)
    long = 0
    for seed in range(batch * 30, (batch + 1) * 30):
        case = tight_case(seed, families=4)
        if case is None:
            continue
        evaluation = case.evaluation
        names = [n for n, figure in evaluation.trade.figures.items() if not evaluation.late(figure)]
        asked = [
            (SUMS[seed % 2], ("high", "low")[seed // 2 % 2]),
            (
                (SUMS[1 - seed % 2], names[seed % len(names)])[seed // 4 % 2],
                ("high", "low")[seed // 8 % 2],
            ),
        ][: 1 + seed // 3 % 2]
        free = case.job
        for name, _ in asked:
            free = queries.without_goal(free, name)
        figures = dict.fromkeys([*queries.goal_figures(case.job), names[seed % len(names)]])
        prepared = preparing.prepare(evaluation, figures, limits=limits)
        points = label_fronts.front(Question(prepared, free), asked)
        every = cheapest_by_level(case.random_case, free, [name for name, _ in asked])
        assert all(point.exact for point in points)
        assert {p.values: p.price for p in points} == front_of(every, [b for _, b in asked]), seed
        long += len(points) > 2
    assert long > 0


# -- as high or as low as possible ---------------------------------------------------------------


@pytest.mark.parametrize("batch", range(3))
def test_what_is_settled_can_be_had_and_nothing_better_can(batch):
    above_budget = of_sums = 0
    for seed in range(batch * 50, (batch + 1) * 50):
        case = tight_case(seed, families=4)
        if case is None or not case.packages:
            continue
        evaluation = case.evaluation
        names = [n for n, figure in evaluation.trade.figures.items() if not evaluation.late(figure)]
        name = [*names, *SUMS][seed % (len(names) + 2)]
        best = ("high", "low")[seed // 2 % 2]
        prices = sorted(case.packages.values())
        budget = (None, prices[len(prices) // 3], prices[0] - 1)[seed % 3]
        free = queries.without_goal(case.job, name)
        job = replace(free, goals=(*free.goals, Goal(name, as_possible=best)), budget=budget)
        prepared = preparing.prepare(evaluation, queries.goal_figures(job))
        (goal,) = (
            g for g in lexicographic.settle(Question(prepared, job)).job.goals if g.figure == name
        )
        levels_had = {
            values[0]: price
            for values, price in cheapest_by_level(case.random_case, free, [name]).items()
            if isinstance(values[0], int | float)
        }
        within = [v for v, price in levels_had.items() if budget is None or price <= budget]
        every = within or list(levels_had)
        above_budget += not within and bool(every)
        of_sums += name in SUMS and bool(every)
        expected = None if not every else max(every) if best == "high" else min(every)
        bound = goal.at_least if best == "high" else goal.at_most
        assert bound == expected, (seed, name, best, budget)
    assert above_budget
    assert of_sums


def test_with_too_little_money_and_a_limit_on_a_sum_the_level_settled_on_is_one_that_there_is():
    """The cheapest package that keeps the sum is over the budget: what is settled must keep it."""
    tried = 0
    for seed in range(200):
        case = tight_case(seed, families=4)
        if case is None or not case.packages:
            continue
        evaluation = case.evaluation
        name = next(
            n for n, figure in evaluation.trade.figures.items() if not evaluation.late(figure)
        )
        free = queries.without_goal(case.job, name)
        job = replace(free, goals=(*free.goals, Goal(name, as_possible="low")), budget=-1)
        prepared = preparing.prepare(evaluation, queries.goal_figures(job))
        settled = lexicographic.settle(Question(prepared, job))
        package = option_prices.cheapest(settled)
        every = cheapest_by_level(case.random_case, free, [name])
        if any(isinstance(values[0], float) for values in every):
            assert package.price is not None, seed
            tried += 1
    assert tried > 20


def test_every_level_of_a_figure_costs_what_enumeration_says():
    known = 0
    for seed in range(240):
        case = tight_case(seed, families=4)
        if case is None:
            continue
        evaluation = case.evaluation
        name = next(
            n for n, figure in evaluation.trade.figures.items() if not evaluation.late(figure)
        )
        prepared = preparing.prepare(
            evaluation, dict.fromkeys([*queries.goal_figures(case.job), name])
        )
        free = queries.without_goal(case.job, name)
        expected = cheapest_by_level(case.random_case, free, [name])
        levels_found = levels.levels_of(Question(prepared, case.job), name, ENOUGH)
        exact = {(level.value,): level.price for level in levels_found if level.exact}
        assert exact.items() <= expected.items(), seed
        assert all(
            not isinstance(level.value, int | float) for level in levels_found if not level.exact
        )
        assert len(exact) + sum(not level.exact for level in levels_found) >= len(expected)
        known += len(exact)
    assert known > 60
