"""The fields for what was measured: by where it is measured, each with what was promised."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import streamlit as st

from configurator.as_built import MEASURABLE, Supposed, tolerance_of
from configurator.as_built.as_built_files import ENGINE_SPEED
from configurator.as_built.entry import (
    BY,
    DAY,
    ENGINE_AT_IT,
    LONGEST_NAME,
    LONGEST_NOTE,
    NOTE,
    ROAD,
    SHOWN_AT_IT,
    SPEEDOMETER,
    TRUE_SPEED,
    fields_of,
)
from configurator.core import clock
from configurator.model.references import ConditionValue
from configurator.ui import fields
from configurator.ui.safe_text import plain
from configurator.wording.quantities import words
from configurator.wording.sentences import begun

if TYPE_CHECKING:
    from configurator.as_built.entry import CheckedEntry
    from configurator.ui.measuring.which_package import Built
    from configurator.ui.visit import Visit

PLACES = {"floor": "On the level floor", "road": "On the road", "scale": "On the scale"}
ACROSS = 3
KNOWN = {field.figure: field for field in MEASURABLE}


@dataclass(slots=True)
class EntryDraft:
    """What is in the fields of a package, right or wrong: see `configurator.as_built.entry`."""

    numbers: dict[str, float] = field(default_factory=dict)
    day: datetime.date | None = None
    by: str = ""
    note: str = ""


def draft_of(built: Built) -> EntryDraft:
    """Return what this visitor has entered for a package."""
    drafts: dict[str, EntryDraft] = st.session_state.setdefault("measured drafts", {})
    if built.key not in drafts:
        today = clock.today()
        # Whoever measured one vehicle measures the next.
        drafts[built.key] = EntryDraft(day=today, by=st.session_state.get("measured so far by", ""))
    return drafts[built.key]


def show(visit: Visit, built: Built, draft: EntryDraft, checked: CheckedEntry) -> None:
    """Show the fields; what is wrong with one stands below it."""
    exact = Supposed(built.evaluation, built.choice)
    asked = fields_of(built.evaluation, built.choice)
    for place, heading in PLACES.items():
        names = [
            name for name in asked if (name in ROAD if place == "road" else _place(name) == place)
        ]
        if not names:
            continue
        st.subheader(heading)
        for start in range(0, len(names), ACROSS):
            for cell, name in zip(st.columns(ACROSS), names[start : start + ACROSS], strict=False):
                with cell:
                    _number(visit, built, draft, name, asked[name], exact)
                    _wrong(checked, name)
    st.subheader("When and by whom")
    _about(draft, checked, built.evaluation.case.job.vehicles)


def _place(name: str) -> str:
    return "" if name in ROAD else KNOWN[name].place


def _number(
    visit: Visit, built: Built, draft: EntryDraft, name: str, unit: str, exact: Supposed
) -> None:
    def write(typed: float | None) -> None:
        if typed is None:
            draft.numbers.pop(name, None)
        else:
            draft.numbers[name] = typed

    figure = {ENGINE_AT_IT: ENGINE_SPEED, SHOWN_AT_IT: SPEEDOMETER}.get(name, name)
    cruise = built.evaluation.constant(ConditionValue("cruising speed"))
    speed = draft.numbers.get(TRUE_SPEED) or (cruise if isinstance(cruise, float) else 25.0)
    promised = built.evaluation.figure(figure, built.choice) if figure in KNOWN else None
    expected = exact.figure(figure, built.choice) if figure in KNOWN else None
    about, hint = speed, "Held steady; the speed that the other two are read at."
    if isinstance(promised, int | float) and isinstance(expected, int | float):
        within = tolerance_of(KNOWN[figure], float(expected))
        if name in ROAD:
            share = expected * speed / cruise if isinstance(cruise, float) else expected
            about = share if name == ENGINE_AT_IT else speed * (1 + expected)
            at = words(speed, "km/h", visit.system)
            hint = f"Worked out: {words(about, unit, visit.system)} at {at}."
        else:
            about = float(expected)
            low, high = (words(about + side * within, unit, visit.system) for side in (-1, 1))
            hint = (
                f"Promised {words(promised, unit, visit.system)}. "
                f"It should measure {low} to {high}."
            )
    fields.number(
        begun(name),
        draft.numbers.get(name),
        unit,
        visit.system,
        f"measured {built.key} {name}",
        write,
        about=about,
        help=KNOWN[figure].how if figure in KNOWN else "Not what the speedometer shows.",
        placeholder="not measured",
    )
    st.caption(plain(hint))


def _wrong(checked: CheckedEntry, name: str) -> None:
    problem = checked.problems.get(name)
    if problem is not None:
        st.markdown(f"**Not taken:** {plain(f'{problem.what}; {problem.do}.')}")


def _about(draft: EntryDraft, checked: CheckedEntry, vehicles: int) -> None:
    def take(key: str, name: str) -> None:
        setattr(draft, name, st.session_state[key])
        if name == "by":
            st.session_state["measured so far by"] = draft.by

    # The draft owns the values: another package has others.
    for name in ("day", "by", "note"):
        st.session_state[f"measured {name}"] = getattr(draft, name)
    day, by, note = st.columns(ACROSS)
    with day:
        key = "measured day"
        st.date_input(
            DAY.capitalize(), key=key, format="YYYY-MM-DD", on_change=take, args=(key, "day")
        )
        _wrong(checked, DAY)
    with by:
        key = "measured by"
        st.text_input(
            BY.capitalize(), key=key, max_chars=LONGEST_NAME, on_change=take, args=(key, "by")
        )
        if draft.numbers:  # until then there is nothing that anybody measured
            _wrong(checked, BY)
    with note:
        key = "measured note"
        st.text_input(
            NOTE.capitalize(), key=key, max_chars=LONGEST_NOTE, on_change=take, args=(key, "note"),
            placeholder=("which of the vehicles, " if vehicles > 1 else "") + "load, pressure",
        )  # fmt: skip
        _wrong(checked, NOTE)
