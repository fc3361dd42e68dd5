"""What a tap means for the job as a whole: begun, opened, named, its money, time and use."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from configurator.core import units
from configurator.files import job_files
from configurator.files.job_text import read_job
from configurator.questions import edits
from configurator.store.access import list_jobs, open_store
from configurator.ui.saved.desk import desk, step_of
from configurator.ui.shared_cases import ready_jobs
from configurator.ui.talk import begin_data, typed
from configurator.ui.talk.act_arguments import number_of, text_of
from configurator.ui.talk.proof_words import grade_step
from configurator.ui.talk.talk_words import exact_money
from configurator.ui.visit import TALK
from configurator.wording.quantities import counted, with_unit

if TYPE_CHECKING:
    from collections.abc import Callable

    from configurator.ui.talk.act_arguments import Sent
    from configurator.ui.visit import Visit

MOST_DAYS = 2000
MOST_VEHICLES = 999
LONGEST_TITLE = 80


def _title(visit: Visit, text: str) -> None:
    title = " ".join(text.split())[:LONGEST_TITLE] or begin_data.UNTITLED
    if title != visit.job.title:
        visit.change(replace(visit.job, title=title), f"name the job {title}")


def _alike(visit: Visit, text: str) -> None:
    number = typed.count(text, "vehicles", MOST_VEHICLES, least=1) or 1
    if number != visit.job.vehicles:
        visit.change(replace(visit.job, vehicles=number), f"{counted(number, 'vehicle')} alike")


def _budget(visit: Visit, text: str) -> None:
    minor = typed.amount(text, visit.job.currency)
    if minor == visit.job.budget:
        return
    step = "remove the budget"
    if minor is not None:
        step = f"set the budget to {exact_money(minor, visit.job.currency)}"
    visit.change(replace(visit.job, budget=minor), step)


def _ready(visit: Visit, text: str) -> None:
    days = typed.count(text, "days", MOST_DAYS)
    if days == visit.job.parts_within:
        return
    step = "remove the delivery time"
    if days is not None:
        step = f"all parts in within {counted(days, 'day')}"
    visit.change(replace(visit.job, parts_within=days), step)


def _sure(visit: Visit, text: str) -> None:
    """Ask that limits on law, plates and clearances hold within usual tolerances, or not."""
    sure = text == "yes"
    if sure != visit.job.sure:
        visit.change(replace(visit.job, sure=sure), grade_step(sure=sure))


_OWN_FIELDS: dict[str, Callable[[Visit, str], None]] = {
    "title": _title,
    "alike": _alike,
    "budget": _budget,
    "ready": _ready,
    "sure": _sure,
}


def _begin_with(visit: Visit, act: Sent) -> None:
    """Begin a job on a vehicle, with what is typed on the opening screen already."""
    key = text_of(act, "key")
    if key not in begin_data.vehicle_keys(visit.shelves):
        return
    fields = act.get("fields")
    typed_so_far = {**visit.typed, **(fields if isinstance(fields, dict) else {})}
    visit.open(begin_data.job_for(visit.shelves, key))
    visit.typed = {}
    for name, text in typed_so_far.items():
        if isinstance(text, str) and text and name in _OWN_FIELDS:
            try:
                _OWN_FIELDS[name](visit, text)
            except typed.NotReadError as problem:
                visit.notes[name] = str(problem)


def _new(visit: Visit, act: Sent) -> None:
    del act
    visit.stop()
    visit.begun, visit.part, visit.notes, visit.refused = False, TALK, {}, []
    visit.typed = {}


def _demo(visit: Visit, act: Sent) -> None:
    path = ready_jobs(visit.shelves).get(text_of(act, "name"))
    if path is not None:
        job = job_files.read_job(path, visit.shelves.trade)
        visit.open(job, path.read_text(encoding="utf-8-sig"))


def _saved(visit: Visit, act: Sent) -> None:
    number = number_of(act, "number")
    with open_store() as store:
        saved = next((job for job in list_jobs(store) if job.id == number), None)
    if saved is None:
        return
    visit.open(read_job(saved.file, visit.shelves.trade), saved.file)
    desk().begun.append((step_of(visit), saved))


def _own(visit: Visit, act: Sent) -> None:
    name, text = text_of(act, "name"), text_of(act, "text")
    if name in _OWN_FIELDS and visit.begun:
        _OWN_FIELDS[name](visit, text)
    elif name in _OWN_FIELDS:
        visit.typed[name] = text


def _use(visit: Visit, act: Sent) -> None:
    name = text_of(act, "name")
    condition = visit.shelves.trade.conditions.get(name)
    if condition is None:
        return
    number = typed.number(text_of(act, "text"), condition.unit, visit.system)
    if number is not None:
        low, high = condition.at_least, condition.at_most
        shown = units.from_si(number, condition.unit)
        if (low is not None and shown < low) or (high is not None and shown > high):
            bounds = [
                f"at {word} {with_unit(f'{bound:g}', condition.unit)}"
                for word, bound in (("least", low), ("most", high))
                if bound is not None
            ]
            message = f"{name} must be {' and '.join(bounds)}"
            raise typed.NotReadError(message)
    if number != visit.job.conditions.get(name):
        visit.change(edits.with_condition(visit.job, name, number), f"set {name}")


def take_along(visit: Visit, act: Sent) -> None:
    """Take along what stands in fields that were not left: nothing typed is lost."""
    fields = act.get("fields")
    if not isinstance(fields, dict) or act.get("what") in ("vehicle", "demo", "saved", "address"):
        return
    if not visit.begun:
        visit.typed |= {n: t for n, t in fields.items() if n in _OWN_FIELDS and isinstance(t, str)}
        return
    for name, text in fields.items():
        if isinstance(text, str) and name in _OWN_FIELDS:
            try:
                _OWN_FIELDS[name](visit, text)
            except typed.NotReadError as problem:
                visit.notes[name] = str(problem)


JOB_ACTS: dict[str, Callable[[Visit, Sent], None]] = {
    "vehicle": _begin_with, "new": _new, "demo": _demo, "saved": _saved, "own": _own, "use": _use,
}  # fmt: skip
