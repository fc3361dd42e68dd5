"""Read the list of one family of parts: CSV as spreadsheets write it, the unit in the heading."""

from __future__ import annotations

import csv
import io
import re
import unicodedata
from typing import TYPE_CHECKING

from configurator.core import units
from configurator.core.errors import UnitError
from configurator.core.progress import check
from configurator.core.text import Misread, Report, clean, shown
from configurator.files.part_columns import (
    COMMON_COLUMNS,
    LEAD_TIME,
    PART_NUMBER,
    POSITION,
    PRICE,
    TITLE,
    Headings,
    ListColumn,
    ListInReading,
    heading_name,
    headings_of,
)
from configurator.model.parts import Family, Missing, Part, Value, attributes_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from pathlib import Path

LARGEST_FILE = 64_000_000  # bytes
MOST_ROWS = 200_000
MOST_PROBLEMS = 500  # in one file; beyond, the file is of another kind altogether
_REMEMBERED = 5000  # different texts of a column
_DECIMALS = re.compile(r"(?=\s*[-+]?\d*([.,]))\s*[-+]?(\d*)[.,](\d*)")


def read_part_list(
    path: Path,
    family: Family,
    catalog: str,
    currency: str,
    seen: dict[str, str],
    report: Report,
    former: Mapping[str, str] | None = None,
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
    former
        Old name → new, of attributes and positions.

    Returns
    -------
    tuple of Part
        The sound ones, in the order of the file.
    """
    file = ListInReading(path.name, f"{catalog}/{path.name}", family, catalog, currency, report)
    file.former = former or {}
    text = text_of(path, file)
    if text is None:
        return ()
    file.divider = divider_of(text, family)
    before = len(report.errors)
    parts: list[Part] = []
    headings: Headings | None = None
    usable = False
    unknown: dict[str, Value] = {a.name: Missing.UNKNOWN for a in attributes_of(family)}
    for row, cells in rows_of(text, file):
        if not any(cells) or not "".join(cells).strip():
            continue
        if headings is None:
            headings = headings_of(cells, row, file)
            if headings is None:
                return ()
            # With a heading that is wrong, the rows are read for their own problems only.
            usable = len(report.errors) == before
            continue
        if not right_width(cells, headings.width, row, file):
            continue
        check()
        part = _part(cells, row, headings, unknown, seen, file)
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
    if headings is None:
        report.error(
            f"{file.where} row 1", "the file is empty", "write the headings into its first row"
        )
    elif not parts and len(report.errors) == before:
        report.warn(file.where, "the list holds no part", "fill it in or delete the file")
    _report_doubtful(file)
    return tuple(parts)


def text_of(path: Path, file: ListInReading) -> str | None:
    """Read the text of a list; None, and a problem, if it cannot be read."""
    if path.exists() and not path.is_file():  # a pipe would be waited for
        file.report.error(file.where, "cannot be opened: it is no file", "put a list there")
        return None
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


def rows_of(text: str, file: ListInReading) -> Iterator[tuple[int, list[str]]]:
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


def divider_of(text: str, family: Family) -> str:
    """Choose the divider that makes the most known headings of the first line."""
    line = next(
        (splitline for splitline in text[:200_000].splitlines() if splitline.strip(' ;,\t"')), ""
    )
    known = {attribute.name.casefold() for attribute in attributes_of(family)} | {*COMMON_COLUMNS}

    def known_headings(divider: str) -> tuple[int, int]:
        try:
            cells = next(csv.reader([line], delimiter=divider), [])
        except csv.Error:
            return 0, 0
        return sum(heading_name(cell)[0] in known for cell in cells), len(cells)

    return max(";\t,", key=known_headings)


def right_width(cells: list[str], width: int, row: int, file: ListInReading) -> bool:
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
    headings: Headings,
    unknown: dict[str, Value],
    seen: dict[str, str],
    file: ListInReading,
) -> Part | None:
    report = file.report
    errors = len(report.errors)
    got: dict[str, object] = {}
    for column in headings.columns:
        text = cells[column.index]
        value = column.remembered.get(text)
        if value is None and (text or column.required):
            value = _cell(text, row, column, file)
        if value is not None:
            got[column.name] = value
    remarks = {}
    for index, heading in headings.others:
        try:
            remark = clean(cells[index])
        except Misread as problem:
            report.misread(f"{file.where} row {row}, column {shown(heading)}", problem)
            continue
        if remark:
            remarks[heading] = remark
    number = got.pop(PART_NUMBER, None)
    if isinstance(number, str):
        place = f"{file.where} row {row}"
        first = seen.setdefault(number, place)
        if first is not place:
            report.error(
                f"{place}, column {PART_NUMBER!r}",
                f"part number {shown(number)} is already in {first}",
                "give each part a number of its own",
            )
    for index in headings.bare:
        if cells[index].strip():
            report.error(
                f"{file.where} row {row}, column {index + 1}",
                f"{shown(cells[index])} stands under no heading",
                "write a heading above it or delete it",
            )
    if len(report.errors) > errors:
        return None
    taken = {name: got.pop(name, None) for name in COMMON_COLUMNS}
    return Part(
        key=f"{file.catalog}/{number}",
        family=file.family.key,
        title=taken[TITLE],  # type: ignore[arg-type]
        price=taken[PRICE],  # type: ignore[arg-type]
        values=unknown | got,  # type: ignore[arg-type]
        positions=taken[POSITION] or (),  # type: ignore[arg-type]
        maker=taken["maker"] or "",  # type: ignore[arg-type]
        lead_time=taken[LEAD_TIME],  # type: ignore[arg-type]
        note=taken["note"] or "",  # type: ignore[arg-type]
        place=f"{file.file} row {row}",
        extra=remarks,
    )


def _cell(text: str, row: int, column: ListColumn, file: ListInReading) -> object | None:
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
    if column.unit and _own_unit_doubted(text, column):
        file.report.warn(
            _place(row, column, file),
            f"{shown(text)} stands in a column of {column.unit}; its own unit was taken, and "
            "either would be sound",
            "check the number, and write it in the unit of the heading",
        )
        return value  # said again of the next row that does so
    doubtful = ("," in text or "." in text) and _note_decimal_sign(text, row, column, file)
    if not doubtful and len(column.remembered) < _REMEMBERED:
        column.remembered[text] = value
    return value


def _own_unit_doubted(text: str, column: ListColumn) -> bool:
    """Whether a number bears another unit than its column, and would be sound in both.

    *33 in* among millimetres can only be inches; *12 lb* among kilograms may be either.
    """
    match = re.search(r"[^\d\s.,+\-'’/].*", text.strip())
    if match is None:
        return False
    try:
        if units.unit(match[0].strip()) == units.unit(column.unit):
            return False
        column.read(text.strip()[: match.start()].strip())
    except (UnitError, Misread):
        return False
    return True


def _place(row: int, column: ListColumn, file: ListInReading) -> str:
    return f"{file.where} row {row}, column {shown(column.heading)}"


def _note_decimal_sign(text: str, row: int, column: ListColumn, file: ListInReading) -> bool:
    """Note which decimal sign a number has; true if another file might mean thousands by it."""
    plain = text[-1:].isdigit() and text[-4:-3] not in (".", ",")
    if plain and (file.comma_at if "," in text else file.point_at):
        return False  # nothing new: this is asked of every number of a long list
    if column.name == PRICE:  # three digits behind a sign of a price are thousands, or refused
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


def _report_doubtful(file: ListInReading) -> None:
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
