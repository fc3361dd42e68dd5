"""Every option of every position: can it be had, what does the package then cost, what does it do.

The table is a component of its own: one HTML table that only repaints what moved. What a click in
it means is decided here. The names in it are another, which draws nothing: the browser is told of
a message that it has already by a mark of it, so names travel once, and again to whoever has not
got them: after reloading the page, in another window, from other catalogs.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import streamlit as st

from configurator.core.errors import FitwrightError
from configurator.model.parts import FITTED, NOTHING
from configurator.questions import edits
from configurator.search.circuit.join import TooWide
from configurator.ui import reasons_part
from configurator.ui.html_tables import STYLE
from configurator.ui.options import lookup, option_rows
from configurator.ui.safe_text import plain
from configurator.wording.price_bounds import too_long_words, why_at_least
from configurator.wording.quantities import counted
from configurator.wording.sentences import part_words

if TYPE_CHECKING:
    from collections.abc import Callable

    from configurator.questions.session import Session
    from configurator.search.optimum.preparing import Prepared
    from configurator.ui.visit import Visit

KEY = "options table"

_LOOK = """
.bar { display: flex; flex-wrap: wrap; gap: 0.5rem 1rem; align-items: center;
  padding-bottom: 0.6rem; }
.bar input, .bar select { font: inherit; color: inherit; background: var(--st-background-color);
  border: 1px solid var(--st-text-color); border-radius: 4px; padding: 0.25rem 0.4rem;
  max-width: 15rem; }
.scroll { max-height: 38rem; overflow: auto; border: 1px solid var(--st-border-color);
  border-radius: 6px; }
thead th { position: sticky; top: 0; z-index: 1; background: var(--st-background-color); }
th, td { padding: 0.35rem 0.6rem; }
.sort { all: unset; cursor: pointer; font-weight: 600; text-decoration: underline dotted; }
th[aria-sort="ascending"] .sort::after { content: " ↑"; }
th[aria-sort="descending"] .sort::after { content: " ↓"; }
.group th { background: var(--st-secondary-background-color);
  border-top: 2px solid var(--st-border-color); }
.group .name { font-weight: 700; margin-right: 0.8rem; }
.group .name::first-letter { text-transform: uppercase; }
.group .now { font-weight: 400; }
th .title { display: block; font-weight: 500; }
th .number { font-weight: 400; font-size: 0.82rem; margin-right: 0.5rem; }
th .fact { display: block; font-weight: 400; font-size: 0.85rem; }
th .mark { display: inline-block; font-weight: 600; font-size: 0.8rem; margin-right: 0.4rem;
  border: 1px solid currentColor; border-radius: 3px; padding: 0 0.3rem; }
.impossible .title { font-weight: 400; }
.moves { min-width: 9rem; }
@media (max-width: 64rem) {
  th, td { padding: 0.3rem 0.4rem; }
  .right, .decide { white-space: normal; }
  .moves { min-width: 7rem; }
}
.decide { white-space: nowrap; }
.decide button { font: inherit; color: inherit; background: var(--st-background-color);
  border: 1px solid var(--st-text-color); border-radius: 4px; padding: 0.15rem 0.5rem;
  margin: 0 0.3rem 0.2rem 0; cursor: pointer; }
.decide button:hover { background: var(--st-secondary-background-color); }
button:focus-visible, input:focus-visible, select:focus-visible, .scroll:focus-visible {
  outline: 3px solid var(--st-primary-color); outline-offset: 1px; }
[hidden] { display: none; }
"""

# Keeps names for the table, by their version: the two are drawn apart from each other.
_KEEP = """
export default function ({ data }) {
  const names = JSON.parse(new TextDecoder().decode(data));
  const kept = (globalThis.fitwrightOptions ??= new Map());
  if (kept.has(names.version)) return;
  kept.clear();
  kept.set(names.version, names.positions);
  globalThis.dispatchEvent(new Event("fitwright-options"));
}
"""

_names = st.components.v2.component("fitwright_option_names", js=_KEEP)
_component = st.components.v2.component(
    "fitwright_options",
    html="<div class='root'></div>",
    css=STYLE + _LOOK,
    js=Path(__file__).with_name("options_script.js").read_text(encoding="utf-8"),
)

# Of one price, over the demonstration jobs on two shared cores: 0.02 to 0.05 s, in one of them
# ten times that; on a circuit of 34 million rows 0.2 to 0.4 s.
SECONDS_EACH = 0.03
SECONDS_EACH_ROW = 1e-8


def show(visit: Visit) -> None:
    """Show what is asked about a blocked option, and the table."""
    reasons_part.show(visit)
    _exact_prices(visit)
    st.header("Every option of every position")
    st.caption(
        "The price is that of the cheapest complete package with the option, work and tax "
        "included. “Fix” decides for it, everything else follows. Arrow keys go from row to row."
    )
    found = lookup.show(visit)
    rows = option_rows.rows_of(visit)
    version, names = option_rows.lasting(rows)
    data = option_rows.passing(visit, rows, version, found)

    def acted() -> None:
        answer = st.session_state[KEY]
        word = answer.get("act") if hasattr(answer, "get") else None
        if word:
            act(visit, str(word))

    _component(key=KEY, data=data, on_act_change=acted)
    _names(key="option names", data=names)


def act(visit: Visit, word: str) -> None:
    """Do what was clicked: ``fix``, ``free``, ``out``, ``allow`` or ``why``, at a position, a part.

    What does not name an option there is is ignored: a page may be older than the case.
    """
    what, _, rest = word.partition("\n")
    position, _, key = rest.partition("\n")
    job, evaluation = visit.job, visit.talk.prepared().evaluation
    if position not in evaluation.families or all(
        option.key != key for option in evaluation.options(position)
    ):
        return
    said = part_words(evaluation, position, key)
    if what == "fix":
        if key == FITTED:
            visit.change(edits.keep(job, position), f"keep the {position} as fitted")
        else:
            visit.change(edits.fix(job, position, key), f"fix the {position}: {said}")
    elif what == "free":
        visit.change(edits.free(job, position), f"free the {position}")
    elif what == "out" and key not in (FITTED, NOTHING):
        visit.change(edits.rule_out(job, key), f"rule out {said}")
    elif what == "allow":
        visit.change(edits.allow(job, key), f"allow {said}")
    elif what == "why":
        reasons_part.ask(visit, position, key)


def _exact_prices(visit: Visit) -> None:
    """Offer to work out the prices that are known as a lower bound only."""
    states = visit.talk.options()
    open_ = sum(not one.exact and one.price is not None for each in states.values() for one in each)
    task = visit.tasks.get("exact")
    if open_ == 0 or (task is not None and task.state == "running"):
        return
    prepared = visit.talk.prepared()
    if task is not None and task.error is not None:
        st.warning(plain(str(task.error)))
    st.caption(
        plain(
            f"{counted(open_, 'price')} in this table can only be said as “at least”: "
            f"{why_at_least(prepared)}. The true price may be higher, and an option may turn out "
            f"over the budget or not possible after all. {_how_long(prepared, open_)}"
        )
    )
    loose = prepared.loose is not None
    st.button(
        "Join long lists" if loose else f"Make {counted(open_, 'price')} exact",
        key="exact",
        help="You can go on meanwhile, and stop it.",
        on_click=_make_exact,
        args=(visit,),
    )


def _how_long(prepared: Prepared, prices: int) -> str:
    if prepared.loose is not None:
        return (
            "These lists can be joined part by part: that takes some minutes, once for this "
            "vehicle, its lists and the figures asked about; every price is exact from then on, "
            "but for sums over the whole vehicle."
        )
    return (
        f"To know it takes about {lasting(seconds(prices, prepared.circuit.rows))}, longer where "
        "the vehicle is close to such a limit."
    )


def seconds(prices: int, rows: int) -> int:
    """Say about how long it takes to make prices exact [s], in steps of five.

    Parameters
    ----------
    prices
        How many.
    rows
        Of the circuit.

    Examples
    --------
    >>> seconds(1, 700_000), seconds(300, 700_000), seconds(1408, 34_000_000)
    (5, 10, 520)
    """
    return max(5, 5 * round(prices * (SECONDS_EACH + rows * SECONDS_EACH_ROW) / 5))


def lasting(seconds: int) -> str:
    """Say a time in words.

    Examples
    --------
    >>> lasting(55), lasting(520)
    ('55 seconds', '9 minutes')
    """
    return f"{seconds} seconds" if seconds < 100 else f"{round(seconds / 60)} minutes"


def _make_exact(visit: Visit) -> None:
    visit.tasks.pop("exact", None)
    if visit.talk.prepared().loose is not None:
        visit.work("exact", "Joining long lists", _tighten)
    else:
        visit.work("exact", "Making prices exact", _close)


def _tighten(talk: Session, say: Callable[[str], None]) -> None:
    say("looking for a good order")
    try:
        talk.tighten(lambda done, of: say(f"{done} of {of} parts"))
    except TooWide as refused:
        raise FitwrightError(too_long_words(refused)) from refused


def _close(talk: Session, say: Callable[[str], None]) -> None:
    for done, todo in talk.closing():
        say(f"{done} of {todo} prices")
