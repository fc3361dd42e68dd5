"""Compare a supplier's list with a catalog's, and write the new list when told to."""

from __future__ import annotations

import contextlib
import csv
import datetime
import sqlite3
import tempfile
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import tomlkit

from configurator.core import money, units
from configurator.core.atomic_files import atomic_file, temporary_folder, write_atomically
from configurator.core.errors import InputError, Problem
from configurator.core.text import Report, in_order, shown
from configurator.core.units import PLAIN
from configurator.files import toml_files
from configurator.files.catalog_files import ABOUT
from configurator.files.part_columns import LEAD_TIME, PRICE
from configurator.files.part_lists import MOST_PROBLEMS, MOST_ROWS
from configurator.model.kinds import kind_of
from configurator.model.parts import attributes_of
from configurator.supplier_lists.column_readings import (
    column_order,
    list_heading,
    list_unit,
    required_columns,
)
from configurator.supplier_lists.dated_copies import keep_earlier
from configurator.supplier_lists.earlier_lists import earlier_list, numbers_of_other_lists
from configurator.supplier_lists.list_differences import (
    Differences,
    differences,
    hold,
    how_many,
    keep_rows,
    lacking,
    new_list,
    open_store,
    taken_elsewhere,
)
from configurator.supplier_lists.price_lists import refuse, refused
from configurator.supplier_lists.rows import Tally, list_rows

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator
    from collections.abc import Mapping as Table
    from pathlib import Path
    from typing import TextIO

    from configurator.model.parts import Family
    from configurator.supplier_lists.mapping import Mapping
    from configurator.supplier_lists.price_lists import PriceList


# What asks before it is written; thresholds are common practice, no source.
REMOVALS, PRICES = "removals", "prices"
LARGEST_REMOVAL = 0.2  # of the parts of a list; a single part goes without asking


@dataclass(slots=True)
class ListComparison:
    """What an import would do.

    Parameters
    ----------
    folder, family, mapping, currency
        What is imported where.
    errors
        While there is one, nothing is written.
    warnings
        What is likely a mistake.
    left_out
        What is wrong with rows that are left out, where that was asked for.
    asks
        What is large enough to be a slip of the whole list (`REMOVALS`, `PRICES`) → what it is; it
        has to be accepted before anything is written.
    held
        How many parts stay as they are because their rows have a problem.
    tally
        What became of the supplier's rows.
    differences
        The differences.
    length
        How many parts the new list has.
    """

    folder: Path
    family: Family
    mapping: Mapping
    currency: str
    errors: list[Problem] = field(default_factory=list)
    warnings: list[Problem] = field(default_factory=list)
    left_out: list[Problem] = field(default_factory=list)
    asks: dict[str, Problem] = field(default_factory=dict)
    held: int = 0
    tally: Tally = field(default_factory=Tally)
    differences: Differences = field(default_factory=Differences)
    length: int = 0
    _headings: dict[str, str] = field(default_factory=dict)
    _old_units: dict[str, str] = field(default_factory=dict)
    _store: sqlite3.Connection | None = None
    _as_it_stood: tuple[int, int] | None = None


def catalog_currency(folder: Path, report: Report) -> str | None:
    """Return the currency of a catalog; None if there is no catalog yet."""
    path = folder / ABOUT
    if not path.is_file():
        return None
    top = toml_files.load(path, f"{folder.name}/{ABOUT}", report)
    return "" if top is None else toml_files.text(top, "currency", required='"EUR"') or ""


def list_path(folder: Path, family: Family) -> Path:
    """Name the file of a family's list."""
    return folder / f"{family.key}.csv"


@contextlib.contextmanager
def compared(
    prices: PriceList,
    mapping: Mapping,
    mapping_file: str,
    family: Family,
    folder: Path,
    currency: str,
    *,
    without_bad_rows: bool = False,
    former: Table[str, str] | None = None,
) -> Iterator[ListComparison]:
    """Compare a supplier's list with the list as it stands.

    Parameters
    ----------
    prices
        The supplier's list.
    mapping, mapping_file
        Which column is which, and what to call it in messages.
    family
        Whose parts it lists.
    folder
        Of the catalog.
    currency
        Of the catalog.
    without_bad_rows
        Whether rows with a problem are left out rather than in the way.
    former
        Old name → new, of the columns of the list as it stands.

    Yields
    ------
    Comparison
        To be looked at, and handed to `write_list` while it is open.

    Raises
    ------
    InputError
        If a file cannot be read at all, or the disk has no room to compare.
    """
    made = ListComparison(folder, family, mapping, currency)
    with contextlib.ExitStack() as stack:
        try:
            place = stack.enter_context(temporary_folder("fitwright-import-"))
            made._store = open_store(str(place / "rows"))
            stack.callback(made._store.close)
            _compare(made, prices, mapping_file, former, without_bad_rows=without_bad_rows)
        except (sqlite3.Error, OSError) as problem:
            reason = getattr(problem, "strerror", None) or problem
            refuse(
                tempfile.gettempdir(),
                f"no room to compare the lists: {reason}; nothing was changed",
                "make room there, or name another folder in TMPDIR",
            )
        yield made


def _compare(
    made: ListComparison,
    prices: PriceList,
    mapping_file: str,
    former: Table[str, str] | None,
    *,
    without_bad_rows: bool,
) -> None:
    mapping, family, store = made.mapping, made.family, made._store
    if store is None:
        return
    path = list_path(made.folder, family)
    made._as_it_stood = _state(path)
    taken = [*mapping.columns, *mapping.same]
    old_report = Report()
    earlier = earlier_list(path, family, made.currency, old_report, former)
    if earlier is not None:
        keep_rows(store, "old", earlier.rows)
    if old_report.errors:
        made.errors = in_order(old_report.errors)[:MOST_PROBLEMS]
        return
    report = Report()
    rows = list_rows(prices, mapping, mapping_file, family, made.currency, report, made.tally)
    keep_rows(store, "new", rows)
    made.held = hold(store, made.tally.withheld)
    count = how_many(store, "new")
    made.warnings = report.warnings
    if without_bad_rows and made.tally.complete:
        made.left_out = report.errors
    else:
        made.errors = report.errors
    if not made.tally.complete:
        return
    if not count:
        made.errors.append(
            refused(
                prices.file,
                "no row of it can be taken",
                "check [only] and the rows of headings in the mapping",
            ).problems[0]
        )
        return
    needed = [name for name in required_columns(family) if name not in taken]
    missing = Report()
    for column, where, parts in lacking(store, needed):
        missing.error(
            where,
            f"a new part without {column!r}, which no column of the list is taken for"
            + (f"; {parts} new parts in all" if parts > 1 else ""),
            f"name a column, or write it under [same], in {mapping_file}",
        )
    others = numbers_of_other_lists(path, family)
    for number, where, other in taken_elsewhere(store, others, most=MOST_PROBLEMS):
        missing.error(
            where,
            f"part number {shown(number)} is already in {other}",
            "a catalog gives each number once: leave the row out, or use another catalog",
        )
    made.errors += missing.errors
    made.differences = differences(store, taken)
    kept = made.differences.counts["withdrawn"] if mapping.withdrawn == "keep" else 0
    made.length = count + kept + made.held
    _ask(made, how_many(store, "old"))
    if made.length > MOST_ROWS:
        made.errors.append(
            refused(
                prices.file,
                f"makes a list of {made.length} parts; a list holds {MOST_ROWS}",
                "take the rows that you fit only, with [only] in the mapping",
            ).problems[0]
        )
    known = set(taken) | set(earlier.units if earlier else ())
    made._headings = {
        name: list_heading(name, mapping, family, made.currency)
        if name in taken
        else _as_before(name, earlier.units[name] if earlier else "", made.currency)
        for name in column_order(family)
        if name in known
    }
    made._headings |= {f"*{text}": text for text in (earlier.remarks if earlier else ())}
    made._old_units = earlier.units if earlier else {}


def _ask(made: ListComparison, parts: int) -> None:
    """Ask about what is large enough to be a slip of the whole list."""
    where = f"{made.folder.name}/{made.family.key}.csv"
    gone = made.differences.counts["withdrawn"]
    if made.mapping.withdrawn != "keep" and gone > max(1, parts * LARGEST_REMOVAL):
        made.asks[REMOVALS] = Problem(
            where,
            f"{gone} of {parts} parts would be removed",
            f'accept it with --accept {REMOVALS}, or write withdrawn = "keep" into the mapping',
        )
    if made.differences.steep:
        number, title, old, new = made.differences.priced[0]
        made.asks[PRICES] = Problem(
            where,
            f"{made.differences.steep} price(s) change by more than half or have two digits "
            f"swapped, such as {shown(number)} ({shown(title)}) from "
            f"{money.amount(old, made.currency)} to {money.amount(new, made.currency)} "
            f"{made.currency}",
            f"check the list, then accept it with --accept {PRICES}",
        )


def _as_before(name: str, unit: str, currency: str) -> str:
    unit = currency if name == PRICE else unit
    return f"{name} [{unit}]" if unit else name


def _state(path: Path) -> tuple[int, int] | None:
    try:
        status = path.stat()
    except OSError:
        return None
    return status.st_mtime_ns, status.st_size


def write_list(
    made: ListComparison, day: datetime.date, accepted: Collection[str] = ()
) -> Path | None:
    """Write the new list; the old one is kept under a dated name first.

    Parameters
    ----------
    made
        The comparison.
    day
        For the name of the old list.
    accepted
        Which of ``made.asks`` somebody has accepted.

    Returns
    -------
    Path or None
        Of the old list, if there was one.

    Raises
    ------
    InputError
        If there are errors or something was not accepted, the old list was changed meanwhile, or
        the disk is full.
    """
    path = list_path(made.folder, made.family)
    if made.errors or made._store is None:
        refuse(str(path), "was not written: there are errors", "correct them first")
    open_questions = [problem for name, problem in made.asks.items() if name not in accepted]
    if open_questions:
        raise InputError(open_questions)
    if _state(path) != made._as_it_stood:
        refuse(str(path), "was changed while it was compared", "import again")
    kept = None
    try:
        made.folder.mkdir(parents=True, exist_ok=True)
    except OSError as problem:
        refuse(str(made.folder), f"cannot be made: {problem.strerror}", "check name and rights")
    if made._as_it_stood is not None:
        kept = keep_earlier(path, day)
    with atomic_file(path) as stream:
        _write_rows(made, stream)
    return kept


def _write_rows(made: ListComparison, stream: TextIO) -> None:
    if made._store is None:
        return
    rows = csv.writer(stream, lineterminator="\n")
    rows.writerow(made._headings.values())
    taken = {*made.mapping.columns, *made.mapping.same}
    numeric = {
        attribute.name: attribute.unit
        for attribute in attributes_of(made.family)
        if kind_of(attribute).numeric
    }
    keep = made.mapping.withdrawn == "keep"
    for cells, stood_before in new_list(made._store, taken, keep=keep):
        if stood_before:  # its numbers are in the unit that the column had before
            for name in cells.keys() & taken & numeric.keys():
                unit = made._old_units.get(name, "") or numeric[name]
                now = list_unit(name, made.mapping, made.family, made.currency)
                if unit not in PLAIN and unit != now:
                    value = units.to_si(float(cells[name]), unit)
                    cells[name] = units.write(value, now).split(" ")[0]
            if cells.get(LEAD_TIME) and LEAD_TIME in taken:
                now = list_unit(LEAD_TIME, made.mapping, made.family, made.currency)
                if now != "day":
                    cells[LEAD_TIME] = f"{cells[LEAD_TIME]} day"
        rows.writerow([cells.get(name, "") for name in made._headings])


def write_about(folder: Path, title: str, currency: str, price_date: str, source: str) -> None:
    """Write ``catalog.toml`` of a new catalog: from then on it is one."""
    about = tomlkit.document()
    about["title"], about["currency"] = title, currency
    about["price_date"] = datetime.date.fromisoformat(price_date)
    about["source"] = source
    write_atomically(folder / ABOUT, tomlkit.dumps(about))


def carry_on_about(folder: Path, price_date: str, source: str) -> None:
    """Write a new date of the prices, and where they are from, into ``catalog.toml``.

    Everything else, comments too, stays as it is written.

    Raises
    ------
    InputError
        If the file cannot be written.
    """
    path = folder / ABOUT
    about = tomlkit.parse(path.read_text(encoding="utf-8-sig"))
    about["price_date"] = datetime.date.fromisoformat(price_date)
    about["source"] = source
    write_atomically(path, tomlkit.dumps(about))
