"""The component that draws the talk, and hands what is tapped to `acts`.

The browser is told of a message that it has already by a mark of it: names of parts go in a
component of their own, which draws nothing, so that they travel once, and again to whoever has not
got them.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import streamlit as st

from configurator.ui.talk.acts import carry_out
from configurator.ui.talk.turns import TURNS

if TYPE_CHECKING:
    from configurator.ui.visit import Visit

KEY = "talk"
ASSETS = Path(__file__).with_name("assets")

# Keeps names for the talk, by their version: the two are drawn apart from each other.
_KEEP = """
export default function ({ data }) {
  const names = JSON.parse(new TextDecoder().decode(data));
  const kept = (globalThis.fitwrightNames ??= new Map());
  if (kept.has(names.version)) return;
  kept.clear();
  kept.set(names.version, names.positions);
  globalThis.dispatchEvent(new Event("fitwright-names"));
}
"""


def script() -> str:
    """Return the scripts that draw the talk, as the one module that they are to a browser."""
    return "\n".join(
        path.read_text(encoding="utf-8") for path in sorted(ASSETS.glob("*.js"))
    )  # fmt: skip


_names = st.components.v2.component("fitwright_part_names", js=_KEEP)
_talk = st.components.v2.component(
    "fitwright_talk",
    html="<div class='talk'></div>",
    css=(ASSETS / "talk.css").read_text(encoding="utf-8"),
    js=script(),
)


def draw(visit: Visit, data: dict[str, Any], names: bytes | None) -> None:
    """Draw the talk."""

    def acted() -> None:
        # What is told stands in the session, whatever run of the page drew the component.
        text = st.session_state[KEY]
        acts = text.get("acts") if hasattr(text, "get") else None
        if acts:
            with TURNS.drawing():
                carry_out(visit, str(acts))

    _talk(key=KEY, data=data, on_acts_change=acted)
    if names is not None:
        _names(key="part names", data=names)
