"""What is being worked on: shown while it lasts, with a way to stop it, below all else.

It lies over the foot of the page, so that nothing moves when work begins or ends.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

from configurator.ui.talk.behind import BEHIND, OUT_OF_SIGHT
from configurator.ui.talk.clash_data import SHOWN_IN_PLACE
from configurator.ui.talk.reasons_short import QUIET
from configurator.ui.talk.turns import TURNS
from configurator.ui.visit import AT_LAST

if TYPE_CHECKING:
    from configurator.ui.visit import Visit

# How often progress is looked at [s]: times the visitors for whom something is worked out, since
# each look is work too.
EVERY = 0.15
# What nobody looks at: what comes of it is seen at the next click.
UNSEEN = (OUT_OF_SIGHT, AT_LAST)


def begin(visit: Visit) -> None:
    """Note how work stands, at the beginning of a run of the page."""
    visit.seen = {name: task.stands for name, task in visit.tasks.items()}


def show(visit: Visit) -> None:
    """Show running work; the page is drawn anew when some of it ends, or part of it is known."""
    running = any(
        task.state == "running" for name, task in visit.tasks.items() if name not in UNSEEN
    )
    if running or _ended(visit):
        with st.container(key="working"):
            every = EVERY * max(1, TURNS.waiting)
            st.fragment(run_every=every)(_watch)(visit)


def _ended(visit: Visit) -> bool:
    return any(
        task.stands != visit.seen.get(name)
        for name, task in visit.tasks.items()
        if name not in UNSEEN
    )


def _watch(visit: Visit) -> None:
    for name, task in list(visit.tasks.items()):
        if task.state != "running" or name in (*QUIET, *BEHIND, *SHOWN_IN_PLACE):
            continue
        so_far = f": {task.progress.words}" if task.progress.words else ""
        what = task.what[0].lower() + task.what[1:]
        with st.container(horizontal=True, vertical_alignment="center"):
            st.markdown(f"**{task.what}**{so_far} ({task.seconds} s)", width="content")
            st.button(
                "Stop", key=f"stop {name}", on_click=task.stop,
                help=f"Stop {what}; you can go on meanwhile",
            )  # fmt: skip
    if _ended(visit):
        st.rerun()
