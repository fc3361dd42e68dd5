"""Turn the rows of a supplier's list into rows of a part list, each cell read as the list is."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from configurator.core.errors import nearest
from configurator.core.text import Misread, Report, shown
from configurator.files.part_columns import (
    COMMON_COLUMNS,
    LEAD_TIME,
    PART_NUMBER,
    PRICE,
    TITLE,
    ListInReading,
    headings_of,
)
from configurator.files.part_lists import MOST_PROBLEMS
from configurator.files.values import PLAIN, reader
from configurator.model.parts import attributes_of
from configurator.supplier_lists.headings import heading_parts, heading_rows, headings_at
from configurator.supplier_lists.mapping import Mapping, Source
from configurator.supplier_lists.numbers import plain_number, plain_price
from configurator.supplier_lists.price_lists import TypedNumber, place

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from configurator.model.parts import Attribute, Family
    from configurator.supplier_lists.price_lists import PriceList

_MOST_NAMED = 5
_ERROR_VALUE = re.compile(r"#(N/A|NV|REF!|BEZUG!|VALUE!|WERT!|DIV/0!|NAME\?|NUM!|ZAHL!|NULL!)")
_FORMULA_LIKE = re.compile(r"[=@]|[-+].*[(!|]")


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
    """What became of the rows of a list; the examples are places with what stands there."""

    rows: int = 0
    bad: int = 0
    remarks: int = 0
    remark_examples: list[str] = field(default_factory=list)
    hidden: int = 0
    others: int = 0
    joined_lines: int = 0
    formula_like: list[str] = field(default_factory=list)
    complete: bool = True


@dataclass(frozen=True, slots=True)
class _Reading:
    """How the cells of one of our columns are found, written and understood."""

    name: str
    index: int
    source: Source
    text: str
    numeric: bool
    required: bool
    read: Callable[[str], object]


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


def list_heading(name: str, mapping: Mapping, family: Family, currency: str) -> str:
    """Write the heading that one of our columns gets in the new list."""
    unit = mapping.columns[name].unit if name in mapping.columns else ""
    attribute = {item.name: item for item in attributes_of(family)}.get(name)
    if name == PRICE:
        unit = currency
    elif attribute is not None and not unit and attribute.kind in ("number", "whole"):
        unit = "" if attribute.unit in PLAIN else attribute.unit
    elif name == LEAD_TIME:
        unit = unit or "day"
    return f"{name} [{unit}]" if unit else name


def list_rows(
    prices: PriceList,
    mapping: Mapping,
    mapping_file: str,
    family: Family,
    currency: str,
    report: Report,
    tally: Tally,
) -> Iterator[ListRow]:
    """Read the list.

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
        Takes every problem, with the place in the supplier's list.
    tally
        Takes what became of the rows.

    Yields
    ------
    ListRow
        The sound ones.
    """
    readings, only, last = _readings(prices, mapping, mapping_file, family, currency, report)
    if report.errors:
        tally.complete = False
        return
    seen: dict[str, int] = {}
    for row in prices.rows():
        if row.number <= last or not any(map(str.strip, row.cells)):
            continue
        if row.hidden:
            if not mapping.hidden_rows:
                report.error(
                    place(prices, row.number),
                    "the row is hidden in the sheet",
                    f'write hidden_rows = "take" or "leave out" into {mapping_file}',
                )
                tally.complete = False
                return
            if mapping.hidden_rows == "leave out":
                tally.hidden += 1
                continue
        if any(_cell(row.cells, index).strip() not in texts for index, texts in only):
            tally.others += 1
            continue
        ours = {
            reading.name: _cell(row.cells, reading.index)
            for reading in readings
            if reading.index >= 0
        }
        lonely = sum(bool(cell.strip()) for cell in row.cells) == 1  # a heading of a series, a note
        if lonely or not (ours.get(PART_NUMBER, "") + ours.get(PRICE, "")).strip():
            tally.remarks += 1
            if len(tally.remark_examples) < _MOST_NAMED:
                text = next(cell for cell in row.cells if cell.strip())
                tally.remark_examples.append(f"{place(prices, row.number)}: {shown(text.strip())}")
            continue
        tally.rows += 1
        before = len(report.errors)
        made = _list_row(row.number, row.cells, readings, prices, mapping, currency, report, tally)
        number = str(made.values.get(PART_NUMBER, ""))
        if number:
            first = seen.setdefault(number, row.number)
            if first != row.number:
                report.error(
                    made.place,
                    f"part number {shown(number)} is already in row {first}",
                    "ask which of them holds, and delete the other",
                )
        if len(report.errors) == before:
            yield made
        else:
            tally.bad += 1
        if len(report.errors) >= MOST_PROBLEMS:
            report.error(
                f"{place(prices, row.number + 1)} and below",
                f"not read: {MOST_PROBLEMS} problems above",
                "correct those first",
            )
            tally.complete = False
            return


def _cell(cells: tuple[str, ...], index: int) -> str:
    return cells[index] if index < len(cells) else ""


def _readings(
    prices: PriceList,
    mapping: Mapping,
    mapping_file: str,
    family: Family,
    currency: str,
    report: Report,
) -> tuple[list[_Reading], list[tuple[int, tuple[str, ...]]], int]:
    result = headings_at(prices, mapping.headings)
    indexes = {item.text: item.column for item in result}
    where = place(prices, mapping.headings[0])
    wanted = [item.heading for item in mapping.columns.values()]
    if sum(heading not in indexes for heading in wanted) * 2 > len(wanted):
        words = frozenset(word for text in wanted for word in heading_parts(text)[0].split())
        moved, _ = heading_rows(prices, words)
        if moved and moved != mapping.headings:
            report.error(
                where,
                "most of the mapping's headings are not there; they seem to stand in row "
                f"{moved[0]} now",
                f"write headings = {list(moved)} into {mapping_file}",
            )
            return [], [], 0

    def index_of(heading: str, wanted_by: str) -> int:
        if heading not in indexes:
            report.error(
                f"{mapping_file}, {wanted_by}",
                f"{where} has no heading {shown(heading)}",
                nearest(heading, indexes, otherwise="correct the mapping, or make a new one"),
            )
        return indexes.get(heading, -1)

    names = [*mapping.columns, *mapping.same]
    # The columns are read by the very functions that read the part list later.
    scratch = Report()
    sheet = ListInReading(mapping_file, mapping_file, family, "", currency, scratch)
    headings = [list_heading(name, mapping, family, currency) for name in names]
    columns = headings_of(headings, 1, sheet)
    for problem in scratch.errors:
        if ", column " in problem.where:  # a missing column is looked for in the list as it stands
            report.error(problem.where.replace(" row 1,", ", [columns],"), problem.what, problem.do)
    attributes = {item.name: item for item in attributes_of(family)}
    readings = []
    for column in columns.columns if columns else ():
        source = mapping.columns.get(column.name, Source(""))
        attribute = attributes.get(column.name)
        index = index_of(source.heading, repr(column.name)) if source.heading else -1
        read = column.read
        if attribute and not source.unit and source.heading and _needs_unit(attribute):
            read = reader(attribute, None)
        readings.append(
            _Reading(
                column.name,
                index,
                source,
                mapping.same.get(column.name, ""),
                column.numeric,
                column.required,
                read,
            )
        )
    only = [(index_of(name, f"[only], {name!r}"), texts) for name, texts in mapping.only.items()]
    known = {*mapping.ignore, *mapping.only, *(item.heading for item in mapping.columns.values())}
    for heading in result:
        if heading.text not in known:
            report.warn(
                place(prices, mapping.headings[-1], heading.column),
                f"the column {shown(heading.text)} is new and not taken",
                f"name it in {mapping_file}, under [columns] or ignore",
            )
    for name in (PART_NUMBER, PRICE):
        if name not in mapping.columns:
            report.error(
                f"{mapping_file}, [columns]",
                f"no column of {prices.file} is taken for {name!r}",
                f'write "{name}" = {{ from = "heading of the supplier\'s column" }}',
            )
    return readings, only, mapping.headings[-1]


def _needs_unit(attribute: Attribute) -> bool:
    return attribute.kind in ("number", "whole") and attribute.unit not in PLAIN


def _list_row(
    number: int,
    cells: tuple[str, ...],
    readings: list[_Reading],
    prices: PriceList,
    mapping: Mapping,
    currency: str,
    report: Report,
    tally: Tally,
) -> ListRow:
    written: dict[str, str] = {}
    values: dict[str, object] = {}
    where = place(prices, number)
    for reading in readings:
        text = _cell(cells, reading.index) if reading.index >= 0 else reading.text
        if (number, reading.index) in prices.without_value:
            report.error(
                place(prices, number, reading.index, reading.source.heading),
                "holds a formula whose value was never saved",
                "open the workbook in a spreadsheet program and save it again",
            )
            continue
        if not text.strip():
            if reading.required:
                report.error(
                    place(
                        prices,
                        number,
                        reading.index if reading.index >= 0 else None,
                        reading.source.heading,
                    ),
                    f"the cell is empty, and every part needs its {reading.name}",
                    "fill it in",
                )
            continue
        try:
            written[reading.name] = plain = _plain(text, reading, mapping, currency, tally)
            values[reading.name] = comparable(reading.read(plain))
        except Misread as problem:
            at = reading.index if reading.index >= 0 else None
            report.misread(place(prices, number, at, reading.source.heading), problem)
            continue
        text_only = not reading.numeric and reading.name != PRICE
        if text_only and _FORMULA_LIKE.match(plain) and len(tally.formula_like) < _MOST_NAMED:
            tally.formula_like.append(f"{place(prices, number, reading.index)}: {shown(plain)}")
    price = values.get(PRICE, 0)
    return ListRow(
        str(values.get(PART_NUMBER, "")),
        where,
        price if isinstance(price, int) else 0,
        str(values.get(TITLE, "")),
        written,
        values,
    )


def _plain(text: str, reading: _Reading, mapping: Mapping, currency: str, tally: Tally) -> str:
    if _ERROR_VALUE.fullmatch(text.strip()):
        raise Misread(
            what=f"{shown(text)} is an error of the spreadsheet", do="correct its formula"
        )
    if reading.source.words:
        text = reading.source.words.get(text.strip(), text)
    if reading.name == PRICE:
        return plain_price(
            text,
            mapping.decimals,
            currency,
            reading.source.multiply,
            rounded=reading.source.rounded,
        )
    if reading.numeric:
        number = plain_number(text, mapping.decimals)
        unit = reading.source.unit
        bare = number.removesuffix(unit).rstrip() if unit else number
        return bare if bare[-1:].isdigit() else number
    if isinstance(text, TypedNumber):
        return str(text)
    if "\n" in text or "\r" in text:
        tally.joined_lines += 1
        text = " ".join(text.split())
    return text.strip()


def required_columns(family: Family) -> tuple[str, ...]:
    """Name the columns that every part of a family needs."""
    needed = [attribute.name for attribute in attributes_of(family) if attribute.required]
    return (PART_NUMBER, TITLE, PRICE, *needed)


def column_order(family: Family) -> tuple[str, ...]:
    """Name all columns that Fitwright knows of a family, in the order of a list."""
    return (*COMMON_COLUMNS, *(attribute.name for attribute in attributes_of(family)))
