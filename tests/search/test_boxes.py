"""Limits decided on whole packages, searched by boxes of options: against enumeration."""

from __future__ import annotations

import itertools
import random
from dataclasses import replace

import numpy as np
import pytest

from configurator.model.references import FigureValue, Input
from configurator.model.rules import Figure, Limit, Total
from configurator.search.circuit.contracting import contracted
from configurator.search.circuit.passes import answer, backward, forward
from configurator.search.circuit.semirings import CHEAPEST_64
from configurator.search.encoding.joint_values import JointValues
from configurator.search.limits import Limits
from configurator.search.optimum import (
    box_search,
    constrained_prices,
    enclosures,
    preparing,
    queries,
)
from configurator.search.optimum.enclosed_values import OptionBox
from configurator.search.optimum.first_order import limit_around
from configurator.search.optimum.late_rules import PackageColumns
from configurator.search.optimum.preparing import Question
from configurator.search.optimum.sloped_intervals import NotEnclosed, enclosed
from configurator.search.optimum.uncertain_columns import UncertainColumns
from configurator.search.optimum.weighing import PricingProblem
from tests.search.late_limits import FUNCTIONS, KEPT, with_late_limits
from tests.search.random_cases import make
from tests.search.test_against_enumeration import everything
from tests.search.test_certainty import key_of, sure_packages, with_tolerances


@pytest.fixture(autouse=True)
def _all_rules_may_be_asked_with_intervals(monkeypatch):
    monkeypatch.setattr(enclosures, "is_bundled", lambda rule: True)


def rule_of(function):
    names = function.__code__.co_varnames[: function.__code__.co_argcount]
    return Figure("any", "", function, tuple(Input(name, FigureValue(name)) for name in names))


@pytest.mark.parametrize("function", FUNCTIONS)
def test_values_and_slopes_lie_between_the_bounds(function):
    chance = random.Random(function.__name__)
    rule, decided = rule_of(function), 0
    for _ in range(200):
        middle = [chance.uniform(-5.0, 90.0), chance.uniform(40.0, 90.0), chance.uniform(-5.0, 9.0)]
        widths = [chance.choice((0.0, 0.5, 5.0)) for _ in middle]
        bounds = [(m - w, m + w) if w else m for m, w in zip(middle, widths, strict=True)]
        try:
            (low, high), slopes = enclosed(rule, bounds)
        except NotEnclosed:
            continue
        decided += 1
        for _ in range(20):
            ends = [
                [m + chance.uniform(-w, w) for m, w in zip(middle, widths, strict=True)]
                for _ in range(2)
            ]
            values = [function(*end) for end in ends]
            assert all(low - 1e-9 <= value <= high + 1e-9 for value in values)
            steps = [b - a for a, b in zip(*ends, strict=True)]
            most = sum(max(s * step for s in own) for own, step in zip(slopes, steps, strict=True))
            assert values[1] - values[0] <= most + 1e-9
    assert decided > 50


def boxes_of(seed, evaluation, chance):
    """Draw options that may be chosen, and packages of them."""
    options = {p: np.arange(len(evaluation.options(p))) for p in evaluation.families}
    for position, own in options.items():
        if chance.random() < 0.4:
            some = chance.sample(own.tolist(), chance.randint(1, len(own)))
            options[position] = np.array(sorted(some))
    packages = list(itertools.product(*(own.tolist() for own in options.values())))
    numbers = {p: np.array([package[at] for package in packages]) for at, p in enumerate(options)}
    for _ in range(4):
        centre = dict(zip(options, chance.choice(packages), strict=True))
        yield OptionBox(options, centre), numbers


@pytest.mark.parametrize("batch", range(4))
def test_what_keeps_a_rule_keeps_the_limit_around_any_package(batch):
    excluded = 0
    for seed in range(batch * 40, batch * 40 + 40):
        evaluation = with_late_limits(seed).evaluation
        rules = [r for r in evaluation.trade.limits.values() if evaluation.late(r)]
        assert KEPT in [rule.name for rule in rules]
        chance = random.Random(seed)
        for (box, numbers), rule in itertools.product(boxes_of(seed, evaluation, chance), rules):
            limit = limit_around(evaluation, box, rule)
            if limit is None:
                continue
            kept = PackageColumns(evaluation, numbers).verdicts(rule)
            over = sum(limit.linear.shares[p][own] for p, own in numbers.items())
            assert not (kept & (over > limit.linear.room)).any(), (seed, rule.name)
            excluded += int((over > limit.linear.room).sum())
    assert excluded > 1000


@pytest.mark.parametrize("batch", range(4))
def test_what_surely_keeps_a_rule_keeps_the_limit_around_any_package(batch):
    excluded = {Limit: 0, Total: 0}
    for seed in range(batch * 30, batch * 30 + 30):
        random_case = with_late_limits(seed, with_tolerances(seed, sums=True))
        evaluation = random_case.evaluation
        options = {p: evaluation.options(p) for p in evaluation.families}
        joint = JointValues(evaluation, {p: np.ones(len(o), bool) for p, o in options.items()})
        rules = [r for r in evaluation.trade.limits.values() if evaluation.late(r)]
        rules += [r for r in evaluation.trade.totals.values() if r.at_least or r.at_most]
        chance = random.Random(seed)
        for (box, numbers), rule in itertools.product(boxes_of(seed, evaluation, chance), rules):
            limit = limit_around(evaluation, box, rule, joint)
            if limit is None:
                continue
            kept = UncertainColumns(joint, numbers).sure(rule)
            over = sum(limit.linear.shares[p][own] for p, own in numbers.items())
            assert not (kept & (over > limit.linear.room)).any(), (seed, rule.name)
            excluded[type(rule)] += int((over > limit.linear.room).sum())
    assert min(excluded.values()) > 100, excluded


@pytest.mark.parametrize("sure", [False, True])
@pytest.mark.parametrize("batch", range(2))
def test_by_boxes_alone_every_option_costs_what_enumeration_says(batch, sure):
    """No package is listed, neither of an option nor of a box."""
    closed = every_price = bound = 0
    for seed in range(batch * 30, batch * 30 + 30):
        given = with_tolerances(seed, sums=True) if sure else make(seed, sums=True)
        random_case = with_late_limits(seed, given)
        evaluation, job = random_case.evaluation, random_case.case.job
        job = replace(queries.without_wishes(job), budget=None, sure=sure)
        every = (
            [(key_of(choice), price) for choice, price in sure_packages(evaluation, job)]
            if sure
            else list(everything(evaluation, job).items())
        )
        prepared = preparing.prepare(evaluation, [], sure=sure, limits=Limits(box_packages=0))
        if not prepared.circuit.nodes:
            assert not every
            continue
        asked = {p: np.flatnonzero(seat.inside) for p, seat in prepared.seats.items()}
        problem = PricingProblem(Question(prepared, job))
        pricing = constrained_prices.Pricing(problem, asked, root=True, listed=0)
        cheapest = pricing.look()
        prices = box_search.closed(pricing)
        for at in range(len(prices.least)):
            right = min((price for _, price in every), default=prices.dearest)
            if prices.position[at] >= 0:
                position = problem.positions[prices.position[at]]
                option = prepared.model.options[position][prices.option[at]]
                with_it = (c for key, c in every if (position, option.key) in key)
                right = min(with_it, default=prices.dearest)
            assert min(prices.least[at], prices.dearest) <= right <= prices.known[at], (seed, at)
            closed += not prices.open[at]
            every_price += 1
            bound += cheapest is not None and right > cheapest.prices[at]
    assert bound > 30
    assert closed > every_price / 2


def test_a_contracted_circuit_prices_every_option_as_before():
    smaller = 0
    for seed in range(60):
        random_case = make(seed)
        prepared = preparing.prepare(random_case.evaluation, [])
        if not prepared.circuit.nodes:
            continue
        model = prepared.model
        wanted = set(model.position_tables.values())
        few = contracted(prepared.circuit, {*wanted, *model.work_costs})
        weights = queries.weigh(Question(prepared, random_case.case.job)).weights
        weights = {n: weights[n].astype(np.int64) for n in {*wanted, *model.work_costs}}
        values = [forward(c, weights, CHEAPEST_64) for c in (prepared.circuit, few)]
        assert answer(values[0], CHEAPEST_64) == answer(values[1], CHEAPEST_64)
        above = [
            backward(c, v, CHEAPEST_64, wanted)
            for c, v in zip((prepared.circuit, few), values, strict=True)
        ]
        for number in wanted:
            assert np.array_equal(above[0][number], above[1][number]), seed
        smaller += len(few.nodes) < len(prepared.circuit.nodes)
    assert smaller > 20
