"""Which cases stay ready: those asked for last, a few of each vehicle, as large as memory bears."""

from __future__ import annotations

from dataclasses import replace

from configurator.model.jobs import Goal
from configurator.questions import case_cache, edits
from configurator.questions.case_cache import KEPT_OF_EACH, Shelf
from tests.questions.test_session import opened
from tests.search.random_cases import make


def with_figures(least=4):
    """Give a random case with so many figures for goals, and a session that has none yet."""
    for seed in range(200):
        random_case = make(seed, families=3)
        evaluation = random_case.evaluation
        figures = [n for n, rule in evaluation.trade.figures.items() if not evaluation.late(rule)]
        shelf = Shelf()
        talk = opened(random_case, shelf)
        talk.change(replace(talk.job, goals=(), budget=None), "begin")
        talk.prepare()
        if len(figures) >= least and talk.prepared().circuit.nodes:
            return random_case, talk, figures
    raise AssertionError


def test_goals_that_were_tried_do_not_widen_a_case_nor_push_out_others():
    random_case, talk, figures = with_figures()
    other = opened(random_case, talk.shelf)
    other.change(edits.with_condition(talk.job, "speed", 1.0), "another use")
    other.prepare()
    for name in figures:
        talk.change(edits.with_goal(talk.job, Goal(name, as_possible="high")), "try")
        talk.prepare()
        assert set(talk.prepared().model.goal_tables) <= {name}
        talk.undo()
    assert other.is_ready
    cases = [basis for basis, _ in talk.shelf._cases]
    assert cases.count(case_cache.basis_of(talk.job)) == KEPT_OF_EACH


def test_cases_beside_are_kept_as_long_as_they_have_few_rows(monkeypatch):
    _, talk, figures = with_figures()
    while any(talk.known(f"curve {name}") is None for name in figures):
        talk.curves_beside(figures)
    kept = dict(talk.shelf._beside)
    assert kept
    monkeypatch.setattr(case_cache, "BESIDE_ROWS", 0)
    talk.shelf.put_beside(talk.job, kept.values())
    assert all(case.circuit.rows == 0 for case in talk.shelf._beside.values())
