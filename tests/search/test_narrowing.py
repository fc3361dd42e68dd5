"""Parts of a circuit around its cheapest package: against full enumeration."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest

from configurator.questions.case_cache import posed
from configurator.search.circuit.passes import forward
from configurator.search.optimum import cost_bounded, option_prices, preparing, queries
from configurator.search.optimum.k_best import chosen, numbers_in_order
from configurator.search.pareto import diverse, epsilon_constraint, fronts
from tests.search.random_cases import make
from tests.search.test_against_enumeration import everything
from tests.search.test_counts_and_fronts import cheapest_by_level, front_of

SEEDS = range(60)


@pytest.fixture(params=["for a job", "for each question"])
def narrow(monkeypatch, request):
    """Narrow small circuits too, and to parts of which the first is seldom enough."""
    if request.param == "for each question":
        monkeypatch.setattr(cost_bounded, "LONG", 1)
    monkeypatch.setattr(cost_bounded, "WORTH", 1)
    monkeypatch.setattr(cost_bounded, "SMALLER", 1)
    monkeypatch.setattr(cost_bounded, "SHARES", (0.02, 0.2, 0.6))


def named(choice):
    return tuple((position, option.key) for position, option in sorted(choice.items()))


def of(seed, **kinds):
    random_case = make(seed, **kinds)
    evaluation, job = random_case.evaluation, random_case.case.job
    return preparing.prepare(evaluation, queries.goal_figures(job)), job, random_case


def is_number(value):
    return isinstance(value, int | float)


def some_that_fits():
    return next(one for one in map(of, SEEDS) if everything(one[2].evaluation, one[1]))


def test_what_is_kept_is_what_is_in_packages_up_to_a_price():
    held = fewer = 0
    for seed in SEEDS:
        prepared, job, random_case = of(seed)
        expected = everything(random_case.evaluation, job)
        if not expected:
            continue
        weighed = queries.weigh(prepared, job)
        values = forward(prepared.circuit, weighed.weights, prepared.semiring)
        fixed = prepared.model.fixed_cost
        for price in sorted(set(expected.values()))[:6]:
            most = price - fixed
            circuit = cost_bounded.up_to(prepared.circuit, values, most, prepared.circuit.rows)
            part = preparing.seated(prepared.model, circuit, None)
            cheap = {key for key, each in expected.items() if each <= price}
            listed = itertools.takewhile(
                lambda one, most=most: one[0] <= most, numbers_in_order(part, job)
            )
            assert {named(chosen(part, numbers)) for _, numbers in listed} == cheap, (seed, price)
            # Every row that is left, of positions and of rules, is in one of them.
            rows = queries.previews(part, job)
            for position, seat in part.seats.items():
                options = prepared.model.options[position]
                for start, end in itertools.pairwise([*seat.starts, len(seat.members)]):
                    members = {(position, options[n].key) for n in seat.members[start:end]}
                    assert any(members & set(key) for key in cheap), (seed, position)
                held += len(seat.starts)
            assert rows.cheapest == min(expected.values())
            fewer += circuit.rows < prepared.circuit.rows
    assert held > 400
    assert fewer > 60


def test_too_many_rows_are_not_kept():
    prepared, job, _ = some_that_fits()
    values = forward(prepared.circuit, queries.weigh(prepared, job).weights, prepared.semiring)
    most = prepared.semiring.impossible - 1
    assert cost_bounded.up_to(prepared.circuit, values, most, 0) is None


def test_parts_of_small_circuits_are_not_made():
    prepared, job, _ = of(0)
    assert [ring.at_most for ring in cost_bounded.around(prepared, job)] == [None]
    assert next(iter(cost_bounded.around(prepared, job))).prepared is prepared


@pytest.mark.usefixtures("narrow")
def test_parts_are_made_once_for_a_job_and_anew_for_another():
    prepared, job, _ = some_that_fits()
    first = [ring.prepared for ring in cost_bounded.around(prepared, job)]
    assert len(first) > 1
    another = posed(prepared, replace(job, budget=1))
    again = [ring.prepared for ring in cost_bounded.around(another, replace(job, budget=1))]
    assert all(one.circuit is other.circuit for one, other in zip(first, again, strict=True))
    assert all(ring.evaluation.case.job.budget == 1 for ring in again)
    other = next(iter(cost_bounded.around(prepared, replace(job, excluded=("made up",)))))
    assert other.prepared.circuit is not first[0].circuit


@pytest.mark.usefixtures("narrow")
@pytest.mark.parametrize("kinds", [{}, {"sums": True}])
def test_packages_come_in_order_of_price(kinds):
    parts = 0
    for seed in SEEDS:
        prepared, job, random_case = of(seed, **kinds)
        expected = everything(random_case.evaluation, job)
        found = list(option_prices.in_order(prepared, job))
        assert all(proven for _, _, proven in found), seed
        assert [price for price, _, _ in found] == sorted(expected.values()), seed
        assert {named(choice): price for price, choice, _ in found} == expected, seed
        parts += len(list(cost_bounded.around(prepared, job))) > 2
    assert parts > 20


@pytest.mark.usefixtures("narrow")
def test_options_are_looked_for_some_at_a_time(monkeypatch):
    monkeypatch.setattr(option_prices, "FIRST", -1)
    monkeypatch.setattr(option_prices, "TOGETHER", 2)
    closed = parts = 0
    with_any_of = cost_bounded.with_any_of

    def counted(*arguments):
        nonlocal parts
        ring = with_any_of(*arguments)
        parts += ring is not None
        return ring

    monkeypatch.setattr(cost_bounded, "with_any_of", counted)
    for seed in SEEDS:
        prepared, job, random_case = of(seed, sums=True)
        expected = everything(random_case.evaluation, job)
        found = option_prices.previews(prepared, job)
        for position, number, price, proven in option_prices.close(prepared, job, found):
            key = prepared.model.options[position][number].key
            with_it = [each for named, each in expected.items() if (position, key) in named]
            assert (price, proven) == (min(with_it, default=-1), True), (seed, key)
            closed += 1
    assert closed > 100
    assert parts > 20 or cost_bounded.LONG > 1


@pytest.mark.usefixtures("narrow")
def test_levels_and_steps():
    beyond = 0
    for seed in SEEDS:
        random_case = make(seed, families=4, sums=True)
        evaluation, job = random_case.evaluation, random_case.case.job
        name = next(n for n, one in evaluation.trade.figures.items() if not evaluation.late(one))
        prepared = preparing.prepare(evaluation, [*queries.goal_figures(job), name])
        expected = cheapest_by_level(random_case, queries.without_goal(job, name), [name])
        found = [p for p in fronts.levels(prepared, job, [name]) if is_number(p.values[0])]
        assert all(point.exact for point in found)
        expected = {values: price for values, price in expected.items() if is_number(values[0])}
        assert {point.values: point.price for point in found} == expected, seed
        prices = sorted(expected.values())
        beyond += len(prices) > 1 and prices[-1] > 1.7 * prices[0] > 0  # dearer than any part
        free = queries.without_goal(job, "mass")
        steps = epsilon_constraint.staircase(prepared, free, "mass", "low", 0.0)
        by_mass = front_of(cheapest_by_level(random_case, free, ["mass"]), ["low"])
        assert {point.values: point.price for point in steps} == by_mass, seed
    assert beyond > 1


@pytest.mark.usefixtures("narrow")
def test_different_packages_are_those_of_the_whole(monkeypatch):
    several = 0
    for seed in range(80):
        prepared, job, _ = of(seed, sums=True, families=4)
        job = replace(job, budget=None)
        asked = (prepared, job, diverse.big_choices(prepared, job), 1)
        near = [kind.price for kind in itertools.islice(diverse.kinds(*asked), 4)]
        with monkeypatch.context() as patch:
            patch.setattr(cost_bounded, "SHARES", ())
            whole = [kind.price for kind in itertools.islice(diverse.kinds(*asked), 4)]
        assert near == whole, seed
        several += len(near) > 1
    assert several > 5
