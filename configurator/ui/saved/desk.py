"""What a visitor has kept and opened: from which kept state the job on the page was begun."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import streamlit as st

from configurator.core.errors import FitwrightError
from configurator.files.job_rewriting import rewrite_job
from configurator.files.job_text import read_job, write_job
from configurator.store.access import EditConflict, add_job, get_job, open_store, save_job
from configurator.store.addresses import address, is_there
from configurator.ui.visit import refuse

if TYPE_CHECKING:
    from configurator.questions.history import JobStep
    from configurator.store.access import KeptJob
    from configurator.ui.tasks import Task
    from configurator.ui.visit import Visit

DESK = "kept desk"
LONGEST_NAME = 80


@dataclass(slots=True)
class Desk:
    """What this visitor has kept and opened.

    Parameters
    ----------
    by
        Who keeps, as typed.
    begun
        Steps of the talk at which a kept job was opened or kept, with that state of it.
    own
        Job → newest state of it that was kept from here.
    conflict
        Somebody else was first.
    notice
        What was done last.
    shown
        Number of the quotation that is open.
    looked
        What has changed since that quotation, as far as it was looked at.
    forcing
        Number of a quotation → work on what its choices force. It goes on when the job on the page
        is changed: the quotation is what it is.
    trouble
        Why the database cannot be used; it is not asked again before the visitor says so.
    missing
        What must be filled in before something can be saved.
    """

    by: str = ""
    begun: list[tuple[JobStep, KeptJob]] = field(default_factory=list)
    own: dict[int, KeptJob] = field(default_factory=dict)
    conflict: EditConflict | None = None
    notice: str = ""
    shown: str | None = None
    looked: Any = None
    forcing: dict[str, Task] = field(default_factory=dict)
    trouble: str = ""
    missing: str = ""


def desk() -> Desk:
    """Return this visitor's."""
    result: Desk | None = st.session_state.get(DESK)
    if result is None:
        result = Desk()
        st.session_state[DESK] = result
    return result


def there() -> bool:
    """Whether there is a database to look into: looking leaves nothing behind."""
    return is_there(address())


def step_of(visit: Visit) -> JobStep:
    """Return the step at which the talk is."""
    return visit.talk.history.steps[visit.talk.history.at]


def origin(visit: Visit, here: Desk) -> KeptJob | None:
    """Return the kept state that the job as it stands goes on from; None for a job never kept.

    Undo leads back to the state that was open then. What was kept from here since is no surprise
    to whoever kept it, so it counts instead.
    """
    history = visit.talk.history
    for step in reversed(history.steps[: history.at + 1]):
        for job, kept in reversed(here.begun):
            if job is step:
                own = here.own.get(kept.id)
                return own if own is not None and own.version > kept.version else kept
    return None


def who(here: Desk) -> None:
    """Ask who saves: a name is asked for, never taken from the computer's account."""
    st.session_state.setdefault("kept by", here.by)
    st.text_input("Saved by", key="kept by", max_chars=LONGEST_NAME)


def in_address(visit: Visit) -> str:
    """Say in few letters from which saved state the job goes on; empty for a job never saved."""
    saved = origin(visit, desk())
    return "" if saved is None else f"{saved.id}.{saved.version}"


def from_address(visit: Visit, address: str) -> None:
    """Know again which saved job this is: by its number, never by text that is alike."""
    number, _, version = address.partition(".")
    if not (number.isdecimal() and version.isdecimal() and there()):
        return
    try:
        with open_store() as store:
            saved = get_job(store, int(number), int(version))
    except FitwrightError:
        return  # it was deleted, or is another shop's: the job is then a new one
    desk().begun.append((step_of(visit), saved))


def file_of(visit: Visit) -> str:
    """Return the job as it stands as the text of a file; comments of what was opened stay."""
    saved = origin(visit, desk())
    text = visit.file_text if saved is None else saved.file
    trade = visit.shelves.trade
    return rewrite_job(text, visit.job, trade) if text else write_job(visit.job, trade)


def note_kept(here: Desk, step: JobStep, kept: KeptJob) -> None:
    """Remember that the job of a step is kept as this state."""
    here.begun.append((step, kept))
    here.own[kept.id] = kept
    here.conflict = None


def keep_job(visit: Visit, here: Desk, base: KeptJob | None, by: str, note: str) -> None:
    """Keep the job as it stands: new, or as the next state of a kept one."""
    visit.refused, here.notice = [], ""
    title, file = visit.job.title, file_of(visit)
    try:
        with open_store() as store:
            if base is None:
                kept = add_job(store, title, file, by=by, note=note)
            else:
                kept = save_job(store, base.id, base.version, title, file, by=by, note=note)
    except EditConflict as conflict:
        here.conflict = conflict
        return
    except FitwrightError as problem:
        refuse(visit, problem)
        return
    note_kept(here, step_of(visit), kept)
    here.notice = f"Saved as version {kept.version} of job {kept.id}."


def open_job(visit: Visit, here: Desk, kept: KeptJob) -> None:
    """Talk about a kept job; an undo leads back to the one before."""
    try:
        job = read_job(kept.file, visit.shelves.trade)
    except FitwrightError as problem:
        refuse(visit, problem)
        return
    visit.change(job, f"open version {kept.version} of job {kept.id}")
    visit.begun = True
    # Packages of another vehicle cannot be compared with those of this one.
    visit.beside = []
    here.begun.append((step_of(visit), kept))
    here.conflict = None
    here.notice = f"Version {kept.version} of job {kept.id} is open; “Undo” leads back."


def when(moment: str) -> str:
    """Say a time in UTC as it is here, to the minute."""
    local = datetime.datetime.fromisoformat(moment).astimezone()
    return local.strftime("%Y-%m-%d %H:%M")


def day(moment: str) -> str:
    """Say the day of a time in UTC, here."""
    return when(moment).partition(" ")[0]
