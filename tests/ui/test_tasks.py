"""Work in a thread says how far it is, ends at its next step when stopped, gives what it has."""

from __future__ import annotations

import runpy
import threading

import pytest

from configurator.core.errors import FitwrightError
from configurator.core.progress import Cancelled, check, report
from configurator.evaluation.rule_calls import call_rule
from configurator.model.references import Input, VehicleValue
from configurator.model.rules import Fit
from configurator.questions import answers
from configurator.search.encoding.positional_rules import asker
from configurator.ui import tasks
from configurator.ui.stuck_rules import line_of_rule
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


@pytest.mark.parametrize("ask", [call_rule, lambda rule, values: asker(rule)(values)])
def test_a_rule_that_never_returns_is_ended_and_named(ask, monkeypatch, tmp_path):
    monkeypatch.setattr(tasks, "PATIENCE", 0.05)
    plugin = tmp_path / "waiting.py"
    plugin.write_text(
        "def waits(count):\n    while True:\n        try:\n            count += 1\n"
        "        except Exception:\n            pass\n",
        encoding="utf-8",
    )
    rule = Fit(
        "it waits", runpy.run_path(str(plugin))["waits"], (Input("count", VehicleValue("a")),)
    )
    asked = threading.Event()

    def work(_):
        asked.set()
        ask(rule, (1,))

    task = Task("long", work)
    assert asked.wait(30)
    task.wait(0.2)
    assert task.state == "running"
    task.stop()
    task.wait(30)
    assert task.state == "failed"
    assert "waiting.py, line " in str(task.error)
    assert "in waits; it must end for every input" in str(task.error)


def test_what_is_no_rule_is_left_alone_until_its_next_step(monkeypatch):
    monkeypatch.setattr(tasks, "PATIENCE", 0.01)
    go_on, begun = threading.Event(), threading.Event()

    def work(_):
        begun.set()
        go_on.wait(30)
        check()

    task = Task("long", work)
    assert begun.wait(30)
    task.stop()
    task.wait(0.3)
    assert (task.state, line_of_rule(task._thread.ident)) == ("running", "")
    go_on.set()
    task.wait(30)
    assert (task.state, task.error) == ("stopped", None)
