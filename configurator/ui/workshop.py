"""The workshop behind the talk: documents, jobs, as-built check, vehicle, fleet, lists, rules."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

from configurator.ui import catalogs, consequences_part, fleet_part, sharing, vehicle
from configurator.ui.lists import new_vehicle_part
from configurator.ui.measuring import finished_vehicle
from configurator.ui.saved import overview

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
# These can be looked at without a job that is worked out.
ALWAYS = ("saved", "fleet", "lists", "share", "vehicle-new")


def show(visit: Visit, *, ready: bool) -> None:
    """Show the part that is open; one that is not there leads to the saved jobs."""
    name = visit.part if visit.part in PARTS else "saved"
    if ready or name in ALWAYS:
        PARTS[name](visit)
    elif not visit.begun:
        st.write("Begin a job first, or open a saved one: this is about a job.")
    else:
        st.write("This is shown as soon as the job is worked out.")
