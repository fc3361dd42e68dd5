"""Measurements kept for good beside their job, and those that were kept before."""

from __future__ import annotations

import copy
import datetime
from typing import TYPE_CHECKING

import streamlit as st

from configurator.as_built.entry import entry_of, moment_of
from configurator.core import clock
from configurator.core.errors import FitwrightError
from configurator.documents.number_style import locale_of
from configurator.documents.quotation import VALID_DAYS
from configurator.evaluation.packages import make_package
from configurator.files.job_text import write_job
from configurator.store.access import (
    Terms,
    add_measurement,
    get_job,
    get_quotation,
    keep_quotation,
    list_quotations,
    measurements,
    open_store,
)
from configurator.store.addresses import address, is_there, shown
from configurator.store.saved_documents import DocumentStyle, lay_out
from configurator.store.snapshot import readable, snapshot
from configurator.ui.html_tables import table
from configurator.ui.safe_text import plain
from configurator.ui.saved.desk import desk, note_kept, origin, step_of
from configurator.ui.saved.making import LOCALES, begin_forcing
from configurator.ui.visit import refuse
from configurator.wording.plain_data import part_key
from configurator.wording.quantities import counted, words

if TYPE_CHECKING:
    from configurator.as_built.entry import CheckedEntry
    from configurator.store.access import KeptQuotation, Measurement, Store
    from configurator.ui.measuring.measured_fields import EntryDraft
    from configurator.ui.measuring.which_package import Built
    from configurator.ui.visit import Visit

# Quotation and measurement that were asked for in another part of the page.
OPEN = "measured to open"


def keep(visit: Visit, built: Built, draft: EntryDraft, checked: CheckedEntry) -> None:
    """Offer to keep measurements that are right; asked once more before it is done."""
    st.header("Save the measurements")
    mark = repr((built.key, sorted(checked.values.items()), draft.day, draft.by, draft.note))
    if st.session_state.get("measured kept") == mark:
        number = st.session_state.get("measured number")
        st.success(plain(f"These measurements are saved beside quotation {number}."))
        return
    if st.session_state.get("measured asked") != mark:
        st.button(
            "Save these measurements",
            key="measured keep",
            disabled=not checked.sound,
            on_click=st.session_state.__setitem__,
            args=("measured asked", mark),
            help=None if checked.sound else "Put right first what cannot be taken as it is.",
        )
        return
    try:
        kept, place = _kept_as(built), shown(address())
    except FitwrightError as problem:
        st.error(plain(f"Nothing was saved: {problem}"))
        st.button("Try again", key="measured try again")
        return
    beside = (
        f"beside quotation {kept.number}"
        if kept is not None
        else "with the package, which gets the number of a quotation and its documents; what "
        "else its parts need is worked out after that and added"
    )
    st.write(
        plain(
            f"{counted(len(checked.values), 'figure')}, measured on {draft.day} by {draft.by}, "
            f"will be saved in {place} {beside}. What was saved before stays as it is; what is "
            "saved cannot be changed afterwards, only measured again."
        )
    )
    with st.container(horizontal=True):
        st.button(
            "Yes, keep them", key="measured keep yes", type="primary",
            on_click=_add, args=(visit, built, draft, checked, mark),
        )  # fmt: skip
        st.button(
            "Not yet", key="measured keep no",
            on_click=st.session_state.__setitem__, args=("measured asked", None),
        )  # fmt: skip


def _kept_as(built: Built) -> KeptQuotation | None:
    """Find the quotation that a package was kept as; None if it is in none."""
    if built.quotation is not None:
        return built.quotation
    if not is_there(address()):
        return None
    file = _file(built)
    parts = {position: part_key(option) for position, option in built.choice.items()}
    with open_store() as store:
        alike = [
            quotation.number
            for quotation in list_quotations(store)
            if quotation.title == _title(built)
        ]
        asked = (store.place, file, tuple(parts.items()), tuple(alike))
        before = st.session_state.get("measured kept as")
        if before is not None and before[0] == asked:
            known: KeptQuotation | None = before[1]
            return known
        result = None
        for number in alike:
            quotation = get_quotation(store, number)
            try:
                kept = readable(quotation.snapshot, number)
            except FitwrightError:  # of a newer Fitwright: it is in the list, and says so there
                continue
            if kept["job"]["file"] == file and kept["package"]["parts"] == parts:
                result = quotation
                break
    st.session_state["measured kept as"] = (asked, result)
    return result


def _title(built: Built) -> str:
    return built.evaluation.case.job.title


def _file(built: Built) -> str:
    return write_job(built.evaluation.case.job, built.evaluation.trade)


def _add(visit: Visit, built: Built, draft: EntryDraft, checked: CheckedEntry, mark: str) -> None:
    visit.refused = []
    st.session_state["measured asked"] = None
    if draft.day is None:
        return
    who = draft.by.strip()
    try:
        kept = _kept_as(built)
        with open_store() as store:
            if kept is None:
                kept = _keep_package(visit, built, store, who)
            add_measurement(
                store,
                kept.job,
                dict(checked.values),
                stage="as built",
                quotation=kept.number,
                note=draft.note.strip(),
                at=moment_of(draft.day, clock.now()),
                by=who,
            )
    except FitwrightError as problem:
        refuse(visit, problem)
        return
    st.session_state["measured kept"] = mark
    st.session_state["measured number"] = kept.number


def _keep_package(visit: Visit, built: Built, store: Store, who: str) -> KeptQuotation:
    """Keep a package with the measurements: alone, nobody would find them again."""
    evaluation, case = built.evaluation, built.evaluation.case
    package = make_package(evaluation, built.choice)
    # Of the job as it stands now, whatever is changed meanwhile.
    talk, locale = copy.copy(visit.talk), next(iter(LOCALES))
    today = clock.today()
    valid = today + datetime.timedelta(days=VALID_DAYS)
    how = DocumentStyle(locale_of(locale), today, valid, visit.system)
    written = snapshot(
        evaluation,
        package,
        visit.shelves.loaded.plugins,
        proven=built.proven,
        day=today,
        locale=locale,
        valid=valid,
    )
    # A job that goes on from a kept one becomes its next version, here as everywhere.
    here = desk()
    kept = keep_quotation(
        store,
        _title(built),
        _file(built),
        written,
        price=package.price,
        currency=case.job.currency,
        started_from=origin(visit, here),
        by=who,
        terms=Terms("", valid.isoformat(), lay_out(evaluation, package, how)),
    )
    note_kept(here, step_of(visit), get_job(store, kept.job, kept.version))
    begin_forcing(here, kept.number, talk.prepared, built.choice, how)
    return kept


def asked_to_open() -> int | None:
    """Choose the quotation that was asked for elsewhere; return the measurement that was."""
    asked: tuple[str, int | None] | None = st.session_state.pop(OPEN, None)
    if asked is None:
        return None
    st.session_state["measured which"] = asked[0]
    return asked[1]


def take(built: Built, draft: EntryDraft, measurement: int) -> None:
    """Take a kept measurement of a quotation into the fields."""
    if built.quotation is None:
        return
    try:
        with open_store() as store:
            measured = measurements(store, built.quotation.job, "as built")
    except FitwrightError:  # said above, where quotations are listed
        return
    for kept in measured:
        if kept.id == measurement:
            _take_again(built, draft, kept)


def kept_before(visit: Visit, built: Built, draft: EntryDraft) -> None:
    """Show what was measured before on this job, and take it into the fields again."""
    try:
        kept = _kept_as(built)
        if kept is None:
            return
        with open_store() as store:
            measured = measurements(store, kept.job, "as built")
    except FitwrightError:  # said above, where quotations are listed
        return
    if not measured:
        return
    table(
        ("measured on", "by", "quotation", "figures", "note"),
        [
            (
                _day(measurement).isoformat(),
                measurement.measured_by,
                measurement.quotation or "not said",
                _figures(visit, built, measurement),
                measurement.note,
            )
            for measurement in measured
        ],
        caption="Measured on the vehicle of this job so far",
        key="measured before",
    )
    names = {
        kept.id: f"{_day(kept).isoformat()}, {kept.measured_by} ({kept.id})" for kept in measured
    }
    chosen = st.selectbox(
        "Look at an earlier one again", list(names), index=None, key="measured earlier",
        format_func=names.__getitem__, placeholder="choose",
    )  # fmt: skip
    measurement = next((it for it in measured if it.id == chosen), None)
    st.button(
        "Take it into the fields", key="measured again", disabled=measurement is None,
        on_click=_take_again, args=(built, draft, measurement),
    )  # fmt: skip


def _take_again(built: Built, draft: EntryDraft, measurement: Measurement) -> None:
    numbers = {
        name: float(value)
        for name, value in measurement.values.items()
        if isinstance(value, int | float)
    }
    draft.numbers = entry_of(numbers, built.evaluation)
    draft.day, draft.by, draft.note = _day(measurement), measurement.measured_by, measurement.note


def _day(measurement: Measurement) -> datetime.date:
    return clock.day_of(measurement.measured_at)


def _figures(visit: Visit, built: Built, measurement: Measurement) -> str:
    trade = built.evaluation.trade
    known = {*trade.figures, *trade.totals}
    units = {
        n: built.evaluation.definition(n).unit if n in known else "" for n in measurement.values
    }
    return "; ".join(
        f"{name} {words(value, units[name], visit.system)}"
        for name, value in measurement.values.items()
    )
