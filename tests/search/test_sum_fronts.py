"""A figure or a sum, beside a sum over everything, against the price: against full enumeration."""

from __future__ import annotations

import pytest

from configurator.search.optimum import preparing, queries
from configurator.search.pareto import epsilon_constraint, sum_fronts
from tests.search.random_cases import make
from tests.search.test_counts_and_fronts import cheapest_by_level, front_of

BATCH = 40


# Every level of the two is asked for.
ALL = (0.0, 0.0)


def case_of(seed: int, *, sums: bool = False):
    """A random case with sums, the figure and the sum to ask about, and every level of the two.

    The figure is the other sum, if asked for.
    """
    random_case = make(seed, families=4, sums=True)
    evaluation, job = random_case.evaluation, random_case.case.job
    names = [name for name, one in evaluation.trade.figures.items() if not evaluation.late(one)]
    figure = (names[seed % len(names)], ("high", "low")[seed // 4 % 2])
    total = (("mass", "moment")[seed % 2], ("high", "low")[seed // 2 % 2])
    if sums:
        figure = (("moment", "mass")[seed % 2], figure[1])
    prepared = preparing.prepare(evaluation, [*queries.goal_figures(job), figure[0]])
    free = queries.without_goal(queries.without_goal(job, figure[0]), total[0])
    levels = cheapest_by_level(random_case, free, [figure[0], total[0]])
    return prepared, job, figure, total, levels


@pytest.mark.parametrize("sums", [False, True])
@pytest.mark.parametrize("batch", range(6))
def test_every_pair_of_levels_that_nothing_beats(batch, sums):
    long = several = 0
    for seed in range(batch * BATCH, (batch + 1) * BATCH):
        prepared, job, figure, total, levels = case_of(seed, sums=sums)
        found = sum_fronts.front(prepared, job, figure, total, ALL)
        assert all(point.exact for point in found), seed
        expected = front_of(levels, [figure[1], total[1]])
        assert {p.values: p.price for p in found} == expected, (seed, figure, total)
        assert [p.price for p in found] == sorted(expected.values())
        long += len(found) > 3
        several += len({point.values[0] for point in found}) > 1
    assert long > 0
    assert several > 0


def test_known_answers_are_not_asked_for_again(monkeypatch):
    asked = []
    cheapest = epsilon_constraint.Climb.cheapest

    def counted(climb, level, goals=()):
        asked.append(1)
        return cheapest(climb, level, goals)

    monkeypatch.setattr(epsilon_constraint.Climb, "cheapest", counted)
    found = []
    for forgetful in (False, True):
        if forgetful:
            monkeypatch.setattr(sum_fronts._Known, "answers", lambda *_: False)
        asked.clear()
        fronts = [
            sum_fronts.front(prepared, job, figure, total, ALL)
            for prepared, job, figure, total, _ in map(case_of, range(40))
        ]
        found.append((len(asked), [{p.values: p.price for p in front} for front in fronts]))
    (few, one), (many, other) = found
    assert one == other
    assert 0 < few < many


@pytest.mark.parametrize("sums", [False, True])
def test_with_steps_only_what_is_better_by_less_is_left_out(sums):
    fewer = 0
    for seed in range(80):
        prepared, job, figure, total, levels = case_of(seed, sums=sums)
        steps = [
            epsilon_constraint.step_for(prepared, job, name, 4)
            if name in ("mass", "moment")
            else 0.0
            for name, _ in (figure, total)
        ]
        found = sum_fronts.front(prepared, job, figure, total, tuple(steps))
        signs = [1 if better == "high" else -1 for _, better in (figure, total)]
        expected = front_of(levels, [figure[1], total[1]])
        assert {p.values: p.price for p in found}.items() <= levels.items(), seed
        for values, price in expected.items():
            assert any(
                point.price <= price
                and all(
                    sign * one + step >= sign * other - 1e-6
                    for sign, step, one, other in zip(
                        signs, steps, point.values, values, strict=True
                    )
                )
                for point in found
            ), (seed, values)
        fewer += len(found) < len(expected)
    assert fewer > 3


@pytest.mark.parametrize("sums", [False, True])
def test_out_of_patience_prices_are_at_least_so_much(sums):
    bounds = 0
    for seed in range(120):
        prepared, job, figure, total, levels = case_of(seed, sums=sums)
        signs = [1 if better == "high" else -1 for _, better in (figure, total)]
        known = {v: p for v, p in levels.items() if all(isinstance(x, int | float) for x in v)}
        for point in sum_fronts.front(prepared, job, figure, total, ALL, patience=1):
            as_good = [
                price
                for values, price in known.items()
                if all(
                    sign * one >= sign * other - 1e-6
                    for sign, one, other in zip(signs, values, point.values, strict=True)
                )
            ]
            if point.exact:
                assert known[point.values] == point.price == min(as_good), seed
            else:
                bounds += 1
                assert not as_good or point.price <= min(as_good), seed
    assert bounds > 5


@pytest.mark.parametrize("sums", [False, True])
def test_ctrl_c_gives_what_was_found(monkeypatch, sums):
    stopped = 0
    for seed in range(80):
        prepared, job, figure, total, _ = case_of(seed, sums=sums)
        every = sum_fronts.front(prepared, job, figure, total, ALL)
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
            with pytest.raises(KeyboardInterrupt):
                sum_fronts.front(prepared, job, figure, total, ALL)
            asked.clear()
            found = sum_fronts.front(prepared, job, figure, total, ALL, partial=True)
        assert 1 <= len(found) <= 2
        known = {point.values: point.price for point in every}
        assert all(known.get(p.values, p.price) == p.price for p in found if p.exact), seed
        stopped += not all(point.exact for point in found)
    assert stopped > 0
