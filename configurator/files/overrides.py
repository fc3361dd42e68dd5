"""Read what a shop changes about its suppliers' parts: ``overrides.csv`` in its own catalog."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from configurator.core.errors import nearest
from configurator.core.text import Misread, Report, clean, refuse_disguise, shown
from configurator.core.units import refuse_other_kind
from configurator.files.part_columns import (
    LEAD_TIME,
    MOST_COLUMNS,
    PART_NUMBER,
    PRICE,
    ListInReading,
    days_reader,
    heading_name,
    price_reader,
)
from configurator.files.part_lists import divider_of, right_width, rows_of, text_of
from configurator.model.parts import Attribute, Family
from configurator.model.values import reader

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from pathlib import Path

OVERRIDES = "overrides.csv"
CATALOG, NOTE, STOCK, HIDDEN = "catalog", "note", "stock", "hidden"
COLUMNS = (CATALOG, PART_NUMBER, PRICE, LEAD_TIME, NOTE, STOCK, HIDDEN)

_DAYS = Attribute(LEAD_TIME, "Days until the part is there.", "day", "number", 0.0, 2000.0)
_STOCK = Attribute(STOCK, "Pieces on the shelf.", kind="whole", at_least=0, at_most=1_000_000)
_HIDDEN = Attribute(HIDDEN, "Whether the shop does not sell it.", kind="yes/no")
# The list has the form of a part list without attributes.
_FORM = Family("overrides", "Overrides", (), (_STOCK, _HIDDEN))


@dataclass(frozen=True, slots=True)
class Override:
    """What a shop says of one part of a supplier's list; None or empty where it says nothing.

    Parameters
    ----------
    part
        ``"<catalog>/<part number>"``.
    place
        File and row.
    price
        Of one piece [minor units of the shop's catalog].
    lead_time
        Until it is there [day].
    note, stock, hidden
        A remark, pieces on the shelf, whether the shop does not sell it.
    """

    part: str
    place: str
    price: int | None = None
    lead_time: int | None = None
    note: str = ""
    stock: int | None = None
    hidden: bool | None = None


def read_overrides(path: Path, catalog: str, currency: str, report: Report) -> tuple[Override, ...]:
    """Read a shop's ``overrides.csv``.

    Parameters
    ----------
    path
        The file.
    catalog
        Key of the shop's catalog.
    currency
        In which its prices are.
    report
        Takes every problem of the file.
    """
    file = ListInReading(path.name, f"{catalog}/{path.name}", _FORM, catalog, currency, report)
    text = text_of(path, file)
    if text is None:
        return ()
    file.divider = divider_of(text, _FORM)
    overrides: list[Override] = []
    readers: dict[str, tuple[int, Callable[[str], object]]] | None = None
    width = 0
    seen: dict[str, str] = {}
    for row, cells in rows_of(text, file):
        if not "".join(cells).strip():
            continue
        if readers is None:
            readers, width = _headings(cells, row, file), len(cells)
            if readers is None:
                return ()
            continue
        if right_width(cells, width, row, file):
            item = _override(cells, row, readers, seen, file)
            if item is not None:
                overrides.append(item)
    if readers is None:
        report.error(f"{file.where} row 1", "the file is empty", f"write {', '.join(COLUMNS)}")
    return tuple(overrides)


def _headings(
    cells: list[str], row: int, file: ListInReading
) -> dict[str, tuple[int, Callable[[str], object]]] | None:
    """Read the headings; None if one is wrong, since every row below would be wrong with it."""
    report, place = file.report, f"{file.where} row {row}"
    before = len(report.errors)
    headings: dict[str, tuple[int, Callable[[str], object]]] = {}
    if len(cells) > MOST_COLUMNS:
        report.error(place, f"{len(cells)} columns", f"use {', '.join(COLUMNS)}")
    for index, cell in enumerate(cells[:MOST_COLUMNS]):
        name, unit = heading_name(cell)
        where = f"{place}, column {shown(cell)}"
        if name not in COLUMNS:
            report.error(
                where,
                "no such column is known",
                nearest(name, COLUMNS, otherwise=f"use {', '.join(COLUMNS)}"),
            )
        elif name in headings:
            report.error(where, f"a second column {name!r}", "delete or rename one of them")
        elif name == PRICE and file.currency and unit not in (None, file.currency):
            report.error(
                where,
                f"prices in {shown(unit)}, but the catalog's currency is {file.currency}",
                f"give them in {file.currency}",
            )
        else:
            try:
                headings[name] = index, _reader(name, unit, file)
            except Misread as problem:
                report.misread(where, problem)
    for name in (CATALOG, PART_NUMBER):
        if name not in headings:
            report.error(place, f"the column {name!r} is missing", f"add a column {name!r}")
    return headings if len(report.errors) == before else None


def _reader(name: str, unit: str | None, file: ListInReading) -> Callable[[str], object]:
    if name == PRICE:
        return price_reader(file.currency)
    if name == LEAD_TIME:
        if unit is None:
            raise Misread(what="the heading has no unit", do=f"write '{LEAD_TIME} [day]'")
        refuse_other_kind(unit, "day")
        return days_reader(reader(_DAYS, unit))
    if unit:
        raise Misread(what=f"{name!r} has no unit", do=f"write the heading {name!r}")
    if name in (STOCK, HIDDEN):
        return reader(_STOCK if name == STOCK else _HIDDEN, "")
    return _code if name in (CATALOG, PART_NUMBER) else clean


def _code(text: str) -> str:
    written = clean(text)
    refuse_disguise(written)
    return written


def _override(
    cells: list[str],
    row: int,
    readers: Mapping[str, tuple[int, Callable[[str], object]]],
    seen: dict[str, str],
    file: ListInReading,
) -> Override | None:
    report, place = file.report, f"{file.where} row {row}"
    before = len(report.errors)
    got: dict[str, object] = {}
    for name, (index, read) in readers.items():
        if not cells[index].strip():
            if name in (CATALOG, PART_NUMBER):
                report.error(f"{place}, column {name!r}", "the cell is empty", "fill it in")
            continue
        try:
            got[name] = read(cells[index])
        except Misread as problem:
            report.misread(f"{place}, column {name!r}", problem)
    if len(report.errors) > before:
        return None
    key = f"{got[CATALOG]}/{got[PART_NUMBER]}"
    if got[CATALOG] == file.catalog:
        report.error(place, f"{shown(key)} is in this very catalog", "change the list itself")
        return None
    first = seen.setdefault(key, place)
    if first is not place:
        report.error(place, f"{shown(key)} is already in {first}", "write one row for each part")
        return None
    if len(got) == 2:
        report.warn(place, f"the row changes nothing about {shown(key)}", "fill in or delete it")
    return Override(
        key,
        place,
        got.get(PRICE),  # type: ignore[arg-type]
        got.get(LEAD_TIME),  # type: ignore[arg-type]
        str(got.get(NOTE, "")),
        got.get(STOCK),  # type: ignore[arg-type]
        got.get(HIDDEN),  # type: ignore[arg-type]
    )
