"""The page: the talk with a customer, and behind it the workshop.

What is decided lives in the visit's session; what draws it is never asked what it is.
"""

from __future__ import annotations

import streamlit as st

from configurator.ui import changed_lists, drafts, own_list, working, workshop
from configurator.ui.saved import desk
from configurator.ui.sweeping import spare_what_stays
from configurator.ui.talk import component
from configurator.ui.talk.answer import answer
from configurator.ui.talk.turns import TURNS
from configurator.ui.visit import SAVED, TALK, current, keep_in_link

# Streamlit leaves room for a menu that is not shown here, and writes captions too faintly to be
# read (WCAG 2.2, 1.4.3).
_STYLE = """<style>
.stMainBlockContainer { padding: 0 0 4rem; max-width: none; }
.stAppHeader { display: none; }
.stMainBlockContainer > .stVerticalBlock { gap: 0; }
.st-key-workshop { padding: 1.25rem clamp(0.75rem, 2.5vw, 2rem); }
/* The head stays in sight above the workshop too. */
[data-testid="stElementContainer"].st-key-talk, .st-key-talk { position: sticky; top: 0;
  z-index: 90; }
@media (max-height: 520px) {
  [data-testid="stElementContainer"].st-key-talk, .st-key-talk { position: static; }
}
.st-key-working { position: fixed; left: 0; right: 0; bottom: 0; z-index: 120;
  padding: 0.5rem clamp(0.75rem, 2.5vw, 2rem); border-top: 1px solid var(--st-border-color);
  background: light-dark(#ffffff, #12181c); }
.st-key-working:not(:has(.stMarkdown)) { display: none; }
[data-testid="stCaptionContainer"], [data-testid="stCaptionContainer"] * {
  color: inherit !important; opacity: 1 !important; }
/* The colour of the main buttons is light where the page is dark: white on it cannot be read. */
[data-testid="stBaseButton-primary"]:enabled p, [data-testid^="stBaseButton-primaryForm"]:enabled p,
[data-tag] * { color: light-dark(#ffffff, #12181c); }
/* On a tablet the number matters more than buttons that move it; arrow keys do that too. */
@media (max-width: 64rem) {
  [data-testid="stNumberInputStepUp"], [data-testid="stNumberInputStepDown"] { display: none; }
  /* A drawing beside a column of text would be cut off, or too small to be read. */
  .stHorizontalBlock:has(.st-key-graph) { flex-wrap: wrap; }
  .stHorizontalBlock:has(.st-key-graph) > .stColumn { min-width: 100%; }
  /* Documents come before pages of what was agreed. */
  .stHorizontalBlock:has(.st-key-papers) { flex-wrap: wrap-reverse; }
  .stButton button, .stDownloadButton button { min-height: 44px; }
}
</style>"""
_UNPINNED = "<style>.st-key-talk { position: static !important; }</style>"


def show() -> None:
    """Draw the page; what is worked out behind it rests meanwhile."""
    with TURNS.drawing():
        _show()


def _show() -> None:
    spare_what_stays()
    st.set_page_config(page_title="Fitwright", layout="wide", initial_sidebar_state="collapsed")
    talking = st.session_state.get("visit") is None or st.session_state["visit"].part == TALK
    st.html(_STYLE + (_UNPINNED if talking else ""))
    first = st.session_state.get("visit") is None
    visit = current()
    if first and SAVED in st.query_params:
        desk.from_address(visit, st.query_params[SAVED])
    workshop.lead_on(visit)
    drafts.bring_back()
    working.begin(visit)
    waiting = visit.get_ready() if visit.begun else None
    data, names = answer(visit, waiting)
    own_list.show_line(visit)
    changed_lists.show(visit)
    component.draw(visit, data, names)
    if visit.part != TALK:
        with st.container(key="workshop"):
            workshop.show(visit, ready=visit.begun and visit.talk.is_ready)
    working.show(visit)
    drafts.keep()
    keep_in_link(visit, desk.in_address(visit) if visit.begun else "")
