"""Read the part list as it stands in the catalog, row by row."""

from __future__ import annotations

import contextlib
import csv
from dataclasses import dataclass
from typing import TYPE_CHECKING

from configurator.core import money, units
from configurator.core.errors import InputError
from configurator.core.text import Misread, Report, shown
from configurator.files.part_columns import (
    LEAD_TIME,
    PART_NUMBER,
    PRICE,
    TITLE,
    ListInReading,
    heading_name,
    headings_of,
)
from configurator.model.parts import attributes_of
from configurator.supplier_lists.rows import ListRow, comparable
from configurator.supplier_lists.text_tables import DELIMITERS, open_text

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from pathlib import Path

    from configurator.model.parts import Family


@dataclass(frozen=True, slots=True)
class EarlierList:
    """The list as it stands: our columns with their units, and the remarks beside them.

    ``units`` holds column → unit of its heading, ``""`` for none.
    """

    units: dict[str, str]
    remarks: tuple[str, ...]
    rows: Iterator[ListRow]


def earlier_list(
    path: Path,
    family: Family,
    currency: str,
    report: Report,
    former: Mapping[str, str] | None = None,
) -> EarlierList | None:
    """Open the list as it stands.

    Parameters
    ----------
    path
        Of the list.
    family
        Whose parts it lists.
    currency
        Of the catalog.
    report
        Takes what is wrong with it, while its rows are read too.
    former
        Old name → new, of its columns.

    Returns
    -------
    EarlierList or None
        None if there is no such list, or not one part in it.
    """
    if not path.exists():
        return None
    text = open_text(path, "utf-8", _delimiter(path, family))
    rows = text.rows()
    first = next((row for row in rows if any(map(str.strip, row.cells))), None)
    if first is None:
        return None
    where = f"{path.parent.name}/{path.name}"
    scratch = Report()
    sheet = ListInReading(path.name, where, family, "", currency, scratch)
    sheet.former = former or {}
    sheet.divider = next(sign for sign, name in DELIMITERS.items() if name == text.delimiter)
    headings = headings_of(list(first.cells), first.number, sheet)
    report.errors.extend(scratch.errors)
    if headings is None or report.errors:
        return None
    attributes = {attribute.name: attribute for attribute in attributes_of(family)}
    stated: dict[str, str] = {}
    for column in headings.columns:
        unit = heading_name(column.heading)[1] or ""
        stated[column.name] = "day" if column.name == LEAD_TIME else unit
    others = [(index, heading) for index, heading in headings.others]

    def each() -> Iterator[ListRow]:
        for row in rows:
            if not any(map(str.strip, row.cells)):
                continue
            cells: dict[str, str] = {}
            values: dict[str, object] = {}
            for column in headings.columns:
                written = row.cells[column.index] if column.index < len(row.cells) else ""
                if not written.strip():
                    continue
                try:
                    value = column.read(written)
                except Misread as problem:
                    report.misread(
                        f"{where} row {row.number}, column {shown(column.heading)}", problem
                    )
                    continue
                values[column.name] = comparable(value)
                if column.name == PRICE and isinstance(value, int):
                    cells[column.name] = money.amount(value, currency)
                elif column.name == LEAD_TIME:
                    cells[column.name] = str(value)
                elif column.numeric and isinstance(value, float):
                    unit = stated[column.name] or attributes[column.name].unit
                    cells[column.name] = units.write(value, unit).split(" ")[0]
                else:
                    cells[column.name] = written.strip()
            for index, heading in others:
                remark = row.cells[index].strip() if index < len(row.cells) else ""
                if remark:
                    cells[f"*{heading}"] = remark
            number, price = str(values.get(PART_NUMBER, "")), values.get(PRICE, 0)
            yield ListRow(
                number,
                f"{where} row {row.number}",
                price if isinstance(price, int) else 0,
                str(values.get(TITLE, "")),
                cells,
                values,
            )

    return EarlierList(stated, tuple(heading for _, heading in others), each())


def numbers_of_other_lists(path: Path, family: Family) -> Iterator[tuple[str, str]]:
    """Yield part number and place of all other lists of a catalog, as far as they can be read.

    A part number is given once in a catalog; what else is wrong with those lists is not asked.
    """
    for other in sorted(path.parent.glob("*.csv")):
        if other.name == path.name:
            continue
        column = None
        with contextlib.suppress(InputError):
            for row in open_text(other, "utf-8", _delimiter(other, family)).rows():
                if column is None:
                    names = [heading_name(cell)[0] for cell in row.cells]
                    if not any(names):
                        continue
                    if not {PART_NUMBER, TITLE} <= {*names}:  # what a shop lays over is no list
                        break
                    column = names.index(PART_NUMBER)
                elif column < len(row.cells) and row.cells[column].strip():
                    yield row.cells[column].strip(), f"{other.name} row {row.number}"


def _delimiter(path: Path, family: Family) -> str:
    """Choose the divider that makes the most known headings, as the reading of lists does."""
    known = {attribute.name.casefold() for attribute in attributes_of(family)} | {
        PART_NUMBER,
        TITLE,
        PRICE,
    }
    with path.open(encoding="utf-8-sig", errors="replace", newline="") as stream:
        line = next((item for item in stream if item.strip(' ;,\t"\r\n')), "")

    def hits(sign: str) -> tuple[int, int]:
        try:
            cells = next(csv.reader([line], delimiter=sign), [])
        except csv.Error:
            return 0, 0
        return sum(heading_name(cell)[0] in known for cell in cells), len(cells)

    return max((";", "\t", ","), key=hits)
