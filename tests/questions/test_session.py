"""A session answers as if the job had been opened afresh, whatever way it came to it."""

from __future__ import annotations

import random
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from threading import Barrier
from time import sleep

import pytest

from configurator.core import paths
from configurator.core.errors import InputError
from configurator.evaluation.evaluator import Evaluation
from configurator.files import job_files, job_link
from configurator.model.jobs import Goal, Job
from configurator.model.requirements import Wish
from configurator.questions import answers, edits
from configurator.questions.case_cache import Shelf, key_of
from configurator.questions.history import begun, undone, went_on
from configurator.questions.session import Session
from configurator.search.circuit.join import TooWide
from configurator.search.explanation import conflicts
from configurator.search.limits import Limits
from configurator.search.optimum import levels, lexicographic, option_prices, preparing, queries
from configurator.search.optimum.preparing import Question
from tests import bundled
from tests.search.narrow import NARROW
from tests.search.random_cases import make


def opened(random_case, shelf=None, **kept):
    case = random_case.case
    return Session(
        case.job, random_case.trade, lambda job: replace(case, job=job), shelf, keep=False, **kept
    )


def afresh(random_case, job):
    evaluation = Evaluation(replace(random_case.case, job=job), random_case.trade)
    return preparing.prepare(evaluation, queries.goal_figures(job))


def summary(states):
    return {p: [(s.state, s.price, s.if_freed, s.exact) for s in of] for p, of in states.items()}


def step(chance, evaluation, job):
    """Change a job at random as an adviser might."""
    position = chance.choice(list(evaluation.families))
    option = chance.choice(evaluation.options(position))
    kind = chance.randrange(6)
    if kind == 0:
        return edits.fix(job, position, option.key)
    if kind == 1:
        return edits.free(job, position)
    if kind == 2 and evaluation.fitted[position].key != "none":
        return edits.keep(job, position)
    if kind == 3 and "/" in option.key:
        return edits.rule_out(job, option.key)
    if kind == 4:
        figures = [f for f, rule in evaluation.trade.figures.items() if not evaluation.late(rule)]
        figure = chance.choice(figures)
        value = evaluation.figure(figure, evaluation.fitted)
        if isinstance(value, float | int) and not isinstance(value, bool):
            return edits.with_goal(job, Goal(figure, at_most=float(value) + chance.random()))
    return replace(job, budget=chance.choice([None, 500, 2000, 20000]))


@pytest.mark.parametrize("seed", range(12))
def test_a_walk_through_changes_gives_the_answers_of_fresh_preparations(seed):
    random_case = make(seed, families=4)
    chance = random.Random(seed)
    talk = opened(random_case)
    for _ in range(8):
        talk.change(step(chance, random_case.evaluation, talk.job), "a step")
        if chance.random() < 0.3:
            talk.undo()
        fresh = afresh(random_case, talk.job)
        assert summary(talk.options()) == summary(answers.options(fresh, close=False))
        settled = lexicographic.settle(Question(fresh, talk.job))
        cheapest = option_prices.cheapest(settled)
        assert talk.cheapest().price == cheapest.price
        for goal in talk.job.goals:
            want = levels.levels_of(
                settled.about(queries.without_goal(settled.job, goal.figure)), goal.figure
            )
            if not random_case.evaluation.late(random_case.evaluation.definition(goal.figure)):
                assert talk.curve(goal.figure) == want


@pytest.mark.parametrize("seed", range(6))
def test_closing_gives_what_a_patient_question_gives(seed):
    random_case = make(seed, families=4)
    talk = opened(random_case)
    for done, todo in talk.closing():
        assert 0 < done <= todo
    assert summary(talk.options()) == summary(answers.options(afresh(random_case, talk.job)))


def test_masking_changes_need_no_preparing_and_others_do():
    random_case = make(1, families=4)
    talk = opened(random_case)
    assert not talk.is_ready
    talk.prepare()
    evaluation = random_case.evaluation
    position = next(iter(evaluation.families))
    key = evaluation.options(position)[-1].key
    for job in (
        edits.fix(talk.job, position, key),
        edits.rule_out(talk.job, key),
        replace(talk.job, budget=1234),
        replace(talk.job, title="renamed", vehicles=3),
    ):
        talk.change(job, "mask")
        assert talk.is_ready
    for job in (
        edits.with_condition(talk.job, "speed", 1.0),
        edits.with_measured(talk.job, "room", 1.0),
        replace(talk.job, catalogs=("other",)),
    ):
        talk.change(job, "anew")
        assert not talk.is_ready
        talk.undo()
        assert talk.is_ready


def test_a_goal_on_a_new_figure_is_prepared_once_and_kept_through_undo_and_redo():
    random_case = make(5, families=4)
    evaluation = random_case.evaluation
    talk = opened(random_case)
    talk.prepare()
    model = talk.prepared().model
    figure = next(
        name
        for name, rule in evaluation.trade.figures.items()
        if name not in model.goal_tables
        and name not in model.fixed_figures
        and not evaluation.late(rule)
    )
    before = talk.options()
    talk.change(edits.with_goal(talk.job, Goal(figure, as_possible="low")), "ask for more")
    assert not talk.is_ready
    talk.prepare()
    assert talk.is_ready
    assert talk.history.can_undo == "ask for more"
    talk.undo()
    assert talk.is_ready
    assert talk.options() is before
    talk.redo()
    assert talk.is_ready


def test_answers_are_kept_by_job_and_not_without_bound():
    random_case = make(3, families=3)
    talk = opened(random_case, Shelf(answers=4))
    first = talk.options()
    assert talk.options() is first
    talk.change(replace(talk.job, title="the same parts"), "rename")
    assert talk.options() is first
    for budget in range(1, 8):
        talk.change(replace(talk.job, budget=budget), "budget")
        talk.options()
    for _ in range(7):
        talk.undo()
    again = talk.options()
    assert again is not first
    assert summary(again) == summary(first)


def test_cases_are_shared_by_sessions_and_the_oldest_go():
    random_case = make(4, families=3)
    shelf = Shelf(most=2)
    opened(random_case, shelf).prepare()
    other = opened(random_case, shelf)
    assert other.is_ready
    for speed in (1.0, 2.0):
        other.change(edits.with_condition(other.job, "speed", speed), "speed")
        other.prepare()
    assert not opened(random_case, shelf).is_ready


def test_a_case_that_several_want_at_once_is_prepared_once():
    random_case = make(4, families=3)
    shelf, asked, everybody = Shelf(), [], Barrier(3)

    def open_case(job):
        asked.append(job)
        sleep(0.05)  # so that the others come meanwhile
        return replace(random_case.case, job=job)

    def prepare():
        talk = Session(random_case.case.job, random_case.trade, open_case, shelf, keep=False)
        everybody.wait()
        talk.prepare()
        return talk.cheapest().price

    with ThreadPoolExecutor(3) as several:
        prices = {future.result() for future in [several.submit(prepare) for _ in range(3)]}
    assert (len(asked), len(prices)) == (1, 1)


def test_history_forgets_what_was_undone_when_another_way_is_taken():
    history = begun(Job("a", "demo/b", ("demo",)))
    history = went_on(history, replace(history.job, budget=1), "one")
    history = went_on(undone(history), replace(history.job, budget=2), "two")
    assert [step.name for step in history.steps] == ["", "two"]
    assert (history.can_undo, history.can_redo) == ("two", "")
    assert went_on(history, history.job, "nothing") is history


def test_equal_jobs_have_one_key_and_different_ones_do_not():
    job = Job("a", "demo/b", ("demo",), fixed={"x": "demo/1", "y": "none"})
    assert key_of(job) == key_of(replace(job, fixed={"y": "none", "x": "demo/1"}))
    others = [
        replace(job, budget=1),
        replace(job, goals=(Goal("track", at_most=1.0),)),
        replace(job, keep=("z",)),
        replace(job, excluded=("demo/1",)),
        replace(job, measured={"room": 1.0}),
        replace(job, local_rules="demo/somewhere"),
    ]
    assert len({key_of(other_job) for other_job in [job, *others]}) == len(others) + 1


@pytest.mark.parametrize("seed", range(10))
def test_a_repair_repairs(seed):
    random_case = make(seed, families=4)
    evaluation = random_case.evaluation
    talk = opened(random_case)
    seen = 0
    for position in evaluation.families:
        for state in talk.options()[position]:
            if state.state != "impossible" or state.if_freed is not None:
                continue
            for repair in talk.repairs(position, state.option.key)[:2]:
                job = edits.fix(edits.repaired(talk.job, repair), position, state.option.key)
                assert conflicts.can_hold(Question(afresh(random_case, job), job))
                seen += 1
    if seen == 0:
        assert not talk.repairs("", "") or True in {bool(r.given_up) for r in talk.repairs()}


# -- one job of the demo -------------------------------------------------------------------------


@pytest.fixture(scope="module")
def trucks():
    trade = bundled.trade()
    job = job_files.read_job(paths.catalogs() / "demo" / "jobs" / "vineyard-trucks.toml", trade)
    return Session(job, trade, lambda job: job_files.case_of(job, trade))


def test_the_demo_job_under_discussion(trucks):
    trucks.prepare()
    first = trucks.cheapest().price
    fresh = answers.ready(job_files.case_of(trucks.job, trucks.trade), trucks.trade)
    assert first == answers.find(fresh).packages[0].price
    dearer = next(
        s.option.key
        for s in trucks.options()["tyres"]
        if s.option.changed and s.price is not None and s.price > first
    )
    trucks.change(edits.fix(trucks.job, "tyres", dearer), "fix the tyres")
    assert trucks.is_ready
    fixed = answers.ready(job_files.case_of(trucks.job, trucks.trade), trucks.trade)
    assert summary(trucks.options()) == summary(answers.options(fixed, close=False))
    assert trucks.cheapest().price == option_prices.cheapest(Question(fixed, trucks.job)).price
    trucks.undo()
    assert trucks.cheapest().price == first


# -- links ---------------------------------------------------------------------------------------


def test_a_job_survives_its_link(trucks):
    job = edits.fix(replace(trucks.job, title="Örtliches <b>& Söhne"), "hubs", "none")
    job = edits.with_measured(trucks.job, "front arch room", 0.4321)
    parameter = job_link.to_parameter(job, trucks.trade)
    assert len(parameter) < 1500
    assert job_link.from_parameter(parameter, trucks.trade) == job


def bad_links(good):
    version, packed, checksum = good.split(".")
    yield "", "damaged"
    yield "hello", "damaged"
    yield f"2.{packed}.{checksum}", "version 2"
    yield good[:-1], "damaged"
    yield good[: len(good) // 2], "damaged"
    yield f"{version}.{packed[:-4]}AAAA.{checksum}", "damaged"
    yield f"{version}.{packed}.00000000", "damaged"
    yield f"{version}.{'A' * 9000}.00000000", "too long"
    yield f"{version}.ä.{checksum}", "damaged"


def test_bad_links_are_refused_with_a_reason(trucks):
    for parameter, problem in bad_links(job_link.to_parameter(trucks.job, trucks.trade)):
        with pytest.raises(InputError, match=problem):
            job_link.from_parameter(parameter, trucks.trade)


def packed(text: bytes) -> str:
    import base64
    import zlib

    body = base64.urlsafe_b64encode(zlib.compress(text, 9)).decode().rstrip("=")
    return f"1.{body}.{zlib.crc32(text):08x}"


def test_a_link_that_unpacks_to_far_too_much_is_refused(trucks):
    with pytest.raises(InputError, match="damaged"):
        job_link.from_parameter(packed(b"#" * 3_000_000), trucks.trade)


def test_a_link_with_an_unsound_job_says_everything_that_is_wrong(trucks):
    text = (
        b'title = "x"\nvehicle = "demo/y"\ncatalogs = ["demo"]\n[goals.tracc]\nat_most = 1\nx = 2'
    )
    with pytest.raises(InputError) as caught:
        job_link.from_parameter(packed(text), trucks.trade)
    assert "tracc" in str(caught.value)


def test_goals_given_up_together_stay_as_near_as_can_be_had():
    job = Job("a", "demo/b", ("demo",), goals=(Goal("x", at_least=1.0), Goal("y", at_most=2.0)))
    both = ((Wish("at least", "x", bound=1.0), 0.9), (Wish("at most", "y", bound=2.0), 2.1))
    goals = edits.repaired(job, conflicts.Repair(both, 0)).goals
    assert [(goal.at_least, goal.at_most) for goal in goals] == [(0.9, None), (None, 2.1)]
    gone = tuple((wish, None) for wish, _ in both)
    assert edits.repaired(job, conflicts.Repair(gone, 0)).goals == ()
    assert edits.repaired(job, conflicts.Repair(both[:1], 0)).goals[0].at_least == 0.9


def test_looking_longer_proves_what_a_click_had_no_time_for():
    looked = 0
    for seed in range(200):
        random_case = make(seed, sums=True, families=5, parts=4)
        talk = opened(random_case, limits=Limits(click_packages=1))
        fresh = afresh(random_case, talk.job)
        exact = option_prices.cheapest(lexicographic.settle(Question(fresh, talk.job)))
        first = talk.cheapest()
        if first.proven:
            continue
        looked += 1
        assert talk.look_longer() == talk.cheapest()
        assert talk.cheapest().proven
        assert talk.cheapest().price == exact.price
        if looked == 3:
            break
    assert looked == 3


def test_long_lists_are_joined_for_all_who_talk_about_them():
    joined = 0
    for seed in range(30):
        random_case = make(seed)
        shelf = Shelf()
        talk = opened(random_case, shelf, limits=NARROW)
        other = opened(random_case, shelf, limits=NARROW)
        before = talk.options()
        if all(state.exact for states in before.values() for state in states):
            continue
        other.options()
        talk.tighten()
        exact = summary(answers.options(afresh(random_case, talk.job)))
        assert summary(talk.options()) == summary(other.options()) == exact, seed
        joined += 1
    assert joined > 5


def test_lists_too_long_to_be_joined_say_what_to_do():
    limits = replace(NARROW, conditioned_rows=1)
    refused = 0
    for seed in range(10):
        talk = opened(make(seed), limits=limits)
        if talk.prepared().loose is None:
            continue
        before = summary(talk.options())
        with pytest.raises(TooWide):
            talk.tighten()
        assert summary(talk.options()) == before
        refused += 1
    assert refused > 3
