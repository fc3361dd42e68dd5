"""What certainty of a goal costs on a bundled job, against a job that asks for it."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from configurator.core import paths
from configurator.evaluation.how_sure import goals_within
from configurator.files import job_files
from configurator.questions import answers, goal_certainty
from configurator.questions.goal_certainty import goal_certainties
from configurator.wording.certainty_price_words import (
    goal_certainty_lines,
    goal_certainty_records,
)
from tests import bundled

JOB = paths.catalogs() / "demo" / "jobs" / "touring-wagon-first-step.toml"


@pytest.fixture(scope="module")
def trade():
    return bundled.trade()


@pytest.fixture(scope="module")
def prepared(trade):
    return answers.ready(job_files.read_case(JOB, trade), trade, keep=False)


def sure_of(case, figure, **bounds):
    """The job of a case with one goal sure, and no budget."""
    goals = tuple(
        replace(goal, sure=True, **bounds) if goal.figure == figure else goal
        for goal in case.job.goals
    )
    return replace(case, job=replace(case.job, goals=goals, budget=None))


@pytest.fixture(scope="module")
def cheapest_with(prepared, trade):
    """Give the cheapest package of the job with a goal sure: asked once, however often it is."""
    case = prepared.evaluation.case

    @cache
    def cheapest(figure, **bounds):
        asked = sure_of(case, figure, **bounds)
        return answers.cheapest(answers.ready(asked, trade, keep=False))

    return cheapest


def outcome(package):
    return package.price, package.proven


@pytest.mark.parametrize("rows", [0, 10**9], ids=["by ceilings", "all at once"])
def test_each_price_is_that_of_the_job_that_asks_for_it(prepared, cheapest_with, rows):
    prepared = replace(prepared, limits=replace(prepared.limits, narrowed_rows=rows))
    case = prepared.evaluation.case
    plain = answers.cheapest(prepared)
    certainties = goal_certainties(prepared, plain.choice)
    assert certainties
    grades = {
        item.goal.figure: item.grade
        for item in goals_within(prepared.evaluation, plain.choice, case.job.goals)
    }
    assert {item.goal.figure for item in certainties} == {
        figure for figure, grade in grades.items() if grade == "calculated"
    }
    for item in certainties:
        assert item.proven
        figure = item.goal.figure
        package = cheapest_with(figure)
        if item.price is None:
            assert outcome(package) == (None, True)
            # What can be promised instead can be had, and not a millimetre more.
            instead = cheapest_with(figure, at_least=item.promised)
            assert outcome(instead) == (item.promised_for, True)
            assert outcome(cheapest_with(figure, at_least=item.promised + 0.001)) == (None, True)
            continue
        assert package.price == item.price > plain.price
        (within,) = goals_within(prepared.evaluation, package.choice, [item.goal])
        assert within.grade == "sure"
    assert {item.price is None for item in certainties} == {True, False}


def test_it_is_said_of_each_goal(prepared):
    evaluation, plain = prepared.evaluation, answers.cheapest(prepared)
    certainties = goal_certainties(prepared, plain.choice)
    lines = goal_certainty_lines(evaluation, plain.price, certainties)
    assert len(lines) == len(certainties)
    assert any("is the most to promise, for" in line for line in lines)
    assert any("EUR (+" in line for line in lines)
    records = goal_certainty_records(evaluation, certainties)
    assert [record["figure"] for record in records] == [i.goal.figure for i in certainties]


def test_a_goal_that_is_sure_already_costs_nothing_more_and_is_not_named(prepared):
    plain = answers.cheapest(prepared)
    named = {item.goal.figure for item in goal_certainties(prepared, plain.choice)}
    assert "engine speed at cruise" not in named


def test_promises_hang_neither_on_what_is_left_out_nor_on_what_is_tried_first(
    prepared, monkeypatch
):
    plain = answers.cheapest(prepared)
    certainties = goal_certainties(prepared, plain.choice)
    # As if the package promised all that is asked for: what can be promised is not in that case.
    too_good = []

    def as_asked(evaluation, choice, item, side):
        too_good.append(side)
        return replace(side, sure=False)

    with monkeypatch.context() as patched:
        patched.setattr(goal_certainty, "_as_good", as_asked)
        assert goal_certainties(prepared, plain.choice) == certainties
    assert too_good
    monkeypatch.setattr(goal_certainty, "_best_in_tables", lambda *_: None)
    assert goal_certainties(prepared, plain.choice) == certainties
