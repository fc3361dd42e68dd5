"""How a question that takes longer stands: what was asked, whether it goes on, what came of it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from configurator.ui.talk import plan_words as say

if TYPE_CHECKING:
    from collections.abc import Callable

    from configurator.core.progress import Progress
    from configurator.questions.session import Session
    from configurator.ui.visit import Visit


def begin(
    visit: Visit,
    task: str,
    what: str,
    question: str,
    work: Callable[[Session, Progress], Any],
) -> None:
    """Begin to answer a question beside the page; what was asked before is put aside.

    Parameters
    ----------
    visit
        The visitor's page.
    task, what
        Name of the work, and the same in words.
    question
        Names the answer, with all that it depends on beside the job.
    work
        Answers it.
    """
    before = visit.tasks.pop(task, None)
    if before is not None:
        before.stop()
    visit.plans[task] = question
    visit.work(task, what, work)


def answer_of(visit: Visit, task: str) -> Any:
    """Return the answer to what was asked last, of the job as it stands; None if not known."""
    question = visit.plans.get(task)
    return None if question is None else visit.talk.known(question)


def state_of(visit: Visit, task: str) -> dict[str, str]:
    """Return how the work stands, and what went wrong with it."""
    running = visit.tasks.get(task)
    if running is None:
        return {"state": "none", "trouble": ""}
    trouble = say.STOPPED if running.state == "stopped" else ""
    return {
        "state": running.state,
        "trouble": trouble if running.error is None else str(running.error),
    }
