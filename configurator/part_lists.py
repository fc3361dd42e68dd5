"""Read the list of one family of parts: CSV as spreadsheets write it, the unit in the heading."""

from __future__ import annotations

import csv
import io
import re
import unicodedata
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from configurator import money, units
from configurator.errors import UnitError, nearest
from configurator.parts import Attribute, Family, Missing, Part, Value, attributes_of
from configurator.reading import (
    PLAIN,
    Misread,
    Report,
    clean,
    kind_of_unit,
    reader,
    refuse_disguise,
    shown,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

LARGEST_FILE = 64_000_000  # bytes
MOST_ROWS = 200_000
MOST_COLUMNS = 200
MOST_PROBLEMS = 500  # in one file; beyond, the file is of another kind altogether
_REMEMBERED = 5000  # different texts of a column

_PART_NUMBER, _TITLE, _PRICE = "part number", "title", "price"
_LEAD_TIME, _POSITION = "lead time", "position"
_TEXTS = (_PART_NUMBER, _TITLE, "maker", "note")
COMMON_COLUMNS = (_PART_NUMBER, _TITLE, _PRICE, "maker", _LEAD_TIME, _POSITION, "note")
_DECIMALS = re.compile(r"(?=\s*[-+]?\d*([.,]))\s*[-+]?(\d*)[.,](\d*)")
_DAYS = Attribute(_LEAD_TIME, "Days until the part is there.", "day", "number", 0.0, 2000.0)


@dataclass(frozen=True, slots=True)
class Column:
    """A column of the list: what it holds and how its texts are read."""

    index: int
    heading: str
    name: str
    read: Callable[[str], object]
    required: bool
    numeric: bool = False
    remembered: dict[str, object] = field(default_factory=dict)


@dataclass(slots=True)
class _List:
    """What the functions of this module pass around while they read one file."""

    file: str
    where: str
    family: Family
    catalog: str
    currency: str
    report: Report
    divider: str = ";"
    # Where a decimal comma was seen for certain, and numbers that could be read in two ways.
    comma_at: str = ""
    point_at: str = ""
    doubtful: list[tuple[str, int, Column]] = field(default_factory=list)


def read_part_list(
    path: Path,
    family: Family,
    catalog: str,
    currency: str,
    seen: dict[str, str],
    report: Report,
) -> tuple[Part, ...]:
    """Read the list of a family.

    Parameters
    ----------
    path
        The CSV file.
    family
        Whose parts they are.
    catalog
        Key of the catalog.
    currency
        In which the prices are.
    seen
        Part number → where it is, for the whole catalog; the numbers of this list are added.
    report
        Takes every problem of the file.

    Returns
    -------
    tuple of Part
        The sound ones, in the order of the file.
    """
    file = _List(path.name, f"{catalog}/{path.name}", family, catalog, currency, report)
    text = _text_of(path, file)
    if text is None:
        return ()
    file.divider = _divider(text, family)
    before = len(report.errors)
    parts: list[Part] = []
    columns: list[Column] | None = None
    extra: list[tuple[int, str]] = []
    width = 0
    usable = False
    for row, cells in _rows(text, file):
        if not any(cells) or not "".join(cells).strip():
            continue
        if columns is None:
            found = _columns(cells, row, file)
            if found is None:
                return ()
            columns, extra = found
            width = len(cells)
            # With a heading that is wrong, the rows are read for their own problems only.
            usable = len(report.errors) == before
            unknown: dict[str, Value] = {a.name: Missing.UNKNOWN for a in attributes_of(family)}
            continue
        if not _right_width(cells, width, row, file):
            continue
        part = _part(cells, row, columns, extra, unknown, seen, file)
        if part is not None and usable:
            parts.append(part)
        if len(report.errors) - before >= MOST_PROBLEMS or row > MOST_ROWS:
            report.error(
                f"{file.where} row {row + 1} and below",
                f"not read: {MOST_PROBLEMS} problems above"
                if row <= MOST_ROWS
                else f"not read: more than {MOST_ROWS} rows",
                "correct those first" if row <= MOST_ROWS else "divide the list",
            )
            break
    if columns is None:
        report.error(
            f"{file.where} row 1", "the file is empty", "write the headings into its first row"
        )
    elif not parts and len(report.errors) == before:
        report.warn(file.where, "the list holds no part", "fill it in or delete the file")
    _report_doubtful(file)
    return tuple(parts)


def _text_of(path: Path, file: _List) -> str | None:
    try:
        with path.open("rb") as stream:
            data = stream.read(LARGEST_FILE + 1)
    except OSError as problem:
        file.report.error(
            file.where, f"cannot be opened: {problem.strerror}", "check the name and the rights"
        )
        return None
    if len(data) > LARGEST_FILE:
        file.report.error(file.where, "the file is too large", "divide the list")
        return None
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        file.report.error(
            f"{file.where} row 1", "encoded as UTF-16, not UTF-8", "save it as 'CSV UTF-8'"
        )
        return None
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        row = len(re.findall(rb"\r\n|\r|\n", data[: problem.start])) + 1
        file.report.error(
            f"{file.where} row {row}",
            f"not encoded as UTF-8 (byte {data[problem.start]:#04x})",
            "save the file as 'CSV UTF-8'",
        )
        return None
    # The same letter can be written as one sign or as two; codes are compared sign by sign.
    return unicodedata.normalize("NFC", text)


def _rows(text: str, file: _List) -> Iterator[tuple[int, list[str]]]:
    """Yield each record with the number a spreadsheet shows beside it."""
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=file.divider, strict=True)
    row = 0
    while True:
        row += 1
        try:
            yield row, next(rows)
        except StopIteration:
            return
        except csv.Error as problem:
            lost = "field limit" in str(problem) or "end of data" in str(problem)
            file.report.error(
                f"{file.where} row {row}",
                "a cell opens with a quotation mark that is not closed"
                if lost
                else "a quotation mark inside a quoted cell",
                'write a quotation mark inside a cell twice and the whole cell in quotes: "31"""',
            )
            if lost:
                return


def _name(heading: str) -> tuple[str, str | None]:
    """Part a heading into name and unit.

    Examples
    --------
    >>> _name(" Overall  diameter [mm]")
    ('overall diameter', 'mm')
    """
    match = re.fullmatch(r"([^\[\]]*)\[([^\[\]]*)\]\s*", heading)
    name = " ".join((match[1] if match else heading).split()).casefold()
    return name, match[2].strip() if match else None


def _divider(text: str, family: Family) -> str:
    """Choose the divider that makes the most known headings of the first line."""
    line = next((one for one in text[:200_000].splitlines() if one.strip(' ;,\t"')), "")
    known = {attribute.name.casefold() for attribute in attributes_of(family)} | {*COMMON_COLUMNS}

    def known_headings(divider: str) -> tuple[int, int]:
        try:
            cells = next(csv.reader([line], delimiter=divider), [])
        except csv.Error:
            return 0, 0
        return sum(_name(cell)[0] in known for cell in cells), len(cells)

    return max(";\t,", key=known_headings)


def _columns(
    cells: list[str], row: int, file: _List
) -> tuple[list[Column], list[tuple[int, str]]] | None:
    """Read the headings: known columns, and others; None if there are far too many."""
    report, place = file.report, f"{file.where} row {row}"
    if len(cells) > MOST_COLUMNS:
        report.error(place, f"{len(cells)} columns", f"use {MOST_COLUMNS} columns at most")
        return None
    attributes = {a.name.casefold(): a for a in attributes_of(file.family)}
    known = [*COMMON_COLUMNS, *(a.name for a in attributes.values())]
    columns: dict[str, Column] = {}
    extra: list[tuple[int, str]] = []
    for index, cell in enumerate(cells):
        try:
            heading = clean(cell)
        except Misread as problem:
            report.misread(f"{place}, column {index + 1}", problem)
            continue
        if not heading:
            continue
        name, unit = _name(heading)
        where = f"{place}, column {shown(heading)}"
        if name in columns or name in (_name(one)[0] for _, one in extra):
            report.error(where, f"a second column {name!r}", "delete or rename one of them")
        elif name in COMMON_COLUMNS or name in attributes:
            column = _column(index, heading, name, unit, attributes.get(name), where, file)
            if column is not None:
                columns[name] = column
            else:  # reported; not missing as well
                columns[name] = Column(index, heading, name, str, required=False)
        else:
            report.warn(
                where,
                "no such column is known; it is kept as a remark",
                nearest(name, known, otherwise="no rule reads it"),
            )
            extra.append((index, heading))
    required = (_PART_NUMBER, _TITLE, _PRICE, *(n for n, a in attributes.items() if a.required))
    for name in required:
        if name not in columns:
            unit = attributes[name].unit if name in attributes else ""
            unit = file.currency if name == _PRICE else unit
            report.error(
                place,
                f"the column {name!r} is missing",
                f"add a column {f'{name} [{unit}]' if unit not in PLAIN else name!r}"
                + _perhaps(name, [heading for _, heading in extra]),
            )
    return sorted(columns.values(), key=lambda column: column.index), extra


def _perhaps(name: str, headings: list[str]) -> str:
    near = nearest(name, headings, otherwise="")
    return f", or rename one ({near})" if near else ""


def _column(
    index: int,
    heading: str,
    name: str,
    unit: str | None,
    attribute: Attribute | None,
    where: str,
    file: _List,
) -> Column | None:
    """Make the column of a known heading; None, and a problem, if its unit is wrong."""
    report = file.report
    if name == _PRICE:
        if file.currency and unit not in (None, file.currency):
            report.error(
                where,
                f"prices in {shown(unit)}, but the catalog's currency is {file.currency}",
                f"give them in {file.currency}, or name the currency in catalog.toml",
            )
            return None
        return Column(index, heading, name, _price_reader(file.currency), required=True)
    if name == _POSITION:
        return Column(index, heading, name, _position_reader(file.family), required=False)
    if name == _LEAD_TIME:
        attribute = _DAYS
    if attribute is None or attribute.unit in PLAIN or attribute.kind not in ("number", "whole"):
        if unit and not (attribute and attribute.kind in ("number", "whole") and _is_plain(unit)):
            report.error(where, f"{name!r} has no unit", f"write the heading {name!r}")
            return None
        if attribute is None:
            read = _disguise_reader if name == _PART_NUMBER else clean
            return Column(index, heading, name, read, required=name in (_PART_NUMBER, _TITLE))
        unit = unit or ""
    elif unit is None:
        report.error(where, "the heading has no unit", f"write '{name} [{attribute.unit}]'")
        return None
    else:
        try:
            fits = kind_of_unit(unit) == kind_of_unit(attribute.unit)
            what = f"unit {shown(unit)} does not measure {name!r}"
            do = f"give it in {attribute.unit} or the like"
        except UnitError as problem:
            fits, what, do = False, problem.what, problem.do
        if not fits:
            report.error(where, what, do)
            return None
    read_value = reader(attribute, unit, comma=file.divider != ",")
    numeric = attribute.kind in ("number", "whole")
    required = attribute.required and attribute is not _DAYS
    if attribute is _DAYS:
        return Column(index, heading, name, _days_reader(read_value), required, numeric)
    return Column(index, heading, attribute.name, read_value, required, numeric)


def _is_plain(unit: str) -> bool:
    try:
        return kind_of_unit(unit) == "ratio"
    except UnitError:
        return False


def _disguise_reader(text: str) -> str:
    written = clean(text)
    refuse_disguise(written)
    return written


def _price_reader(currency: str) -> Callable[[str], object]:
    def read(text: str) -> object:
        written = clean(text).replace("\u00a0", " ").replace("\u202f", " ")
        written = written.removesuffix(currency).rstrip()
        try:
            minor = money.read_amount(written, currency)
        except UnitError as problem:
            raise Misread(what=problem.what, do=problem.do) from problem
        if minor < 0:
            raise Misread(what=f"the price {shown(text)} is below zero", do="check the sign")
        return minor

    return read


def _days_reader(read: Callable[[str], Value]) -> Callable[[str], object]:
    def read_days(text: str) -> object:
        days = units.from_si(float(read(text)), "day")  # type: ignore[arg-type]
        if days != round(days):
            raise Misread(what=f"{shown(text)} is no whole number of days", do="round it up")
        return round(days)

    return read_days


def _position_reader(family: Family) -> Callable[[str], object]:
    known = [place.name for place in family.positions]

    def read(text: str) -> object:
        names = tuple(" ".join(name.split()) for name in clean(text).split("|"))
        for name in names:
            if name not in known:
                raise Misread(
                    what=f"{shown(name)} is no position of {family.key!r}",
                    do=nearest(name, known, otherwise=f"use {' | '.join(known)}"),
                )
        return names

    return read


def _right_width(cells: list[str], width: int, row: int, file: _List) -> bool:
    """Make rows as wide as the heading, where that takes no guessing."""
    if len(cells) < width and file.divider != ",":
        cells.extend([""] * (width - len(cells)))
    while len(cells) > width and not cells[-1].strip() and file.divider != ",":
        cells.pop()
    if len(cells) == width:
        return True
    do = "check the dividers of the row"
    if file.divider == ",":
        # With commas as dividers, 762,5 makes two cells and shifts all that follow.
        do = "put texts and numbers with a comma in quotes, and write as many cells as headings"
    file.report.error(f"{file.where} row {row}", f"{len(cells)} cells under {width} headings", do)
    return False


def _part(
    cells: list[str],
    row: int,
    columns: list[Column],
    extra: list[tuple[int, str]],
    unknown: dict[str, Value],
    seen: dict[str, str],
    file: _List,
) -> Part | None:
    report = file.report
    errors = len(report.errors)
    got: dict[str, object] = {}
    for column in columns:
        text = cells[column.index]
        value = column.remembered.get(text)
        if value is None:
            value = _cell(text, row, column, file)
        if value is not None:
            got[column.name] = value
    remarks = {}
    for index, heading in extra:
        try:
            remark = clean(cells[index])
        except Misread as problem:
            report.misread(f"{file.where} row {row}, column {shown(heading)}", problem)
            continue
        if remark:
            remarks[heading] = remark
    number = got.pop(_PART_NUMBER, None)
    if isinstance(number, str):
        place = f"{file.where} row {row}"
        first = seen.setdefault(number, place)
        if first is not place:
            report.error(
                f"{place}, column {_PART_NUMBER!r}",
                f"part number {shown(number)} is already in {first}",
                "give each part a number of its own",
            )
    _report_headless(cells, row, columns, extra, file)
    if len(report.errors) > errors:
        return None
    taken = {name: got.pop(name, None) for name in COMMON_COLUMNS}
    return Part(
        key=f"{file.catalog}/{number}",
        family=file.family.key,
        title=taken[_TITLE],  # type: ignore[arg-type]
        price=taken[_PRICE],  # type: ignore[arg-type]
        values=unknown | got,  # type: ignore[arg-type]
        positions=taken[_POSITION] or (),  # type: ignore[arg-type]
        maker=taken["maker"] or "",  # type: ignore[arg-type]
        lead_time=taken[_LEAD_TIME],  # type: ignore[arg-type]
        note=taken["note"] or "",  # type: ignore[arg-type]
        place=f"{file.file} row {row}",
        extra=remarks,
    )


def _cell(text: str, row: int, column: Column, file: _List) -> object | None:
    """Read a cell that was not met before; None if it is empty or wrong."""
    if not text.strip():
        if column.required:
            file.report.error(_place(row, column, file), "the cell is empty", "fill it in")
        return None
    try:
        value = column.read(text)
    except Misread as problem:
        file.report.misread(_place(row, column, file), problem)
        return None
    doubtful = ("," in text or "." in text) and _note_decimal_sign(text, row, column, file)
    if not doubtful and len(column.remembered) < _REMEMBERED:
        column.remembered[text] = value
    return value


def _report_headless(
    cells: list[str],
    row: int,
    columns: list[Column],
    extra: list[tuple[int, str]],
    file: _List,
) -> None:
    if len(columns) + len(extra) == len(cells):
        return
    headed = {column.index for column in columns} | {index for index, _ in extra}
    for index, cell in enumerate(cells):
        if index not in headed and cell.strip():
            file.report.error(
                f"{file.where} row {row}, column {index + 1}",
                f"{shown(cell)} stands under no heading",
                "write a heading above it or delete it",
            )


def _place(row: int, column: Column, file: _List) -> str:
    return f"{file.where} row {row}, column {shown(column.heading)}"


def _note_decimal_sign(text: str, row: int, column: Column, file: _List) -> bool:
    """Note which decimal sign a number has; true if another file might mean thousands by it."""
    if column.name == _PRICE:  # prices have two decimals; three digits are always thousands
        match = re.search(r"([.,])\d{1,2}\s*$", text)
    elif column.numeric:
        match = _DECIMALS.match(text)
        if match and len(match[3]) == 3 and re.fullmatch(r"[1-9]\d{0,2}", match[2]):
            if len(file.doubtful) < MOST_PROBLEMS:
                file.doubtful.append((text.strip(), row, column))
            return True
    else:
        return False
    if match and not (file.comma_at if match[1] == "," else file.point_at):
        if match[1] == ",":
            file.comma_at = _place(row, column, file)
        else:
            file.point_at = _place(row, column, file)
    return False


def _report_doubtful(file: _List) -> None:
    """Report numbers such as 1.234 in a file whose other numbers have a decimal comma."""
    for text, row, column in file.doubtful:
        comma = "," in text
        other = file.point_at if comma else file.comma_at
        if other:
            why = f"{other} has a decimal {'point' if comma else 'comma'}"
        elif comma and file.divider != ";" and not file.comma_at:
            why = "nothing in the file says that a comma divides decimals"
        else:
            continue
        file.report.error(
            _place(row, column, file),
            f"{shown(text)} may have decimals or thousands: {why}",
            "write all decimals of the file with the same sign and no separators",
        )
