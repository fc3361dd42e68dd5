"""Tables that are too wide, joined for each part of one position: against full enumeration."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest

from configurator.core.progress import Progress, followed
from configurator.search.circuit import conditioning
from configurator.search.circuit.join import TooWide
from configurator.search.circuit.passes import answer, backward, forward
from configurator.search.circuit.semirings import CHEAPEST_64
from configurator.search.counting import model_counting
from configurator.search.encoding.tables import Table
from configurator.search.optimum import option_prices, preparing, queries
from configurator.search.optimum.preparing import Question
from tests.search.narrow import NARROW
from tests.search.random_cases import make
from tests.search.test_against_enumeration import everything

SEEDS = range(60)


# Tables are never joined at once, variables are taken apart early, and few orders are tried.
PART_BY_PART = replace(NARROW, orders_tried=30)


class Counted(Progress):
    """Keeps every report."""

    def __init__(self):
        super().__init__()
        self.steps = []

    def report(self, done=0, of=0, words=""):
        self.steps.append((done, of))
        super().report(done, of, words)


def cases_of(seeds, **kinds):
    for seed in seeds:
        random_case = make(seed, **kinds)
        evaluation, job = random_case.evaluation, random_case.case.job
        loose = preparing.prepare(evaluation, queries.goal_figures(job), limits=PART_BY_PART)
        if loose.loose is not None:
            yield seed, evaluation, job, preparing.tighten(loose), everything(evaluation, job)


def named(choice):
    return tuple((position, option.key) for position, option in sorted(choice.items()))


def test_prices_of_all_options_are_exact():
    held = several = 0
    for seed, _, job, prepared, expected in cases_of(SEEDS):
        assert prepared.loose is None
        previews = queries.previews(Question(prepared, job))
        assert previews.cheapest == min(expected.values(), default=None), seed
        for position, options in prepared.model.options.items():
            assert previews.exact[position].all()
            for number, option in enumerate(options):
                prices = [c for key, c in expected.items() if (position, option.key) in key]
                assert previews.prices[position][number] == min(prices, default=-1), (seed, option)
                held += 1
        several += bool(prepared.circuit.nodes) and prepared.circuit.nodes[-1].inner > 1
    assert held > 400
    assert several > 20  # circuits of several parts side by side


@pytest.mark.parametrize("kinds", [{}, {"sums": True}])
def test_packages_come_in_order_of_price(kinds):
    for seed, _, job, prepared, expected in cases_of(SEEDS, **kinds):
        packages = list(
            itertools.islice(option_prices.in_order(Question(prepared, job)), len(expected) + 1)
        )
        assert all(proven for _, _, proven in packages), seed
        assert [price for price, _, _ in packages] == sorted(expected.values()), seed
        assert {named(choice): price for price, choice, _ in packages} == expected, seed


def test_packages_are_counted_and_curves_drawn():
    for seed, evaluation, job, prepared, expected in cases_of(SEEDS):
        counts = model_counting.count(Question(prepared, job))
        assert counts.exact
        assert counts.total == len(expected), seed
        for position, options in prepared.model.options.items():
            for option, number in zip(options, counts.options[position], strict=True):
                assert number == sum((position, option.key) in key for key in expected), seed
        for goal in job.goals:
            rest = queries.without_goal(job, goal.figure)
            every = everything(evaluation, rest)
            domains = {p: {o.key: o for o in evaluation.options(p)} for p in evaluation.families}
            cheapest: dict = {}
            for key, price in every.items():
                value = evaluation.figure(goal.figure, {p: domains[p][k] for p, k in key})
                cheapest[value] = min(price, cheapest.get(value, price))
            levels = dict(queries.curve(Question(prepared, job), goal.figure))
            assert levels == cheapest, (seed, goal.figure)


def test_one_table_alone_needs_no_join():
    table = Table("tyres", (0,), (np.arange(3, dtype=np.int32),), 3)
    circuit = conditioning.make_conditioned([table], [3], [0], [0], {})
    prices = {0: np.array([7, 5, 9])}
    values_below = forward(circuit, prices, CHEAPEST_64)
    assert answer(values_below, CHEAPEST_64) == 5
    assert backward(circuit, values_below, CHEAPEST_64, [0])[0].tolist() == [0, 0, 0]


def test_it_is_kept_on_disk_and_found_there(monkeypatch, own_data):
    monkeypatch.setenv("FITWRIGHT_DATA", str(own_data))
    (own_data / "circuits").unlink(missing_ok=True)
    limits = replace(PART_BY_PART, kept_from_rows=1)
    kept = 0
    for seed in range(24):
        case = make(seed)
        figures = queries.goal_figures(case.case.job)
        loose = preparing.prepare(case.evaluation, figures, keep=True, limits=limits)
        if loose.loose is None:
            continue
        with followed(Counted()) as counted:
            tight = preparing.tighten(loose, keep=True)
        assert counted.steps[-1][0] == counted.steps[-1][1] == len(counted.steps)
        again = preparing.prepare(make(seed).evaluation, figures, keep=True, limits=limits)
        if not tight.circuit.rows:
            continue
        assert again.loose is None
        tight_previews, other = (
            queries.previews(Question(p, case.case.job)) for p in (tight, again)
        )
        assert all(
            (tight_previews.prices[p] == other.prices[p]).all() for p in tight_previews.prices
        )
        kept += 1
    assert kept > 5


@pytest.mark.parametrize("hopeless", [1.5, 1000])
def test_too_many_rows_are_refused_beforehand_if_that_is_plain(monkeypatch, hopeless):
    limits = replace(PART_BY_PART, conditioned_rows=3, hopeless=hopeless)
    joined = []
    side = conditioning._side
    monkeypatch.setattr(conditioning, "_side", lambda *given: joined.append(1) or side(*given))
    refused = 0
    for seed in range(24):
        case = make(seed)
        figures = queries.goal_figures(case.case.job)
        loose = preparing.prepare(case.evaluation, figures, limits=limits)
        if loose.loose is None:
            continue
        try:
            preparing.tighten(loose)
        except TooWide:
            refused += 1
    assert refused > 3
    assert (len(joined) < refused) == (hopeless < 2)


def test_what_will_be_too_much_is_given_up_early():
    given_up = 0
    for seed in range(40):
        case = make(seed)
        figures = queries.goal_figures(case.case.job)
        loose = preparing.prepare(case.evaluation, figures, limits=PART_BY_PART)
        if loose.loose is None:
            continue
        with followed(Counted()) as counted:
            rows = preparing.tighten(loose).circuit.rows
        parts = counted.steps[-1][1]
        if parts < 4:
            continue
        narrower = replace(PART_BY_PART, conditioned_rows=rows // 4, hopeless=10**6)
        with followed(Counted()) as counted, pytest.raises(TooWide) as refused:
            preparing.tighten(replace(loose, limits=narrower))
        assert len(counted.steps) < parts
        assert refused.value.rows > rows // 4
        given_up += 1
    assert given_up > 3


def test_a_case_that_is_exact_stays_as_it_is():
    prepared = preparing.prepare(make(1).evaluation)
    assert preparing.tighten(prepared) is prepared
