"""Jobs and quotations: what is kept, and what is kept now."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

from configurator.core.errors import FitwrightError
from configurator.store.access import StoreError, list_jobs, open_store
from configurator.store.addresses import address, shown
from configurator.ui.safe_text import plain
from configurator.ui.saved import making, quotation_view, save_job, saved_list
from configurator.ui.saved.desk import desk, there

if TYPE_CHECKING:
    from configurator.store.access import KeptJob
    from configurator.ui.saved.desk import Desk
    from configurator.ui.visit import Visit


def show(visit: Visit) -> None:
    """Show what is kept, and keep what is on the page."""
    here = desk()
    if here.trouble:
        _trouble(here)
        return
    try:
        _show(visit, here)
    except StoreError as problem:
        here.trouble = str(problem)
        _trouble(here)


def _trouble(here: Desk) -> None:
    st.error(plain(f"Jobs and quotations cannot be kept or looked at now. {here.trouble}."))
    st.write(
        "The other parts of the page go on. Until then, “Open and share” saves a job as a file."
    )
    st.button("Try again", key="kept try again", on_click=_again, args=(here,))


def _again(here: Desk) -> None:
    here.trouble = ""


def _show(visit: Visit, here: Desk) -> None:
    _forcing(here)
    if here.said:
        st.success(plain(here.said))
    by = _who(here)
    if not there():
        _keep(visit, here, by, [])
        st.header("What is kept")
        st.write(plain(f"Nothing is kept yet in {shown(address())}."))
        return
    with open_store() as store:
        if here.shown is not None:
            quotation_view.show(visit, here, store, here.shown)
            st.divider()
        _keep(visit, here, by, list_jobs(store))
        saved_list.show(visit, here, store)


def _who(here: Desk) -> str:
    narrow, _ = st.columns([1, 2])
    with narrow:
        return save_job.who(here)


def _keep(visit: Visit, here: Desk, by: str, jobs: list[KeptJob]) -> None:
    left, right = st.columns(2, gap="large")
    with left:
        save_job.show(visit, here, by, jobs)
    with right:
        try:
            making.show(visit, here, by)
        except StoreError:
            raise
        except FitwrightError as problem:
            st.error(plain(str(problem)))


def _forcing(here: Desk) -> None:
    """Show work on what quotations force: it goes on whatever becomes of the job on the page."""
    if any(task.state == "running" for task in here.forcing.values()):
        _watch(here)


@st.fragment(run_every=1.0)
def _watch(here: Desk) -> None:
    running = {n: task for n, task in here.forcing.items() if task.state == "running"}
    for number, task in running.items():
        words, stop = st.columns([5, 1], vertical_alignment="center")
        so_far = f", {task.said}" if task.said else ""
        words.markdown(
            plain(
                f"{task.what}{so_far} ({task.seconds} s). The quotation is kept; go on meanwhile."
            )
        )
        stop.button(
            "Stop", key=f"stop forcing {number}", on_click=task.stop, help=f"Stop: {task.what}"
        )
    if not running:
        st.rerun()
