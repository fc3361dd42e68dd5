"""The general solver, asked where cases do not decide: against full enumeration."""

from __future__ import annotations

import itertools
import threading
from dataclasses import replace

import pytest

from configurator.core.progress import Cancelled, Progress, followed
from configurator.questions import answers
from configurator.search.optimum import (
    branch_and_bound,
    cp_sat,
    k_best,
    option_prices,
    preparing,
    queries,
)
from configurator.search.optimum.preparing import Question
from tests.search.narrow import NARROW
from tests.search.random_cases import make
from tests.search.test_against_enumeration import everything

pytest.importorskip("ortools")


# Variables are taken apart early, and the solver is asked at once.
AT_ONCE = replace(NARROW, cases_before_solver=0)


@pytest.fixture
def asked(monkeypatch):
    """Count the questions to the solver."""
    result = []
    cheapest = cp_sat.cheapest

    def counted(*given):
        result.append(given)
        return cheapest(*given)

    monkeypatch.setattr(cp_sat, "cheapest", counted)
    return result


def cases_of(seeds, limits=AT_ONCE, **kinds):
    for seed in seeds:
        random_case = make(seed, **kinds)
        evaluation, job = random_case.evaluation, random_case.case.job
        prepared = preparing.prepare(evaluation, queries.goal_figures(job), limits=limits)
        if prepared.loose is not None:
            yield seed, job, prepared, everything(evaluation, job)


def named(choice):
    return tuple((position, option.key) for position, option in sorted(choice.items()))


def test_packages_come_in_order_and_each_once(asked):
    held = nothing = 0
    for seed, job, prepared, expected in cases_of(range(40)):
        packages = list(itertools.islice(k_best.in_order(Question(prepared, job)), 6))
        assert [price for price, _ in packages] == sorted(expected.values())[:6], seed
        keys = [named(choice) for _, choice in packages]
        assert len(set(keys)) == len(keys)
        assert all(expected[key] == price for key, (price, _) in zip(keys, packages, strict=True))
        held += len(packages)
        nothing += not packages
    assert held > 60
    assert nothing > 0
    assert len(asked) >= 30


def test_sums_and_shared_work_count(asked):
    held = 0
    for seed, job, prepared, expected in cases_of(range(60), families=4, sums=True):
        cheapest = option_prices.cheapest(Question(prepared, job))
        assert cheapest.proven, seed
        assert cheapest.price == min(expected.values(), default=None), seed
        held += cheapest.price is not None
    assert held > 5
    assert asked


def test_without_it_or_without_patience_cases_go_on(asked, monkeypatch):
    for _, job, prepared, expected in cases_of(range(12)):
        patient = list(
            itertools.islice(k_best.numbers_in_order(Question(prepared, job), patience=400), 3)
        )
        assert len(patient) == min(3, len(expected))
    monkeypatch.setattr(cp_sat, "there", lambda: False)
    for seed, job, prepared, expected in cases_of(range(12)):
        prices = [
            price for price, _ in itertools.islice(k_best.in_order(Question(prepared, job)), 3)
        ]
        assert prices == sorted(expected.values())[:3], seed
    assert not asked


def test_cases_that_find_something_go_on(asked):
    held = 0
    for seed, job, prepared, expected in cases_of(
        range(40), replace(NARROW, cases_before_solver=3)
    ):
        before = len(asked)
        prices = [
            price for price, _ in itertools.islice(k_best.in_order(Question(prepared, job)), 6)
        ]
        assert prices == sorted(expected.values())[:6], seed
        held += len(asked) == before
    assert held > 10


def test_it_is_told_what_is_proven_already(asked):
    """Told more than is true, it finds nothing: so what it is told is used."""
    floors = 0
    for seed, job, prepared, expected in cases_of(range(40)):
        asked.clear()
        first = next(k_best.in_order(Question(prepared, job)), None)
        if first is None or not asked:
            continue
        problem = asked[0][0]
        least = min(expected.values()) - prepared.model.fixed_cost
        assert problem.floor <= least, seed
        floors += problem.floor > 0
        assert cp_sat.cheapest(replace(problem, floor=least)) is not None
        dearest = max(expected.values()) - prepared.model.fixed_cost
        if least > 0:
            assert cp_sat.cheapest(replace(problem, floor=dearest + 10**7)) is None
    assert floors > 5


def test_what_is_known_is_where_it_begins_and_changes_no_answer(asked):
    begun = 0
    for _, job, prepared, _ in cases_of(range(40)):
        asked.clear()
        first = next(k_best.in_order(Question(prepared, job)), None)
        if first is None or not asked:
            continue
        problem = asked[0][0]
        rows = cp_sat.cheapest(problem)
        others = cp_sat.cheapest(problem, [rows])
        for start in filter(None, (rows, others)):
            again = cp_sat.cheapest(replace(problem, start=start))
            weights = [
                sum(int(problem.weights[n][r]) for n, r in each.items()) for each in (rows, again)
            ]
            assert weights[0] == weights[1]
            begun += 1
    assert begun > 10


def test_when_its_time_is_over_the_best_that_is_known_is_given():
    undecided = 0
    for _, job, prepared, expected in cases_of(range(40)):
        if not expected:
            continue
        hurried = replace(prepared, limits=replace(prepared.limits, solver_seconds=0.0))
        try:
            price, _ = next(k_best.in_order(Question(hurried, job)))
        except branch_and_bound.Undecided:
            undecided += 1
        else:
            assert price == min(expected.values())
    assert undecided > 5


def test_that_there_is_nothing_counts_only_without_presolving(asked, monkeypatch):
    """A wrong *infeasible* of the presolver is not believed."""
    from ortools.sat.python import cp_model

    solved = cp_sat._solved
    wrong = 0

    def wrongly(model, seconds, *, presolve):
        nonlocal wrong
        wrong += presolve
        solver, status, stopped = solved(model, seconds, presolve=presolve)
        return solver, cp_model.INFEASIBLE if presolve else status, stopped

    for _, job, prepared, _ in cases_of(range(40)):
        asked.clear()
        next(k_best.in_order(Question(prepared, job)), None)
        if not asked:
            continue
        problem = asked[0][0]
        expected = cp_sat.cheapest(problem)
        with monkeypatch.context() as patch:
            patch.setattr(cp_sat, "_solved", wrongly)
            assert (cp_sat.cheapest(problem) is None) == (expected is None)
        if wrong > 5:
            break
    assert wrong > 5


def test_it_is_not_asked_without_end():
    given_up = 0
    for _, job, prepared, expected in cases_of(range(40), replace(AT_ONCE, solver_calls=2)):
        if len(expected) < 12:
            continue
        try:
            given = len(
                list(itertools.islice(k_best.in_order(Question(prepared, job)), len(expected)))
            )
        except branch_and_bound.Undecided:
            given_up += 1
        else:
            assert given == len(expected)  # of two classes only
    assert given_up > 0


def test_where_the_solver_fails_it_stays_undecided(monkeypatch):
    """No answer is no proof that nothing fits, and no traceback either."""

    def failing(*_):
        raise MemoryError

    from ortools.sat.python import cp_model

    monkeypatch.setattr(cp_model.CpSolver, "solve", failing)
    _, job, prepared, _ = next(case for case in cases_of(range(40)) if case[3])
    with pytest.raises(branch_and_bound.Undecided):
        next(k_best.in_order(Question(prepared, job)))
    assert answers.find(prepared).outcome == "best found"


def test_a_stop_gives_the_best_found(monkeypatch):
    """What is found is a package, and is not said to be the cheapest."""
    cheapest = cp_sat.cheapest

    def interrupted(*given):
        rows = cheapest(*given)
        if rows is None:
            raise Cancelled
        raise cp_sat.Interrupted(rows)

    monkeypatch.setattr(cp_sat, "cheapest", interrupted)
    stopped = 0
    for seed, _, prepared, expected in cases_of(range(40)):
        answer = answers.find(prepared, partial=True)
        if not expected:
            assert not answer.packages
            continue
        assert answer.outcome == "best found", seed
        if not answer.packages:  # what was found is over the budget
            continue
        (package,) = answer.packages
        assert expected[named(package.choice)] == package.price
        with pytest.raises(Cancelled):
            answers.find(prepared)
        stopped += 1
    assert stopped > 10


def test_a_stop_while_it_works_reaches_whoever_asked(monkeypatch):
    """The solver is told to stop, and what it has by then is handed on."""
    _, job, prepared, expected = next(case for case in cases_of(range(40)) if case[3])
    cp_model = pytest.importorskip("ortools.sat.python.cp_model")
    progress = Progress()
    solve, stopped, ended = cp_model.CpSolver.solve, threading.Event(), []

    def slow(solver, model):
        progress.cancel()
        stopped.wait(30)
        result = solve(solver, model)
        ended.append(1)
        return result

    monkeypatch.setattr(cp_model.CpSolver, "solve", slow)
    monkeypatch.setattr(cp_model.CpSolver, "stop_search", lambda _: stopped.set())
    with followed(progress), pytest.raises(branch_and_bound.Halted) as stop:
        next(k_best.in_order(Question(prepared, job)))
    ((weight, numbers),) = stop.value.packages
    key = named(k_best.chosen(prepared, numbers))
    assert expected[key] == weight + prepared.model.fixed_cost
    assert ended  # nothing of it goes on behind the caller's back


def test_where_no_thread_can_be_started_it_is_undecided(monkeypatch):
    _, job, prepared, _ = next(case for case in cases_of(range(40)) if case[3])

    def refused(_):
        message = "can't start new thread"
        raise RuntimeError(message)

    monkeypatch.setattr(cp_sat.threading.Thread, "start", refused)
    with pytest.raises(branch_and_bound.Undecided):
        next(k_best.in_order(Question(prepared, job)))


def test_what_is_not_proven_says_how_far_it_may_be_off(monkeypatch):
    """Of all that is left open no package is below what is said, and the solver's bound counts."""
    from ortools.sat.python import cp_model

    solved = cp_sat._solved

    def without_proof(model, seconds, *, presolve):
        solver, status, stopped = solved(model, seconds, presolve=presolve)
        return solver, cp_model.FEASIBLE if status == cp_model.OPTIMAL else status, stopped

    held = 0
    for seed, _, prepared, expected in cases_of(range(40)):
        if not expected:
            continue
        with monkeypatch.context() as patch:
            patch.setattr(cp_sat, "_solved", without_proof)
            answer = answers.find(prepared)
        if answer.outcome != "best found":
            continue
        cheapest = min(expected.values())
        assert (answer.least or 0) == cheapest, seed  # the solver had proven it
        assert all(package.price == cheapest for package in answer.packages), seed
        held += 1
        hurried = replace(prepared, limits=replace(prepared.limits, solver_seconds=0.0))
        answer = answers.find(hurried)
        assert answer.outcome == "best found", seed
        assert answer.least is None or answer.least <= cheapest, seed
    assert held > 5
