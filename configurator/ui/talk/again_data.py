"""As last time: the package that changes least since a saved quotation, and what fewer cost."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from configurator.model.parts import NOTHING
from configurator.questions.like_before import packages_like
from configurator.store.access import get_quotation, open_store
from configurator.store.snapshot import readable
from configurator.ui.saved.desk import desk, there
from configurator.ui.talk import plan_state, typed
from configurator.ui.talk import plan_words as words
from configurator.ui.talk import talk_words as say
from configurator.wording import again_words
from configurator.wording.sentences import begun

if TYPE_CHECKING:
    from configurator.evaluation.evaluator import Evaluation
    from configurator.questions.like_before import LikeBefore
    from configurator.ui.visit import Visit

TASK = "again"
NUMBER = "again number"
LONGEST_NUMBER = 40


def look(visit: Visit) -> None:
    """Begin to look for what changes least since a saved quotation.

    Raises
    ------
    NotReadError
        If no number is named, or nothing was saved.
    FitwrightError
        If there is no such quotation.
    """
    number = _number(visit)
    if not number:
        raise typed.NotReadError(words.NUMBER_EMPTY)
    if not there():
        raise typed.NotReadError(words.NOTHING_SAVED)
    with open_store() as store:
        parts = readable(get_quotation(store, number).snapshot, number)["package"]["parts"]
    before = {p: NOTHING if key is None else str(key) for p, key in parts.items()}
    question = f"{TASK} {number}"
    plan_state.begin(
        visit,
        TASK,
        words.AGAIN,
        question,
        lambda talk, _: talk.asked(question, lambda prepared, _: packages_like(prepared, before)),
    )


def _number(visit: Visit) -> str:
    """Return what was typed; by default the quotation that is open."""
    return visit.plans.get(NUMBER, desk().shown or "").strip()[:LONGEST_NUMBER]


def again(visit: Visit, evaluation: Evaluation) -> dict[str, Any]:
    """Return the field, how the work stands, and the packages as far as they were asked for."""
    items: list[LikeBefore] | None = plan_state.answer_of(visit, TASK)
    data: dict[str, Any] = {
        "number": _number(visit),
        **plan_state.state_of(visit, TASK),
        "answer": None,
    }
    if items is not None:
        data["answer"] = {
            "cards": [
                {
                    "title": again_words.heading(
                        evaluation, item, number, len(items), say.exact_money
                    ),
                    "lines": [begun(line) for line in again_words.change_lines(evaluation, item)],
                }
                for number, item in enumerate(items, 1)
            ],
            "words": "" if items else words.NOTHING_LIKE,
        }
    return data
