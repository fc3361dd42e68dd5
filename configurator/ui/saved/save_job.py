"""Keep the job on the page; if somebody else was first, say who, when and what differs."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

from configurator.store.job_differences import differences
from configurator.ui.safe_text import listed, plain
from configurator.ui.saved.desk import file_of, keep_job, open_job, origin, recall, step_of, when

if TYPE_CHECKING:
    from configurator.store.access import EditConflict, KeptJob
    from configurator.ui.saved.desk import Desk
    from configurator.ui.visit import Visit

NEXT, NEW = "next", "new"
LONGEST_NAME, LONGEST_NOTE = 80, 400
# Kept jobs of the same title that are offered.
MOST_ALIKE = 3


def who(here: Desk) -> str:
    """Ask who keeps; it stays for the visit."""
    st.session_state.setdefault("kept by", here.by)
    here.by = st.text_input("Kept by", key="kept by", max_chars=LONGEST_NAME)
    return here.by.strip()


def show(visit: Visit, here: Desk, by: str, jobs: list[KeptJob]) -> None:
    """Offer to keep the job as it stands."""
    st.header("Keep this job")
    file = file_of(visit)
    recall(visit, here, file, jobs)
    base = origin(visit, here)
    if here.conflict is not None and here.conflict.mine != file:
        here.conflict = None  # it is about a job that is no longer on the page
    if here.conflict is not None:
        _conflict(visit, here, here.conflict, by)
        return
    moved = [] if base is None else differences(base.file, file, "was", "is")
    _as_what(base, moved)
    if base is None:
        _goes_on_from(visit, here, jobs)
    how = NEW
    if base is not None:
        names = {NEXT: f"The next version of job {base.id}", NEW: "A new job of its own"}
        how = st.radio(
            "Keep it as", list(names), key="kept as", format_func=names.__getitem__, horizontal=True
        )
    note = st.text_input(
        "Note, if any", key="kept note", max_chars=LONGEST_NOTE, placeholder="such as: after the "
        "test drive",
    )  # fmt: skip
    onto = base if how == NEXT else None
    idle = onto is not None and not moved and onto.title == visit.job.title
    why = "Say who keeps it." if not by else "Nothing has changed since." if idle else None
    st.button(
        # A button of the first kind that is disabled after a click shows an empty label.
        "Keep the job", key="keep job", type="primary" if why is None else "secondary",
        disabled=why is not None, help=why,
        on_click=keep_job, args=(visit, here, onto, by, note.strip()),
    )  # fmt: skip


def _as_what(base: KeptJob | None, moved: list[str]) -> None:
    if base is None:
        st.write("This job was not opened from a kept one: it is kept as a new job.")
        return
    said = f"Version {base.version} of job {base.id}, kept by {base.saved_by}, "
    said += when(base.saved_at)
    if not moved:
        st.write(plain(f"{said}: nothing has changed since."))
        return
    st.write(plain(f"{said}. Changed since then:"))
    st.markdown(listed(moved))


def _goes_on_from(visit: Visit, here: Desk, jobs: list[KeptJob]) -> None:
    """Let somebody who came back by a link say which kept job this is."""
    for one in [it for it in jobs if it.title == visit.job.title][:MOST_ALIKE]:
        st.button(
            plain(f"It goes on from job {one.id}, version {one.version} by {one.saved_by}"),
            key=f"goes on from {one.id}",
            on_click=here.begun.append, args=((step_of(visit), one),),
            help="What differs is shown before anything is kept.",
        )  # fmt: skip


def _conflict(visit: Visit, here: Desk, conflict: EditConflict, by: str) -> None:
    theirs, start = conflict.theirs, conflict.started_from
    st.error(
        plain(
            f"{theirs.saved_by} has kept version {theirs.version} of this job on "
            f"{when(theirs.saved_at)}, after version {start.version} that you began from. "
            "Nothing of yours or theirs was overwritten."
        )
    )
    if theirs.note:
        st.write(plain(f"Their note: {theirs.note}"))
    if conflict.differences:
        st.write("What differs:")
        st.markdown(listed(list(conflict.differences)))
    else:
        st.write("Nothing differs: both say the same.")
    with st.container(horizontal=True):
        st.button(
            "Keep mine as a copy", key="keep copy",
        disabled=not by,
            on_click=keep_job, args=(visit, here, None, by, f"Copy beside job {theirs.id}"),
        )  # fmt: skip
        st.button(
            "Open theirs", key="open theirs", on_click=open_job, args=(visit, here, theirs),
            help="“Undo” leads back to yours.",
        )  # fmt: skip
