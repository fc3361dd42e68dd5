"""What a session asked once: prices and packages are the same for all who talk about a job."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from configurator.questions.answer_cache import AnswerCache
from configurator.questions.case_cache import key_of
from configurator.questions.closed_prices import BOXED, CLOSED

if TYPE_CHECKING:
    from configurator.model.jobs import Job
    from configurator.questions.case_cache import Shelf
    from configurator.search.optimum.preparing import Prepared

CHEAPEST, OPTIONS, EXACT, CURVE = "cheapest", "options", "exact options", "curve "
# What a narrowed case left open: the whole one is asked once more.
CHEAPEST_OPEN = "cheapest, not proven yet"
FORCED_BY = "forced by "
# Prices and packages of a job, the same for whoever asks: sessions on one shelf share them. All
# else may hold what only this session knows, such as the customer's name.
SHARED = frozenset({CHEAPEST, OPTIONS, EXACT, BOXED, CLOSED})
# Asked of a case that is narrowed to the job's goals, where the whole one is one of bounds.
FOR_GOALS = SHARED | {CHEAPEST_OPEN}


class RememberedAnswers:
    """Answers to questions about jobs, each once.

    Parameters
    ----------
    shelf
        Keeps those that are the same for whoever asks, and says on what case a job is asked.
    """

    def __init__(self, shelf: Shelf) -> None:
        self._shelf = shelf
        self._own = AnswerCache()

    def recalled(self, question: str, job: Job, unknown: Any) -> Any:
        """Return the answer to a question about a job, or else what stands for none.

        One from bounds is none any more once prices are exact.
        """
        kept, key = self._kept(question, job), key_of(job)
        answer = kept.get((question, key, False), unknown)
        if answer is not unknown:
            return answer
        case = self._shelf.find(job)
        if question in FOR_GOALS or case is None:
            case = self._shelf.find_for_goals(job) or self._shelf.find_narrowed(job)
        return kept.get((question, key, True), unknown) if _of_bounds(case) else unknown

    def remember(self, prepared: Prepared, question: str, job: Job, answer: Any) -> None:
        """Keep an answer; ``prepared``: what it was asked of."""
        self._kept(question, job).put((question, key_of(job), _of_bounds(prepared)), answer)

    def _kept(self, question: str, job: Job) -> AnswerCache:
        if question in SHARED or question.startswith((CURVE, FORCED_BY)):
            return self._shelf.answers(job)
        return self._own


def _of_bounds(prepared: Prepared | None) -> bool:
    return prepared is not None and prepared.loose is not None
