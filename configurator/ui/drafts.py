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

from configurator.ui.visit import DRAFT

MOST_DRAFTS = 300
LONGEST_KEPT = 24 * 3600.0  # [s]
# Begin of the names of fields whose values are somebody's work.
PREFIXES = ("kept ", "measured ", "vehicle ", "import ")
# Buttons and files cannot be given a value.
_KINDS = (str, int, float)


@st.cache_resource(show_spinner=False)
def _every() -> OrderedDict[str, tuple[float, dict[str, Any]]]:
    return OrderedDict()


def _mine(*, make: bool) -> dict[str, Any]:
    every, now = _every(), time.monotonic()
    name = st.query_params.get(DRAFT, "")
    if name not in every:
        if not make:
            return {}
        name = secrets.token_urlsafe(9)
        st.query_params[DRAFT] = name
        every[name] = (now, {})
    every[name] = (now, every[name][1])
    every.move_to_end(name)
    while len(every) > MOST_DRAFTS or now - next(iter(every.values()))[0] > LONGEST_KEPT:
        every.popitem(last=False)
    return every[name][1]


def bring_back() -> None:
    """Put values back into fields that this visit does not have: before any of them is drawn."""
    for key, value in _mine(make=False).items():
        st.session_state.setdefault(key, value)


def keep() -> None:
    """Keep what stands in the fields now."""
    found = {
        str(key): _copied(value)
        for key, value in st.session_state.items()
        if str(key).startswith(PREFIXES) and _worth(value)
    }
    if found:
        _mine(make=True).update(found)


def _worth(value: Any) -> bool:
    if isinstance(value, bool):
        return False
    return isinstance(value, _KINDS) or type(value).__name__ == "date" or isinstance(value, dict)


def _copied(value: Any) -> Any:
    return dict(value) if isinstance(value, dict) else value


def forget(*prefixes: str) -> None:
    """Forget the drafts of what was saved."""
    mine = _mine(make=False)
    for key in [one for one in mine if one.startswith(prefixes)]:
        del mine[key]
