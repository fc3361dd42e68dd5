"""Which of the supplier's columns each of ours is read from, checked before any row is read."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from configurator.core import units
from configurator.core.errors import UnitError, nearest
from configurator.core.text import Report, shown
from configurator.core.units import PLAIN
from configurator.files.part_columns import (
    COMMON_COLUMNS,
    LEAD_TIME,
    PART_NUMBER,
    PRICE,
    ListInReading,
    headings_of,
)
from configurator.model.kinds import kind_of
from configurator.model.parts import attributes_of
from configurator.model.values import reader
from configurator.supplier_lists.cells import CellReading
from configurator.supplier_lists.headings import heading_parts, heading_rows, headings_at
from configurator.supplier_lists.mapping import Mapping, Source
from configurator.supplier_lists.notations.registry import NOTATIONS, value_taken
from configurator.supplier_lists.price_lists import place

if TYPE_CHECKING:
    from configurator.model.parts import Attribute, Family
    from configurator.supplier_lists.headings import Heading
    from configurator.supplier_lists.price_lists import PriceList


@dataclass(frozen=True, slots=True)
class SheetReading:
    """How a sheet is read: its columns, the rows to take, its last row of headings.

    ``telling`` are part number and price: a row with both is a part. ``headings`` are the sheet's
    own.
    """

    columns: tuple[CellReading, ...]
    only: tuple[tuple[int, frozenset[str]], ...]
    last: int
    telling: tuple[CellReading, ...] = ()
    headings: tuple[Heading, ...] = ()


def required_columns(family: Family) -> tuple[str, ...]:
    """Name the columns that every part of a family needs."""
    needed = [attribute.name for attribute in attributes_of(family) if attribute.required]
    return (PART_NUMBER, "title", PRICE, *needed)


def column_order(family: Family) -> tuple[str, ...]:
    """Name all columns that Fitwright knows of a family, in the order of a list."""
    return (*COMMON_COLUMNS, *(attribute.name for attribute in attributes_of(family)))


def list_unit(name: str, mapping: Mapping, family: Family, currency: str) -> str:
    """Name the unit that one of our columns has in the new list; empty for none."""
    source = mapping.columns.get(name, Source(""))
    attribute = {column.name: column for column in attributes_of(family)}.get(name)
    if name == PRICE:
        return currency
    if name == LEAD_TIME:
        return source.unit or "day"
    if attribute is None or not kind_of(attribute).numeric:
        return ""
    # What a notation or a factor makes of a text is not in the supplier's unit any more.
    if source.unit and not (source.read and attribute.unit in PLAIN):
        return source.unit
    return "" if attribute.unit in PLAIN else attribute.unit


def list_heading(name: str, mapping: Mapping, family: Family, currency: str) -> str:
    """Write the heading that one of our columns gets in the new list."""
    unit = list_unit(name, mapping, family, currency)
    return f"{name} [{unit}]" if unit else name


def sheet_reading(
    prices: PriceList,
    mapping: Mapping,
    mapping_file: str,
    family: Family,
    currency: str,
    report: Report,
    *,
    further: bool = False,
) -> SheetReading:
    """Find the columns of a sheet.

    Parameters
    ----------
    prices
        The sheet.
    mapping, mapping_file
        Which column is which, and what to call it in messages.
    family
        Whose parts it lists.
    currency
        Of the catalog.
    report
        Takes every problem.
    further
        Whether it continues a list: then its headings may stand in other rows.
    """
    rows = mapping.headings
    headings = headings_at(prices, rows)
    wanted = mapping.taken_headings
    if sum(heading not in {item.text for item in headings} for heading in wanted) * 2 > len(wanted):
        words = frozenset(word for text in wanted for word in heading_parts(text)[0].split())
        moved, _ = heading_rows(prices, words)
        if moved and moved != rows and further:
            rows, headings = moved, headings_at(prices, moved)
        elif moved and moved != rows:
            report.error(
                place(prices, rows[0]),
                "most of the mapping's headings are not there; they seem to stand in row "
                f"{moved[0]} now",
                f"write headings = {list(moved)} into {mapping_file}",
            )
            return SheetReading((), (), 0)
    where = place(prices, rows[0])
    by_text = {heading.text: heading for heading in headings}

    def index_of(heading: str, wanted_by: str) -> int:
        if heading not in by_text:
            report.error(
                f"{mapping_file}, {wanted_by}",
                f"{where} has no heading {shown(heading)}",
                nearest(heading, by_text, otherwise="correct the mapping, or make a new one"),
            )
            return -1
        return by_text[heading].column

    columns = _columns(mapping, mapping_file, family, currency, report)
    for column in columns:
        column.indexes = tuple(
            index_of(heading, repr(column.name)) for heading in column.source.headings
        )
        for heading in column.source.headings:
            _refuse_other_unit(column, by_text.get(heading), mapping_file, report)
    only = tuple(
        (index_of(name, f"[only], {name!r}"), frozenset(text.casefold() for text in texts))
        for name, texts in mapping.only.items()
    )
    known = {*mapping.ignore, *mapping.only, *wanted}
    for written in headings:
        if written.text not in known:
            report.warn(
                place(prices, rows[-1], written.column),
                f"the column {shown(written.text)} is new and not taken",
                f"name it in {mapping_file}, under [columns] or ignore",
            )
    for name in (PART_NUMBER, PRICE):
        if name not in mapping.columns:
            report.error(
                f"{mapping_file}, [columns]",
                f"no column of {prices.file} is taken for {name!r}",
                f'write "{name}" = {{ from = "heading of the supplier\'s column" }}',
            )
    telling = tuple(column for column in columns if column.name in (PART_NUMBER, PRICE))
    return SheetReading(tuple(columns), only, rows[-1], telling, headings)


def _columns(
    mapping: Mapping, mapping_file: str, family: Family, currency: str, report: Report
) -> list[CellReading]:
    """Make the readings of our columns; they are read by the very functions of a part list."""
    names = [*mapping.columns, *mapping.same]
    scratch = Report()
    sheet = ListInReading(mapping_file, mapping_file, family, "", currency, scratch)
    headings = [list_heading(name, mapping, family, currency) for name in names]
    columns = headings_of(headings, 1, sheet)
    for problem in scratch.errors:
        if ", column " in problem.where:  # a missing column is looked for in the list as it stands
            report.error(problem.where.replace(" row 1,", ", [columns],"), problem.what, problem.do)
    attributes = {attribute.name: attribute for attribute in attributes_of(family)}
    readings = []
    for column in columns.columns if columns else ():
        source = mapping.columns.get(column.name, Source(""))
        attribute = attributes.get(column.name)
        notation = NOTATIONS.get(source.read)
        read = column.read
        bare = source.heading and not source.unit and notation is None
        if attribute and bare and _needs_unit(attribute):
            read = reader(attribute, None)
        readings.append(
            CellReading(
                column.name,
                (),
                source,
                mapping.same.get(column.name, ""),
                column.numeric,
                column.required,
                read,
                list_unit(column.name, mapping, family, currency),
                notation,
                value_taken(notation, column.name, source.take) if notation else "",
                mapping.decimals,
                currency,
                {word.strip().casefold(): ours for word, ours in source.words.items()},
            )
        )
    return readings


def _needs_unit(attribute: Attribute) -> bool:
    return kind_of(attribute).numeric and attribute.unit not in PLAIN


def _refuse_other_unit(
    column: CellReading, heading: Heading | None, mapping_file: str, report: Report
) -> None:
    """Refuse a mapping whose unit says something else than the heading that it names."""
    stated = column.source.unit
    if heading is None or not heading.unit or not stated or not column.numeric:
        return
    try:
        alike = units.dimension(heading.unit) == units.dimension(stated)
        differs = units.to_si(1.0, heading.unit) != units.to_si(1.0, stated)
    except UnitError:
        return
    if alike and differs:
        report.error(
            f"{mapping_file}, {column.name!r}",
            f"the heading {shown(heading.text)} is in {heading.unit}, the mapping says {stated}",
            f'write unit = "{heading.unit}"; if the heading is wrong, have it corrected',
        )
