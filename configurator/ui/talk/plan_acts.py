"""What a tap means for stages, the day a job is ready, and last time."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.ui.talk import again_data, certainty_data, ready_data, stage_data, typed
from configurator.ui.talk.act_arguments import text_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from configurator.ui.talk.act_arguments import Sent
    from configurator.ui.visit import Visit


def _check_budgets(visit: Visit, text: str) -> None:
    if text.strip():
        stage_data.budgets_of(text, visit.job.currency)


def _check_day(visit: Visit, text: str) -> None:
    del visit
    ready_data.day_of(text)


def _check_lifts(visit: Visit, text: str) -> None:
    del visit
    typed.count(text, "lifts", ready_data.MOST_LIFTS, least=1)


def _nothing_to_check(visit: Visit, text: str) -> None:
    del visit, text


# Field → what refuses a text that cannot be read.
_FIELDS: dict[str, Callable[[Visit, str], None]] = {
    stage_data.BUDGETS: _check_budgets,
    stage_data.PACKAGES: _nothing_to_check,
    ready_data.BY: _check_day,
    ready_data.ORDERED: _check_day,
    ready_data.LIFTS: _check_lifts,
    again_data.NUMBER: _nothing_to_check,
}


def _plan(visit: Visit, act: Sent) -> None:
    """Note what was typed: it stays in its field, also where it cannot be read."""
    name, text = text_of(act, "name"), text_of(act, "text")[: typed.LONGEST]
    if name not in _FIELDS or (name == stage_data.PACKAGES and text not in stage_data.COUNTS):
        return
    visit.plans[name] = text
    _FIELDS[name](visit, text)


def _stages(visit: Visit, act: Sent) -> None:
    del act
    stage_data.look(visit)


def _ready(visit: Visit, act: Sent) -> None:
    del act
    ready_data.look(visit)


def _again(visit: Visit, act: Sent) -> None:
    del act
    again_data.look(visit)


def _certainty(visit: Visit, act: Sent) -> None:
    del act
    certainty_data.work_out(visit)


PLAN_ACTS: dict[str, Callable[[Visit, Sent], None]] = {
    "plan": _plan, "stages": _stages, "ready": _ready, "again": _again,
    "certainty": _certainty,
}  # fmt: skip
