"""What a tap means: each act by its name, with what the page sends along.

The page may be older than the case: what names nothing that is there is ignored. What somebody
typed and that cannot be read stays in its field, with what to write instead beside it.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from configurator.core.errors import FitwrightError
from configurator.search.circuit.join import TooWide
from configurator.ui.talk import delivery_prices, typed
from configurator.ui.talk.act_arguments import text_of
from configurator.ui.talk.goal_acts import GOAL_ACTS
from configurator.ui.talk.job_acts import JOB_ACTS, take_along
from configurator.ui.talk.part_acts import PART_ACTS
from configurator.ui.talk.plan_acts import PLAN_ACTS
from configurator.ui.visit import PREPARE, TALK, WHOLE, go_to_address, refuse
from configurator.wording.price_bounds import too_long_words

if TYPE_CHECKING:
    from collections.abc import Callable

    from configurator.core.progress import Progress
    from configurator.questions.session import Session
    from configurator.ui.talk.act_arguments import Sent
    from configurator.ui.visit import Visit


def carry_out(visit: Visit, act_text: str) -> None:
    """Carry out what the page sent: acts in their order, each once.

    Parameters
    ----------
    visit
        The visitor's page.
    act_text
        JSON: a list of acts, each with its number ``n`` and its name ``what``; those that were
        sent before and not yet acknowledged come again.
    """
    try:
        acts = json.loads(act_text)
    except ValueError:
        return
    for act in acts if isinstance(acts, list) else []:
        if not isinstance(act, dict) or not isinstance(act.get("n"), int | float):
            continue
        if act["n"] <= visit.done:
            continue
        visit.done = int(act["n"])
        do = ACTS.get(str(act.get("what")))
        if do is None:
            continue
        if isinstance(act.get("view"), str):
            visit.view = act["view"]
        visit.notes.pop(_field(act), None)
        try:
            take_along(visit, act)
            do(visit, act)
        except typed.NotReadError as problem:
            visit.notes[_field(act)] = str(problem)
        except FitwrightError as problem:
            refuse(visit, problem)


def _field(act: Sent) -> str:
    return str(act.get("field") or act.get("what"))


# -- work that takes longer ---------------------------------------------------------------------


def _longer(visit: Visit, act: Sent) -> None:
    del act
    visit.tasks.pop("longer", None)
    visit.work("longer", "Looking for a cheaper package", lambda talk, _: talk.look_longer())


def _exact(visit: Visit, act: Sent) -> None:
    del act
    visit.tasks.pop("exact", None)
    if visit.talk.joins_long_lists:
        visit.work("exact", "Joining long lists", _tighten)
    else:
        visit.work("exact", "Working out exact prices", _close)


def _tighten(talk: Session, progress: Progress) -> None:
    progress.template = "{done} of {of} parts"
    progress.report(words="looking for a good order")
    try:
        talk.tighten()
    except TooWide as refused:
        raise FitwrightError(too_long_words(refused)) from refused


def _close(talk: Session, progress: Progress) -> None:
    for done, todo in talk.closing():
        progress.report(words=f"{done} of {todo} prices")


def _waits(visit: Visit, act: Sent) -> None:
    del act
    delivery_prices.look(visit)


def _stop(visit: Visit, act: Sent) -> None:
    task = visit.tasks.get(text_of(act, "name"))
    if task is not None:
        task.stop()


def _retry(visit: Visit, act: Sent) -> None:
    del act
    visit.tasks.pop(PREPARE, None)
    visit.tasks.pop(WHOLE, None)


# -- the page -----------------------------------------------------------------------------------


def _undo(visit: Visit, act: Sent) -> None:
    del act
    visit.undo()


def _redo(visit: Visit, act: Sent) -> None:
    del act
    visit.redo()


def _units(visit: Visit, act: Sent) -> None:
    text = text_of(act, "text")
    visit.system = text if text in ("metric", "imperial") else None  # type: ignore[assignment]


def _part(visit: Visit, act: Sent) -> None:
    visit.part = text_of(act, "part") or TALK


def _address(visit: Visit, act: Sent) -> None:
    go_to_address(visit, text_of(act, "job"), text_of(act, "part"))


def _drawing(visit: Visit, act: Sent) -> None:
    visit.drawing = text_of(act, "name")


def _dismiss(visit: Visit, act: Sent) -> None:
    del act
    visit.refused = []


def _go(visit: Visit, act: Sent) -> None:
    """Nothing but what stands in the fields, which every act takes along."""
    del visit, act


ACTS: dict[str, Callable[[Visit, Sent], None]] = {
    **JOB_ACTS, **GOAL_ACTS, **PART_ACTS, **PLAN_ACTS,
    "waits": _waits, "longer": _longer, "exact": _exact, "stop": _stop, "retry": _retry,
    "undo": _undo, "redo": _redo, "units": _units, "part": _part, "address": _address,
    "drawing": _drawing, "dismiss": _dismiss, "go": _go,
}  # fmt: skip
