"""A curve from a narrowed case is that of a case which was prepared for the figure."""

from __future__ import annotations

from dataclasses import replace

from configurator.model.jobs import Goal
from configurator.questions import curves_beside, edits
from configurator.questions.session import Session
from configurator.search.optimum import queries
from tests.search.random_cases import make


def opened(random_case, job, figures=()):
    case = random_case.case
    return Session(
        job, random_case.trade, lambda job: replace(case, job=job), keep=False, figures=figures
    )


def levels(talk, figure):
    return [(level.value, level.price, level.exact) for level in talk.curve(figure)]


def test_curves_beside_are_those_of_a_case_with_the_figures(monkeypatch):
    compared = together = answered = 0
    for seed in range(150):
        random_case = make(seed, families=4)
        evaluation = random_case.evaluation
        every = [n for n, rule in evaluation.trade.figures.items() if not evaluation.late(rule)]
        goals = queries.goal_figures(random_case.case.job)
        others = [name for name in every if name not in goals]
        if len(others) < 2:
            continue
        job = replace(random_case.case.job, budget=None)
        if seed % 2 and (position := next(iter(evaluation.families))):
            job = edits.fix(job, position, evaluation.options(position)[-1].key)
        if seed % 3:
            job = edits.with_goal(job, Goal(others[-1], as_possible="high"))
            others.pop()
        monkeypatch.setattr(curves_beside, "TOGETHER_UP_TO", 400_000 if seed % 5 else 0)
        talk, whole = opened(random_case, job), opened(random_case, job, every)
        assert any(not curves_beside.is_prepared_for(talk.prepared(), name) for name in others) or (
            all(name in talk.prepared().model.fixed_figures for name in others)
        )
        calls = 0
        while any(talk.known(f"curve {name}") is None for name in others):
            talk.curves_beside(others)
            calls += 1
            assert calls <= len(others), "each call knows at least one more"
        together += calls < len(others)
        for name in others:
            assert levels(talk, name) == levels(whole, name), (seed, name)
            compared += len(talk.curve(name)) > 1
        answered += goals_on_what_was_beside(talk, whole, others)
    assert compared > 20
    assert together > 5
    assert answered > 20


def goals_on_what_was_beside(talk, whole, figures):
    """Ask for a level of each figure: its answer is there without a case of its own."""
    answered = 0
    for name in figures:
        value = next((level.value for level in talk.curve(name) if level.price is not None), None)
        if not isinstance(value, int | float):
            continue
        for session in (talk, whole):
            session.change(edits.with_goal(session.job, Goal(name, at_least=value)), "ask")
        made_for = talk.shelf.find_narrowed(talk.job)
        if made_for is not None and not talk.is_ready:
            assert talk.knows_cheapest
            first, expected = talk.cheapest(), whole.cheapest()
            assert (first.price, first.proven) == (expected.price, expected.proven), name
            answered += 1
        for session in (talk, whole):
            session.undo()
    return answered


def test_a_small_case_is_prepared_for_more_figures_and_answers_as_before(monkeypatch):
    widened = 0
    for seed in range(40):
        random_case = make(seed, families=3)
        trade = random_case.evaluation.trade
        every = [n for n, rule in trade.figures.items() if not random_case.evaluation.late(rule)]
        job = random_case.case.job
        talk = opened(random_case, job)
        before, was = talk.cheapest(), talk.prepared()
        if not every or all(curves_beside.is_prepared_for(was, name) for name in every):
            continue
        monkeypatch.setattr(curves_beside, "WIDENED_UP_TO", 0)
        talk.widen(every)
        assert talk.prepared().circuit is was.circuit, "it is too large"
        monkeypatch.setattr(curves_beside, "WIDENED_UP_TO", 200_000)
        talk = opened(random_case, job)
        talk.cheapest()
        talk.widen(every)
        if not was.circuit.nodes:
            continue
        assert all(curves_beside.is_prepared_for(talk.prepared(), name) for name in every)
        widened += 1
        talk.change(edits.with_goal(job, Goal(every[0], as_possible="high")), "ask for more")
        assert talk.is_ready
        afresh = opened(random_case, talk.job)
        assert talk.cheapest().price == afresh.cheapest().price
        talk.undo()
        assert talk.cheapest() == before
    assert widened > 5
