"""How soon all parts must be there: a field for it, and what each wait costs."""

from __future__ import annotations

import copy
from dataclasses import replace
from typing import TYPE_CHECKING

import streamlit as st

from configurator.evaluation.lead_times import longest_wait
from configurator.questions.history import begun
from configurator.search.pareto.delivery_times import waits
from configurator.ui import fields
from configurator.ui.html_tables import table
from configurator.ui.safe_text import plain
from configurator.wording.quantities import counted, money_words

if TYPE_CHECKING:
    from collections.abc import Callable

    from configurator.questions.session import Session
    from configurator.search.pareto.delivery_times import PriceByDelivery
    from configurator.ui.visit import Visit

TASK = "waits"
KNOWN = "price of each wait"
# Days that a job file takes at most.
MOST_DAYS = 2000


def show(visit: Visit) -> None:
    """Show the field, what there is, and what can be had."""
    fields.whole(
        "Ready within [days]",
        visit.job.ready_within,
        "ready within",
        lambda days: _set(visit, days),
        most=MOST_DAYS,
        help="From the order until all parts are in the workshop, by the lead times of the "
        "catalogs and what lies on the shop's shelf. The work itself takes its own time on top.",
    )
    st.caption(plain(reach_words(visit)))
    known = _known(visit)
    task = visit.tasks.get(TASK)
    if known is not None:
        _levels(visit, known)
        return
    if task is not None and task.state == "running":
        return
    if task is not None:
        st.write("Stopped." if task.error is None else plain(str(task.error)))
    st.button(
        "What does each wait cost?",
        key="waits",
        on_click=_look,
        args=(visit,),
        help="Finds the cheapest package for every wait that can be had. Takes some seconds.",
    )


def _set(visit: Visit, days: int | None) -> None:
    said = "drop the limit on waiting" if days is None else f"ready within {counted(days, 'day')}"
    visit.change(replace(visit.job, ready_within=days), said)


def reach_words(visit: Visit) -> str:
    """Say how long the cheapest package is waited for."""
    found = visit.talk.cheapest()
    if found.choice is None:
        return "There is no package now."
    days, unknown = longest_wait(found.choice, visit.job.vehicles)
    said = []
    if days is not None:
        there = "at once" if days == 0 else f"within {counted(days, 'day')}"
        said.append(f"All parts of the cheapest package are there {there}.")
    elif not unknown:
        said.append("The cheapest package has no part to be waited for.")
    if unknown:
        said.append(
            f"No list gives a lead time for {', '.join(unknown)}: ask the maker; it counts as "
            "there in time."
        )
    return " ".join(said)


def rest_of(talk: Session) -> Session:
    """Talk about the same job without what it says of waiting and money."""
    rest = copy.copy(talk)
    rest.history = begun(replace(talk.job, ready_within=None, budget=None))
    return rest


def _known(visit: Visit) -> list[PriceByDelivery] | None:
    found: list[PriceByDelivery] | None = rest_of(visit.talk).known(KNOWN)
    return found


def _look(visit: Visit) -> None:
    visit.tasks.pop(TASK, None)
    visit.work(TASK, "Working out what each wait costs", find)


def find(talk: Session, say: Callable[[str], None]) -> list[PriceByDelivery]:
    """Work out what each wait costs, once for all that is asked of waiting and money."""
    return rest_of(talk).asked(
        KNOWN,
        lambda prepared, job: waits(
            prepared, job, report=lambda done, of: say(f"{done} of up to {of} waits")
        ),
    )


def _levels(visit: Visit, known: list[PriceByDelivery]) -> None:
    if not known:
        st.write("However long one waits, nothing meets the rest of what is asked for.")
        return
    currency = visit.job.currency
    table(
        ("ready within", "cheapest package"),
        [
            (
                counted(one.days, "day"),
                money_words(one.price, currency) + ("" if one.proven else ", or less"),
            )
            for one in known
        ],
        caption="What each wait costs",
        right=(1,),
        key="waits table",
    )
    first = known[0].days
    sooner = f"Less than {counted(first, 'day')} cannot be had. " if first else ""
    st.caption(
        f"{sooner}Between two rows the price is that of the row above. All else is as it is asked "
        "for; the budget is left aside."
    )
