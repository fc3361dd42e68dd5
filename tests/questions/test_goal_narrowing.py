"""Where tables are too wide with all goals free, parts are priced with the job's goals: exactly."""

from __future__ import annotations

from dataclasses import replace

import pytest

from configurator.model.jobs import Goal
from configurator.questions import answers, edits
from configurator.search.circuit.join import TooWide
from configurator.search.limits import Limits
from configurator.search.optimum import lexicographic, option_prices, preparing
from configurator.search.optimum.preparing import Question
from tests.questions.test_session import afresh, opened, summary
from tests.search.random_cases import make


def too_wide(seeds=range(80)):
    """Give sessions about cases that can be joined with the job's goals only."""
    for seed in seeds:
        random_case = make(seed, families=5)
        job = random_case.case.job
        if not job.goals or any(goal.as_possible for goal in job.goals):
            continue
        whole = afresh(random_case, job)
        free = replace(job, fixed={}, keep=(), excluded=(), parts_within=None, budget=None)
        rows = preparing.narrowed_to(whole, free).circuit.joined_rows
        limits = Limits(circuit_rows=rows, unsampled_rows=rows, apart_pairs=2)
        talk = opened(random_case, limits=limits)
        talk.prepare()
        if talk.prepared().loose is not None and talk.prepared(for_goals=True).loose is None:
            yield random_case, talk


@pytest.fixture(scope="module")
def sessions():
    listed = list(too_wide())
    assert len(listed) > 5
    return listed


def exact_ones(random_case, job):
    fresh = afresh(random_case, job)
    package = option_prices.cheapest(lexicographic.settle(Question(fresh, job)))
    return summary(answers.options(fresh, close=False)), package.price


def test_prices_of_parts_are_those_of_tables_joined_whole_whatever_is_picked(sessions):
    picked = 0
    for random_case, talk in sessions:
        assert talk.is_ready
        assert not talk.joins_long_lists
        before = talk.job
        position = next(iter(talk.evaluation.families))
        for option in talk.evaluation.options(position)[:3]:
            talk.change(edits.fix(before, position, option.key), "a part")
            states, price = exact_ones(random_case, talk.job)
            assert talk.is_ready
            assert summary(talk.options()) == states
            assert talk.cheapest().price == price
            picked += price is not None
        talk.change(before, "as it was")
    assert picked > 5


def test_a_goal_that_moves_is_joined_anew_and_curves_ask_for_other_goals(
    sessions,
):
    moved = 0
    for random_case, talk in sessions:
        before = talk.job
        goal = before.goals[0]
        if goal.at_most is None:
            continue
        further = Goal(goal.figure, at_most=goal.at_most + 1.0)
        talk.change(edits.with_goal(before, further), "a goal")
        assert not talk.is_ready
        states, price = exact_ones(random_case, talk.job)
        asked = summary(talk.options())
        assert talk.is_ready
        if talk.prepared(for_goals=True).loose is None:
            assert asked == states
            assert talk.cheapest().price == price
            moved += 1
        levels = talk.curve(goal.figure)
        assert talk.curve(goal.figure) is levels  # once
        talk.change(before, "as it was")
        assert talk.is_ready
    assert moved > 2


@pytest.fixture
def put_off(monkeypatch):
    """Let no whole case be there soon; note those that are made."""
    made, whole_of = [], preparing.whole_of

    def not_soon(case, *, soon=False):
        if soon:
            raise TooWide((), 0)
        made.append(case)
        return whole_of(case)

    monkeypatch.setattr(preparing, "whole_of", not_soon)
    return made


def without_a_whole_case(seeds=range(100)):
    for seed in seeds:
        random_case = make(seed, families=4, sums=seed % 3 == 0)
        talk = opened(random_case)
        if talk.job.goals:
            talk.prepare()
            if talk.is_put_off:
                yield random_case, talk


def test_where_the_whole_case_is_put_off_prices_and_levels_are_those_of_it(put_off):
    picked = 0
    for random_case, talk in without_a_whole_case():
        before, fresh = talk.job, opened(random_case)
        assert talk.is_ready
        assert talk.knows_prices
        position = next(iter(talk.evaluation.families))
        for option in talk.evaluation.options(position)[:3]:
            talk.change(edits.fix(before, position, option.key), "a part")
            states, price = exact_ones(random_case, talk.job)
            assert summary(talk.options()) == states
            assert talk.cheapest().price == price
            picked += price is not None
        talk.change(before, "as it was")
        figures = [goal.figure for goal in before.goals]
        levels = {figure: talk.curve(figure) for figure in figures}
        evaluation = talk.evaluation
        others = [
            figure
            for figure in random_case.trade.figures
            if figure not in figures and not evaluation.late(evaluation.definition(figure))
        ]
        if others:
            talk.curves_beside(others[:1])
        assert not put_off, "nothing of this needs the whole case"
        # Asked of a case that is whole: so every level of it, and no other.
        fresh.prepare_whole()
        assert not fresh.is_put_off
        assert levels == {figure: fresh.curve(figure) for figure in figures}
        for other in others[:1]:
            assert talk.curve(other) == fresh.curve(other)
        put_off.clear()
        states = talk.options()
        talk.prepare_whole()
        assert not talk.is_put_off
        assert talk.options() is states, "what is exact stays"
        put_off.clear()
    assert picked > 20


def test_a_goal_that_moves_while_the_whole_case_is_put_off_is_priced_as_soon(put_off):
    moved = 0
    for random_case, talk in without_a_whole_case():
        goal = talk.job.goals[0]
        if goal.at_most is None:
            continue
        further = Goal(goal.figure, at_most=goal.at_most + 1.0)
        talk.change(edits.with_goal(talk.job, further), "a goal")
        talk.prepare_first()
        talk.prepare()
        states, price = exact_ones(random_case, talk.job)
        assert talk.cheapest().price == price
        assert summary(talk.options()) == states
        assert not put_off
        moved += 1
    assert moved > 3


def test_what_asks_for_other_goals_makes_the_whole_case(put_off):
    _, talk = next(without_a_whole_case())
    prepared = talk.prepared()
    assert len(put_off) == 1
    assert prepared.within is None
    assert not talk.is_put_off
