"""Cases narrowed to one job: the same packages as of the whole, and no answer to another job."""

from __future__ import annotations

import itertools
from collections import Counter
from dataclasses import replace

import pytest

from configurator.core.errors import InputError
from configurator.evaluation.unknown import goals_not_known
from configurator.model.jobs import Goal
from configurator.questions import answers
from configurator.questions.unknown_goals import refuse_goals_without_values
from configurator.search.explanation import conflicts, correction_sets
from configurator.search.limits import Limits
from configurator.search.optimum import k_best, option_prices, preparing, queries
from configurator.search.optimum.preparing import Question
from tests.search.random_cases import make
from tests.search.test_against_enumeration import everything
from tests.search.test_certainty import with_sure_goals
from tests.search.tight_cases import tight_case

BATCH = 25


def narrowed(random_case, job=None):
    job = random_case.case.job if job is None else job
    figures = queries.goal_figures(job)
    return Question(preparing.prepare(random_case.evaluation, figures, within=job), job)


def keys(choice):
    return {position: option.key for position, option in choice.items()}


@pytest.mark.parametrize("batch", range(8))
def test_packages_in_order_of_price_are_those_of_enumeration(batch):
    fewer = compared = 0
    for seed in range(batch * BATCH, (batch + 1) * BATCH):
        random_case = make(seed)
        job = random_case.case.job
        expected = everything(random_case.evaluation, job)
        question = narrowed(random_case)
        assert question.prepared.within is not None
        listed = list(itertools.islice(k_best.in_order(question), len(expected) + 1))
        assert [price for price, _ in listed] == sorted(expected.values()), seed
        assert {
            tuple((p, o.key) for p, o in sorted(choice.items())): price for price, choice in listed
        } == expected, seed
        whole = preparing.prepare(random_case.evaluation, queries.goal_figures(job))
        if max(Counter(expected.values()).values(), default=0) < k_best.EQUAL:
            # Of equally cheap packages, too, the same come first.
            of_whole = k_best.in_order(Question(whole, job))
            assert [keys(choice) for _, choice in of_whole] == [keys(c) for _, c in listed], seed
            compared += len(listed) > len(set(expected.values()))
        fewer += question.prepared.circuit.rows < whole.circuit.rows
    assert fewer > 3
    assert compared > 3


def more_asked(job):
    """Ask for one more goal, if none is on that figure."""
    if any(goal.figure == "g0" for goal in job.goals):
        return job
    return replace(job, goals=(*job.goals, Goal("g0", at_most=5.0)))


def test_limits_on_sums_and_more_wishes_are_asked_as_of_the_whole():
    possible = 0
    for seed in range(60):
        random_case = make(seed, sums=True)
        job = random_case.case.job
        figures = dict.fromkeys([*queries.goal_figures(job), "g0"])
        prepared = preparing.prepare(random_case.evaluation, figures, within=job)
        whole = preparing.prepare(random_case.evaluation, figures)
        for asked in (
            job,
            replace(job, budget=400),
            more_asked(job),
            replace(job, excluded=(*job.excluded, whole.model.options["p0"][-1].key)),
        ):
            expected = option_prices.cheapest(Question(whole, asked))
            cheapest = option_prices.cheapest(Question(prepared, asked))
            assert (cheapest.price, cheapest.proven) == (expected.price, expected.proven), seed
            possible += expected.price is not None
    assert possible > 40


def test_a_goal_that_is_to_be_as_high_as_possible_is_settled_as_of_the_whole():
    settled = 0
    for seed in range(60):
        random_case = make(seed)
        job = random_case.case.job
        others = [goal for goal in job.goals if goal.figure != "g0"]
        possible = Goal("g0", at_least=1.0, as_possible="high")
        case = replace(random_case.case, job=replace(job, goals=(*others, possible)))
        try:
            of_any = answers.find(answers.ready(case, random_case.trade, keep=False))
        except InputError:  # no combination of parts gives a value
            continue
        of_one = answers.find(answers.ready(case, random_case.trade, keep=False, alone=True))
        assert of_one.job == of_any.job, seed
        assert [p.price for p in of_one.packages] == [p.price for p in of_any.packages]
        settled += bool(of_one.packages)
    assert settled > 10


def test_the_ways_out_of_a_narrowed_case_are_those_of_the_whole(monkeypatch, tmp_path):
    monkeypatch.setenv("FITWRIGHT_DATA", str(tmp_path))
    several = 0
    for seed in range(80):
        random_case = make(seed)
        job = random_case.case.job
        if goals_not_known(random_case.evaluation, job) or everything(random_case.evaluation, job):
            continue
        given = random_case.case, random_case.trade
        of_one = answers.find(answers.ready(*given, keep=False, alone=True))
        of_any = answers.find(answers.ready(*given, keep=False))
        assert (of_one.outcome, of_one.repairs) == ("nothing fits", of_any.repairs), seed
        assert of_one.conflict == of_any.conflict
        several += len(of_any.repairs) > 1
    assert several > 3


def test_a_job_that_wishes_for_less_is_refused():
    refused = 0
    for seed in range(60):
        random_case = make(seed)
        job = random_case.case.job
        question = narrowed(random_case)
        for less in (
            replace(job, goals=job.goals[1:]),
            replace(job, goals=tuple(replace(goal, at_most=99.0) for goal in job.goals)),
            replace(job, goals=tuple(replace(goal, at_least=0.0) for goal in job.goals)),
            replace(job, fixed={}),
            replace(job, keep=()),
            replace(job, excluded=()),
        ):
            if less == job:
                continue
            refused += 1
            with pytest.raises(ValueError, match="narrowed"):
                question.about(less)
            assert Question(question.whole().prepared, less).job == less
    assert refused > 60


def test_what_is_to_be_there_in_time_is_asked_for_as_many_vehicles():
    random_case = make(3)
    job = replace(random_case.case.job, parts_within=5, vehicles=2)
    question = narrowed(random_case, job)
    for other in (replace(job, parts_within=6), replace(job, vehicles=1)):
        with pytest.raises(ValueError, match="narrowed"):
            question.about(other)


def test_large_tables_are_not_narrowed():
    random_case = make(3)
    job = random_case.case.job
    few = replace(Limits(), narrowed_rows=1)
    prepared = preparing.prepare(random_case.evaluation, within=job, limits=few)
    assert prepared.within is None


@pytest.mark.parametrize("sums", [False, True])
@pytest.mark.parametrize("limits", [False, True])
def test_certainty_that_is_worked_out_for_one_job_is_that_of_the_whole(sums, limits):
    marked = possible = left_aside = 0
    for seed in range(40):
        random_case = with_sure_goals(seed, sums=sums, limits=limits)
        evaluation, job = random_case.evaluation, random_case.case.job
        figures = queries.goal_figures(job)
        as_calculated = replace(job, sure=False)
        of_one = preparing.prepare(evaluation, figures, within=as_calculated, sure=limits)
        of_grade = preparing.prepare(evaluation, figures, within=job)
        whole = preparing.prepare(evaluation, figures)
        marked += of_one.model.marked_within
        for asked in (job, replace(job, budget=400), as_calculated):
            expected = list(itertools.islice(k_best.in_order(Question(whole, asked)), 20))
            possible += bool(expected)
            for case in (of_one, of_grade) if asked.sure == limits else (of_one,):
                assert case.within is not None or not case.model.marked_within
                listed = list(itertools.islice(k_best.in_order(Question(case, asked)), 20))
                assert [price for price, _ in listed] == [price for price, _ in expected], seed
        free = replace(job, goals=(), fixed={}, keep=(), excluded=())
        again = preparing.whole_of(of_one)
        assert again.within is None
        assert not again.model.marked_within
        cheapest = option_prices.cheapest(Question(again, free))
        assert cheapest.price == option_prices.cheapest(Question(whole, free)).price, seed
        left_aside += of_one.model.marked_within and again.circuit.rows > of_one.circuit.rows
    assert marked > 10
    assert possible > 14
    assert left_aside > 10


def test_where_a_job_leaves_nothing_certainty_is_worked_out_for_all():
    nothing = 0
    for seed in range(60):
        random_case = with_sure_goals(seed, sums=False, limits=True)
        evaluation, job = random_case.evaluation, random_case.case.job
        names = [goal.figure for goal in job.goals]
        if not names:
            continue
        whole = Question(preparing.prepare(evaluation, queries.goal_figures(job)), job)
        if option_prices.cheapest(whole).price is None:
            continue
        job = replace(job, goals=(*job.goals, Goal(names[0], at_least=1e6)))
        of_one = preparing.prepare(evaluation, queries.goal_figures(job), within=job)
        assert not of_one.model.marked_within
        assert option_prices.cheapest(Question(of_one, job)).price is None
        refuse_goals_without_values(Question(of_one, job))  # none is without a value
        nothing += 1
    assert nothing > 6


def test_tables_that_follow_whole_are_marked_whole():
    followed = 0
    for seed in range(20):
        random_case = with_sure_goals(seed, sums=False, limits=True)
        job = random_case.case.job
        figures = queries.goal_figures(job)
        first = preparing.prepare(random_case.evaluation, figures, within=job, few_rows=1)
        assert not first.model.marked_within
        assert preparing.whole_of(first).model is first.model
        followed += first.within is not None
    assert followed > 10


@pytest.mark.parametrize("start", range(0, 160, 40))
def test_up_to_a_price_ways_out_are_those_of_the_whole_case(start):
    compared = several = fewer_rows = 0
    for seed in range(start, start + 40):
        case = tight_case(seed)
        least = None if case is None else min(case.packages.values(), default=None)
        if case is None or not least:
            continue
        figures = queries.goal_figures(case.job)
        whole = preparing.prepare(case.evaluation, figures)
        for budget in {least - 1, least // 2, 0}:
            job = replace(case.job, budget=budget)
            limited = preparing.prepare(case.evaluation, figures, most=budget)
            fewer_rows += limited.circuit.rows < whole.circuit.rows
            repairs = conflicts.repairs(Question(whole, job))
            assert conflicts.repairs(Question(limited, job), (), least) == repairs, (seed, budget)
            ways = correction_sets.representative(Question(whole, job), (), repairs)
            of_limited = correction_sets.representative(Question(limited, job), (), repairs)
            assert of_limited == ways, (seed, budget)
            compared += 1
            several += len(ways) > 1
            with pytest.raises(ValueError, match="narrowed"):
                Question(limited, replace(job, budget=budget + 1))
            with pytest.raises(ValueError, match="narrowed"):
                Question(limited, replace(job, budget=None))
    assert compared > 10
    assert several
    assert fewer_rows
