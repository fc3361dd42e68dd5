"""Drawings on the page: SVG that takes the page's colours, still or with boxes to click."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

if TYPE_CHECKING:
    from collections.abc import Callable

# The drawing is parsed as XML, never as HTML: what is not well-formed is not shown, and a script
# in it would not run.
_SCRIPT = """
const PICKED = "[data-position]";
const READABLE = 14 / 12;
export default function ({ data, parentElement, setTriggerValue }) {
  // What is drawn is remembered on the element it is drawn in: the page may give another one.
  const root = parentElement.querySelector(".root");
  if (root.shown !== data.svg) {
    root.shown = data.svg;
    const parsed = new DOMParser().parseFromString(data.svg, "image/svg+xml");
    const svg = parsed.documentElement;
    if (svg.nodeName !== "svg") {
      root.textContent = "This drawing could not be read.";
      return;
    }
    // Lettering of 12 units is to be read at arm's length: a wide drawing scrolls.
    const wide = Number.parseFloat(svg.getAttribute("width"));
    if (wide) svg.style.width = `${Math.ceil(wide * READABLE)}px`;
    const held = parentElement.activeElement?.closest(PICKED);
    const kept = held && `[data-position="${CSS.escape(held.dataset.position)}"]`;
    root.replaceChildren(document.importNode(svg, true));
    if (kept) root.querySelector(kept)?.focus();
  }
  const send = (event) => {
    const box = event.target.closest(PICKED);
    if (box) setTriggerValue("chosen", box.dataset.position);
  };
  root.onclick = send;
  root.onkeydown = (event) => {
    if (event.key === "Enter" || event.key === " ") {
      event.preventDefault();
      send(event);
    }
  };
}
"""
_STYLE = """
.root { overflow-x: auto; color: var(--st-text-color); }
svg { height: auto; }
[role="button"] { cursor: pointer; }
[role="button"]:focus-visible { outline: 3px solid var(--st-primary-color); }
"""

_picture = st.components.v2.component(
    "fitwright_picture", html="<div class='root'></div>", css=_STYLE, js=_SCRIPT
)


def show(
    svg: str,
    *,
    key: str,
    chosen: Callable[[str], None] | None = None,
) -> None:
    """Show a drawing.

    Parameters
    ----------
    svg
        The drawing.
    key
        Of it on the page.
    chosen
        Called with the name of the box that was clicked.
    """

    def on_chosen() -> None:
        answer = st.session_state[key]
        name = answer.get("chosen") if hasattr(answer, "get") else None
        if name and chosen is not None:
            chosen(str(name))

    _picture(key=key, data={"svg": svg}, on_chosen_change=on_chosen)
