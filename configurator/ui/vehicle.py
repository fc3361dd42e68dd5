"""The vehicle as it stands: what was measured, what is fitted, and corrections of this very one."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

from configurator.files.new_vehicle import grouped
from configurator.model.parts import NOTHING, Missing
from configurator.model.references import VehicleValue
from configurator.questions import edits
from configurator.ui import fields
from configurator.ui.html_tables import table
from configurator.ui.safe_text import plain
from configurator.wording.quantities import words

if TYPE_CHECKING:
    from configurator.evaluation.evaluator import Evaluation
    from configurator.model.parts import Value
    from configurator.model.vehicles import Measure
    from configurator.ui.visit import Visit


def show(visit: Visit) -> None:
    """Show what is known of the vehicle, and fields to correct it."""
    evaluation = visit.talk.evaluation
    vehicle = evaluation.case.vehicle
    st.header("The vehicle as it stands")
    st.write(plain(vehicle.title))
    if vehicle.note:
        st.caption(plain(vehicle.note))
    _correct(visit, evaluation)
    fitted = {p: o for p, o in evaluation.fitted.items() if o.key != NOTHING}
    table(
        ("position", "fitted"),
        [(position, option.part.title) for position, option in fitted.items()],
        caption="What is fitted",
        key="fitted",
    )
    empty = [position for position in evaluation.fitted if position not in fitted]
    if empty:
        st.caption(plain(f"Not fitted: {', '.join(empty)}."))
    _measures(visit, evaluation)


def _measures(visit: Visit, evaluation: Evaluation) -> None:
    """Show the measures by where they are taken, what is not known below them."""
    unknown = []
    for place, measures in grouped([*evaluation.trade.measures.values()]).items():
        known = []
        for measure in measures:
            value = _value(evaluation, measure.name)
            if value is None or isinstance(value, Missing):
                unknown.append(measure.name)
                continue
            corrected = " (corrected)" if measure.name in visit.job.measured else ""
            text = words(value, measure.unit, visit.system)
            known.append((measure.name + corrected, text, measure.how))
        if known:
            headings = ("measure", "value", "how it is measured")
            table(headings, known, caption=place, right=(1,), key=f"measures {place}")
    if unknown:
        st.caption(
            plain(
                f"Not known of this vehicle: {', '.join(unknown)}. What needs one of them is named "
                "as not checked; measure it, and add it under “Correct or add a measure”."
            )
        )


def _value(evaluation: Evaluation, name: str) -> Value | None:
    return evaluation.constants.get(str(VehicleValue(name)))


def _correct(visit: Visit, evaluation: Evaluation) -> None:
    measures = evaluation.trade.measures
    with st.expander(
        "Correct or add a measure of this very vehicle", expanded=bool(visit.job.measured)
    ):
        for name in visit.job.measured:
            text, button = st.columns([4, 1], vertical_alignment="center")
            value = words(visit.job.measured[name], measures[name].unit, visit.system)
            text.write(plain(f"{name}: {value}, corrected"))
            button.button(
                "As filed",
                key=f"uncorrect {name}",
                help=f"Take {name} from the vehicle's file again",
                on_click=visit.change,
                args=(edits.with_measured(visit.job, name, None), f"{name} as filed"),
            )
        chosen = st.selectbox(
            "Measure", sorted(measures), index=None, key="measure", placeholder="choose"
        )
        if chosen is not None:
            measure = measures[chosen]
            st.caption(plain(f"{measure.meaning} Measured: {measure.how}"))
            _field(visit, measure, _value(evaluation, chosen))


def _field(visit: Visit, measure: Measure, value: Value | None) -> None:
    name = measure.name

    def write(typed: Value | None) -> None:
        problem = ""
        if isinstance(typed, float) and not isinstance(typed, bool):
            problem = fields.out_of_bounds(typed, measure.unit, measure.at_least, measure.at_most)
        if problem:
            visit.refused = [f"{name}: {problem}"]
        else:
            visit.change(edits.with_measured(visit.job, name, typed), f"correct {name}")

    if measure.kind == "number":
        now = float(value) if isinstance(value, float | int) else None
        fields.number(name, now, measure.unit, visit.system, f"measure {name}", write)
    elif measure.kind == "whole":
        now = float(value) if isinstance(value, int) else None
        fields.number(
            name, now, "", None, f"measure {name}",
            lambda typed: write(None if typed is None else round(typed)),
        )  # fmt: skip
    elif measure.kind == "text":
        key = f"measure {name}"
        known = {"text": value} if isinstance(value, str) else {}

        def edited() -> None:
            typed = (st.session_state[key] or "").strip()
            if typed and typed != known.get("text"):
                write(typed)

        st.session_state[key] = known.get("text", "")
        if measure.choices:
            choices = list(measure.choices)
            if st.session_state[key] not in choices:
                st.session_state[key] = choices[0]
            st.selectbox(name, choices, key=key, on_change=edited)
        else:
            st.text_input(name, key=key, on_change=edited, max_chars=80)
    else:
        st.write("Correct this one in the vehicle's file: it is a list of codes, or yes or no.")
