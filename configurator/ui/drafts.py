"""What stands in the fields of the workshop, kept for a reload and for coming back to a part.

A draft lives in the memory of the server under a name that only this address has, never in the
address itself; those that nobody came back to for a day, or beyond some hundreds, are forgotten.
"""

from __future__ import annotations

import secrets
import time
from collections import OrderedDict
from typing import Any

import streamlit as st
from streamlit.errors import StreamlitAPIException

from configurator.ui.visit import DRAFT

MOST_DRAFTS = 300
LONGEST_KEPT = 24 * 3600.0  # [s]
# Begin of the names of fields whose values are somebody's work.
PREFIXES = ("kept ", "measured ", "vehicle ", "import ")
# Buttons and files cannot be given a value.
_KINDS = (str, int, float)
# What this visit's drafts are called, and the fields that got theirs and were not drawn since.
_NAME, _PLACED = "name of drafts", "placed drafts"


@st.cache_resource(show_spinner=False)
def _every() -> OrderedDict[str, tuple[float, dict[str, Any]]]:
    return OrderedDict()


def _mine(*, make: bool) -> dict[str, Any]:
    every, now = _every(), time.monotonic()
    # An address that was on its way when a run began does not have the name yet.
    name = st.session_state.get(_NAME) or st.query_params.get(DRAFT, "")
    if name not in every:
        if not make:
            return {}
        name = secrets.token_urlsafe(9)
        every[name] = (now, {})
    if st.query_params.get(DRAFT) != name:
        st.query_params[DRAFT] = name
    st.session_state[_NAME] = name
    every[name] = (now, every[name][1])
    every.move_to_end(name)
    while len(every) > MOST_DRAFTS or now - next(iter(every.values()))[0] > LONGEST_KEPT:
        every.popitem(last=False)
    return every[name][1]


def bring_back() -> None:
    """Put values back into fields that are not on the page: before any of them is drawn.

    A field shows a value that was set in the run that draws it, none that was set in one before:
    so each is set anew until it is drawn.
    """
    placed: set[str] = st.session_state.setdefault(_PLACED, set())
    for key, value in _mine(make=False).items():
        if key not in st.session_state or key in placed:
            st.session_state[key] = st.session_state.get(key, value)
            placed.add(key)


def keep() -> None:
    """Keep what stands in the fields now."""
    entered = {
        str(key): _copied(value)
        for key, value in st.session_state.items()
        if str(key).startswith(PREFIXES) and _worth(value)
    }
    if entered:
        _mine(make=True).update(entered)
    placed: set[str] = st.session_state.setdefault(_PLACED, set())
    placed -= {key for key in placed if key in st.session_state and _is_drawn(key)}


def _is_drawn(key: str) -> bool:
    """Whether a field of this name was drawn in this run: its value cannot be set any more."""
    try:
        st.session_state[key] = st.session_state[key]
    except StreamlitAPIException:
        return True
    return False


def _worth(value: Any) -> bool:
    if isinstance(value, bool):
        return False
    return isinstance(value, _KINDS) or type(value).__name__ == "date" or isinstance(value, dict)


def _copied(value: Any) -> Any:
    return dict(value) if isinstance(value, dict) else value
