"""Open a job, share it as a link or as a file."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING
from urllib.parse import urlencode, urlsplit, urlunsplit

import streamlit as st

from configurator.core.errors import FitwrightError, InputError
from configurator.files import job_files, job_link
from configurator.files.job_text import read_job
from configurator.ui.safe_text import plain
from configurator.ui.saved.desk import file_of
from configurator.ui.shared_cases import ready_jobs
from configurator.ui.talk.begin_data import job_titles
from configurator.ui.visit import PARAMETER, UPLOADED, refuse

if TYPE_CHECKING:
    from configurator.ui.visit import Visit

# Names of the computer that a page is looked at on.
_HERE = ("127.0.0.1", "::1", "localhost")


def show(visit: Visit) -> None:
    """Show the ways in and out."""
    left, right = st.columns(2, gap="large")
    with left:
        _open(visit)
    with right:
        if visit.begun:
            _share(visit)


def _share(visit: Visit) -> None:
    st.header("Share this job")
    st.write(
        "The link holds the whole job. Whoever opens it needs this program with the same catalogs; "
        "nothing is sent anywhere by making it."
    )
    if urlsplit(str(st.context.url or "")).hostname in _HERE:
        st.write(
            "It leads to this computer. For somebody at another one, save the job as a file and "
            "send that."
        )
    try:
        st.code(link(visit), language=None, wrap_lines=True)
    except InputError as problem:
        st.warning(plain(str(problem)))
    st.download_button(
        "Save the job as a file",
        file_of(visit),
        file_name=f"{file_name(visit.job.title)}.toml",
        mime="application/toml",
        key="save job",
        on_click="ignore",
    )


def link(visit: Visit) -> str:
    """Return the address of this page with the job in it."""
    address = urlsplit(str(st.context.url or ""))
    query = f"{PARAMETER}={job_link.to_parameter(visit.job, visit.shelves.trade)}"
    if visit.shelves.own is not None:
        query += f"&{urlencode({UPLOADED: visit.shelves.own.what})}"
    return urlunsplit((address.scheme, address.netloc, address.path, query, ""))


def file_name(title: str) -> str:
    """Make a file's name of a title.

    Examples
    --------
    >>> file_name("../Hut track: wagon?"), file_name("…")
    ('hut-track-wagon', 'job')
    """
    return re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")[:60] or "job"


def _open(visit: Visit) -> None:
    st.header("Open another job" if visit.begun else "Open a job")
    if visit.begun:
        st.caption(
            "It takes the place of the job that is open now. To come back to that one, save its "
            "link or its file."
        )
    jobs, titles = ready_jobs(visit.shelves), job_titles(visit.shelves)
    name = st.selectbox(
        "From the catalogs", list(jobs), index=None, key="open job", placeholder="choose",
        format_func=lambda name: titles.get(name, name),
    )  # fmt: skip

    def open_named() -> None:
        if name is not None:
            try:
                text = jobs[name].read_text(encoding="utf-8-sig")
                visit.open(job_files.read_job(jobs[name], visit.shelves.trade), text)
            except FitwrightError as problem:
                refuse(visit, problem)

    st.button("Open", key="open named", disabled=name is None, on_click=open_named)
    given = st.file_uploader("From a file", type="toml", key="job file")
    if given is not None and st.button("Open the file", key="open file"):
        try:
            job = read_job(given.getvalue(), visit.shelves.trade)
            visit.open(job, given.getvalue().decode("utf-8-sig"))
        except FitwrightError as problem:
            refuse(visit, problem)
        st.rerun()
