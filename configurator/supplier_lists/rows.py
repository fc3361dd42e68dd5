"""Turn the rows of a supplier's list into rows of a part list, each cell read as the list is."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from configurator.core.text import Misread, invisible_sign, shown, without_look_alikes
from configurator.files.part_columns import PART_NUMBER, PRICE, TITLE
from configurator.model.parts import attributes_of
from configurator.supplier_lists.causes import Causes
from configurator.supplier_lists.cells import FREE_TEXTS, CellReading, is_code
from configurator.supplier_lists.column_readings import SheetReading, sheet_reading
from configurator.supplier_lists.headings import headings_again
from configurator.supplier_lists.plausible import implausible
from configurator.supplier_lists.price_lists import TypedNumber, place, refuse

if TYPE_CHECKING:
    from collections.abc import Iterator

    from configurator.core.text import Report
    from configurator.model.parts import Family
    from configurator.supplier_lists.mapping import Mapping
    from configurator.supplier_lists.price_lists import PriceList, SheetRow

_MOST_NAMED = 5
_FORMULA_LIKE = re.compile(r"[=@]|[-+].*[(!|]")
_TOTAL = re.compile(r"\s*(sub-?|grand\s)?total|\s*(zwischen)?summe|\s*übertrag", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class ListRow:
    """A row of a part list.

    Parameters
    ----------
    number
        Part number.
    place
        Where it was read.
    price
        In minor units.
    title
        In its catalog's words.
    cells
        Column → text to write.
    values
        Column → what the text means, in a form that can be compared and kept as JSON.
    """

    number: str
    place: str
    price: int
    title: str
    cells: dict[str, str]
    values: dict[str, object]


@dataclass(slots=True)
class Tally:
    """What became of the rows of a list; the examples are places with what stands there.

    ``withheld`` are the part numbers of rows with a problem, and those given twice with different
    values: the list as it stands keeps them.
    """

    rows: int = 0
    bad: int = 0
    remarks: int = 0
    remark_examples: list[str] = field(default_factory=list)
    hidden: int = 0
    others: int = 0
    alike: int = 0
    joined_lines: int = 0
    invisible: int = 0
    formula_like: list[str] = field(default_factory=list)
    withheld: set[str] = field(default_factory=set)
    complete: bool = True


def comparable(value: object) -> object:
    """Put a value into a form that JSON keeps.

    Examples
    --------
    >>> comparable(frozenset({"b", "a"})), comparable(0.762)
    ('a b', 0.762)
    """
    if isinstance(value, frozenset):
        return " ".join(sorted(value))
    return " | ".join(value) if isinstance(value, tuple) else value


def list_rows(
    prices: PriceList,
    mapping: Mapping,
    mapping_file: str,
    family: Family,
    currency: str,
    report: Report,
    tally: Tally,
) -> Iterator[ListRow]:
    """Read the list, all of its sheets one after the other.

    Parameters
    ----------
    prices
        The supplier's list.
    mapping, mapping_file
        Which column is which, and what to call it in messages.
    family
        Whose parts it lists.
    currency
        Of the catalog.
    report
        Takes every problem, with the place in the supplier's list; one message a cause.
    tally
        Takes what became of the rows.

    Yields
    ------
    ListRow
        The sound ones. Of a part number given twice with different values, the first is among
        them and the number in ``tally.withheld``.
    """
    sheets = [
        (
            sheet,
            sheet_reading(sheet, mapping, mapping_file, family, currency, report, further=k > 0),
        )
        for k, sheet in enumerate((prices, *prices.further))
    ]
    if report.errors:
        tally.complete = False
        return
    run = _Run(
        mapping,
        mapping_file,
        tally,
        {attribute.name: attribute.unit for attribute in attributes_of(family)},
    )
    for sheet, reading in sheets:
        yield from run.rows(sheet, reading)
    run.problems.tell(report)
    run.doubts.tell(report, as_errors=False)


class _Run:
    """One reading of a list: what was met so far."""

    def __init__(
        self, mapping: Mapping, mapping_file: str, tally: Tally, unit_of: dict[str, str]
    ) -> None:
        self.mapping = mapping
        self.mapping_file = mapping_file
        self.tally = tally
        self.unit_of = unit_of
        self.problems = Causes()
        self.noted: set[tuple[int | None, str]] = set()  # in the row being read
        self.doubts = Causes()
        # Part number → its row and a fingerprint of the part, as one number: lists are long.
        self.seen: dict[str, int] = {}

    def rows(self, prices: PriceList, reading: SheetReading) -> Iterator[ListRow]:
        """Yield the sound rows of a sheet."""
        tally = self.tally
        for row in prices.rows():
            if row.number <= reading.last or not any(map(str.strip, row.cells)):
                continue
            if row.hidden and self._left_out(prices, row):
                continue
            again = headings_again(row, reading.headings)
            if again == "moved":
                refuse(
                    place(prices, row.number),
                    "the headings stand here again, over other columns",
                    "put the columns below into the same order, or make two lists of it",
                )
            if again == "no" and any(
                _cell(row, at).strip().casefold() not in texts for at, texts in reading.only
            ):
                tally.others += 1
                continue
            if again == "yes" or self._is_remark(row, reading):
                tally.remarks += 1
                if len(tally.remark_examples) < _MOST_NAMED:
                    text = next(cell for cell in row.cells if cell.strip()).strip()
                    tally.remark_examples.append(f"{place(prices, row.number)}: {shown(text)}")
                continue
            tally.rows += 1
            before = self.problems.count
            made = self._row(row, reading, prices)
            if made.number and self._given_before(made, row.number):
                continue
            if self.problems.count == before:
                yield made
            else:
                tally.bad += 1
                if made.number:
                    tally.withheld.add(made.number)

    def _left_out(self, prices: PriceList, row: SheetRow) -> bool:
        if self.mapping.hidden_rows == "take":
            return False
        self.tally.hidden += 1
        if not self.mapping.hidden_rows:
            self.problems.add(
                place(prices, row.number),
                "the row is hidden in the sheet",
                f'write hidden_rows = "take" or "leave out" into {self.mapping_file}',
                row=f"row {row.number}",
            )
        return True

    @staticmethod
    def _is_remark(row: SheetRow, reading: SheetReading) -> bool:
        """Whether a row is no part: a heading of a series, a note, a subtotal."""
        filled = [cell for cell in row.cells if cell.strip()]
        if len(filled) == 1:
            return True
        taken = {
            column.name: any(map(str.strip, column.texts(row.cells)))
            for column in reading.columns
            if column.indexes
        }
        few = sum(taken.values()) * 3 <= len(taken)
        total = _TOTAL.match(filled[0]) is not None
        # A sum may stand in the column of the numbers: a part says more than its price.
        bare = not any(there for name, there in taken.items() if name not in (PART_NUMBER, PRICE))
        if total and (few or bare):
            return True
        if reading.telling and all(
            column.texts(row.cells)[0].strip() for column in reading.telling
        ):
            return False
        if not (taken.get(PART_NUMBER) or taken.get(PRICE)):
            return True
        # A sum below a group: no number, and hardly anything else that a part has.
        return not taken.get(PART_NUMBER) and (few or total)

    def _given_before(self, made: ListRow, row: int) -> bool:
        """Whether a part number was met already; what differs then is withheld."""
        mark = hash(repr(sorted(made.values.items()))) & 0xFFFF_FFFF_FFFF
        first = self.seen.setdefault(made.number, row << 48 | mark)
        if first == row << 48 | mark:
            return False
        if first & 0xFFFF_FFFF_FFFF == mark:
            self.tally.alike += 1
            return True
        self.problems.add(
            made.place,
            f"part number {shown(made.number)} is already in row {first >> 48}, with other values",
            "ask which of them holds, and delete the other; until then neither is taken",
            row=f"row {row}",
            text=made.number,
        )
        self.tally.bad += 1
        self.tally.withheld.add(made.number)
        return True

    def _row(self, row: SheetRow, reading: SheetReading, prices: PriceList) -> ListRow:
        written: dict[str, str] = {}
        values: dict[str, object] = {}
        self.noted.clear()
        for column in reading.columns:
            texts = column.texts(row.cells)
            if prices.without_value and any(
                (row.number, index) in prices.without_value for index in column.indexes
            ):
                self._note(
                    prices,
                    row,
                    column,
                    Misread(
                        what="holds a formula whose value was never saved",
                        do="open the workbook in a spreadsheet program and save it again",
                    ),
                )
                continue
            try:
                plain, value = column.settled(texts)
                if not plain:
                    if column.required:
                        raise Misread(
                            what=f"the cell is empty, and every part needs its {column.name}",
                            do="fill it in",
                        )
                    continue
                if column.name in FREE_TEXTS and invisible_sign(plain):
                    plain = "".join(sign for sign in plain if not invisible_sign(sign))
                    self.tally.invisible += 1
                written[column.name] = plain
                values[column.name] = comparable(value)
            except Misread as problem:
                self._note(prices, row, column, problem, texts[0])
                continue
            self._doubt(prices, row, column, plain, texts)
        for name, clash in implausible(values, self.unit_of):
            at = next(column for column in reading.columns if column.name == name)
            self._note(prices, row, at, clash)
        price = values.get(PRICE, 0)
        return ListRow(
            str(values.get(PART_NUMBER, "")),
            place(prices, row.number),
            price if isinstance(price, int) else 0,
            str(values.get(TITLE, "")),
            written,
            values,
        )

    def _note(
        self,
        prices: PriceList,
        row: SheetRow,
        column: CellReading,
        problem: Misread,
        text: str = "",
    ) -> None:
        # Several of ours may be read from one cell: it is wrong once.
        once = (column.column, problem.what)
        if column.indexes and once in self.noted:
            return
        self.noted.add(once)
        self.problems.add(
            place(prices, row.number, column.column, column.source.heading),
            problem.what,
            problem.do,
            row=f"row {row.number}",
            text=text,
            column=column.source.heading or column.name,
        )

    def _doubt(
        self,
        prices: PriceList,
        row: SheetRow,
        column: CellReading,
        plain: str,
        texts: tuple[str, ...],
    ) -> None:
        """Note what is likely a slip, or told."""
        if column.numeric or column.name == PRICE or isinstance(texts[0], TypedNumber):
            return
        if column.name in FREE_TEXTS and any("\n" in text or "\r" in text for text in texts):
            self.tally.joined_lines += 1
        if _FORMULA_LIKE.match(plain) and len(self.tally.formula_like) < _MOST_NAMED:
            at = place(prices, row.number, column.column)
            self.tally.formula_like.append(f"{at}: {shown(plain)}")
        if plain.isascii() or not is_code(column.name, numeric=column.numeric):
            return
        meant = without_look_alikes(plain)
        if meant != plain and any(sign.isascii() and sign.isalnum() for sign in plain):
            self.doubts.add(
                place(prices, row.number, column.column, column.source.heading),
                f"{shown(plain)} holds letters of another script that look like those of "
                f"{shown(meant)}",
                "type it again: codes are compared sign by sign",
                row=f"row {row.number}",
                text=plain,
                column=column.name,
            )


def _cell(row: SheetRow, index: int) -> str:
    return row.cells[index] if 0 <= index < len(row.cells) else ""
