"""What belongs to a closed tab: its work ends at once, its memory is given back a little later.

A connection that is lost for a moment looks like a closed tab. So what was worked out for a visitor
is kept for as long as the visitor can come back; then the job and its history are all that stays,
until Streamlit forgets the visitor altogether.
"""

from __future__ import annotations

import threading
import time
from typing import TYPE_CHECKING, Protocol

import streamlit as st

from configurator.ui.sweeping import sweep
from configurator.ui.tasks import end

if TYPE_CHECKING:
    from collections.abc import MutableMapping

    from configurator.ui.tasks import Task


class Resting(Protocol):
    """A visit: its running work, when it was drawn last, and how it lets go of what it holds."""

    tasks: MutableMapping[str, Task]
    drawn_at: float

    def rest(self) -> None:
        """Keep only what cannot be worked out again."""


# Streamlit keeps a lost connection for two minutes (its `MemorySessionStorage`) [s].
FORGOTTEN = 130.0
# Many tabs are closed together, at the end of a day, and a sweep of a large shop's cases takes
# about a second in which nobody is served: one serves for all within this time [s].
GATHERED = 15.0


def watch(visit: Resting) -> None:
    """Note that a visitor's page is drawn; to be called at each run."""
    visit.drawn_at = time.monotonic()
    visits = _of_this_tab()
    if not any(known is visit for known in visits):
        visits.append(visit)


def close(visits: list[Resting]) -> None:
    """End running work of a tab that was closed, and give its memory back when it stays closed."""
    for visit in visits:
        end(visit.tasks)
    timer = threading.Timer(FORGOTTEN, give_back, (list(visits), time.monotonic()))
    timer.daemon = True
    timer.start()


def give_back(visits: list[Resting], closed_at: float) -> None:
    """Let go of what was worked out for visitors who have not come back since."""
    for visit in visits:
        if visit.drawn_at <= closed_at:
            visit.rest()
    visits.clear()
    with _lock:
        if not _sweeps:
            _sweeps.append(threading.Timer(GATHERED, _sweep))
            _sweeps[0].daemon = True
            _sweeps[0].start()


def _sweep() -> None:
    with _lock:
        _sweeps.clear()
    sweep()


_lock = threading.Lock()
_sweeps: list[threading.Timer] = []


@st.cache_resource(scope="session", on_release=close, show_spinner=False)
def _of_this_tab() -> list[Resting]:
    return []
