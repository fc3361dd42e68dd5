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


def show(visit: Visit, here: Desk, store: Store) -> None:
    """List what is kept, and open one."""
    st.header("Saved jobs")
    jobs, quotations = list_jobs(store), list_quotations(store)
    if not jobs:
        st.write("Nothing is saved yet.")
        return
    asked = st.text_input(
        "Search", key="kept search", placeholder="words of a title, note, name, number or reference"
    )
    job_rows = {
        one.id: (
            str(one.id), one.title, str(one.version), when(one.saved_at), one.saved_by, one.note
        )
        for one in jobs
    }  # fmt: skip
    rows = {
        one.number: (
            one.number,
            f"{one.title} (re-prices {one.anew_of})" if one.anew_of else one.title,
            str(one.job), day(one.made_at), one.made_by, one.customer, one.valid_until or "",
            exact_money(one.price, one.currency),
        )
        for one in quotations
    }  # fmt: skip
    _quotations(here, {k: row for k, row in rows.items() if matches(asked, row)}, len(rows))
    found = {k: row for k, row in job_rows.items() if matches(asked, row)}
    _jobs(visit, here, store, found, {one.id: one for one in jobs})
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
        format_func=lambda one: f"{one}: {rows[one][1]}" if one in rows else one,
    )  # fmt: skip
    st.button(
        "Open the quotation", key="open quotation", disabled=chosen is None,
        on_click=_show, args=(here, chosen),
    )  # fmt: skip


def _show(here: Desk, number: str) -> None:
    here.shown, here.looked, here.said = number, None, ""


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
        format_func=lambda one: f"{one}: {rows[one][1]}" if one in rows else str(one),
    )  # fmt: skip
    kept = jobs.get(chosen) if chosen is not None else None
    if kept is not None and kept.version > 1:
        versions = {one.version: one for one in list_versions(store, kept.id)}
        number = st.selectbox(
            "Version", list(versions), key=f"kept version {kept.id}",
            format_func=lambda one: _version(versions[one]) if one in versions else str(one),
        )  # fmt: skip
        kept = versions.get(number, kept)
    st.button(
        "Open the job", key="open kept job", disabled=kept is None,
        on_click=open_job, args=(visit, here, kept), help="“Undo” leads back to the job before.",
    )  # fmt: skip
    delete_job.show(visit, here, store, jobs.get(chosen) if chosen is not None else None)


def _version(one: KeptJob) -> str:
    note = f": {one.note}" if one.note else ""
    return f"{one.version}, {when(one.saved_at)}, {one.saved_by}{note}"


def _more(number: int) -> None:
    if number > MOST:
        st.caption(f"{number - MOST} more are not shown: search for what you need.")
