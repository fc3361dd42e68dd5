"""What was worked out for a visitor goes when the tab stays closed; job and history stay."""

from __future__ import annotations

import gc
import time
import weakref

import pytest

from configurator.core import paths
from configurator.core.progress import check
from configurator.files import job_files
from configurator.loading import plugin_files
from configurator.ui import closed_tabs, sweeping
from configurator.ui.shared_cases import Library, session_for
from configurator.ui.tasks import Task
from configurator.ui.visit import Visit


@pytest.fixture
def visit():
    shelves = Library(plugin_files.load(installed=False), ())
    file = paths.catalogs() / "demo" / "jobs" / "vineyard-trucks.toml"
    made = Visit(session_for(job_files.read_job(file, shelves.trade), shelves), shelves)
    made.drawn_at = time.monotonic()
    return made


class Answer:
    """Something large that was worked out."""


@pytest.fixture
def timers(monkeypatch):
    """Timers that are started, not waited for."""
    started = []

    class Timer:
        def __init__(self, seconds, call, arguments=()):
            self.seconds, self.call, self.arguments = seconds, call, arguments

        def start(self):
            started.append(self)

    monkeypatch.setattr(closed_tabs.threading, "Timer", Timer)
    monkeypatch.setattr(closed_tabs, "_sweeps", [])
    return started


def test_memory_comes_back_after_the_tab_has_stayed_closed(visit, timers):
    answer = Answer()
    answer.itself = answer  # in a circle, as answers are
    gone = weakref.ref(answer)
    visit.talk.asked("large", lambda *_, answer=answer: answer)
    del answer
    gc.freeze()  # as every run of the page does
    history = visit.talk.history
    closed_tabs.close([visit])
    assert gone() is not None  # the connection may only be lost for a moment
    forget, *rest = timers
    assert rest == []
    assert forget.seconds > 120  # as long as Streamlit waits for it to come back
    forget.call(*forget.arguments)
    (_, sweep) = timers
    sweep.call()
    assert gone() is None
    assert visit.talk.history is history
    assert visit.talk.shelf is visit.shelves.shelf


def test_whoever_comes_back_finds_all_that_was_worked_out(visit, timers):
    answer = Answer()
    visit.talk.asked("large", lambda *_: answer)
    talk = visit.talk
    closed_tabs.close([visit])
    visit.drawn_at = time.monotonic() + 1  # drawn again since
    timers[0].call(*timers[0].arguments)
    assert visit.talk is talk
    assert visit.talk.known("large") is answer


def test_many_tabs_that_are_closed_together_are_swept_once(visit, timers):
    for _ in range(10):
        closed_tabs.close([visit])
    for timer in list(timers):
        timer.call(*timer.arguments)
    assert len(timers) == 11
    timers[-1].call()
    closed_tabs.give_back([visit], time.monotonic())
    assert len(timers) == 12  # and again after that


def test_running_work_ends_at_once(visit, timers):
    def endless(_):
        while True:
            check()
            time.sleep(0.01)

    visit.tasks["long"] = Task("long", endless)
    visit.tasks["done"] = Task("done", lambda _: 7)
    visit.tasks["done"].wait(10)
    task = visit.tasks["long"]
    closed_tabs.close([visit])
    assert set(visit.tasks) == {"done"}
    task.wait(30)
    assert task.state == "stopped"


def test_a_sweep_collects_what_is_frozen():
    answer = Answer()
    answer.itself = answer
    gone = weakref.ref(answer)
    gc.freeze()
    del answer
    gc.collect()
    assert gone() is not None
    sweeping.sweep()
    assert gone() is None
    assert gc.get_freeze_count() > 0
