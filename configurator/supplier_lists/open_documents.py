"""What the sheets of an OpenDocument spreadsheet (.ods) hold besides values.

Cells and rows may be repeated there without being written: they are counted, not only their bytes.
Terms are those of OpenDocument 1.3, part 3 (ISO/IEC 26300).
"""

from __future__ import annotations

from typing import TYPE_CHECKING
from xml.parsers import expat

from configurator.supplier_lists.price_lists import MOST_COLUMNS, refuse
from configurator.supplier_lists.sheet_facts import LARGEST_AREA, SheetFacts, read_member

if TYPE_CHECKING:
    from pathlib import Path

CONTENT = "content.xml"
_MOST_ROWS = 1_048_576
_CELLS = ("table-cell", "covered-table-cell")
_MOST_FORMATS = 2_000_000


class _Tables:
    """Goes through the tables of a document."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.facts: dict[str, SheetFacts] = {}
        self.current: SheetFacts | None = None
        self.title = ""
        self.row = 0  # the last one that was written or repeated
        self.repeated_row = 1
        self.hidden = False
        self.column = 0
        self.repeated = 1
        self.filled = False

    def start(self, name: str, attributes: dict[str, str]) -> None:
        kind = name.rpartition(":")[2]
        if name == "table:table":
            self.title = attributes.get("table:name", "")
            self.current = self.facts.setdefault(self.title, SheetFacts())
            self.row = 0
        elif self.current is None:
            return
        elif kind == "table-row":
            self.repeated_row = _count(attributes.get("table:number-rows-repeated"))
            self.hidden = attributes.get("table:visibility", "visible") != "visible"
            self.column = 0
        elif kind in _CELLS:
            self.repeated = _count(attributes.get("table:number-columns-repeated"))
            self.filled = "office:value-type" in attributes
            self._note(self.current, attributes)
        elif kind == "p":
            self.filled = True

    def _note(self, facts: SheetFacts, attributes: dict[str, str]) -> None:
        sign = {
            "percentage": "0%",
            "currency": f'0.00 "{attributes.get("office:currency", "")}"',
        }.get(attributes.get("office:value-type", ""))
        if (
            sign
            and self.repeated * self.repeated_row < 10_000
            and len(facts.formats) < _MOST_FORMATS
        ):
            for row in range(self.row + 1, self.row + 1 + self.repeated_row):
                for column in range(self.column, self.column + self.repeated):
                    facts.formats[row, column] = sign
        if "table:formula" in attributes:
            facts.formulas += 1
            facts.first_formula = facts.first_formula or f"in row {self.row + 1}"
        wide = _count(attributes.get("table:number-columns-spanned"))
        high = _count(attributes.get("table:number-rows-spanned"))
        if wide > 1 or high > 1:
            first = self.row + 1
            facts.merged.append((first, self.column, first + high - 1, self.column + wide - 1))

    def end(self, name: str) -> None:
        kind = name.rpartition(":")[2]
        facts = self.current
        if facts is None:
            return
        if kind in _CELLS:
            self.column += self.repeated
            if self.filled:
                self._grow(facts)
            self.filled = False
        elif kind == "table-row":
            last = self.row + self.repeated_row
            if self.hidden and facts.last_row > self.row:
                facts.hidden_rows.update(range(self.row + 1, last + 1))
            self.row = last
        elif name == "table:table":
            self.current = None

    def _grow(self, facts: SheetFacts) -> None:
        facts.cells += 1
        facts.width = max(facts.width, self.column)
        facts.last_row = max(facts.last_row, self.row + self.repeated_row)
        where = f"{self.path.name} sheet {self.title!r} row {self.row + 1}"
        if self.column > MOST_COLUMNS:
            refuse(where, f"stands beyond column {MOST_COLUMNS}", f"use {MOST_COLUMNS} at most")
        if facts.last_row > _MOST_ROWS or facts.width * facts.last_row > LARGEST_AREA:
            refuse(
                where,
                f"stands so far out that the sheet has {facts.width * facts.last_row:,} cells",
                "delete what stands alone below or beside the list",
            )


def _count(text: str | None) -> int:
    return int(text[:9]) if text and text.isdecimal() and int(text[:9]) else 1


def document_facts(path: Path) -> dict[str, SheetFacts]:
    """Go through all sheets of a document once.

    Raises
    ------
    InputError
        If it is no sound XML, or a sheet is larger than a price list.
    """
    tables = _Tables(path)
    parser = expat.ParserCreate()
    parser.StartElementHandler = tables.start
    parser.EndElementHandler = tables.end
    read_member(path, CONTENT, parser, path.name)
    return tables.facts
