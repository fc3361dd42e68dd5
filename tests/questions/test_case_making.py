"""A case narrowed to a job tells its cheapest package until the whole one is there, and no more."""

from __future__ import annotations

import random
from dataclasses import replace
from threading import Event, Thread

import pytest

from configurator.model.jobs import Goal
from configurator.questions import case_making, edits
from configurator.questions.case_cache import Shelf, serves_both
from configurator.questions.session import Session
from configurator.search.circuit.elimination import KnownOrder
from configurator.search.optimum import lexicographic, option_prices, preparing
from configurator.search.optimum.preparing import Question
from tests.questions.test_session import afresh, opened, step, summary
from tests.search.random_cases import make


def keys(package):
    return None if package.choice is None else {p: o.key for p, o in package.choice.items()}


def asked_of_whole(random_case, job):
    question = Question(afresh(random_case, job), job)
    return option_prices.cheapest(lexicographic.settle(question))


@pytest.mark.parametrize("seed", range(20))
def test_the_first_answer_is_that_of_the_whole_case_and_stays(seed):
    random_case = make(seed, families=4, sums=seed % 2 == 1)
    talk, chance = opened(random_case), random.Random(seed)
    for number in range(4):
        if number:
            talk.change(step(chance, random_case.evaluation, talk.job), "a step")
        talk.prepare_first()
        first = talk.cheapest()
        whole = asked_of_whole(random_case, talk.job)
        assert (first.price, first.proven, keys(first)) == (whole.price, whole.proven, keys(whole))
        talk.prepare()
        assert talk.is_ready
        assert talk.cheapest() is first
        assert talk.shelf.find_narrowed(talk.job) is None


def narrowed(talk):
    return not talk.is_ready and talk.knows_cheapest


def with_first(seeds=range(40)):
    """Give a session that knows its first answer only, and whose goals leave parts out."""
    for seed in seeds:
        random_case = make(seed, families=4)
        talk = opened(random_case)
        talk.prepare_first()
        whole = afresh(random_case, talk.job)
        goals = talk.job.goals and talk.cheapest().choice is not None
        if goals and talk.evaluation and talk.shelf.find_narrowed(talk.job):
            narrow = talk.shelf.find_narrowed(talk.job)
            if narrow.circuit.rows < whole.circuit.rows:
                return random_case, talk
    raise AssertionError


def test_what_asks_for_other_packages_than_the_jobs_waits_for_the_whole_case(monkeypatch):
    random_case, talk = with_first()
    assert narrowed(talk)
    made = []
    whole_of = preparing.whole_of
    monkeypatch.setattr(preparing, "whole_of", lambda *a, **k: made.append(a) or whole_of(*a, **k))
    states = talk.options()
    assert not made, "its goals alone narrow the case: parts are priced on it"
    fresh = opened(random_case)
    fresh.prepare()
    made.clear()
    assert summary(states) == summary(fresh.options())
    figure = talk.job.goals[0].figure
    levels = talk.curve(figure)
    assert len(made) == 1
    assert talk.is_ready
    assert levels == fresh.curve(figure)


def test_a_part_chosen_meanwhile_is_answered_and_a_goal_that_moves_is_joined_anew(monkeypatch):
    random_case, talk = with_first()
    models = []
    make_model = preparing.make_model
    monkeypatch.setattr(
        preparing, "make_model", lambda *a, **k: models.append(a) or make_model(*a, **k)
    )
    job = talk.job
    for position, option in talk.cheapest().choice.items():
        talk.change(edits.fix(job, position, option.key), "choose")
        assert narrowed(talk)
        assert talk.cheapest().price == asked_of_whole(random_case, talk.job).price
        models.clear()
    goal = next(g for g in job.goals if g.at_least is not None or g.at_most is not None)
    talk.change(edits.with_goal(job, Goal(goal.figure, at_least=-1e9)), "move")
    assert not talk.knows_cheapest
    talk.prepare_first()
    assert not models, "its tables are those of the job before"
    assert talk.cheapest().price == asked_of_whole(random_case, talk.job).price
    talk.change(edits.with_condition(talk.job, "speed", 1.0), "use")
    assert not talk.knows_cheapest


def test_what_a_narrowed_case_leaves_open_is_asked_of_the_whole_one(monkeypatch):
    _, talk = with_first()
    cheapest = option_prices.cheapest
    package = talk.cheapest()

    def patient(question, patience):
        open_yet = question.prepared.within is not None
        return replace(cheapest(question, patience), proven=not open_yet)

    monkeypatch.setattr(option_prices, "cheapest", patient)
    other = Session(
        replace(talk.job, budget=1), talk.trade,
        lambda job: replace(talk.evaluation.case, job=job), talk.shelf, keep=False,
    )  # fmt: skip
    assert narrowed(other)
    assert not other.cheapest().proven
    other.prepare()
    assert other.cheapest().proven
    assert other.cheapest().price == package.price


def test_the_first_answer_does_not_wait_for_who_makes_the_whole_case(monkeypatch):
    gate, begun = Event(), Event()
    _, talk = with_first()
    whole_of = preparing.whole_of

    def held_back(case, **how):
        begun.set()
        assert gate.wait(60)
        return whole_of(case, **how)

    monkeypatch.setattr(preparing, "whole_of", held_back)
    thread = Thread(target=talk.prepare)
    thread.start()
    assert begun.wait(60)
    other = Session(
        replace(talk.job, goals=talk.job.goals[:1], budget=None), talk.trade,
        lambda job: replace(talk.evaluation.case, job=job), talk.shelf, keep=False,
    )  # fmt: skip
    other.prepare_first()
    assert other.cheapest().proven
    gate.set()
    thread.join(60)
    assert talk.is_ready


def test_where_the_whole_case_is_there_as_soon_it_is_made_at_once(monkeypatch):
    order = KnownOrder((), case_making.SOON_ROWS)
    monkeypatch.setattr(preparing, "look_up", lambda _model: order)
    random_case = make(3, families=4)
    case = random_case.case
    talk = Session(case.job, random_case.trade, lambda job: replace(case, job=job), Shelf())
    talk.prepare_first()
    assert talk.is_ready


def test_a_case_serves_jobs_on_the_same_lists_whose_figures_it_tells_apart():
    job = make(1).case.job
    base = replace(job, goals=(Goal("g0", at_least=1.0),), sure=True)
    assert serves_both(base, replace(base, goals=(), budget=1))
    assert serves_both(base, replace(base, sure=False))
    assert not serves_both(replace(base, sure=False), base)
    assert not serves_both(replace(base, goals=()), base)
    assert not serves_both(base, edits.with_condition(base, "speed", 1.0))
