"""What certainty costs, worked out when somebody asks: of law, plates and clearances, and goals."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from configurator.questions.goal_certainty import certainty_in_full
from configurator.ui.talk import talk_words as say
from configurator.wording.certainty_price_words import certainty_lines, goal_certainty_lines
from configurator.wording.sentences import begun

if TYPE_CHECKING:
    from configurator.evaluation.evaluator import Evaluation
    from configurator.questions.certainty_records import CertaintyPrice, GoalCertainty
    from configurator.questions.session import Session
    from configurator.ui.visit import Visit

_TASK = "certainty"


@dataclass(frozen=True, slots=True)
class _Answer:
    price: CertaintyPrice
    goals: list[GoalCertainty]


def certainty(visit: Visit, evaluation: Evaluation) -> dict[str, Any]:
    """Return what is known of it: a line each, or whether it is being worked out."""
    answer: _Answer | None = visit.talk.known(_TASK)
    task = visit.tasks.get(_TASK)
    running = answer is None and task is not None and task.state == "running"
    lines = _lines(visit, evaluation, answer)
    return {"lines": lines, "running": running, "about": say.CERTAINTY_OF[visit.job.sure]}


def _lines(visit: Visit, evaluation: Evaluation, answer: _Answer | None) -> list[str]:
    if answer is None:
        return []
    lines = certainty_lines(evaluation, answer.price, visit.system, say.exact_money)
    asked = answer.price.in_grade(evaluation.case.job.sure).price
    if asked is not None:
        lines += goal_certainty_lines(
            evaluation, asked, answer.goals, visit.system, say.exact_money
        )
    return [begun(line) for line in lines]


def work_out(visit: Visit) -> None:
    """Begin to work it out for the job as it stands."""
    if visit.talk.is_ready and visit.talk.known(_TASK) is None:
        visit.tasks.pop(_TASK, None)
        visit.work(_TASK, say.WHAT_CERTAINTY_COSTS, lambda talk, _: _worked_out(talk))


def known(talk: Session) -> tuple[CertaintyPrice, list[GoalCertainty]] | None:
    """Return what was worked out of it for the job as it stands; None where it was not."""
    answer: _Answer | None = talk.known(_TASK)
    return None if answer is None else (answer.price, answer.goals)


def _worked_out(talk: Session) -> _Answer:
    return talk.asked(_TASK, lambda prepared, _: _Answer(*certainty_in_full(prepared)))
