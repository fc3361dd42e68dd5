"""The page: the job and its price on top, below it the part of the talk that is on.

What is decided lives in the visit's session; widgets show it and are never asked what it is.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, get_args

import streamlit as st

from configurator.ui import (
    catalogs,
    changed_lists,
    compare,
    consequences_part,
    goals,
    own_list,
    package,
    reasons_part,
    sharing,
    vehicle,
    working,
)
from configurator.ui.measuring import finished_vehicle
from configurator.ui.options import option_table
from configurator.ui.safe_text import listed, plain
from configurator.ui.saved import overview
from configurator.ui.sweeping import spare_what_stays
from configurator.ui.visit import current, keep_in_link
from configurator.wording.quantities import System, money_words

if TYPE_CHECKING:
    from configurator.ui.visit import Visit

_PARTS = {
    "Wishes": goals.show,
    "Options": option_table.show,
    "The package": package.show,
    "Side by side": compare.show,
    "What it forces": consequences_part.show,
    "Vehicle": vehicle.show,
    "Measured vehicle": finished_vehicle.show,
    "Jobs and quotations": overview.show,
    "Open and share": sharing.show,
    "Catalogs and plugins": catalogs.show,
}
# These need no prepared case.
_ALWAYS = ("Jobs and quotations", "Open and share", "Catalogs and plugins")
# Streamlit leaves room for a menu that is not shown here, and writes captions too faintly to be
# read (WCAG 2.2, 1.4.3).
_STYLE = """<style>
.stMainBlockContainer { padding-top: 2.5rem; }
[data-testid="stCaptionContainer"], [data-testid="stCaptionContainer"] * {
  color: inherit !important; opacity: 1 !important; }
/* The colour of the main buttons is light where the page is dark: white on it cannot be read. */
[data-testid="stBaseButton-primary"] p { color: light-dark(#ffffff, #12181c); }
/* On a tablet the number matters more than buttons that move it; arrow keys do that too. */
@media (max-width: 64rem) {
  [data-testid="stNumberInputStepUp"], [data-testid="stNumberInputStepDown"] { display: none; }
  /* A drawing beside a column of text would be cut off, or too small to be read. */
  .stHorizontalBlock:has([class*="st-key-drawing"]), .stHorizontalBlock:has(.st-key-graph) {
    flex-wrap: wrap; }
  .stHorizontalBlock:has([class*="st-key-drawing"]) > .stColumn,
  .stHorizontalBlock:has(.st-key-graph) > .stColumn { min-width: 100%; }
}
</style>"""
_SYSTEMS = {"": "as declared", "metric": "metric", "imperial": "imperial"}


def show() -> None:
    """Draw the page."""
    spare_what_stays()
    st.set_page_config(page_title="Fitwright", layout="wide", initial_sidebar_state="collapsed")
    st.html(_STYLE)
    with st.spinner("Loading plugins"):
        visit = current()
    working.begin(visit)
    task = visit.get_ready()
    _head(visit, ready=task is None)
    own_list.show_line(visit)
    changed_lists.show(visit)
    for problem in visit.refused:
        st.error(plain(problem))
    if task is None:
        _noticed(visit)
    going_on = st.container()
    names = list(_PARTS)
    name = st.segmented_control(
        "Part of the page", names, default=names[0], key="part", required=True,
        label_visibility="collapsed",
    )  # fmt: skip
    if task is None or name in _ALWAYS:
        _PARTS[name](visit)
    elif task.state == "running":
        st.write("The first time a vehicle or its use is worked out takes some seconds.")
    else:
        _not_ready(visit)
    with going_on:
        working.show(visit)
    keep_in_link(visit)


def _noticed(visit: Visit) -> None:
    """Say what reading the job and the catalogs brought up, and stopped nothing."""
    noticed = visit.talk.prepared().evaluation.case.warnings
    if noticed:
        with st.expander(f"Noticed in the catalogs and the job: {len(noticed)}"):
            st.markdown(listed([str(one) for one in noticed]))


def _not_ready(visit: Visit) -> None:
    task = visit.tasks["prepare"]
    if task.error is not None:
        st.error("The job cannot be worked out:")
        for line in str(task.error).split("\n"):
            st.error(plain(line))
    else:
        st.warning("Stopped before it was worked out.")
    st.button("Try again", key="again", on_click=_again, args=(visit,))


def _again(visit: Visit) -> None:
    del visit.tasks["prepare"]


def _head(visit: Visit, *, ready: bool) -> None:
    words, price, tools = st.columns([4, 3, 3], vertical_alignment="bottom")
    with words:
        st.title(plain(visit.job.title), anchor=False)
        if ready:
            said = visit.talk.prepared().evaluation.case.vehicle.title
            alike = f"; {visit.job.vehicles} alike, prices are for one"
            st.caption(plain(said + (alike if visit.job.vehicles > 1 else "")))
    with price:
        if ready:
            _price(visit)
    with tools:
        _tools(visit)


def _price(visit: Visit) -> None:
    found, job = visit.talk.cheapest(), visit.job
    if found.price is None:
        st.markdown("**No package**")
        st.caption("Nothing meets what is asked for." if found.proven else "None was found yet.")
        if found.proven:
            st.button(
                "Why does nothing fit?", key="no package",
                on_click=_what_could_give, args=(visit,),
            )  # fmt: skip
        else:
            _look_longer(visit)
        return
    name = "Cheapest package" if found.proven else "Best package found"
    st.markdown(f"**{name}: {money_words(found.price, job.currency)}**")
    if not found.proven:
        _look_longer(visit)
    if job.budget is None:
        st.caption("No budget is set.")
    elif found.price <= job.budget:
        st.caption(f"{money_words(job.budget - found.price, job.currency)} below the budget.")
    else:
        over = money_words(found.price - job.budget, job.currency)
        st.caption(f"Over the budget by {over}.")
        st.button("What could give?", key="over budget", on_click=_what_could_give, args=(visit,))


def _look_longer(visit: Visit) -> None:
    """Offer to search on where a click had no time to prove what is the cheapest."""
    task = visit.tasks.get("longer")
    if task is None or task.state != "running":
        st.button(
            "Look longer",
            key="look longer",
            help="There may be a cheaper package. It may take minutes; you can go on meanwhile, "
            "and stop it.",
            on_click=_begin_looking,
            args=(visit,),
        )


def _begin_looking(visit: Visit) -> None:
    visit.tasks.pop("longer", None)
    visit.work("longer", "Looking for a cheaper package", lambda talk, _: talk.look_longer())


def _what_could_give(visit: Visit) -> None:
    st.session_state["part"] = "Options"
    reasons_part.ask(visit)


def _tools(visit: Visit) -> None:
    history = visit.talk.history
    with st.container(horizontal=True, horizontal_alignment="right"):
        st.button(
            "Undo", key="undo", disabled=not history.can_undo, on_click=visit.undo,
            shortcut="Ctrl+Z", help=history.can_undo or "Nothing to undo",
        )  # fmt: skip
        st.button(
            "Redo", key="redo", disabled=not history.can_redo, on_click=visit.redo,
            shortcut="Ctrl+Shift+Z", help=history.can_redo or "Nothing to redo",
        )  # fmt: skip

        def switched() -> None:
            chosen = st.session_state["units"]
            visit.system = chosen if chosen in get_args(System) else None

        st.session_state["units"] = visit.system or ""
        st.selectbox(
            "Units", list(_SYSTEMS), key="units", format_func=_SYSTEMS.__getitem__,
            on_change=switched, width=150,
        )  # fmt: skip
