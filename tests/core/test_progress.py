"""Work that is stopped: it meets that once, at its next step, and answers as before when asked."""

from __future__ import annotations

import pytest

from configurator.consequences import upgrades
from configurator.core.progress import Cancelled, Progress, check, followed, report
from configurator.questions import answers, trade_offs
from configurator.search.optimum.preparing import Question
from configurator.search.pareto import delivery_times
from tests.search.random_cases import make


class StoppedAt(Progress):
    """Counts the steps of some work, and stops it at one of them."""

    def __init__(self, step=-1):
        super().__init__()
        self.step = step
        self.steps = 0

    @property
    def waits(self):
        self.steps += 1
        if self.steps == self.step:
            self.cancel()
        return super().waits


def test_a_stop_is_met_once():
    progress = Progress("{done} of {of}")
    with followed(progress):
        report(1, 2)
        check()
        progress.cancel()
        with pytest.raises(Cancelled):
            check()
        check()  # what finishes the work is not stopped again
        assert progress.cancelled()
        assert not progress.waits
        progress.cancel()
        with pytest.raises(Cancelled):
            report(2, 2)
    assert progress.words == "2 of 2"


def test_steps_that_nobody_has_words_for_leave_what_was_said():
    progress = Progress()
    with followed(progress):
        progress.report(words="vehicle 1 of 3")
        report(7, 9)
    assert progress.words == "vehicle 1 of 3"


def test_nobody_need_follow():
    check()
    report(1, 2)


def test_what_is_followed_within_something_else_is_stopped_by_itself():
    outer, inner = Progress(), Progress()
    with followed(outer):
        with followed(inner):
            outer.cancel()
            check()
        with pytest.raises(Cancelled):
            check()


def figure_of(prepared):
    return next(iter(prepared.model.goal_tables))


QUESTIONS = {
    "find": lambda prepared: answers.find(prepared, 3),
    "options": answers.options,
    "different": lambda prepared: answers.different(prepared, 3),
    "count": answers.count,
    "why": answers.why,
    "trade-off": lambda prepared: trade_offs.trade_off(prepared, (figure_of(prepared), None)),
    "waits": lambda prepared: delivery_times.waits(Question.of(prepared)),
    "needs": lambda prepared: upgrades.forces_each(
        prepared, [option for each in prepared.model.options.values() for option in each][:6]
    ),
}


@pytest.mark.parametrize("name", ["ready", *QUESTIONS])
def test_whatever_is_asked_is_stopped_at_any_step_and_answers_the_same_afterwards(name):
    stopped = 0
    for seed in (3, 5, 8):
        random_case = make(seed, sums=seed == 5)

        def ready(random_case=random_case):
            evaluation = type(random_case.evaluation)(random_case.case, random_case.trade)
            return answers.ready(evaluation.case, evaluation.trade, keep=False)

        prepared = None if name == "ready" else ready()

        def ask(prepared=prepared, ready=ready):
            if prepared is None:
                return answers.find(ready())
            return QUESTIONS[name](prepared)

        with followed(StoppedAt()) as counted:
            expected = ask()
        assert counted.steps > 0
        for step in {1, *range(1, counted.steps, max(1, counted.steps // 12))}:
            with followed(StoppedAt(step)) as progress:
                try:
                    ask()
                except Cancelled:
                    stopped += 1
                else:
                    assert progress.steps < step  # known from before: fewer steps
        assert ask() == expected
    assert stopped > 8
