"""Work in a thread says how far it is, ends at its next step when stopped, gives what it has."""

from __future__ import annotations

import threading

from configurator.core.errors import FitwrightError
from configurator.core.progress import Cancelled, check, report
from configurator.questions import answers
from configurator.ui.tasks import Task
from tests.search.random_cases import make


def test_it_says_how_far_it_is_and_gives_its_result():
    go_on = threading.Event()

    def work(progress):
        progress.template = "{done} of {of} parts"
        report(3, 8)
        go_on.wait(30)
        return 7

    task = Task("long", work)
    while not task.progress.words:
        task.wait(0.01)
    assert (task.state, task.progress.words) == ("running", "3 of 8 parts")
    go_on.set()
    task.wait(30)
    assert (task.state, task.result, task.halted) == ("done", 7, False)


def test_a_search_is_stopped_wherever_it_is_just_then():
    random_case = make(5)

    def work(_):
        while True:
            answers.find(answers.ready(random_case.case, random_case.trade, keep=False))

    task = Task("long", work)
    task.wait(0.2)
    task.stop()
    task.wait(30)
    assert (task.state, task.halted) == ("stopped", True)


def test_what_is_known_by_then_is_given():
    begun = threading.Event()

    def work(_):
        begun.set()
        try:
            while True:
                check()
        except Cancelled:
            return "so far"

    task = Task("long", work)
    assert begun.wait(30)
    task.stop()
    task.wait(30)
    assert (task.state, task.result, task.halted) == ("done", "so far", True)


def test_what_went_wrong_is_kept_in_words():
    def refuses(_):
        message = "the list is empty"
        raise FitwrightError(message)

    task = Task("long", refuses)
    task.wait(30)
    assert (task.state, str(task.error)) == ("failed", "the list is empty")
    task = Task("long", lambda _: 1 / 0)
    task.wait(30)
    assert (task.state, str(task.error)) == (
        "failed", "this could not be worked out (ZeroDivisionError)",
    )  # fmt: skip
