"""What is loaded, what failed and why, how old prices are; and a check of lists before use."""

from __future__ import annotations

import csv
import io
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import streamlit as st

from configurator.core.errors import FitwrightError, Problem
from configurator.files.catalog_files import ABOUT, check_catalog
from configurator.ui import own_list
from configurator.ui.html_tables import table
from configurator.ui.lists import new_vehicle_part, supplier_list
from configurator.ui.safe_text import plain
from configurator.ui.shared_cases import catalog_folders, reload
from configurator.ui.uploads import file_stem, unpacked
from configurator.ui.visit import refuse

if TYPE_CHECKING:
    from configurator.model.knowledge import Trade
    from configurator.ui.visit import Visit

# What a list alone is checked with: everything about its origin is left open.
_ABOUT = (
    'title = "uploaded list"\ncurrency = "{currency}"\nprice_date = 2000-01-01\nsource = "upload"\n'
)


@dataclass(frozen=True, slots=True)
class CheckResult:
    """What came of looking a list or a catalog over."""

    errors: tuple[Problem, ...]
    warnings: tuple[Problem, ...]
    counts: dict[str, int]


def show(visit: Visit) -> None:
    """Show plugins, catalogs and the check."""
    loaded = visit.shelves.loaded
    st.header("Catalogs")
    rows = []
    for folder in catalog_folders(visit.shelves):
        errors, warnings, counts = _looked_over(str(folder), visit)
        about = _about(folder)
        rows.append(
            (
                folder.name,
                about.get("title", ""),
                about.get("price_date", "not said"),
                str(sum(counts.values())),
                f"{len(errors)} errors, {len(warnings)} warnings"
                if errors or warnings
                else "sound",
            )
        )
    table(("catalog", "title", "prices of", "parts", "state"), rows, right=(3,), key="catalogs")
    st.button(
        "Read plugins and catalogs again",
        key="reload",
        on_click=reload,
        help="After a file was changed. The job under discussion stays.",
    )
    st.header("Plugins")
    for failure in loaded.trade.failures:
        st.error(plain(f"{failure.plugin} is not in use: {failure.reason}"))
    st.write(
        f"{len(loaded.plugins)} in use, {len(loaded.trade.failures)} failed, "
        f"{len(loaded.trade.not_in_use)} rules not in use."
    )
    for rule, reason in loaded.trade.not_in_use:
        st.caption(plain(f"{rule.name} is not in use: {reason}"))
    with st.expander("Plugins in use"):
        table(
            ("plugin", "origin"),
            [(plugin.name, plugin.origin) for plugin in loaded.plugins],
            key="plugins",
        )
    st.caption(
        "Plugins are code: they are put into a folder by whoever runs this program, never uploaded."
    )
    supplier_list.show(visit)
    new_vehicle_part.show(visit)
    _upload(visit)


@st.cache_data(show_spinner=False, max_entries=32)
def _check_folder(folder: str, _trade: Trade, edition: int) -> CheckResult:
    errors, warnings, counts = check_catalog(Path(folder), _trade)
    return CheckResult(tuple(errors), tuple(warnings), counts)


def _looked_over(
    folder: str, visit: Visit
) -> tuple[tuple[Problem, ...], tuple[Problem, ...], dict[str, int]]:
    check = _check_folder(folder, visit.shelves.trade, id(visit.shelves))
    return check.errors, check.warnings, check.counts


def _about(folder: Path) -> dict[str, str]:
    import tomllib

    try:
        read = tomllib.loads((folder / ABOUT).read_text(encoding="utf-8-sig"))
    except (OSError, ValueError):
        return {}
    return {key: str(value) for key, value in read.items()}


def _upload(visit: Visit) -> None:
    st.header("Check a list or a catalog")
    st.write(
        "A part list (CSV, named after its family, such as tyres.csv) or a whole catalog (ZIP). "
        "It is looked over and forgotten again, unless you use it for this visit. Nothing is "
        "written into the shop's catalogs, and nobody else is shown it."
    )
    given = st.file_uploader("List or catalog", type=["csv", "zip"], key="catalog file")
    if given is None:
        return
    try:
        check = check_upload(given.name, given.getvalue(), visit.shelves.trade, visit.job.currency)
    except FitwrightError as problem:
        st.error(plain(str(problem)))
        return
    st.write(
        f"{sum(check.counts.values())} sound parts, {len(check.errors)} errors, "
        f"{len(check.warnings)} warnings."
    )
    if check.errors:
        table(
            ("where", "what is wrong", "what to do"),
            [(problem.where, problem.what, problem.do) for problem in check.errors],
            caption="Errors: must be put right",
            key="upload errors",
        )
    if check.warnings:
        table(
            ("where", "what may be wrong", "what to do"),
            [(warning.where, warning.what, warning.do) for warning in check.warnings],
            caption="Warnings: look at them",
            key="upload warnings",
        )
    if not check.errors and not check.warnings:
        st.success("Nothing is wrong with it.")
    if given.name.lower().endswith(".csv"):
        _in_place(given.getvalue(), check)
    _offer(visit, given.name, given.getvalue(), check)


def _offer(visit: Visit, name: str, data: bytes, check: CheckResult) -> None:
    """Offer to use a sound list for this visit."""
    if check.errors or not sum(check.counts.values()):
        st.caption("A list with errors, or without parts, cannot be used.")
        return
    places = own_list.places(visit)
    if not places:
        st.caption("The job names no catalog by its name that the list could take the place of.")
        return
    st.subheader("Use it")
    whole = not name.lower().endswith(".csv")
    place = st.selectbox(
        "In place of the whole catalog" if whole else "In place of the list of the catalog",
        places,
        key="own list place",
    )

    def use() -> None:
        try:
            own_list.take(visit, name, data, str(place))
        except FitwrightError as problem:
            refuse(visit, problem)

    st.button("Use this list for this visit", key="use list", on_click=use)
    st.caption(
        "Prices and options are then from it, until you give it back, read the catalogs again or "
        "leave the page. Parts that are not in it cannot be had meanwhile."
    )


def _in_place(data: bytes, check: CheckResult) -> None:
    """Show the rows of a list that something is said about."""
    text = data.decode("utf-8-sig", "replace")
    head = text.split("\n", 1)[0]
    divider = max(",;\t", key=head.count)
    lines = list(csv.reader(io.StringIO(text), delimiter=divider))[:5000]
    if not lines:
        return
    rows = []
    for number, line in enumerate(lines[1:], 2):
        here = [
            f"{problem.what}; {problem.do}"
            for problem in (*check.errors, *check.warnings)
            if f"row {number}," in f"{problem.where}," or f"line {number}," in f"{problem.where},"
        ]
        if here:
            cells = [*line, *[""] * len(lines[0])][: len(lines[0])]
            rows.append([str(number), " / ".join(here), *cells])
    if rows:
        table(["row", "what is said", *lines[0]], rows, caption="In place", key="in place")


def check_upload(name: str, data: bytes, trade: Trade, currency: str) -> CheckResult:
    """Look an uploaded list or catalog over.

    Parameters
    ----------
    name, data
        Of the file.
    trade
        What plugins declare.
    currency
        Of a list that does not say.

    Raises
    ------
    FitwrightError
        If it cannot be opened at all.
    """
    with tempfile.TemporaryDirectory(prefix="fitwright-") as place:
        if name.lower().endswith(".csv"):
            folder = Path(place, "uploaded")
            folder.mkdir()
            (folder / ABOUT).write_text(_ABOUT.format(currency=currency), encoding="utf-8")
            (folder / f"{file_stem(name)}.csv").write_bytes(data)
        else:
            folder = unpacked(data, Path(place))
        errors, warnings, counts = check_catalog(folder, trade)
    return CheckResult(tuple(errors), tuple(warnings), counts)
