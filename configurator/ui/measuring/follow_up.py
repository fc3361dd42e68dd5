"""What becomes of measurements: carried to the next job, printed; kept by `measured_kept`."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import streamlit as st

from configurator.as_built.as_built_files import (
    built_vehicle,
    remarks_of,
    stands_otherwise,
    vehicle_text,
)
from configurator.as_built.as_built_words import CARRIED, carried_rows, title_line
from configurator.as_built.carry_over import carried, write_vehicle
from configurator.core import clock, paths
from configurator.core.errors import FitwrightError
from configurator.documents import formats
from configurator.documents.as_built_sheet import About, measured_sheet
from configurator.ui.html_tables import table
from configurator.ui.measuring.kept_measurements import keep, kept_before
from configurator.ui.printed_on import browser_locale
from configurator.ui.safe_text import listed, plain
from configurator.ui.shared_cases import catalog_folders
from configurator.ui.sharing import file_name
from configurator.ui.visit import refuse

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from configurator.as_built import Explained, Findings
    from configurator.as_built.ambiguity import Alike
    from configurator.as_built.carry_over import CarriedChange
    from configurator.as_built.entry import CheckedEntry
    from configurator.as_built.joint_causes import Together
    from configurator.ui.measuring.measured_fields import EntryDraft
    from configurator.ui.measuring.which_package import Built
    from configurator.ui.visit import Visit

NOTHING = "nothing: only what was measured"


@dataclass(frozen=True, slots=True)
class Record:
    """The vehicle's record after the work: its file, what changes in it, what to measure again."""

    title: str
    says: str
    text: str
    changes: tuple[CarriedChange, ...]
    remarks: tuple[str, ...]


def show(
    visit: Visit,
    built: Built,
    draft: EntryDraft,
    checked: CheckedEntry,
    findings: Findings,
    pairs: Sequence[Alike],
    twos: Sequence[Together],
) -> None:
    """Show what can be done with measurements that are right."""
    keep(visit, built, draft, checked)
    kept_before(visit, built, draft)
    st.header("For the next job on this vehicle")
    if not checked.sound:
        st.write("When everything that was entered is right, the vehicle's record is shown here.")
        return
    record = _carry(visit, built, findings, twos)
    _print(visit, built, draft, findings, pairs, twos, record)


def keep_or_begin(key: str, begin: str, names: Sequence[str]) -> None:
    """Keep what was chosen while the figures propose the same; else begin with what they propose.

    Otherwise a correction that was proposed for other figures would stay chosen.
    """
    proposed = f"{key} proposed"
    if st.session_state.get(proposed) != begin or st.session_state.get(key) not in names:
        st.session_state[key] = begin
        st.session_state[proposed] = begin


# -- carried to the next job --------------------------------------------------------------------


def _carry(visit: Visit, built: Built, findings: Findings, twos: Sequence[Together]) -> Record:
    best: dict[str, Explained | Together] = {
        explained.assumption.name: explained for explained in findings.best
    }
    if findings.verdict == "agrees":
        best = {}  # nothing to correct, whatever would fit a little better
    best |= {together.name: together for together in twos}
    names = [*best, NOTHING]
    # Where several explain it alike, these figures do not tell which one it was.
    keep_or_begin("measured correct", names[0] if len(best) == 1 else NOTHING, names)
    chosen = st.selectbox("Correct as well", names, key="measured correct")
    record = _record(built, findings, best.get(chosen))
    table(
        CARRIED,
        carried_rows(record.changes, visit.system),
        caption="What would be different in the vehicle's record",
        right=(1, 2),
        key="measured carried",
    )
    if record.remarks:
        st.warning(listed(list(record.remarks)))
    st.caption(
        plain(record.says)
        + " Worked out: by the package as quoted. Corrected: by it, with the correction. All that "
        "is not listed stays as it was before the work: measure again what the work has changed, "
        "such as lengths at ride height, room in the arches and slopes."
    )
    name = file_name(record.title)
    st.download_button(
        "Save the vehicle's record as a file", record.text, file_name=f"{name}.toml",
        mime="application/toml", key="measured vehicle", on_click="ignore",
    )  # fmt: skip
    _write(visit, record, name)
    return record


def _record(built: Built, findings: Findings, explained: Explained | Together | None) -> Record:
    evaluation, choice, compared = built.evaluation, built.choice, findings.compared
    vehicle = built_vehicle(evaluation, choice, compared, explained)
    otherwise = stands_otherwise(evaluation, choice, vehicle, compared, explained)
    remarks = remarks_of(evaluation, otherwise, explained)
    plain_one = built_vehicle(evaluation, choice, compared)
    changes = carried(evaluation.case.vehicle, vehicle, evaluation.trade, compared, plain_one)
    text = vehicle_text(vehicle, evaluation.trade, remarks)
    again = tuple(remarks[-len(otherwise) :] if otherwise else ())
    return Record(vehicle.title, title_line(vehicle), text, changes, again)


def _write(visit: Visit, record: Record, proposed: str) -> None:
    own = {
        folder.name: folder for folder in catalog_folders(visit.shelves) if not _comes_with(folder)
    }
    if not own:
        st.caption(
            "The lists that come with the program are not written to. Put the file into the folder "
            "“vehicles” of your own catalog; a job names it as CATALOG/NAME."
        )
        return
    with st.expander("Write it into a catalog of the shop as a new vehicle"):
        folder = st.selectbox("Catalog", list(own), key="measured catalog")
        name = st.text_input("Name of the file", value=proposed, key="measured name", max_chars=60)
        path = own[folder] / "vehicles" / f"{name}.toml"
        there = path.exists()
        st.write(plain(f"{path} is " + ("there already." if there else "not there yet.")))
        st.button(
            "Write the new file", key="measured write", disabled=there,
            help="Name another file: nothing is written over." if there else None,
            on_click=_write_now, args=(visit, own[folder], name, record.text),
        )  # fmt: skip
    outcome, text = st.session_state.get("measured written", ("", ""))
    if text == record.text:
        st.success(plain(outcome))


def _comes_with(folder: Path) -> bool:
    return folder.resolve().is_relative_to(paths.catalogs().resolve())


def _write_now(visit: Visit, folder: Path, name: str, text: str) -> None:
    visit.refused = []
    try:
        path = write_vehicle(folder, name, text)
    except FitwrightError as problem:
        refuse(visit, problem)
        return
    outcome = f"{path} is written. A job names the vehicle as {folder.name}/{name}."
    st.session_state["measured written"] = (outcome, text)


# -- printed ------------------------------------------------------------------------------------


def _print(
    visit: Visit,
    built: Built,
    draft: EntryDraft,
    findings: Findings,
    pairs: Sequence[Alike],
    twos: Sequence[Together],
    record: Record,
) -> None:
    st.header("Documents")
    st.write("Promised against measured, the likely cause, and what goes into the record.")
    locale = browser_locale()  # while the page is drawn: later nobody knows whose browser it is

    def pdf() -> bytes:
        about = About(built.says, draft.day or clock.today(), draft.by.strip(), draft.note.strip())
        sheet = measured_sheet(
            built.evaluation,
            findings,
            about,
            locale=locale,
            system=visit.system,
            pairs=pairs,
            twos=twos,
            changes=record.changes,
            remarks=record.remarks,
        )
        return formats.pdf(sheet)

    title = built.evaluation.case.job.title
    st.download_button(
        "Save the sheet as PDF", pdf, file_name=f"{file_name(title)}-measured.pdf",
        mime="application/pdf", key="measured sheet", on_click="ignore",
    )  # fmt: skip
