"""Documents and saved jobs: what is saved, and what can be saved now."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

from configurator.core.errors import FitwrightError
from configurator.store.access import StoreError, list_jobs, open_store
from configurator.ui.safe_text import plain
from configurator.ui.saved import making, quotation_view, save_job, saved_list
from configurator.ui.saved.desk import desk, there

if TYPE_CHECKING:
    from collections.abc import Callable

    from configurator.ui.saved.desk import Desk
    from configurator.ui.visit import Visit


def show_documents(visit: Visit) -> None:
    """Save a quotation of the package at hand, and open what belongs to one."""
    _guarded(visit, _documents)


def show_saved(visit: Visit) -> None:
    """Save the job at hand, and open what was saved."""
    _guarded(visit, _saved)


def _guarded(visit: Visit, draw: Callable[[Visit, Desk], None]) -> None:
    here = desk()
    if not here.trouble:
        try:
            draw(visit, here)
        except StoreError as problem:
            here.trouble = str(problem)
        else:
            return
    st.error(plain(f"Saved jobs cannot be reached now. {here.trouble}."))
    st.write("The talk goes on. Until then, “Share and open” saves a job as a file.")
    st.button("Try again", key="kept try again", on_click=_again, args=(here,))


def _again(here: Desk) -> None:
    here.trouble = ""


def _documents(visit: Visit, here: Desk) -> None:
    _notice(here)
    if not visit.begun:
        st.write("Begin a job first, or open a saved one.")
    else:
        try:
            making.show(visit, here)
        except StoreError:
            raise
        except FitwrightError as problem:
            st.error(plain(str(problem)))
    _quotation(visit, here)


def _saved(visit: Visit, here: Desk) -> None:
    _notice(here)
    _quotation(visit, here)
    if not there():
        if visit.begun:
            save_job.show(visit, here, [])
        st.header("Saved jobs")
        st.write(saved_list.NOTHING)
        return
    with open_store() as store:
        if visit.begun:
            save_job.show(visit, here, list_jobs(store))
        saved_list.show(visit, here, store)


def _notice(here: Desk) -> None:
    _forcing(here)
    if here.notice:
        st.success(plain(here.notice))


def _quotation(visit: Visit, here: Desk) -> None:
    if here.shown is None or not there():
        return
    with open_store() as store:
        quotation_view.show(visit, here, store, here.shown)
        st.divider()


def _forcing(here: Desk) -> None:
    """Show work on what quotations force: it goes on whatever becomes of the job on the page."""
    if any(task.state == "running" for task in here.forcing.values()):
        _watch(here)


@st.fragment(run_every=1.0)
def _watch(here: Desk) -> None:
    running = {n: task for n, task in here.forcing.items() if task.state == "running"}
    for number, task in running.items():
        words, stop = st.columns([5, 1], vertical_alignment="center")
        so_far = f", {task.progress.words}" if task.progress.words else ""
        words.markdown(
            plain(
                f"{task.what}{so_far} ({task.seconds} s). The quotation is saved; go on meanwhile."
            )
        )
        stop.button(
            "Stop", key=f"stop forcing {number}", on_click=task.stop, help=f"Stop: {task.what}"
        )
    if not running:
        st.rerun()
