"""A vehicle that nobody has entered yet: what this job's goals need, asked for in one form."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import streamlit as st

from configurator.core.atomic_files import write_atomically
from configurator.core.errors import FitwrightError
from configurator.core.text import Misread
from configurator.core.units import PLAIN
from configurator.files.new_vehicle import checked_answer, new_vehicle_text, refuse_key
from configurator.files.vehicle_files import FOLDER, read_vehicle
from configurator.model.needed_values import needed_for
from configurator.model.values import described
from configurator.ui.lists.list_in_hand import refuse_elsewhere
from configurator.ui.lists.supplier_list import own_catalogs
from configurator.ui.safe_text import plain

if TYPE_CHECKING:
    from configurator.model.needed_values import NeededValue
    from configurator.ui.visit import Visit


def show(visit: Visit) -> None:
    """Show the form of a new vehicle."""
    st.header("A new vehicle")
    own = own_catalogs(visit)
    if not own:
        st.info("A vehicle is kept in a catalog of the shop's own: take over a list first.")
        return
    trade = visit.shelves.trade
    goals = [goal.figure for goal in visit.job.goals]
    needed = needed_for(trade, goals)
    st.write(
        f"{len(needed)} values are needed before the goals of this job can be worked out. What is "
        "left empty is not known: rules that need it are not checked, and listed as such. "
        "Everything else can be added to the vehicle's file later."
    )
    catalog = st.selectbox("Catalog", [*own], key="vehicle catalog")
    with st.form("new vehicle"):
        title = st.text_input("What people call it", key="vehicle title")
        columns = st.columns(2)
        texts = {}
        for number, value_needed in enumerate(needed):
            with columns[number % 2]:
                texts[value_needed] = _field(value_needed)
        asked = st.form_submit_button("Save the vehicle", type="primary")
    if not asked:
        return
    if not title.strip():
        st.error("Give the vehicle a name.")
        return
    answers = _checked(texts)
    if answers is None:
        return
    key = re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")[:60]
    folder = own[str(catalog)]
    path = folder / FOLDER / f"{key}.toml"
    try:
        refuse_key(key)
        refuse_elsewhere(folder)
        path.parent.mkdir(exist_ok=True)
        text = new_vehicle_text(trade, title.strip(), needed, answers, goals)
        write_atomically(path, text, overwrite=False)
        read_vehicle(folder, key, trade)
    except FitwrightError as problem:
        st.error(plain(str(problem)))
        return
    st.success(plain(f"Saved: {Path(catalog or '', FOLDER, path.name)}."))
    st.button(
        "Use it for this job",
        key="use new vehicle",
        on_click=_use,
        args=(visit, f"{catalog}/{key}", title.strip()),
    )


def _field(needed: NeededValue) -> str:
    """Ask for a value; names are of plugins, and are read aloud as they stand."""
    words = needed.words.replace(": ", ", ")
    attribute = described(needed.declared)
    unit = f" [{attribute.unit}]" if attribute.unit not in PLAIN else ""
    if attribute.choices:
        return (
            st.selectbox(
                plain(words), ["", *attribute.choices], help=plain(needed.how),
                key=f"needed {needed.words}",
            )
            or ""
        )  # fmt: skip
    return st.text_input(f"{words}{unit}", help=plain(needed.how), key=f"needed {needed.words}")


def _checked(texts: dict[NeededValue, str]) -> dict[tuple[str, str], str] | None:
    """Read all answers; None, and every problem shown, if one cannot be read."""
    answers: dict[tuple[str, str], str] = {}
    sound = True
    for needed, text in texts.items():
        if not text.strip():
            continue
        try:
            answers[needed.position, needed.name] = checked_answer(needed, text)
        except Misread as problem:
            sound = False
            st.error(plain(f"{needed.words}: {problem.what}; {problem.do}"))
    return answers if sound else None


def _use(visit: Visit, vehicle: str, title: str) -> None:
    visit.change(replace(visit.job, vehicle=vehicle), f"vehicle: {title}")
