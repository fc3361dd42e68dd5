"""Drawings on the page: SVG that takes the page's colours, still or with boxes to click."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

if TYPE_CHECKING:
    from collections.abc import Callable

# The drawing is parsed as XML, never as HTML: what is not well-formed is not shown, and a script
# in it would not run.
_SCRIPT = """
const NAMES = ["data-position", "data-value"];
const PICKED = NAMES.map((name) => `[${name}]`).join(", ");
export default function ({ data, parentElement, setTriggerValue }) {
  // What is drawn is remembered on the element it is drawn in: the page may give another one.
  const root = parentElement.querySelector(".root");
  if (root.told !== data.svg) {
    root.told = data.svg;
    const parsed = new DOMParser().parseFromString(data.svg, "image/svg+xml");
    const svg = parsed.documentElement;
    if (svg.nodeName !== "svg") {
      root.textContent = "This drawing could not be read.";
      return;
    }
    const held = parentElement.activeElement?.closest(PICKED);
    const same = held && NAMES.find((name) => held.hasAttribute(name));
    const kept = same && `[${same}="${CSS.escape(held.getAttribute(same))}"]`;
    root.replaceChildren(document.importNode(svg, true));
    if (data.width) {
      // Its text is of the size of print: on a narrow page it is moved about, not made tiny.
      root.firstChild.style.width = data.width;
      root.firstChild.style.minWidth = `calc(0.85 * ${data.width})`;
      new ResizeObserver(() => {
        const wider = root.scrollWidth > root.clientWidth;
        root.tabIndex = wider ? 0 : -1;
        if (wider) root.setAttribute("role", "region");
        else root.removeAttribute("role");
        root.setAttribute("aria-label", wider ? "Drawing, wider than the page" : "");
      }).observe(root);
    }
    if (kept) root.querySelector(kept)?.focus();
  }
  const send = (event) => {
    const box = event.target.closest(PICKED);
    const name = box && NAMES.find((one) => box.hasAttribute(one));
    if (name) setTriggerValue("chosen", box.getAttribute(name));
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
svg { max-width: 100%; height: auto; }
[role="button"] { cursor: pointer; }
[role="button"]:focus-visible { outline: 3px solid var(--st-primary-color); }
/* An outline would be scaled with the chart, some millimetres wide: the strip is marked instead. */
[data-value]:focus, [data-value]:focus-visible { outline: none; }
[data-value]:focus rect { fill-opacity: 0.12; stroke: currentColor; stroke-width: 0.4; }
[data-value]:hover rect { fill-opacity: 0.12; }
"""

_picture = st.components.v2.component(
    "fitwright_picture", html="<div class='root'></div>", css=_STYLE, js=_SCRIPT
)


def show(
    svg: str,
    *,
    key: str,
    width_mm: float = 0.0,
    chosen: Callable[[str], None] | None = None,
) -> None:
    """Show a drawing.

    Parameters
    ----------
    svg
        The drawing.
    key
        Of it on the page.
    width_mm
        At which it is at scale; the natural size if 0.
    chosen
        Called with the name of the box, or the value of the level, that was clicked.
    """

    def on_chosen() -> None:
        answer = st.session_state[key]
        name = answer.get("chosen") if hasattr(answer, "get") else None
        if name and chosen is not None:
            chosen(str(name))

    data = {"svg": svg, "width": f"{width_mm}mm" if width_mm else ""}
    _picture(key=key, data=data, on_chosen_change=on_chosen)
