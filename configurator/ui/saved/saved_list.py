"""Saved jobs: jobs and quotations, found by what is said of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

from configurator.store.access import list_jobs, list_quotations, list_versions
from configurator.ui.html_tables import table
from configurator.ui.safe_text import plain
from configurator.ui.saved import delete_job
from configurator.ui.saved.desk import day, open_job, when
from configurator.ui.talk.talk_words import exact_money

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from configurator.store.access import KeptJob, Store
    from configurator.ui.saved.desk import Desk
    from configurator.ui.visit import Visit

MOST = 50
NOTHING = (
    "Nothing is saved yet. Once a job is begun, it is saved here, and the quotation of its package "
    "under “Documents”."
)


def show(visit: Visit, here: Desk, store: Store) -> None:
    """List what is kept, and open one."""
    st.header("Saved jobs")
    jobs, quotations = list_jobs(store), list_quotations(store)
    if not jobs:
        st.write(NOTHING)
        return
    asked = st.text_input(
        "Search", key="kept search", placeholder="words of a title, note, name, number or reference"
    )
    job_rows = {
        job.id: (
            str(job.id), job.title, str(job.version), when(job.saved_at), job.saved_by, job.note
        )
        for job in jobs
    }  # fmt: skip
    rows = {
        kept.number: (
            kept.number,
            f"{kept.title} (re-prices {kept.anew_of})" if kept.anew_of else kept.title,
            str(kept.job), day(kept.made_at), kept.made_by, kept.customer, kept.valid_until or "",
            exact_money(kept.price, kept.currency),
        )
        for kept in quotations
    }  # fmt: skip
    _quotations(here, {k: row for k, row in rows.items() if matches(asked, row)}, len(rows))
    matching = {k: row for k, row in job_rows.items() if matches(asked, row)}
    _jobs(visit, here, store, matching, {job.id: job for job in jobs})
    st.caption(plain("Saved on this computer or where the shop's database is."))


def matches(asked: str, row: Sequence[str]) -> bool:
    """Whether each word that is asked for stands in one of the cells.

    Examples
    --------
    >>> matches("ford ANNA", ("2026-0001", "Over the ford", "anna")), matches("x", ("y",))
    (True, False)
    """
    text = "\n".join(row).casefold()
    return all(word in text for word in asked.casefold().split())


def _quotations(here: Desk, rows: Mapping[str, tuple[str, ...]], every: int) -> None:
    if not rows:
        st.write("No quotation says that." if every else "No quotation is saved yet.")
        return
    table(
        ("quotation", "title", "job", "saved", "by", "reference", "valid until", "price"),
        list(rows.values())[:MOST],
        caption="Quotations, the newest first",
        right=(7,),
        key="kept quotations",
    )
    _more(len(rows))
    chosen = st.selectbox(
        "Quotation", list(rows), index=None, key="kept which quotation", placeholder="choose",
        format_func=lambda number: f"{number}: {rows[number][1]}" if number in rows else number,
    )  # fmt: skip
    st.button(
        "Open the quotation", key="open quotation", disabled=chosen is None,
        on_click=_show, args=(here, chosen),
    )  # fmt: skip


def _show(here: Desk, number: str) -> None:
    here.shown, here.looked, here.notice = number, None, ""


def _jobs(
    visit: Visit,
    here: Desk,
    store: Store,
    rows: Mapping[int, tuple[str, ...]],
    jobs: Mapping[int, KeptJob],
) -> None:
    if not rows:
        st.write("No job says that.")
        return
    table(
        ("job", "title", "version", "saved", "by", "note"),
        list(rows.values())[:MOST],
        caption="Jobs as they were saved last, the newest first",
        key="kept jobs",
    )
    _more(len(rows))
    chosen = st.selectbox(
        "Job", list(rows), index=None, key="kept which job", placeholder="choose",
        format_func=lambda id_: f"{id_}: {rows[id_][1]}" if id_ in rows else str(id_),
    )  # fmt: skip
    kept = jobs.get(chosen) if chosen is not None else None
    if kept is not None and kept.version > 1:
        versions = {version.version: version for version in list_versions(store, kept.id)}
        number = st.selectbox(
            "Version", list(versions), key=f"kept version {kept.id}",
            format_func=lambda v: _version(versions[v]) if v in versions else str(v),
        )  # fmt: skip
        kept = versions.get(number, kept)
    st.button(
        "Open the job", key="open kept job", disabled=kept is None,
        on_click=open_job, args=(visit, here, kept), help="“Undo” leads back to the job before.",
    )  # fmt: skip
    delete_job.show(visit, here, store, jobs.get(chosen) if chosen is not None else None)


def _version(version: KeptJob) -> str:
    note = f": {version.note}" if version.note else ""
    return f"{version.version}, {when(version.saved_at)}, {version.saved_by}{note}"


def _more(number: int) -> None:
    if number > MOST:
        st.caption(f"{number - MOST} more are not shown: search for what you need.")
