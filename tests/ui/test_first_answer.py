"""After a change of use the first answer is of a case narrowed to the job; the rest follows."""

from __future__ import annotations

import time
from threading import Event

import pytest

from configurator.core import paths
from configurator.core.progress import check
from configurator.files import job_files
from configurator.questions import case_making, curves_beside
from configurator.questions.session import Session
from configurator.search.circuit.join import TooWide
from configurator.search.optimum import known_orders, preparing
from configurator.ui.shared_cases import session_for
from configurator.ui.talk import behind
from configurator.ui.talk.answer import answer
from configurator.ui.visit import AT_LAST, PREPARE, WHOLE, Visit
from tests.ui.apps import shown, tap


@pytest.fixture
def gate(monkeypatch):
    """Let every vehicle be one that is long to join; hold the whole case back."""
    held = Event()
    whole_of = preparing.whole_of

    def held_back(case, **how):
        assert held.wait(120)
        check()
        return whole_of(case, **how)

    monkeypatch.setattr(case_making, "SOON_ROWS", -1)
    monkeypatch.setattr(preparing, "whole_of", held_back)
    yield held
    held.set()


def first_answer(visit):
    """Return what the page shows as soon as it shows an answer to the last act."""
    waiting = visit.get_ready()
    end = time.monotonic() + 60
    while waiting is not None:
        assert waiting.state == "running", waiting.error
        assert time.monotonic() < end
        waiting.wait(1.0)
        waiting = visit.get_ready()
    data, _ = answer(visit, waiting)
    return data


def parts_of(data):
    """Return what the vehicle beside the goals says is new."""
    return sorted(position.lower() for position, *_ in data["build"]["lines"])


def new_parts(visit):
    choice = visit.talk.cheapest().choice
    return sorted(position.lower() for position, option in choice.items() if option.changed)


def built_behind(visit, data):
    """Return what the page shows once the build is made; until then it is marked."""
    end = time.monotonic() + 60
    while data["build"]["stale"]:
        assert data["coming"], "the page asks again"
        assert time.monotonic() < end
        time.sleep(0.05)
        data, _ = answer(visit, visit.get_ready())
    return data


def changed_use(visit, text):
    tap(visit, "use", view="goals", name="cruising speed", text=text)
    return first_answer(visit)


def test_price_goals_and_package_are_final_at_once_and_the_rest_follows(visit, gate):
    first = changed_use(visit, "90")
    assert first["coming"]
    assert first["updating"] is None
    assert not visit.talk.is_ready
    assert all(line["coming"] for line in first["goals"]["lines"])
    assert first["tasks"] == [], "it says so at the prices that follow, not as work of its own"
    gate.set()
    whole = shown(visit)
    assert visit.talk.is_ready
    assert not whole["coming"]
    assert whole["head"] == first["head"]
    kept = ("figure", "least", "most", "state", "mark", "words", "how")
    assert [[line[k] for k in kept] for line in whole["goals"]["lines"]] == [
        [line[k] for k in kept] for line in first["goals"]["lines"]
    ]
    with_all = Session(visit.job, visit.talk.trade, visit.shelves.open_case)
    assert with_all.cheapest().price == visit.talk.cheapest().price


def test_the_vehicle_beside_the_goals_is_made_before_the_whole_case_and_marked_until_then(
    visit, gate, monkeypatch
):
    monkeypatch.setattr(behind, "AT_ONCE", 0.0)
    gate.set()
    before, held = shown(visit), Event()
    assert not before["build"]["stale"]
    assert parts_of(before) == new_parts(visit)
    make = behind.make_build

    def held_back(talk, system):
        assert held.wait(60)
        return make(talk, system)

    monkeypatch.setattr(behind, "make_build", held_back)
    tap(visit, "goal", view="goals", figure="front track", side="most", text="")
    at_once, _ = answer(visit, visit.get_ready())
    assert at_once["build"]["stale"]
    assert at_once["coming"]
    held.set()
    assert not shown(visit)["build"]["stale"]
    held.clear()
    gate.clear()
    first = changed_use(visit, "87")
    assert first["build"]["stale"], "it is of the use before"
    held.set()
    made = built_behind(visit, first)
    assert parts_of(made) == new_parts(visit)
    assert not visit.talk.is_ready
    gate.set()
    assert not shown(visit)["build"]["stale"]


def test_a_whole_case_that_is_put_off_is_made_when_all_else_is_there(visit, monkeypatch):
    whole_of, made = preparing.whole_of, []

    def not_soon(case, *, soon=False):
        if soon:
            raise TooWide((), 0)
        made.append(all(task.state != "running" for n, task in visit.tasks.items() if n != AT_LAST))
        return whole_of(case)

    monkeypatch.setattr(case_making, "SOON_ROWS", -1)
    monkeypatch.setattr(preparing, "whole_of", not_soon)
    monkeypatch.setattr(known_orders, "look_up", lambda _model: None)
    tap(visit, "use", view="goals", name="cruising speed", text="86")
    data = shown(visit)
    assert not any(line["coming"] for line in data["goals"]["lines"])
    assert not data["parts"]["stale"]
    assert made == [True], "nobody waits for it"
    assert not visit.talk.is_put_off
    assert shown(visit)["head"] == data["head"]


def test_the_page_goes_on_meanwhile_and_the_whole_case_is_not_begun_again(visit, gate):
    changed_use(visit, "91")
    whole = visit.tasks[WHOLE]
    position, option = next((p, o) for p, o in visit.talk.cheapest().choice.items() if o.changed)
    tap(visit, "fix", view="build", position=position, part=option.key)
    assert visit.job.fixed[position] == option.key
    data = first_answer(visit)
    assert data["build"]["total"], "the build is of the package alone"
    assert visit.tasks[WHOLE] is whole
    goal = visit.job.goals[0]
    tap(visit, "goal", view="goals", figure=goal.figure, side="least" if goal.at_least else "most",
        text="")  # fmt: skip
    first_answer(visit)
    assert visit.tasks[WHOLE] is whole
    assert whole.state == "running"
    # Not a speed of another test: its case would be there.
    tap(visit, "use", name="cruising speed", text="83")
    assert whole.progress.cancelled(), "it is of no use any more"
    first_answer(visit)
    assert visit.tasks[WHOLE] is not whole
    gate.set()
    assert not shown(visit)["coming"]


def test_a_whole_case_that_was_stopped_is_said_and_made_on_request(visit, gate, monkeypatch):
    changed_use(visit, "92")
    whole = visit.tasks[WHOLE]
    whole.stop()
    gate.set()
    whole.wait(60)
    data, _ = answer(visit, visit.get_ready())
    assert data["updating"]["state"] == "stopped"
    assert data["head"]["total"], "the first answer stays"
    tap(visit, "retry")
    assert WHOLE not in visit.tasks
    assert PREPARE not in visit.tasks
    assert not shown(visit)["coming"]


def test_a_goal_that_is_offered_is_answered_before_its_whole_case_is_there(
    trade, full_shelves, monkeypatch
):
    # Of short lists, what is offered has one level, and that is no curve.
    path = paths.catalogs() / "demo" / "jobs" / "touring-wagon-first-step.toml"
    visit = Visit(session_for(job_files.read_job(path, trade), full_shelves), full_shelves)
    monkeypatch.setattr(curves_beside, "WIDENED_UP_TO", 0)
    tap(visit, "use", view="goals", name="cruising speed", text="93")
    idea = next(idea for idea in shown(visit)["goals"]["often"] if idea["ahead"])
    held, make = Event(), case_making.CaseMaker.make

    def held_back(maker, job):
        assert held.wait(120)
        make(maker, job)

    monkeypatch.setattr(case_making.CaseMaker, "make", held_back)
    tap(visit, "goal", figure=idea["figure"], side=idea["side"], text=idea["suggested"])
    try:
        first = first_answer(visit)
        assert PREPARE not in visit.tasks, "nothing was joined for it"
        assert first["coming"]
        assert not visit.talk.is_ready
        goal = next(g for g in first["goals"]["lines"] if g["figure"] == idea["figure"])
        assert goal["state"] == "met"
        assert goal["curve"], "it is that of before"
        made = built_behind(visit, first)
        assert not visit.talk.is_ready, "the build does not wait for it"
        assert parts_of(made) == new_parts(visit)
    finally:
        held.set()
    whole = shown(visit)
    assert whole["head"] == first["head"]
    alone = Session(visit.job, visit.talk.trade, visit.shelves.open_case)
    assert alone.cheapest().price == visit.talk.cheapest().price
