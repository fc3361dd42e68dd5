"""Work behind clicks is done for one visitor at a time, and ahead only when nobody clicks."""

from __future__ import annotations

import time
from threading import Event, Thread

import pytest

from configurator.core.progress import Cancelled, Progress, check, followed
from configurator.ui.talk import turns


def in_thread(work):
    thread = Thread(target=work, daemon=True)
    thread.start()
    return thread


def test_one_at_a_time():
    every, order, first, go_on = turns.Turns(), [], Event(), Event()

    def begin():
        with every.taken(Progress()):
            order.append("first begins")
            first.set()
            assert go_on.wait(60)
            order.append("first ends")

    def follow():
        with every.taken(Progress()):
            order.append("second begins")

    earlier = in_thread(begin)
    assert first.wait(60)
    later = in_thread(follow)
    while every.waiting < 2:
        time.sleep(0.01)
    assert order == ["first begins"]
    go_on.set()
    earlier.join(60)
    later.join(60)
    assert order == ["first begins", "first ends", "second begins"]
    assert every.waiting == 0


def test_who_waits_can_be_stopped():
    every, progress = turns.Turns(), Progress()
    with every.taken(Progress()):
        progress.cancel()
        with pytest.raises(Cancelled), every.taken(progress):
            pass
        assert every.waiting == 1
    with every.taken(Progress()):
        pass


def test_nothing_is_done_ahead_while_somebody_clicks(monkeypatch):
    monkeypatch.setattr(turns, "STILL", 1e9)
    every, progress, done = turns.Turns(), Progress(), Event()
    every.clicked()

    def ahead():
        with every.taken(progress, ahead=True):
            done.set()

    thread = in_thread(ahead)
    with every.taken(Progress()):
        assert not done.wait(0.3)
    assert not done.wait(0.3)
    monkeypatch.setattr(turns, "STILL", 0.0)
    assert done.wait(60)
    thread.join(60)


def test_work_rests_while_a_page_is_drawn_but_not_while_the_page_waits_for_it():
    every, steps, stop = turns.Turns(), [], Event()

    def work():
        while not stop.is_set():
            every.give_way()
            steps.append(1)
            time.sleep(0.001)

    with every.drawing():
        thread = in_thread(work)
        time.sleep(turns.MOST_GIVEN / 4)
        assert steps == []
        with every.lent():
            while not steps:
                time.sleep(0.001)
        time.sleep(0.02)
        resting = len(steps)
        time.sleep(turns.MOST_GIVEN / 4)
        assert len(steps) == resting
    while len(steps) == resting:
        time.sleep(0.001)
    stop.set()
    thread.join(60)


def test_work_goes_on_in_the_end_however_long_a_page_is_drawn(monkeypatch):
    monkeypatch.setattr(turns, "MOST_GIVEN", 0.01)
    every, steps = turns.Turns(), []

    def work():
        for _ in range(3):
            every.give_way()
            steps.append(1)

    with every.drawing():
        in_thread(work).join(60)
        assert len(steps) == 3


def test_a_step_that_is_stopped_does_not_rest_first():
    progress = Progress(give_way=lambda: pytest.fail("it was to stop"))
    progress.cancel()
    with followed(progress), pytest.raises(Cancelled):
        check()


def test_nothing_is_done_ahead_while_a_page_is_drawn(monkeypatch):
    monkeypatch.setattr(turns, "STILL", 0.0)
    mine, done = turns.Turns(), Event()

    def ahead():
        with mine.taken(Progress(), ahead=True):
            done.set()

    with mine.drawing():
        thread = in_thread(ahead)
        assert not done.wait(0.3)
    thread.join(30)
    assert done.is_set()
