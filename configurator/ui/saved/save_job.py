"""Save the job on the page; if somebody else was first, say who, when and what differs."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

from configurator.store.job_differences import differences
from configurator.ui.safe_text import listed, plain
from configurator.ui.saved.desk import file_of, keep_job, open_job, origin, step_of, when, who

if TYPE_CHECKING:
    from configurator.store.access import EditConflict, KeptJob
    from configurator.ui.saved.desk import Desk
    from configurator.ui.visit import Visit

NEXT, NEW = "next", "new"
LONGEST_NOTE = 400
# Saved jobs of the same title that are offered.
MOST_ALIKE = 3


def show(visit: Visit, here: Desk, jobs: list[KeptJob]) -> None:
    """Offer to save the job as it stands."""
    st.header("Save this job")
    file = file_of(visit)
    base = origin(visit, here)
    if here.conflict is not None and here.conflict.mine != file:
        here.conflict = None  # it is about a job that is no longer on the page
    if here.conflict is not None:
        _conflict(visit, here, here.conflict)
        return
    moved = [] if base is None else differences(base.file, file, "was", "is")
    _as_what(base, moved)
    if base is None:
        _goes_on_from(visit, here, jobs)
    if base is not None:
        names = {NEXT: f"The next version of job {base.id}", NEW: "A new job of its own"}
        st.radio(
            "Save it as", list(names), key="kept as", format_func=names.__getitem__, horizontal=True
        )
    left, right = st.columns(2)
    with left:
        who(here)
    with right:
        st.text_input(
            "Note, if any", key="kept note", max_chars=LONGEST_NOTE,
            placeholder="such as: after the test drive",
        )  # fmt: skip
    st.button("Save the job", key="keep job", type="primary", on_click=_save, args=(visit, here))
    if here.missing:
        st.error(here.missing)


def _save(visit: Visit, here: Desk) -> None:
    """Save with what is in the fields at the moment of the tap, whatever was drawn before."""
    by = str(st.session_state.get("kept by", "")).strip()
    note = str(st.session_state.get("kept note", "")).strip()
    base = origin(visit, here)
    onto = base if st.session_state.get("kept as", NEXT) == NEXT else None
    here.by = by
    here.missing = "" if by else "Write your name under “Saved by” first."
    if by and onto is not None and onto.title == visit.job.title:
        moved = differences(onto.file, file_of(visit), "was", "is")
        here.missing = "" if moved else "Nothing has changed since it was saved."
    if not here.missing:
        keep_job(visit, here, onto, by, note)


def _save_copy(visit: Visit, here: Desk, of: int) -> None:
    by = str(st.session_state.get("kept by", "")).strip()
    here.missing = "" if by else "Write your name under “Saved by” first."
    if by:
        keep_job(visit, here, None, by, f"Copy beside job {of}")


def _as_what(base: KeptJob | None, moved: list[str]) -> None:
    if base is None:
        st.write("This job is not saved yet: it is saved as a new job.")
        return
    sentence = f"Version {base.version} of job {base.id}, saved by {base.saved_by}, "
    sentence += when(base.saved_at)
    if not moved:
        st.write(plain(f"{sentence}: nothing has changed since."))
        return
    st.write(plain(f"{sentence}. Changed since then:"))
    st.markdown(listed(moved))


def _goes_on_from(visit: Visit, here: Desk, jobs: list[KeptJob]) -> None:
    """Let somebody who came back by a link say which saved job this is."""
    for alike in [it for it in jobs if it.title == visit.job.title][:MOST_ALIKE]:
        st.button(
            plain(f"It goes on from job {alike.id}, version {alike.version} by {alike.saved_by}"),
            key=f"goes on from {alike.id}",
            on_click=here.begun.append, args=((step_of(visit), alike),),
            help="What differs is shown before anything is saved.",
        )  # fmt: skip


def _conflict(visit: Visit, here: Desk, conflict: EditConflict) -> None:
    theirs, start = conflict.theirs, conflict.started_from
    st.error(
        plain(
            f"{theirs.saved_by} has saved version {theirs.version} of this job on "
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
    who(here)
    with st.container(horizontal=True):
        st.button(
            "Save mine as a copy", key="keep copy",
            on_click=_save_copy, args=(visit, here, theirs.id),
        )  # fmt: skip
        st.button(
            "Open theirs", key="open theirs", on_click=open_job, args=(visit, here, theirs),
            help="“Undo” leads back to yours.",
        )  # fmt: skip
