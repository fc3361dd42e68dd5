"""What is being worked on: shown while it lasts, with a way to stop it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

if TYPE_CHECKING:
    from configurator.ui.visit import Visit


def begin(visit: Visit) -> None:
    """Note how work stands, at the beginning of a run of the page."""
    visit.seen = {name: task.state for name, task in visit.tasks.items()}


def show(visit: Visit) -> None:
    """Show running work; the page is drawn anew when some of it ends."""
    if any(task.state == "running" for task in visit.tasks.values()) or _ended(visit):
        _watch(visit)


def _ended(visit: Visit) -> bool:
    return any(task.state != visit.seen.get(name) for name, task in visit.tasks.items())


@st.fragment(run_every=0.5)
def _watch(visit: Visit) -> None:
    for name, task in list(visit.tasks.items()):
        if task.state != "running":
            continue
        words, stop = st.columns([5, 1], vertical_alignment="center")
        so_far = f", {task.said}" if task.said else ""
        words.markdown(f"**{task.what}**{so_far} ({task.seconds} s). You can go on meanwhile.")
        stop.button("Stop", key=f"stop {name}", on_click=task.stop, help=f"Stop: {task.what}")
    if _ended(visit):
        st.rerun()
