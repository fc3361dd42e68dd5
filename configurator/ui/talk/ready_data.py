"""By when the job can be ready: parts and work together, and what an earlier day costs."""

from __future__ import annotations

import datetime
from typing import TYPE_CHECKING, Any

from configurator.core import clock
from configurator.evaluation.work_plan import HOURS_A_DAY
from configurator.questions.ready_by import ready_dates
from configurator.ui.talk import plan_state, typed
from configurator.ui.talk import plan_words as words
from configurator.ui.talk import talk_words as say
from configurator.wording import ready_words
from configurator.wording.sentences import begun

if TYPE_CHECKING:
    from configurator.core.progress import Progress
    from configurator.questions.ready_by import ReadyBy
    from configurator.questions.session import Session
    from configurator.ui.visit import Visit

TASK = "ready"
BY, ORDERED, LIFTS = "ready by", "ready ordered", "ready lifts"
MOST_LIFTS = 20


def day_of(text: str) -> datetime.date | None:
    """Read a day (ISO 8601); None for an empty field.

    Raises
    ------
    NotReadError
        If it is none, or not of this time.

    Examples
    --------
    >>> day_of(" 2026-12-18 "), day_of("")
    (datetime.date(2026, 12, 18), None)
    """
    text = text.strip()
    if not text:
        return None
    try:
        day = datetime.date.fromisoformat(text)
    except ValueError as problem:
        raise typed.NotReadError(words.DAY_WRONG.format(text=repr(text[:40]))) from problem
    if not clock.of_this_time(day):
        raise typed.NotReadError(words.DAY_NOT_NOW.format(day=day))
    return day


def look(visit: Visit) -> None:
    """Begin to look for what is ready when.

    Raises
    ------
    NotReadError
        If a day or the number of lifts cannot be read.
    """
    ordered, lifts = _ordered(visit), _lifts(visit)
    _by(visit)
    question = f"{TASK} {ordered} {lifts} {visit.job.vehicles}"
    plan_state.begin(
        visit,
        TASK,
        words.READY,
        question,
        lambda talk, progress: _dates(talk, question, ordered, lifts, progress),
    )


def _dates(
    talk: Session, question: str, ordered: datetime.date, lifts: int, progress: Progress
) -> list[ReadyBy]:
    progress.template = words.DAYS
    return talk.asked(question, lambda prepared, _: ready_dates(prepared, ordered, lifts))


def _ordered(visit: Visit) -> datetime.date:
    return day_of(visit.plans.get(ORDERED, "")) or clock.today()


def _lifts(visit: Visit) -> int:
    return typed.count(visit.plans.get(LIFTS, ""), "lifts", MOST_LIFTS, least=1) or 1


def _by(visit: Visit) -> datetime.date | None:
    by = day_of(visit.plans.get(BY, ""))
    if by is not None and by < _ordered(visit):
        raise typed.NotReadError(words.DAY_TOO_EARLY.format(day=by))
    return by


def ready(visit: Visit) -> dict[str, Any]:
    """Return fields, how the work stands, and the days as far as they were asked for."""
    dates: list[ReadyBy] | None = plan_state.answer_of(visit, TASK)
    data: dict[str, Any] = {
        "by": visit.plans.get(BY, ""),
        "ordered": visit.plans.get(ORDERED, ""),
        "lifts": visit.plans.get(LIFTS, ""),
        "today": clock.today().isoformat(),
        **plan_state.state_of(visit, TASK),
        "answer": None,
    }
    if dates is None:
        return data
    try:
        by, lifts = _by(visit), _lifts(visit)
    except typed.NotReadError:
        # What is wrong stands beside the field; the days are true all the same.
        by, lifts = None, 1
    currency = visit.job.currency
    data["answer"] = {
        "headings": [begun(heading) for heading in ready_words.HEADINGS],
        "rows": ready_words.date_rows(dates, currency, say.exact_money),
        "lines": ready_words.ready_lines(dates, by, lifts, HOURS_A_DAY, currency, say.exact_money)
        if dates
        else [words.NOTHING_READY],
    }
    return data
