"""Price against sums over everything: against full enumeration of small random problems."""

from __future__ import annotations

import itertools

import pytest

from configurator.model.parts import Missing
from configurator.search.optimum import preparing, queries
from configurator.search.pareto import epsilon_constraint
from tests.search.random_cases import make
from tests.search.test_counts_and_fronts import cheapest_by_level, front_of

BATCH = 50


def case_of(seed: int):
    """A random case with sums, the sum to ask about, and what is better in it."""
    random_case = make(seed, families=4, sums=True)
    total = ("mass", "moment")[seed % 2]
    better = ("high", "low")[seed // 2 % 2]
    job = random_case.case.job
    prepared = preparing.prepare(random_case.evaluation, queries.goal_figures(job))
    free = queries.without_goal(job, total)
    levels = {
        values[0]: price
        for values, price in cheapest_by_level(random_case, free, [total]).items()
        if not isinstance(values[0], Missing)
    }
    return prepared, job, total, better, levels


@pytest.mark.parametrize("batch", range(6))
def test_every_level_that_nothing_beats_with_the_cheapest_price(batch):
    long = bounded = 0
    for seed in range(batch * BATCH, (batch + 1) * BATCH):
        prepared, job, total, better, levels = case_of(seed)
        found = epsilon_constraint.staircase(prepared, job, total, better, 0.0)
        assert all(point.exact for point in found), seed
        expected = front_of({(value,): price for value, price in levels.items()}, [better])
        assert {p.values: p.price for p in found} == expected, (seed, total, better)
        assert [p.price for p in found] == sorted(expected.values())
        long += len(found) > 2
        bounded += any(goal.figure == total for goal in job.goals)
    assert long > 0
    assert bounded > 0  # the job's own bounds on the sum are left aside


def test_with_steps_levels_are_left_out_and_those_shown_are_exact():
    left_out = 0
    for seed in range(100):
        prepared, job, total, better, levels = case_of(seed)
        sign = 1 if better == "high" else -1
        every = epsilon_constraint.staircase(prepared, job, total, better, 0.0)
        few = epsilon_constraint.staircase(prepared, job, total, better, 3.0)
        for point in few:
            (value,) = point.values
            as_good = [p for v, p in levels.items() if sign * v >= sign * value]
            assert levels[value] == point.price == min(as_good), seed
        assert all(
            sign * (b.values[0] - a.values[0]) >= 3.0 and b.price > a.price
            for a, b in itertools.pairwise(few)
        )
        # Nothing that was left out is better by a step than one shown that costs no more.
        for point in every:
            assert any(
                one.price <= point.price and sign * (point.values[0] - one.values[0]) < 3.0
                for one in few
            ), seed
        left_out += len(few) < len(every)
    assert left_out > 0


def test_out_of_patience_prices_are_at_least_so_much():
    bounds = 0
    for seed in range(150):
        prepared, job, total, better, levels = case_of(seed)
        sign = 1 if better == "high" else -1
        for point in epsilon_constraint.staircase(prepared, job, total, better, 0.0, patience=1):
            as_good = [p for v, p in levels.items() if sign * v >= sign * point.values[0] - 1e-6]
            if point.exact:
                assert levels[point.values[0]] == point.price == min(as_good), seed
            else:
                bounds += 1
                assert not as_good or point.price <= min(as_good), seed
    assert bounds > 5


def test_the_reach_holds_every_sum():
    for seed in range(60):
        prepared, job, total, _, levels = case_of(seed)
        ends = epsilon_constraint.reach(prepared, queries.without_goal(job, total), total)
        if ends is None:
            assert not levels
            continue
        assert all(ends[0] <= value <= ends[1] for value in levels), seed
        assert epsilon_constraint.step_for(prepared, job, total, 10) * 10 <= ends[1] - ends[
            0
        ] + 1e-9 or any(goal.figure == total for goal in job.goals)


def test_ctrl_c_gives_what_was_found(monkeypatch):
    stopped = 0
    for seed in range(40):
        prepared, job, total, better, _ = case_of(seed)
        every = epsilon_constraint.staircase(prepared, job, total, better, 0.0)
        if len(every) < 3:
            continue
        asked = []
        cheapest = epsilon_constraint.option_prices.cheapest

        def interrupted(*arguments, asked=asked, cheapest=cheapest):
            asked.append(1)
            if len(asked) == 3:
                raise KeyboardInterrupt
            return cheapest(*arguments)

        with monkeypatch.context() as patch:
            patch.setattr(epsilon_constraint.option_prices, "cheapest", interrupted)
            found = epsilon_constraint.staircase(prepared, job, total, better, 0.0, partial=True)
            asked.clear()
            with pytest.raises(KeyboardInterrupt):
                epsilon_constraint.staircase(prepared, job, total, better, 0.0)
        assert found
        assert not found[-1].exact  # more may follow
        stopped += 1
    assert stopped > 1
