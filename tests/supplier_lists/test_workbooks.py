"""Workbooks: what is read of them, and what is refused before it is opened."""

from __future__ import annotations

import datetime
import re
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
import xlsxwriter

from configurator.supplier_lists import sheet_facts, workbook_safety
from configurator.supplier_lists.headings import heading_rows, headings_at
from configurator.supplier_lists.open_list import open_price_list
from tests.supplier_lists.lists import proposed, refusal, rows_of

HEADS = ("Art. no.", "Description", "Price [EUR]", "Overall diameter", "Plies")
ROW = ("A1", "Tyre one", 129.5, "30 in", 8)


def workbook(path: Path, fill: Callable | None = None, rows: tuple = (ROW,)) -> Path:
    with xlsxwriter.Workbook(str(path)) as book:
        sheet = book.add_worksheet("Prices")
        for number, row in enumerate((HEADS, *rows)):
            for column, cell in enumerate(row):
                sheet.write(number, column, cell)
        if fill is not None:
            fill(book, sheet)
    return path


def changed(path: Path, change: Callable[[str, bytes], bytes | None], **more: bytes) -> Path:
    """Rewrite the files inside a workbook."""
    with zipfile.ZipFile(path) as archive:
        members = {member: archive.read(member) for member in archive.namelist()}
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in {**members, **more}.items():
            new = change(name, data)
            if new is not None:
                archive.writestr(name, new)
    return path


def in_sheet(old: str, new: str) -> Callable[[str, bytes], bytes]:
    def change(name: str, data: bytes) -> bytes:
        if not name.endswith("sheet1.xml"):
            return data
        assert re.search(old, data.decode()), data
        return re.sub(old, new, data.decode(), count=1).encode()

    return change


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "prices.xlsx"


def cells(path: Path, row: int, **how: str) -> tuple[str, ...]:
    return next(
        row_read.cells for row_read in open_price_list(path, **how).rows() if row_read.number == row
    )


def test_values_as_text(path: Path) -> None:
    def fill(book, sheet) -> None:
        date = book.add_format({"num_format": "d-mmm"})
        for column, (cell, form) in enumerate(
            [
                (129.49999999999997, ""),
                (129.5, '#,##0.00 "€"'),
                (129.5, "[$USD] #,##0.00"),
                (0.35, "0%"),
                (31.5, '0.0" in"'),
                (42, "00000"),
                (True, ""),
                (123456789012345678, ""),
                (datetime.date(2005, 4, 5), date),
                ("a\u0308", ""),
                (762.0, ""),
            ]
        ):
            form = book.add_format({"num_format": form}) if isinstance(form, str) else form
            sheet.write(5, column, cell, form)
        sheet.write_string(6, 0, "=1+1")
        sheet.write_string(6, 1, "<b>x</b>&amp; ../../etc")

    workbook(path, fill)
    assert cells(path, 6) == (
        "129.5", "129.5 €", "129.5 USD", "35 %", "31.5 in", "00042", "yes", "1.23456789012346E+17",
        "2005-04-05", "ä", "762",
    )  # fmt: skip
    assert cells(path, 7)[:2] == ("=1+1", "<b>x</b>&amp; ../../etc")


def test_a_list_is_read_from_it(path: Path) -> None:
    prices = open_price_list(workbook(path))
    rows, report, _ = rows_of(prices, proposed(prices))
    assert report.errors == []
    (row,) = rows
    assert (row.number, row.price, row.values["overall diameter"]) == ("A1", 12950, 0.762)
    assert row.place == "prices.xlsx sheet 'Prices' row 2"


def test_formulas_are_never_worked_out(path: Path) -> None:
    def fill(_, sheet) -> None:
        sheet.write_formula(1, 2, "=100+1", None, 77)
        sheet.write_row(2, 0, ("A2", "Tyre two"))
        sheet.write_formula(2, 2, "=100+2", None, "")
        sheet.write(2, 3, "31 in")

    changed(workbook(path, fill), in_sheet(r"<f>100\+2</f><v></v>", "<f>100+2</f>"))
    prices = open_price_list(path)
    assert "2 cell(s) hold formulas, the first is C2" in str(prices.notes)
    rows, report, tally = rows_of(prices, proposed(prices))
    assert [row.price for row in rows] == [7700]
    (problem,) = report.errors
    assert problem.where == "prices.xlsx sheet 'Prices' cell C3 ('Price [EUR]')"
    assert "never saved" in problem.what
    assert tally.bad == 1


def test_errors_of_the_spreadsheet(path: Path) -> None:
    changed(workbook(path), in_sheet(r'<c r="B2".*?</c>', '<c r="B2" t="e"><v>#N/A</v></c>'))
    prices = open_price_list(path)
    _, report, _ = rows_of(prices, proposed(prices))
    assert ["#N/A" in error.what for error in report.errors] == [True]
    assert "cell B2" in report.errors[0].where


def test_what_is_hidden_or_merged_is_named(path: Path) -> None:
    def fill(book, sheet) -> None:
        sheet.set_row(1, None, None, {"hidden": True})
        sheet.set_column(1, 1, None, None, {"hidden": True})
        sheet.merge_range(4, 0, 4, 2, "A note over three columns")
        book.add_worksheet("Costs").hide()
        book.get_worksheet_by_name("Costs").write(0, 0, "secret")

    prices = open_price_list(workbook(path, fill))
    text = " / ".join(prices.notes)
    for sentence in (
        "hidden sheets: 'Costs'",
        "1 hidden row(s): 2",
        "hidden column(s): B",
        "1 merged area(s), the first at A5",
    ):
        assert sentence in text
    mapping = proposed(prices)
    assert not mapping.columns["title"].confirmed
    assert "hidden in the sheet" in mapping.columns["title"].why
    # Hidden rows are neither taken nor left out until somebody says so.
    rows, report, _ = rows_of(prices, mapping)
    assert rows == []
    assert "hidden_rows" in report.errors[0].do


@pytest.mark.parametrize(("choice", "count"), [("take", 1), ("leave out", 0)])
def test_hidden_rows_as_the_mapping_says(path: Path, choice: str, count: int) -> None:
    import dataclasses

    def fill(_, sheet) -> None:
        sheet.set_row(1, None, None, {"hidden": True})

    prices = open_price_list(workbook(path, fill))
    mapping = dataclasses.replace(proposed(prices), hidden_rows=choice)
    rows, report, tally = rows_of(prices, mapping)
    assert (len(rows), tally.hidden, report.errors) == (count, 1 - count, [])


def test_names_with_a_prefix_are_seen_too(path: Path) -> None:
    def prefixed(name: str, data: bytes) -> bytes:
        if not name.endswith("sheet1.xml"):
            return data
        text = re.sub(r"<(/?)(?=[a-z])", r"<\1x:", data.decode()).replace("xmlns=", "xmlns:x=")
        return text.replace('<x:row r="2"', '<x:row hidden="1" r="2"').encode()

    changed(workbook(path), prefixed)
    assert cells(path, 2) == ("A1", "Tyre one", "129.5", "30 in", "8")
    assert "1 hidden row(s): 2" in str(open_price_list(path).notes)


def test_which_sheet(path: Path) -> None:
    def fill(book, _) -> None:
        book.add_worksheet("empty")
        book.add_worksheet("More").write_row(0, 0, "xyz")

    workbook(path, fill)
    problem = refusal(open_price_list, path)
    assert problem.what == "2 sheets hold something"
    assert "'Prices', 'More'" in problem.do
    assert open_price_list(path, sheet="More").sheet == "More"
    assert open_price_list(path, prefer="More").sheet == "More"
    assert "there is no sheet 'Mor'" in refusal(open_price_list, path, sheet="Mor").what


def test_a_sheet_of_notes_is_no_list(path: Path) -> None:
    def fill(book, _) -> None:
        notes = book.add_worksheet("Terms")
        for row, text in enumerate(("Terms of delivery", "Errors excepted.")):
            notes.write(row, 0, text)

    workbook(path, fill)
    prices = open_price_list(path)
    assert prices.sheet == "Prices"
    assert "'Terms'" in str(prices.notes)
    assert open_price_list(path, sheet="Terms").sheet == "Terms"


def test_headings_of_which_some_stand_over_several_columns(path: Path) -> None:
    with xlsxwriter.Workbook(str(path)) as book:
        sheet = book.add_worksheet()
        for column, text in ((0, "Art. no."), (1, "Description"), (4, "Price €")):
            sheet.merge_range(0, column, 1, column, text)
        sheet.merge_range(0, 2, 0, 3, "Rim width (in)")
        sheet.write_row(1, 2, ("min", "max"))
        sheet.write_row(2, 0, ("A1", "One", 6.5, 8, 100))
    prices = open_price_list(path)
    words = frozenset(("art", "no", "description", "rim", "width", "price"))
    rows, why = heading_rows(prices, words)
    assert rows == (1, 2)
    assert "row 2 below it says what each is" in why
    assert [heading.text for heading in headings_at(prices, rows)] == [
        "Art. no.", "Description", "Rim width (in) min", "Rim width (in) max", "Price €",
    ]  # fmt: skip


def test_two_rows_of_headings(path: Path) -> None:
    def fill(_, sheet) -> None:
        sheet.write(10, 0, "Prices of a maker, valid from November")
        sheet.merge_range(12, 2, 12, 3, "Sizes")
        sheet.write_row(13, 0, ("Art. no.", "Description", "Overall diameter", "Section width"))
        sheet.write_row(14, 2, ("in", "mm"))
        sheet.write(13, 4, "Price €")
        sheet.write_row(15, 0, ("A1", "One", 30, 255, 100))

    workbook(path, fill, rows=())
    # The sheet begins with other headings; those that are meant are named.
    from configurator.supplier_lists.proposing import propose
    from tests.small_trade import TYRES

    mapping, _ = propose(open_price_list(path), TYRES, (14, 15))
    columns = {name: (column.heading, column.unit) for name, column in mapping.columns.items()}
    assert columns == {
        "part number": ("Art. no.", ""),
        "title": ("Description", ""),
        "price": ("Price €", "EUR"),
        "overall diameter": ("Overall diameter (in)", "in"),
        "section width": ("Section width (mm)", "mm"),
    }
    assert all(column.confirmed for column in mapping.columns.values())


def test_other_files_and_macros_are_told(path: Path) -> None:
    changed(
        workbook(path),
        lambda _, data: data,
        **{"xl/externalLinks/externalLink1.xml": b"<externalLink/>", "xl/vbaProject.bin": b"x"},
    )
    notes = " / ".join(open_price_list(path).notes)
    assert "draw on 1 other file(s); they were not looked into" in notes
    assert "holds macros; they were not run" in notes


# -- what is not opened at all -------------------------------------------------------------------


def test_a_workbook_that_unpacks_to_too_much(path: Path, monkeypatch) -> None:
    def bomb(name: str, data: bytes) -> bytes:
        return data + b" " * 3_000_000 if name.endswith(("sheet1.xml", "styles.xml")) else data

    changed(workbook(path), bomb)
    assert path.stat().st_size < 30_000
    monkeypatch.setattr(workbook_safety, "LARGEST_WORKBOOK", 5_000_000)
    opened = []
    monkeypatch.setattr(workbook_safety, "_refuse_document_type", lambda *_: opened.append(1))
    assert "unpacks to 6 MB; it was not opened" in refusal(open_price_list, path).what
    monkeypatch.setattr(workbook_safety, "LARGEST_WORKBOOK", 50_000_000)
    monkeypatch.setattr(workbook_safety, "LARGEST_OTHER", 2_000_000)
    problem = refusal(open_price_list, path)
    assert "'xl/styles.xml' unpacks to 3 MB" in problem.what
    assert opened == []  # refused by the sizes that the archive states, before anything is unpacked


def test_a_size_that_is_a_lie(path: Path) -> None:
    # The directory says 100 bytes, the data hold a megabyte: no more than stated is unpacked.
    changed(workbook(path), lambda n, d: d + b" " * 1_000_000 if n.endswith("sheet1.xml") else d)
    data = bytearray(path.read_bytes())
    with zipfile.ZipFile(path) as archive:
        size = archive.getinfo("xl/worksheets/sheet1.xml").file_size
    stated = size.to_bytes(4, "little")
    assert data.count(stated) == 2
    path.write_bytes(bytes(data).replace(stated, (100).to_bytes(4, "little")))
    refusal(open_price_list, path)


@pytest.mark.parametrize("member", ["xl/worksheets/sheet1.xml", "xl/workbook.xml", "xl/new.xml"])
def test_entities_that_multiply(path: Path, member: str) -> None:
    laughs = b'<!DOCTYPE x [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;">]><x>&b;</x>'
    changed(workbook(path), lambda name, data: laughs if name == member else data)
    if member == "xl/new.xml":
        changed(path, lambda _, data: data, **{member: laughs})
    problem = refusal(open_price_list, path)
    assert problem.what == f"its part {member!r} declares a document type; it was not opened"


@pytest.mark.parametrize(
    ("old", "new", "what"),
    [
        ('r="A2"', 'r="ABCDEFG2"', "a cell 'ABCDEFG2' cannot be there"),
        ('r="A2"', 'r="A3"', "a cell 'A3' cannot be there"),
        ('r="A2"', 'r="-1"', "cannot be there"),
        ('<row r="2"', '<row r="99999999999"', "cannot be"),
        ('<row r="2"', '<row r="0"', "cannot be"),
        ('<c r="E2"', '<c r="XFD2"', "stands beyond column 500"),
        ("</row>", "", "no sound XML"),
        ('<row r="1"', '<row r="7"', "row 2 stands below row 7|cannot be there"),
    ],
)
def test_cells_that_cannot_be(path: Path, old: str, new: str, what: str) -> None:
    changed(workbook(path), in_sheet(old, new))
    problem = refusal(open_price_list, path)
    assert re.search(what, problem.what), problem
    assert problem.where.startswith("prices.xlsx")


@pytest.mark.parametrize("encoding", ["XFD1", "utf-7", "cp932", "idna", ""])
def test_an_encoding_that_xml_does_not_have(path: Path, encoding: str) -> None:
    changed(workbook(path), in_sheet('encoding="UTF-8"', f'encoding="{encoding}"'))
    problem = refusal(open_price_list, path)
    assert "'xl/worksheets/sheet1.xml' is no sound XML" in problem.what


@pytest.mark.parametrize(
    ("new", "what"),
    [
        ("<sheetData>" + " " * 300_000, "a text that has no end"),
        ("<sheetData><!--" + "x" * 300_000 + "-->", "has no end"),
        (f"<sheetData x='{'x' * 300_000}'>", "has no end"),
        ("<sheetData>" + "<x/>" * 3000, "more cells or settings"),
        ("<sheetData><row r='1'>" + "<c/>" * 3000 + "</row>", "more cells or settings"),
        ("<sheetData><row r='1'>" + "<c r='A1'/>" * 3000 + "</row>", "more cells or settings"),
        ("<sheetData><row r='1'/>", "row 1 stands below row 1"),
    ],
)
def test_what_would_fill_the_memory(path: Path, monkeypatch, new: str, what: str) -> None:
    for name, most in (
        ("LONGEST_TAG", 100_000),
        ("LONGEST_TEXT", 100_000),
        ("MOST_IN_ROW", 1000),
        ("MOST_BESIDE_ROWS", 1000),
    ):
        monkeypatch.setattr(sheet_facts, name, most)
    workbook(path)
    open_price_list(path)
    changed(path, in_sheet("<sheetData>", new))
    problem = refusal(open_price_list, path)
    assert what in problem.what
    assert problem.where.startswith("prices.xlsx")


def test_too_many_files_in_it(path: Path) -> None:
    more = {f"x{number}.xml": b"<x/>" for number in range(workbook_safety.MOST_MEMBERS)}
    changed(workbook(path), lambda _, data: data, **more)
    assert "files" in refusal(open_price_list, path).what


@pytest.mark.parametrize(
    ("data", "what"),
    [
        (b"PK\x03\x04 and nothing more", "damaged"),
        (b"PK", "damaged"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "cannot be read as a workbook"),
        (b"%PDF-1.7", "neither a workbook nor CSV"),
    ],
)
def test_no_workbook(path: Path, data: bytes, what: str) -> None:
    path.write_bytes(data)
    problem = refusal(open_price_list, path)
    assert what in problem.what
    assert problem.where == "prices.xlsx"


def test_no_file(tmp_path: Path) -> None:
    assert "cannot be opened" in refusal(open_price_list, tmp_path / "none.xlsx").what
    assert "cannot be opened" in refusal(open_price_list, tmp_path / "no\0ne.xlsx").what
    assert "cannot be opened" in refusal(open_price_list, tmp_path).what


@pytest.mark.parametrize("gone", ["xl/workbook.xml", "[Content_Types].xml"])
def test_a_part_is_missing(path: Path, gone: str) -> None:
    changed(workbook(path), lambda name, data: None if name == gone else data)
    assert "cannot be read as a workbook" in refusal(open_price_list, path).what
