"""Prices that are bounds at first are made exact piece by piece, against a case that is whole."""

from __future__ import annotations

import itertools
from dataclasses import replace

from configurator.core import paths
from configurator.files import job_files
from configurator.questions import answers, session
from configurator.questions.session import Session
from configurator.search.limits import LIMITS, Limits
from configurator.search.optimum import preparing, queries
from tests import bundled
from tests.questions.test_session import opened, summary
from tests.search.test_certainty import with_tolerances


def test_prices_of_what_is_sure_are_closed_piece_by_piece(monkeypatch):
    monkeypatch.setattr(session, "SHOWN_EVERY", 2)
    left_and_begun_again = 0
    for seed in range(12):
        random_case = with_tolerances(seed, sums=False)
        evaluation, job = random_case.evaluation, random_case.case.job
        figures = queries.goal_figures(job)
        talk = opened(random_case)
        apart = preparing.prepare(evaluation, figures, limits=replace(LIMITS, marked_options=1))
        lists_are_long = replace(apart, limits=LIMITS)
        talk.shelf.put(job, lists_are_long)
        assert talk.prepared().limits is LIMITS, "it is asked of the case that is there"
        assert talk.certainty_is_apart or apart.model.broken or apart.model.limits_marked
        begun_again = 0
        while talk.known("exact options") is None and begun_again < 200:
            pieces = list(itertools.islice(talk.closing(), 2))
            assert all(0 < done <= todo for done, todo in pieces)
            if not pieces:
                break
            begun_again += 1
        left_and_begun_again += begun_again > 1
        marked = preparing.prepare(evaluation, figures, sure=True)
        for position, states in answers.options(marked).items():
            for state, expected in zip(talk.options()[position], states, strict=True):
                assert (state.state, state.price) == (expected.state, expected.price), seed
    assert left_and_begun_again


def test_what_is_a_minimum_price_at_the_click_is_exact_behind_it():
    """And what boxes of options do not decide is still closed one by one."""
    trade = bundled.trade()
    job = job_files.read_job(paths.catalogs() / "demo" / "jobs" / "vineyard-trucks.toml", trade)

    def begun(**limits):
        case_of = job_files.case_of
        return Session(job, trade, lambda job: case_of(job, trade), limits=Limits(**limits))

    talk, few = begun(), begun(behind_boxes=0)
    at_click = talk.options()
    assert any(not state.exact for each in at_click.values() for state in each)
    talk.price_boxes()
    for position, states in talk.options().items():
        for state, before in zip(states, at_click[position], strict=True):
            assert state.exact
            assert state == before or (not before.exact and state.price >= before.price)
    few.price_boxes()
    assert summary(few.options()) == summary(at_click)
    for _ in few.closing():
        pass
    one_by_one, by_boxes = (
        {p: [(s.price, s.exact) for s in each] for p, each in asked.options().items()}
        for asked in (few, talk)
    )
    assert one_by_one == by_boxes
