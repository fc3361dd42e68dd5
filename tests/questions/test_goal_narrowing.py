"""Where tables are too wide with all goals free, parts are priced with the job's goals: exactly."""

from __future__ import annotations

from dataclasses import replace

import pytest

from configurator.model.jobs import Goal
from configurator.questions import answers, edits
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
