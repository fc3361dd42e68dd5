"""What follows behind the answer to a click: all prices and levels, effects of parts, the build.

Price, goals and package are there at once. These take longer, so they are worked out in a thread,
those in sight first, one visitor after the other (`turns.py`); until they are there the page shows
those of the last answer and says so. What is out of sight is worked out when nobody clicks.
"""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING

from configurator.core.progress import part_known
from configurator.model.sure_goals import name_asked
from configurator.questions.closed_prices import BOXED
from configurator.questions.session import WIDENED
from configurator.ui.shared_cases import prepare_whole
from configurator.ui.talk.asked_often import ASKED_OFTEN
from configurator.ui.talk.build_data import build_is_made, make_build
from configurator.ui.talk.part_data import EFFECTS, look_for_effects
from configurator.ui.talk.price_curves import (
    better_of,
    find_levels,
    find_levels_beside,
    levels_are_known,
)
from configurator.ui.talk.turns import TURNS
from configurator.ui.visit import AT_LAST, MAKING_READY, WHOLE

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from configurator.core.progress import Progress
    from configurator.evaluation.evaluator import Evaluation
    from configurator.model.jobs import Job
    from configurator.questions.session import Session
    from configurator.search.optimum.preparing import Prepared
    from configurator.ui.visit import Visit

    Question = tuple[Callable[[Session], bool], Callable[[Session], object]]

IN_SIGHT, OUT_OF_SIGHT = "prices in sight", "prices out of sight"
# Work that the page tells of as one: what it shows is being brought up to date.
BEHIND = (WHOLE, AT_LAST, IN_SIGHT, OUT_OF_SIGHT)
# Prices that are made exact in one turn, and turns that are taken for it.
CLOSED_AT_ONCE, PIECES = 20, 100
# Levels of figures that are there within this time come with the answer to the click [s]. Prices of
# all parts take longer: a click waits for none of them.
AT_ONCE = 0.03


def follow(visit: Visit, evaluation: Evaluation) -> bool:
    """Work out what is not known yet of what follows an answer.

    Returns
    -------
    bool
        Whether something is still to come.

    Raises
    ------
    FitwrightError
        If it cannot be worked out.
    """
    TURNS.clicked()
    ready = visit.talk.is_ready
    seen, unseen = _questions(visit, evaluation) if ready else (_at_first(visit), [])
    for name, questions in ((IN_SIGHT, seen), (OUT_OF_SIGHT, unseen)):
        if all(known(visit.talk) for known, _ in questions):
            continue
        task = visit.tasks.get(name)
        if task is not None and task.error is not None:
            raise task.error
        if task is not None and task.state != "running":
            del visit.tasks[name]
        if name == IN_SIGHT and OUT_OF_SIGHT in visit.tasks:
            # What somebody looks at comes first: the rest goes on after it.
            visit.tasks.pop(OUT_OF_SIGHT).stop()
        work = _answered(questions, ahead=name == OUT_OF_SIGHT)
        wait = AT_ONCE if name == IN_SIGHT and visit.view != "parts" else 0.0
        visit.work(name, "Working out prices", work, wait=wait)
        if not all(known(visit.talk) for known, _ in questions):
            return name == IN_SIGHT or not ready
    if ready and visit.talk.is_put_off:
        visit.work(AT_LAST, MAKING_READY, _make_whole, 0.0)
    return not ready


def _make_whole(talk: Session, progress: Progress) -> None:
    """Make the whole case that was put off; nobody waits for it, so all others come first."""
    with TURNS.taken(progress, ahead=True):
        pass
    prepare_whole(talk)


def _answered(questions: Sequence[Question], *, ahead: bool) -> Callable[[Session, Progress], None]:
    def work(talk: Session, progress: Progress) -> None:
        for known, answer in questions:
            if not known(talk):
                with TURNS.taken(progress, ahead=ahead):
                    answer(talk)

    return work


def _at_first(visit: Visit) -> list[Question]:
    """Return what the open part of the talk shows that does not wait for the whole case."""
    made = _build_of(visit)
    if visit.view != "parts" or not visit.talk.knows_prices:
        return [made]
    return [OPTIONS, _effects_of(visit), made]


def _build_of(visit: Visit) -> Question:
    system = visit.system
    return (lambda talk: build_is_made(visit, talk), lambda talk: make_build(talk, system))


def _effects_of(visit: Visit) -> Question:
    return (lambda talk: talk.known(EFFECTS) is not None, look_for_effects(visit))


def _questions(visit: Visit, evaluation: Evaluation) -> tuple[list[Question], list[Question]]:
    """Return what the open part of the talk shows, and what its other parts show."""
    goals = [
        name_asked(visit.job, goal.figure, better_of(visit.talk, goal.figure))
        for goal in visit.job.goals
    ]
    asked = {goal.figure for goal in visit.job.goals}
    often = [name for name in ASKED_OFTEN if name in evaluation.trade.figures and name not in asked]
    figures = [
        name
        for name in dict.fromkeys([*goals, *often])
        if not evaluation.late(evaluation.definition(name))
    ]
    beside = [name for name in figures if name not in goals]
    levels = [_levels_of(name, [] if name in goals else beside) for name in figures]
    parts = [OPTIONS, _effects_of(visit)]
    made = _build_of(visit)
    wider: Question = (
        lambda talk: talk.known(WIDENED) is not None,
        lambda talk: talk.widen(beside),
    )
    # Those that somebody looks at come first, but for long lists, where they take minutes.
    long = visit.talk.certainty_is_apart
    exactly = [] if long or visit.talk.joins_long_lists else [EXACTLY]
    closing = [CLOSE] * PIECES if long else []
    # Long lists may take minutes: somebody has to ask for it then.
    package = [] if long or visit.talk.joins_long_lists else [PACKAGE]
    if visit.view == "parts":
        return [*package, *parts], [*exactly, made, *levels, wider, *closing]
    closing = [*exactly, *closing]
    if visit.view in ("build", "compare"):
        return package, [made, *parts, *levels, wider, *closing]
    return [*package, made, *levels], [wider, *parts, *closing]


def _close_some(talk: Session) -> None:
    patience = talk.prepared(for_goals=True).limits.click_packages
    for _ in itertools.islice(talk.closing(patience=patience), CLOSED_AT_ONCE):
        pass


LOOKED_LONGER = "package that is not there at once"


def _package_is_known(talk: Session) -> bool:
    cheapest = talk.cheapest()
    there = cheapest.choice is not None or cheapest.proven
    return there or talk.known(LOOKED_LONGER) is not None


def _look_longer(talk: Session) -> None:
    def answer(ready: Prepared, job: Job) -> bool:
        del ready, job
        talk.look_longer()
        return True

    talk.asked(LOOKED_LONGER, answer)


# A click has patience for a few thousand packages; where all of them break what is decided on whole
# packages, as brake balance, the one that keeps it is looked for behind the answer.
PACKAGE: Question = (_package_is_known, _look_longer)
# Of long lists a few at a time, so that others' clicks come between; else by boxes of options.
CLOSE: Question = (lambda talk: talk.known("exact options") is not None, _close_some)
EXACTLY: Question = (lambda talk: talk.known(BOXED) is not None, lambda talk: talk.price_boxes())


def _options_are_known(talk: Session) -> bool:
    return talk.known("options") is not None or talk.known("exact options") is not None


OPTIONS: Question = (_options_are_known, lambda talk: talk.options())


def _levels_of(figure: str, beside: Sequence[str]) -> Question:
    """Ask for the levels of a figure; without a goal on it, of more of those beside it at once."""

    def answer(talk: Session) -> None:
        if not beside:
            find_levels(talk, figure)
            return
        find_levels_beside(talk, beside)
        part_known()

    return (lambda talk: levels_are_known(talk, figure)), answer
