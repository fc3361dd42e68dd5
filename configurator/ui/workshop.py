"""The workshop behind the talk: documents, jobs, as-built check, vehicle, fleet, lists, rules."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

from configurator.ui import catalogs, consequences_part, fleet_part, sharing, vehicle
from configurator.ui.lists import new_vehicle_part
from configurator.ui.measuring import finished_vehicle
from configurator.ui.saved import overview
from configurator.ui.visit import TALK

if TYPE_CHECKING:
    from collections.abc import Callable

    from configurator.ui.visit import Visit

PARTS: dict[str, Callable[[Visit], None]] = {
    "documents": overview.show_documents,
    "saved": overview.show_saved,
    "as-built": finished_vehicle.show,
    "vehicle": vehicle.show,
    "vehicle-new": new_vehicle_part.show,
    "needs": consequences_part.show,
    "fleet": fleet_part.show,
    "lists": catalogs.show,
    "share": sharing.show,
}
# What they are about, where they wait for a job.
TITLES = {
    "documents": "Documents",
    "as-built": "As-built check",
    "vehicle": "Vehicle",
    "needs": "What else it needs",
}
# These can be looked at without a job that is worked out.
ALWAYS = ("saved", "fleet", "lists", "share", "vehicle-new")


def lead_on(visit: Visit) -> None:
    """Lead who asks for a part that is not there, as an old address may, to the saved jobs."""
    if visit.part not in (TALK, *PARTS):
        visit.part = "saved"


def show(visit: Visit, *, ready: bool) -> None:
    """Show the part that is open."""
    name = visit.part
    if ready or name in ALWAYS:
        PARTS[name](visit)
        return
    st.header(TITLES[name])
    if visit.begun:
        st.write("This is shown as soon as the job is worked out.")
        return
    st.write("This is about a job: begin one, or open one that is saved.")
    with st.container(horizontal=True):
        st.button(
            "Begin a job",
            key="to a new job",
            type="primary",
            on_click=visit.turn_to,
            args=("begin",),
        )
        st.button("Saved jobs", key="to saved jobs", on_click=_go_to, args=(visit, "saved"))


def _go_to(visit: Visit, part: str) -> None:
    visit.part = part
