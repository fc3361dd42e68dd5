"""An empty list of a family for a shop to fill in: headings, units, meanings, one example."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from typing import TYPE_CHECKING

from configurator.core.text import Misread
from configurator.core.units import PLAIN
from configurator.files.part_columns import (
    COMMON_COLUMNS,
    LEAD_TIME,
    PART_NUMBER,
    POSITION,
    PRICE,
    TITLE,
)
from configurator.model.kinds import kind_of
from configurator.model.parts import attributes_of
from configurator.model.values import reader

if TYPE_CHECKING:
    from typing import Any

    from configurator.model.parts import Attribute, Family

EXAMPLE_NUMBER = "EXAMPLE-1"
MEANINGS = "meanings"
ROWS_WITH_LISTS = 5000  # rows of the spreadsheet whose cells offer the words allowed


@dataclass(frozen=True, slots=True)
class TemplateColumn:
    """A column of an empty list.

    Parameters
    ----------
    heading
        As the first row has it, with the unit in brackets.
    meaning
        What belongs into it.
    kind
        What its cells are, in words.
    required
        Whether every row needs it.
    example
        What the example row has in it.
    words
        The words allowed, if there are only some.
    numeric
        Whether cells are numbers; all others are kept as text.
    """

    heading: str
    meaning: str
    kind: str
    required: bool
    example: str
    words: tuple[str, ...] = ()
    numeric: bool = False


def template(family: Family, currency: str = "") -> tuple[TemplateColumn, ...]:
    """List the columns of an empty list of a family, in the order of the sheet.

    Parameters
    ----------
    family
        Whose list it is.
    currency
        Of the prices; empty for the catalog's.

    Examples
    --------
    >>> from configurator.model.parts import Attribute, Family, Position
    >>> winches = Family(
    ...     "winches", "Winches", (Position("winch"),), (Attribute("pull", "On the drum.", "kN"),)
    ... )
    >>> [column.heading for column in template(winches, "EUR")][:4]
    ['part number', 'title', 'price [EUR]', 'maker']
    """
    places = tuple(place.name for place in family.positions)
    positions = places if len(places) <= 1 else (*places, " | ".join(places))
    common = {
        PART_NUMBER: ("The number that the part is ordered by; each only once.", EXAMPLE_NUMBER),
        TITLE: ("What it is, as it shall stand on a quotation.", "Example: overwrite or delete"),
        PRICE: ("Of one piece, as the customer pays it, tax included.", "100.00"),
        "maker": ("Who makes it.", ""),
        LEAD_TIME: ("Days until it is there; weeks are read too if the heading says so.", "7"),
        POSITION: ("Where it fits, divided by |; empty if it fits everywhere.", ""),
        "note": ("Anything worth knowing.", ""),
    }
    columns = []
    for name in COMMON_COLUMNS:
        meaning, example = common[name]
        heading = {PRICE: f"{PRICE} [{currency}]" if currency else PRICE}.get(name, name)
        columns.append(
            TemplateColumn(
                f"{LEAD_TIME} [day]" if name == LEAD_TIME else heading,
                meaning,
                "number" if name in (PRICE, LEAD_TIME) else "text",
                name in (PART_NUMBER, TITLE, PRICE),
                example,
                positions if name == POSITION else (),
                name in (PRICE, LEAD_TIME),
            )
        )
    return (*columns, *(_attribute_column(attribute) for attribute in attributes_of(family)))


def _attribute_column(attribute: Attribute) -> TemplateColumn:
    kind = kind_of(attribute)
    unit = f" [{attribute.unit}]" if kind.numeric and attribute.unit not in PLAIN else ""
    return TemplateColumn(
        f"{attribute.name}{unit}",
        attribute.meaning,
        kind.cells,
        attribute.required,
        _example(attribute),
        kind.words(attribute),
        kind.numeric,
    )


def _example(attribute: Attribute) -> str:
    """Take the declared example, or a value that is sound if there is none."""
    for text in (attribute.example, *attribute.choices[:1], kind_of(attribute).sample(attribute)):
        try:
            if text:
                reader(attribute, attribute.unit)(text)
                return text
        except Misread:
            continue
    return ""


def csv_template(columns: tuple[TemplateColumn, ...]) -> str:
    """Write headings and example as CSV, which is a sound part list as it is."""
    text = io.StringIO(newline="")
    rows = csv.writer(text, lineterminator="\n")
    rows.writerow([column.heading for column in columns])
    rows.writerow([column.example for column in columns])
    return text.getvalue()


def xlsx_template(family: Family, columns: tuple[TemplateColumn, ...]) -> bytes:
    """Make a workbook: the list with lists of the words allowed, and a sheet of meanings."""
    import xlsxwriter

    data = io.BytesIO()
    with xlsxwriter.Workbook(data, {"strings_to_formulas": False, "in_memory": True}) as book:
        bold = book.add_format({"bold": True, "text_wrap": True, "valign": "top"})
        needed = book.add_format(
            {"bold": True, "text_wrap": True, "valign": "top", "bottom": 2}  # a thick line below
        )
        # As text, so that no code is turned into a date and no number loses its zeros in front.
        as_text = book.add_format({"num_format": "@"})
        sheet = book.add_worksheet(family.key[:31])
        for index, column in enumerate(columns):
            form = None if column.numeric else as_text
            sheet.set_column(index, index, max(10, min(24, len(column.heading) + 2)), form)
            sheet.write_string(0, index, column.heading, needed if column.required else bold)
            sheet.write_comment(0, index, _remark(column), {"x_scale": 1.6})
            _write_example(sheet, index, column, as_text)
            if column.words:
                sheet.data_validation(1, index, ROWS_WITH_LISTS, index, _list_of(column.words))
        sheet.freeze_panes(1, 1)
        about = book.add_worksheet(MEANINGS)
        headings = ("column", "needed", "what its cells are", "meaning", "words allowed", "example")
        for index, text in enumerate(headings):
            about.write_string(0, index, text, bold)
        for row, column in enumerate(columns, start=1):
            for index, text in enumerate(
                (
                    column.heading,
                    "yes" if column.required else "no",
                    column.kind,
                    column.meaning,
                    ", ".join(column.words),
                    column.example,
                )
            ):
                about.write_string(row, index, text)
        about.autofit()
    return data.getvalue()


def _remark(column: TemplateColumn) -> str:
    words = f"\nOne of: {', '.join(column.words)}" if column.words else ""
    needed = "needed in every row" if column.required else "may be left out"
    return f"{column.meaning}\n({column.kind}; {needed}){words}"


def _write_example(sheet: Any, index: int, column: TemplateColumn, as_text: Any) -> None:
    if column.numeric and column.example:
        try:
            sheet.write_number(1, index, float(column.example))
        except ValueError:  # an example with a unit of its own
            sheet.write_string(1, index, column.example)
    else:
        sheet.write_string(1, index, column.example, as_text)


def _list_of(words: tuple[str, ...]) -> dict[str, object]:
    """Make the list a cell offers; a warning only where a spreadsheet has no room for all words."""
    # The words of a list may fill 255 characters, and none may hold a comma.
    if sum(len(word) + 1 for word in words) > 255 or any("," in word for word in words):
        return {
            "validate": "length",
            "criteria": ">=",
            "value": 0,
            "input_title": "Words allowed",
            "input_message": f"See the sheet {MEANINGS!r}.",
        }
    return {
        "validate": "list",
        "source": list(words),
        "error_title": "Not one of the words",
        "error_message": "Choose one from the list, or several positions divided by |.",
        "error_type": "stop" if "|" not in "".join(words) else "warning",
    }
