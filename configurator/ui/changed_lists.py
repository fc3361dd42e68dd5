"""Say that lists were changed on disk since the page has read them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

from configurator.ui.safe_text import plain
from configurator.ui.shared_cases import changed_since, reload

if TYPE_CHECKING:
    from configurator.ui.visit import Visit

_MOST_NAMED = 3


def show(visit: Visit) -> None:
    """Name what has changed, and offer to read it; prices do not move by themselves meanwhile."""
    changed = changed_since(visit.shelves)
    if not changed:
        return
    names = ", ".join(changed[:_MOST_NAMED])
    more = len(changed) - _MOST_NAMED
    st.warning(
        plain(
            f"Changed since the lists were read: {names}{f' and {more} more' if more > 0 else ''}. "
            "Prices here may still be the ones from before."
        )
    )
    st.button(
        "Read the lists again", key="lists changed", on_click=reload, help="For all visitors."
    )
