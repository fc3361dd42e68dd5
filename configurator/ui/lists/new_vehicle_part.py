"""A vehicle that nobody has entered yet: what this job's goals need, asked for in one form."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

import streamlit as st

from configurator.core import clock
from configurator.core.atomic_files import write_atomically
from configurator.core.errors import FitwrightError
from configurator.core.text import Misread
from configurator.core.units import PLAIN
from configurator.documents.formats import pdf
from configurator.documents.layout import SETS_AS
from configurator.documents.measuring_sheet import measuring_sheet
from configurator.files.new_vehicle import (
    checked_answer,
    group_of,
    new_vehicle_text,
    refuse_key,
)
from configurator.files.vehicle_files import FOLDER, read_vehicle
from configurator.model.needed_values import needed_for
from configurator.model.values import described
from configurator.supplier_lists.taking_over import write_about
from configurator.ui.lists.list_in_hand import refuse_elsewhere
from configurator.ui.lists.supplier_list import own_catalogs
from configurator.ui.printed_on import chosen_paper, usual_paper
from configurator.ui.safe_text import plain
from configurator.ui.shared_cases import library, reload
from configurator.ui.talk.asked_often import ASKED_OFTEN
from configurator.ui.talk.begin_data import job_for
from configurator.ui.talk.talk_words import goal_title
from configurator.ui.visit import TALK
from configurator.wording.quantities import counted
from configurator.wording.sentences import begun

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from configurator.model.needed_values import NeededValue
    from configurator.ui.visit import Visit


# What a new catalog is called, and what is asked of a vehicle until somebody says otherwise.
_FIRST_CATALOG = "workshop"
_FIRST_GOALS = 3
_FITTED = "What is fitted"


def show(visit: Visit) -> None:
    """Show the form of a new vehicle."""
    st.header("A new vehicle")
    trade = visit.shelves.trade
    goals = _goals(visit)
    needed = needed_for(trade, goals)
    if not needed:
        st.info("Choose at least one figure: what has to be measured depends on it.")
        return
    st.write(
        f"{counted(len(needed), 'value')} to enter. What you do not know may be left out: rules "
        "that need it are not checked, and every answer lists them. A number counts in the unit "
        "beside it; another unit can be written behind it, such as 5.9 in."
    )
    _offer_sheet(visit, needed, goals)
    with st.form("new vehicle", enter_to_submit=False):  # a tape in the other hand
        title = st.text_input("What people call it", key="vehicle title")
        texts = _fields(needed)
        asked = st.form_submit_button("Save the vehicle", type="primary")
    if asked and (key := _saved(visit, title.strip(), needed, texts, goals)):
        st.session_state["new vehicle saved"] = key, title.strip()
    if saved := st.session_state.get("new vehicle saved"):
        _go_on(visit, *saved)


def _goals(visit: Visit) -> list[str]:
    """Ask what the vehicle is measured for; a job's own goals to begin with."""
    trade = visit.shelves.trade
    declared = {**trade.figures, **trade.totals}
    own = [goal.figure for goal in visit.job.goals] if visit.begun else []
    offered = [name for name in dict.fromkeys([*own, *ASKED_OFTEN]) if name in declared]
    return st.multiselect(
        "What should it become?",
        offered,
        own or offered[:_FIRST_GOALS],
        format_func=goal_title,
        key="vehicle goals",
    )


def _fields(needed: Sequence[NeededValue]) -> dict[NeededValue, str]:
    """Ask for all values, those that are taken in one place together."""
    groups: dict[str, list[NeededValue]] = {}
    for value_needed in needed:
        place = _FITTED if value_needed.position else group_of(value_needed.name)
        groups.setdefault(place, []).append(value_needed)
    texts = {}
    for place in sorted(groups, key=lambda name: (name == _FITTED, name)):
        st.subheader(place)
        columns = st.columns(2)
        for number, value_needed in enumerate(groups[place]):
            with columns[number % 2]:
                texts[value_needed] = _field(value_needed)
    return texts


def _offer_sheet(visit: Visit, needed: Sequence[NeededValue], goals: Sequence[str]) -> None:
    """Offer a sheet to print for the hoist: drawings, how to measure, room to write."""
    trade = visit.shelves.trade
    paper = SETS_AS[chosen_paper(usual_paper(visit), "measuring sheet size")]
    st.download_button(
        "A sheet to print for the hoist",
        lambda: pdf(measuring_sheet(trade, "Vehicle", needed, figures=goals, paper=paper)),
        "measuring-sheet.pdf",
        key="measuring sheet",
        on_click="ignore",
    )


def _saved(
    visit: Visit,
    title: str,
    needed: Sequence[NeededValue],
    texts: dict[NeededValue, str],
    goals: Sequence[str],
) -> str:
    """Write the vehicle's file; return its key, empty if it was refused."""
    answers = _checked(texts)
    if not title:
        st.error("Give the vehicle a name.")
    if answers is None or not title:
        return ""
    key = re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")[:60]
    trade = visit.shelves.trade
    try:
        refuse_key(key)
        folder = _catalog(visit)
        refuse_elsewhere(folder)
        path = folder / FOLDER / f"{key}.toml"
        path.parent.mkdir(parents=True, exist_ok=True)
        write_atomically(path, new_vehicle_text(trade, title, needed, answers, goals),
                         overwrite=False)  # fmt: skip
        read_vehicle(folder, key, trade)
    except FitwrightError as problem:
        st.error(plain(str(problem)))
        return ""
    reload()
    visit.use(library())
    return f"{folder.name}/{key}"


def _catalog(visit: Visit) -> Path:
    """Return the catalog that keeps the vehicle: the shop's first one, made if there is none."""
    own = own_catalogs(visit)
    if own:
        return next(iter(own.values()))
    folder = visit.shelves.folders[0] / _FIRST_CATALOG
    folder.mkdir(parents=True, exist_ok=True)
    today = clock.today().isoformat()
    write_about(folder, "Our workshop", visit.job.currency, today, "entered on the page")
    return folder


def _go_on(visit: Visit, key: str, title: str) -> None:
    st.success(plain(f"Saved: {title}, as {key}."))
    left, right = st.columns(2)
    left.button(
        "Begin a job with it", key="begin with new vehicle", type="primary", on_click=_begin,
        args=(visit, key),
    )  # fmt: skip
    if visit.begun:
        right.button(
            "Use it for this job", key="use new vehicle", on_click=_use, args=(visit, key, title)
        )


def _begin(visit: Visit, key: str) -> None:
    visit.open(job_for(visit.shelves, key))
    visit.part = TALK
    del st.session_state["new vehicle saved"]


def _field(needed: NeededValue) -> str:
    """Ask for a value, and say how it is measured; names are of plugins, read as they stand."""
    words = begun(needed.words.replace(": ", ", "))
    attribute = described(needed.declared)
    unit = f" [{attribute.unit}]" if attribute.unit not in PLAIN else ""
    key = f"needed {needed.words}"
    if attribute.choices:
        text = st.selectbox(plain(words), ["", *attribute.choices], key=key) or ""
    else:
        text = st.text_input(f"{words}{unit}", key=key)
    st.caption(plain(begun(needed.how)))
    return text


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
    visit.part = TALK
    del st.session_state["new vehicle saved"]
