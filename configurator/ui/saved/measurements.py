"""What was measured on the vehicle of a quotation, and the way to look at it again."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import streamlit as st

from configurator.store.access import measurements
from configurator.ui.html_tables import table
from configurator.ui.measuring.kept_measurements import OPEN
from configurator.ui.saved.desk import day
from configurator.wording.quantities import words

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.store.access import KeptQuotation, Measurement, Store
    from configurator.ui.visit import Visit

STAGES = {"as it stands": "before the work", "as built": "after the work"}


def show(visit: Visit, store: Store, kept: KeptQuotation, snapshot: Mapping[str, Any]) -> None:
    """List the measurements kept with a quotation, and those of its job that name none."""
    st.subheader("Measured")
    measured = [
        measurement
        for measurement in measurements(store, kept.job)
        if measurement.quotation in (kept.number, None)
    ]
    if measured:
        figures = snapshot["package"]["figures"]
        table(
            ("measured on", "by", "when", "figures", "note"),
            [
                (
                    day(measurement.measured_at),
                    measurement.measured_by,
                    STAGES.get(measurement.stage, measurement.stage),
                    _state_words(measurement, figures, visit),
                    measurement.note,
                )
                for measurement in measured
            ],
            key=f"measured of {kept.number}",
        )
    else:
        st.write("Nothing was measured on this vehicle yet.")
    built = {
        measurement.id: measurement for measurement in measured if measurement.stage == "as built"
    }
    chosen = None
    if built:
        chosen = st.selectbox(
            "Measurement", list(built), index=len(built) - 1, key=f"which measured {kept.number}",
            format_func=lambda key: f"{day(built[key].measured_at)}, {built[key].measured_by}"
            if key in built else str(key),
        )  # fmt: skip
    st.button(
        "Open in “As-built check”" if built else "Enter what was measured",
        key="open measured", on_click=_open, args=(visit, kept.number, chosen),
        help="Held against what this quotation promised. It replaces what stands in the fields "
        "for this quotation." if built else "Held against what this quotation promised.",
    )  # fmt: skip


def _state_words(measurement: Measurement, figures: Mapping[str, Any], visit: Visit) -> str:
    return "; ".join(
        f"{name} {words(value, figures[name]['unit'], visit.system)}"
        if name in figures
        else f"{name} {words(value, '', visit.system)} (SI)"
        for name, value in measurement.values.items()
    )


def _open(visit: Visit, number: str, measurement: int | None) -> None:
    visit.part = "as-built"
    st.session_state[OPEN] = (number, measurement)
