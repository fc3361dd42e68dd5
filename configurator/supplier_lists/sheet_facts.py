"""What a sheet of a workbook (.xlsx) holds besides values: hidden rows, formulas, number formats.

The values themselves are read by python-calamine, which tells none of this.
"""

from __future__ import annotations

import re
import zipfile
from dataclasses import dataclass, field
from typing import TYPE_CHECKING
from xml.parsers import expat

from configurator.supplier_lists.price_lists import MOST_COLUMNS, refuse

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path
    from typing import IO

MOST_ROWS = 1_048_576  # of the format
# Rows times columns: what a reader lays out in memory, however few of the cells hold anything.
LARGEST_AREA = 20_000_000
# A reader that keeps what it has not finished must not be fed without end: bytes of one tag or
# comment, letters of one text, things in a row (16,384 cells of a few pieces each) and beside rows.
LONGEST_TAG = 4_000_000
LONGEST_TEXT = 1_000_000
MOST_IN_ROW = 200_000
MOST_BESIDE_ROWS = 1_000_000
_MOST_NOTED = 10_000

_REFERENCE = re.compile(r"([A-Z]{1,7})([0-9]{1,9})")


@dataclass(slots=True)
class SheetFacts:
    """What a sheet holds besides values; rows from 1 on, columns from 0 on.

    ``formats`` holds the number format of cells whose format says more than their number,
    ``errors`` the error values of the spreadsheet program, such as ``#N/A``.
    """

    hidden_rows: set[int] = field(default_factory=set)
    hidden_columns: set[int] = field(default_factory=set)
    merged: list[tuple[int, int, int, int]] = field(default_factory=list)
    formulas: int = 0
    first_formula: str = ""
    without_value: dict[tuple[int, int], str] = field(default_factory=dict)
    formats: dict[tuple[int, int], str] = field(default_factory=dict)
    errors: dict[tuple[int, int], str] = field(default_factory=dict)
    cells: int = 0
    width: int = 0
    last_row: int = 0


def _feed(parser: expat.XMLParserType, stream: IO[bytes], where: str) -> None:
    """Parse a stream piece by piece; refuse it if a tag or comment does not come to an end."""
    fed = 0
    while data := stream.read(1 << 16):
        fed += len(data)
        parser.Parse(data)
        if fed - max(0, parser.CurrentByteIndex) > LONGEST_TAG:
            refuse(where, "a tag or comment that has no end", "save the workbook again")
    parser.Parse(b"", True)


def read_member(path: Path, member: str, parser: expat.XMLParserType, where: str) -> None:
    """Parse a file in a workbook; refuse the workbook if it is no sound XML."""
    try:
        with zipfile.ZipFile(path) as archive, archive.open(member) as stream:
            _feed(parser, stream, where)
    except (expat.ExpatError, LookupError, ValueError) as problem:  # an encoding nobody knows
        line = getattr(problem, "lineno", 1)
        refuse(
            path.name,
            f"its part {member[:60]!r} is no sound XML (line {line})",
            "ask for it again, or save it again",
        )


def sheet_facts(path: Path, member: str, title: str, formats: Mapping[str, str]) -> SheetFacts:
    """Go through a sheet once, for what is hidden, made one or worked out in it.

    Parameters
    ----------
    path, member, title
        The workbook, the file in it, the name of the sheet.
    formats
        Number of a style → its number format, for those that say more than a number.

    Raises
    ------
    InputError
        If it has more columns or rows than a price list, or a cell that is nowhere.
    """
    facts = SheetFacts()
    where = f"{path.name} sheet {title!r}"
    # Which cell is open, whether it holds a formula, and whether a value.
    at: list[tuple[int, int, str]] = [(0, 0, "")]
    seen = [False, False]
    error: list[str] = []  # pieces of the error value of the open cell
    row = [0]

    text, in_row, beside = [0], [-1], [0]  # letters since a tag; things in the row, or -1 outside

    def letters(data: str) -> None:
        if error:
            error.append(data)
        text[0] += len(data)
        if text[0] > LONGEST_TEXT:
            refuse(f"{where} row {row[0]}", "a text that has no end", "save the workbook again")

    def start(name: str, attributes: dict[str, str]) -> None:
        kind = name.rpartition(":")[2] if ":" in name else name
        text[0] = 0
        if kind == "row":
            in_row[0] = 0
        elif in_row[0] >= 0:
            in_row[0] += 1
        else:
            beside[0] += 1
        if in_row[0] > MOST_IN_ROW or beside[0] > MOST_BESIDE_ROWS:
            refuse(
                f"{where} row {row[0]}",
                "more cells or settings than a sheet can have",
                "save the workbook again",
            )
        if kind == "c":
            at[0] = _cell_at(attributes.get("r", ""), row[0], at[0], where)
            seen[:] = False, False
            facts.cells += 1
            if attributes.get("t") == "e":
                error[:] = [""]
            style = attributes.get("s", "")
            if style in formats:
                facts.formats[at[0][:2]] = formats[style]
        elif kind == "v" or kind == "t":
            seen[1] = True
            if at[0][1] >= MOST_COLUMNS:
                refuse(
                    f"{where} cell {at[0][2]}",
                    f"stands beyond column {MOST_COLUMNS}",
                    f"use {MOST_COLUMNS} columns at most",
                )
            facts.width = max(facts.width, at[0][1] + 1)
            if facts.width * row[0] > LARGEST_AREA:
                refuse(
                    f"{where} cell {at[0][2]}",
                    f"stands so far out that the sheet has {facts.width * row[0]:,} cells",
                    "delete what stands alone below or beside the list",
                )
        elif kind == "f":
            seen[0] = True
        elif kind == "row":
            number = attributes.get("r", "") or str(row[0] + 1)
            if not number.isdecimal() or not 0 < int(number[:9]) <= MOST_ROWS or len(number) > 9:
                refuse(where, f"row {number[:20]!r} cannot be", "save the workbook again")
            if int(number) <= row[0]:
                refuse(where, f"row {number} stands below row {row[0]}", "save the workbook again")
            row[0] = facts.last_row = int(number)
            at[0] = (int(number), -1, "")
            if attributes.get("hidden") in ("1", "true") and len(facts.hidden_rows) <= MOST_ROWS:
                facts.hidden_rows.add(int(number))
        elif kind == "mergeCell" and len(facts.merged) < _MOST_NOTED:
            corners = re.fullmatch(
                rf"{_REFERENCE.pattern}:{_REFERENCE.pattern}", attributes.get("ref", "")
            )
            if corners:
                facts.merged.append(
                    (int(corners[2]), _column(corners[1]), int(corners[4]), _column(corners[3]))
                )
        elif kind == "col" and attributes.get("hidden") in ("1", "true"):
            first, last = attributes.get("min", "0"), attributes.get("max", "0")
            if first.isdecimal() and last.isdecimal() and len(first + last) < 12:
                facts.hidden_columns.update(range(int(first) - 1, min(int(last), MOST_COLUMNS)))

    def end(name: str) -> None:
        text[0] = 0
        kind = name.rpartition(":")[2] if ":" in name else name
        if kind == "row":
            in_row[0] = -1
        if kind == "c" and error:
            facts.errors[at[0][:2]] = "".join(error).strip() or "#N/A"
            error.clear()
        if kind == "c" and seen[0]:
            number, column, reference = at[0]
            facts.formulas += 1
            facts.first_formula = facts.first_formula or reference
            if not seen[1]:
                facts.without_value[number, column] = reference
                if len(facts.without_value) > _MOST_NOTED:
                    refuse(
                        f"{where} cell {reference}",
                        f"one of more than {_MOST_NOTED} formulas without a saved value",
                        "open the workbook in a spreadsheet program and save it again",
                    )

    parser = expat.ParserCreate()
    parser.StartElementHandler = start
    parser.EndElementHandler = end
    parser.CharacterDataHandler = letters
    read_member(path, member, parser, where)
    return facts


def _column(name: str) -> int:
    number = 0
    for letter in name:
        number = number * 26 + ord(letter) - 64
    return number - 1


def _cell_at(
    reference: str, row: int, before: tuple[int, int, str], where: str
) -> tuple[int, int, str]:
    if not reference:  # allowed: the next cell of the row
        return row, before[1] + 1, f"{before[1] + 2} of row {row}"
    match = _REFERENCE.fullmatch(reference)
    if match is None or int(match[2]) != row or _column(match[1]) >= 16_384:
        refuse(
            f"{where} row {row}",
            f"a cell {reference[:20]!r} cannot be there",
            "save the workbook again",
        )
    return row, _column(match[1]), reference
