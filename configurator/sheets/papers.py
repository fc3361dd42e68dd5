"""A quotation as PDF, spreadsheet and Markdown; text of catalogs stays text in each of them."""

from __future__ import annotations

import json
import re
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator

Sheet = tuple[str, list[str], list[list[Any]]]


def pdf(data: dict[str, Any]) -> bytes:
    """Set a quotation in type; the data goes in as JSON, never as markup."""
    import typst

    template = Path(__file__).with_name("quotation.typ")
    return bytes(typst.compile(str(template), sys_inputs={"data": json.dumps(data)}))


def _tables(data: dict[str, Any]) -> Iterator[Sheet]:
    yield "Prices", ["Sum", "Price"], [[s["name"], s["price"]] for s in data["sums"]]
    asked = [[a["goal"], a["before"], a["after"]] for a in data["asked"]]
    yield "What was asked for", ["Asked", "As it stands", "Then"], asked
    keys = ("position", "title", "number", "pieces", "price")
    parts = [[p[key] for key in keys] for p in data["parts"]]
    yield "Parts", ["Position", "Part", "Number", "Pieces", "Price"], parts
    work = [[w["name"], w["hours"], w["price"]] for w in data["work"]]
    yield "Work", ["Operation", "Hours", "Price"], work


def xlsx(data: dict[str, Any], path: Path) -> None:
    """Write a quotation as a spreadsheet: amounts as numbers, every text as text."""
    import xlsxwriter

    book = xlsxwriter.Workbook(str(path))
    bold, amount = book.add_format({"bold": True}), book.add_format({"num_format": "#,##0.00"})
    for title, headings, rows in _tables(data):
        sheet = book.add_worksheet(title)
        for row, cells in enumerate([headings, *rows]):
            for column, cell in enumerate(cells):
                if isinstance(cell, dict):
                    sheet.write_number(row, column, float(Decimal(cell["amount"])), amount)
                elif isinstance(cell, int):
                    sheet.write_number(row, column, cell)
                else:
                    sheet.write_string(row, column, cell, None if row else bold)
        sheet.autofit()
    sheet = book.add_worksheet("Notes")
    lines = [data["title"], data["vehicle"], data["date"], f"valid until {data['valid']}"]
    for note in data["notes"]:
        lines += [note["heading"], *note["items"]] if note["items"] else []
    for row, line in enumerate(lines):
        sheet.write_string(row, 0, line)
    book.close()


def markdown(data: dict[str, Any]) -> str:
    """Write a quotation as Markdown without any HTML."""
    lines = [f"# Quotation: {_plain(data['title'])}", "", _plain(data["vehicle"]), ""]
    lines += [f"{_plain(data['workshop'])}, {data['date']}; valid until {data['valid']}", ""]
    for title, headings, rows in _tables(data):
        lines += [f"## {title}", "", _row(headings), _row(["---"] * len(headings), raw=True)]
        lines += [*(_row(cells) for cells in rows), ""]
    for note in data["notes"]:
        if note["items"]:
            lines += [f"## {note['heading']}", "", *(f"- {_plain(i)}" for i in note["items"]), ""]
    return "\n".join(lines)


def _row(cells: list[Any], *, raw: bool = False) -> str:
    texts = [cell["text"] if isinstance(cell, dict) else str(cell) for cell in cells]
    return f"| {' | '.join(text if raw else _plain(text) for text in texts)} |"


def _plain(text: str) -> str:
    r"""Keep signs that mean something in Markdown or HTML from meaning it.

    Examples
    --------
    >>> print(_plain("a|b <i>"))
    a\|b \<i\>
    """
    return re.sub(r"([\\`*_\[\]<>|#&])", r"\\\1", text)
