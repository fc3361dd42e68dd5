"""A table that goes over pages leaves no row alone; its numbers stay numbers in a spreadsheet."""

from __future__ import annotations

import io
import re

import openpyxl
import pypdf
import pytest

from configurator.documents import formats
from configurator.documents.layout import Number, Section, Sheet, SheetColumn, SheetTable
from configurator.documents.number_style import Writing, figure, locale_of

pytestmark = pytest.mark.wheel

ROWS = 12


def rows_of_pages(before: int, *, last: bool, long: str = "") -> list[list[int]]:
    """Set a table below some lines of text and give the rows that stand on each page."""
    rows = tuple((f"row{i}", f"as it is {long if i == 3 else ''}") for i in range(ROWS))
    table = SheetTable((SheetColumn("No.", 0), SheetColumn("What")), rows, last)
    above = Section("Above", items=tuple(f"line {n}" for n in range(before)))
    sheet = Sheet("Sheet", "rows", (), (above, Section("Below", ("Said.",), table=table)))
    pages = pypdf.PdfReader(io.BytesIO(formats.pdf(sheet))).pages
    return [[int(n) for n in re.findall(r"\brow(\d+)\b", page.extract_text())] for page in pages]


@pytest.mark.parametrize("last", [False, True])
def test_neither_the_first_nor_the_last_row_stands_alone(last):
    broken = 0
    for before in range(24, 50):
        pages = [rows for rows in rows_of_pages(before, last=last) if rows]
        assert [row for page in pages for row in page] == list(range(ROWS))
        assert len(pages[0]) >= 2
        assert len(pages[-1]) >= (3 if last else 2)
        broken += len(pages) > 1
    assert broken > 5


@pytest.mark.parametrize("width", [1.5, 2.0, 2.3, 2.7, 3.1, 3.7])
def test_a_number_and_its_unit_stay_on_one_line(width):
    lengths = [f"1,{number} mm" for number in range(300, 340)]
    table = SheetTable(
        (SheetColumn("What", 1), SheetColumn("Else", width)), ((" ".join(lengths), "x"),)
    )
    sheet = Sheet("Sheet", "rows", (), (Section("Narrow", table=table),))
    text = pypdf.PdfReader(io.BytesIO(formats.pdf(sheet))).pages[0].extract_text()
    assert [length for length in lengths if length not in text] == []


def test_a_row_longer_than_a_page_is_still_shown_whole():
    words = " ".join(f"word{n}" for n in range(1200))
    table = SheetTable(
        (SheetColumn("No.", 0), SheetColumn("What")), (("row0", "short"), ("row1", words))
    )
    sheet = Sheet("Sheet", "rows", (), (Section("Long", table=table),))
    pages = pypdf.PdfReader(io.BytesIO(formats.pdf(sheet))).pages
    text = " ".join(page.extract_text() for page in pages)
    assert len(pages) > 1
    assert "word0 " in text
    assert "word1199" in text


@pytest.mark.parametrize(
    ("value", "unit", "system", "message", "number"),
    [
        (2.605, "kg", None, "2.605 kg", 2.605),
        (0.67369695, "deg", None, "38.6°", 38.6),
        (0.3, "mm", "imperial", "11.81 in", 11.81),
        (7.0, "m/s2", "imperial", "22.97 ft/s²", 22.97),
        (0.065, "%", None, "6.5 %", 6.5),
    ],
)
def test_a_figure_is_the_number_that_is_printed_with_its_unit(
    tmp_path, value, unit, system, message, number
):
    cell = figure(Writing(locale_of("en_GB"), "EUR", system), value, unit)
    assert isinstance(cell, Number)
    assert cell.text == message
    table = SheetTable((SheetColumn("What"), SheetColumn("Now")), (("=1+1", cell),))
    formats.write(Sheet("Sheet", "x", (), (Section("Tab", table=table),)), tmp_path / "x.xlsx")
    what, now = openpyxl.load_workbook(tmp_path / "x.xlsx")["Tab"][2]
    assert (what.data_type, what.value) == ("s", "=1+1")
    assert (now.data_type, now.value) == ("n", number)
    behind = message[len(message.rstrip("°% abcdefghijklmnopqrstuvwxyz/²")) :]
    assert now.number_format.endswith(f'"{behind}"')
    places = len(str(number).partition(".")[2])
    assert now.number_format.startswith(f"#,##0.{'0' * places}")


@pytest.mark.parametrize(("paper", "number"), [("a4", 9), ("us-letter", 1)])
def test_a_spreadsheet_prints_on_the_readers_paper(tmp_path, paper, number):
    table = SheetTable((SheetColumn("What"),), (("text",),))
    sheet = Sheet("Sheet", "x", (), (Section("Tab", ("Said.",), table=table),), paper)
    formats.write(sheet, tmp_path / "x.xlsx")
    book = openpyxl.load_workbook(tmp_path / "x.xlsx")
    assert [tab.page_setup.paperSize for tab in book] == [number, number]
    assert all(tab.sheet_properties.pageSetUpPr.fitToPage for tab in book)


def test_a_value_without_a_number_stays_words():
    assert figure(Writing(locale_of("en_GB"), "EUR"), float("inf"), "mm") == "no limit mm"
    assert figure(Writing(locale_of("en_GB"), "EUR"), None, "mm") == "not known"
