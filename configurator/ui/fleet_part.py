"""A fleet: several vehicles, each with its own job, that share tyres, wheels or other parts."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import streamlit as st

from configurator.core.errors import FitwrightError, InputError
from configurator.files.job_files import read_job as read_job_file
from configurator.files.job_text import read_job
from configurator.model.knowledge import positions_of
from configurator.questions.shared_parts import FleetVehicle, SharingAnswer, cheapest_shared
from configurator.store.access import list_jobs, open_store
from configurator.ui.html_tables import table
from configurator.ui.safe_text import listed, plain
from configurator.ui.saved.desk import there
from configurator.ui.shared_cases import prepare, ready_jobs, session_for
from configurator.ui.talk.begin_data import job_titles
from configurator.ui.talk.job_acts import MOST_VEHICLES
from configurator.ui.talk.talk_words import exact_money
from configurator.wording import sharing_words as say

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from configurator.core.progress import Progress
    from configurator.model.jobs import Job
    from configurator.ui.shared_cases import Library
    from configurator.ui.visit import Visit

TASK, ANSWER = "fleet", "fleet answer"
SHARED_BY_DEFAULT = "tyres"
LEAST = 2


@dataclass(frozen=True, slots=True)
class SharedByFleet:
    """What was asked for and what came of it."""

    vehicles: tuple[FleetVehicle, ...]
    positions: tuple[str, ...]
    answer: SharingAnswer


def show(visit: Visit) -> None:
    """Choose vehicles and what they share; show what that costs."""
    st.header("Fleet")
    st.write(
        "Several vehicles, each with its own job, that have the same tyres, wheels or other parts: "
        "fewer spares to carry."
    )
    jobs, wrong = _chosen(visit)
    for line in wrong:
        st.error(plain(line))
    known = list(positions_of(visit.shelves.trade))
    positions = st.multiselect(
        "The same on all vehicles",
        known,
        default=[SHARED_BY_DEFAULT] if SHARED_BY_DEFAULT in known else None,
        key="fleet positions",
        placeholder="choose positions",
    )
    jobs = [_counted(number, job) for number, job in enumerate(jobs, 1)]
    enough = len(jobs) >= LEAST and bool(positions)
    if not enough:
        st.caption("Choose at least two jobs, and what their vehicles share.")
    st.button(
        "Find what they can share",
        key="fleet find",
        type="primary",
        disabled=not enough,
        on_click=_begin,
        args=(visit, tuple(jobs), tuple(positions)),
    )
    _result(visit)


def _chosen(visit: Visit) -> tuple[list[Job], list[str]]:
    """Ask for jobs: saved ones, those of the catalogs, files; say what is wrong with them."""
    sources: list[tuple[str, Callable[[], Job]]] = []
    trade = visit.shelves.trade
    if there():
        with open_store() as store:
            saved = {job.id: job for job in list_jobs(store)}
        picked = st.multiselect(
            "Saved jobs",
            list(saved),
            key="fleet saved",
            placeholder="choose",
            format_func=lambda number: (
                f"{number}: {saved[number].title}" if number in saved else str(number)
            ),
        )
        sources += [
            (f"job {number}", lambda number=number: read_job(saved[number].file, trade))  # type: ignore[misc]
            for number in picked
            if number in saved
        ]
    ready, titles = ready_jobs(visit.shelves), job_titles(visit.shelves)
    names = st.multiselect(
        "Jobs from the catalogs", list(ready), key="fleet ready", placeholder="choose",
        format_func=lambda name: titles.get(name, name),
    )  # fmt: skip
    sources += [
        (name, lambda name=name: read_job_file(ready[name], trade))  # type: ignore[misc]
        for name in names
        if name in ready
    ]
    files = st.file_uploader(
        "Job files", type="toml", accept_multiple_files=True, key="fleet files"
    )
    sources += [
        (file.name, lambda file=file: read_job(file.getvalue(), trade))  # type: ignore[misc]
        for file in files
    ]
    jobs, wrong = [], []
    for name, read in sources:
        try:
            jobs.append(read())
        except InputError as problem:
            wrong += [f"{name}: {each}" for each in problem.problems]
        except FitwrightError as problem:
            wrong.append(f"{name}: {problem}")
    return jobs, wrong


def _counted(number: int, job: Job) -> Job:
    """Ask how many vehicles of a job there are; by default as many as it says."""
    # Another job in its place, or the same with another number, begins with its own.
    key = f"fleet count {number} {job.title} {job.vehicles}"
    count = st.number_input(
        plain(f"How many: {number}. {job.title}"), min_value=1, max_value=MOST_VEHICLES, step=1,
        value=job.vehicles, key=key,
    )  # fmt: skip
    return replace(job, vehicles=int(count))


def _begin(visit: Visit, jobs: Sequence[Job], positions: Sequence[str]) -> None:
    before = visit.tasks.pop(TASK, None)
    if before is not None:
        before.stop()
    st.session_state.pop(ANSWER, None)
    shelves = visit.shelves
    visit.work(
        TASK,
        "Looking for what all of them can share",
        lambda _, progress: shared_by(shelves, jobs, positions, progress),
    )


def shared_by(
    shelves: Library, jobs: Sequence[Job], positions: Sequence[str], progress: Progress
) -> SharedByFleet:
    """Make every vehicle of a fleet ready, and find the cheapest parts they may share.

    Raises
    ------
    FitwrightError
        If a job cannot be worked out, or jobs are in several currencies.
    """
    vehicles = []
    for number, job in enumerate(jobs, 1):
        progress.report(words=f"vehicle {number} of {len(jobs)} is made ready")
        talk = session_for(job, shelves)
        prepare(talk)
        vehicles.append(FleetVehicle(job.title, talk.prepared(), job.vehicles))
    progress.report(words=f"shared: {', '.join(positions)}")
    return SharedByFleet(
        tuple(vehicles), tuple(positions), cheapest_shared(vehicles, tuple(positions))
    )


def _result(visit: Visit) -> None:
    task = visit.tasks.get(TASK)
    if task is not None and task.state == "done":
        # It stays in sight when the job on the page is changed.
        st.session_state[ANSWER] = task.result
    answer: SharedByFleet | None = st.session_state.get(ANSWER)
    if task is not None and task.state == "running":
        st.write("Each vehicle is made ready, then what they can share is priced.")
    elif task is not None and task.error is not None:
        st.error(plain(str(task.error)))
    elif task is not None and task.state == "stopped":
        st.write("Stopped.")
    elif answer is not None:
        st.subheader("What they share")
        lines = say.summary_lines(answer.vehicles, answer.positions, answer.answer, exact_money)
        st.markdown(listed(lines))
        if answer.answer.choices:
            headings, rows = say.choice_table(answer.vehicles, answer.answer, exact_money)
            table(
                headings,
                rows,
                caption=say.CHOICES,
                right=tuple(range(1, len(headings))),
                key="fleet choices",
            )
