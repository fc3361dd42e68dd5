"""Workbooks of other kinds, several sheets as one list, and small files that unpack to much."""

from __future__ import annotations

import os
import threading
import zipfile
from pathlib import Path

import pytest
import xlwt

from configurator.supplier_lists import sheet_facts, workbook_safety
from configurator.supplier_lists.open_list import open_price_list
from tests.supplier_lists.lists import PRICES, proposed, refusal, rows_of
from tests.supplier_lists.test_workbooks import HEADS, ROW, changed, in_sheet, workbook

CONTENT = """<?xml version="1.0" encoding="UTF-8"?>
<office:document-content
 xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0"
 xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0"
 xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0" office:version="1.3">
<office:body><office:spreadsheet>{tables}</office:spreadsheet></office:body>
</office:document-content>"""
MANIFEST = """<?xml version="1.0" encoding="UTF-8"?>
<manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0"
 manifest:version="1.3"><manifest:file-entry manifest:full-path="/"
 manifest:media-type="application/vnd.oasis.opendocument.spreadsheet"/></manifest:manifest>"""


def cell(value: object, more: str = "") -> str:
    if isinstance(value, int | float):
        kind = more or 'office:value-type="float"'
        return f'<table:table-cell {kind} office:value="{value}"><text:p>{value}</text:p>' + (
            "</table:table-cell>"
        )
    return f'<table:table-cell office:value-type="string" {more}><text:p>{value}</text:p>' + (
        "</table:table-cell>"
    )


def table(name: str, rows: list[str]) -> str:
    return f'<table:table table:name="{name}">{"".join(rows)}</table:table>'


def row(*cells: str, more: str = "") -> str:
    return f"<table:table-row {more}>{''.join(cells)}</table:table-row>"


def document(path: Path, *tables: str) -> Path:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        archive.writestr("META-INF/manifest.xml", MANIFEST)
        archive.writestr("content.xml", CONTENT.format(tables="".join(tables)))
    return path


EURO = 'office:value-type="currency" office:currency="EUR"'


def test_an_open_document(tmp_path: Path) -> None:
    path = document(
        tmp_path / "prices.ods",
        table(
            "Tyres",
            [
                row(*map(cell, HEADS)),
                row(cell("A1"), cell("Tyre one"), cell(129.5, EURO), cell("30 in"), cell(8)),
                row(cell("A2"), cell("Two"), cell(99, EURO), cell("31 in"), cell(8),
                    more='table:visibility="collapse"'),
                row('<table:table-cell table:number-columns-repeated="1024"/>',
                    more='table:number-rows-repeated="1048000"'),
            ],
        ),
    )  # fmt: skip
    prices = open_price_list(path)
    assert "1 hidden row(s): 3" in prices.notes
    rows, report, _ = rows_of(prices, proposed(prices))
    assert [(row.number, row.price) for row in rows] == [("A1", 12950)]
    assert "the row is hidden" in report.errors[0].what
    assert next(row.cells[2] for row in prices.rows() if row.number == 2) == "129.5 EUR"


def test_a_workbook_of_the_old_kind(tmp_path: Path) -> None:
    book = xlwt.Workbook()
    sheet = book.add_sheet("Prices")
    for number, texts in enumerate((HEADS, ROW)):
        for column, text in enumerate(texts):
            sheet.write(number, column, text)
    path = tmp_path / "prices.xls"
    book.save(str(path))
    prices = open_price_list(path)
    assert "of the old kind" in prices.notes[0]
    rows, report, _ = rows_of(prices, proposed(prices))
    assert report.errors == []
    (only,) = rows
    assert (only.number, only.price, only.values["overall diameter"]) == ("A1", 12950, 0.762)


def test_a_list_with_tabs(tmp_path: Path) -> None:
    path = tmp_path / "prices.tsv"
    path.write_text(PRICES.replace(";", "\t"), encoding="utf-8")
    prices = open_price_list(path)
    assert prices.delimiter == "tab"
    assert len(rows_of(prices, proposed(prices))[0]) == 3


def test_several_sheets_are_one_list(tmp_path: Path) -> None:
    def fill(book, _) -> None:
        more = book.add_worksheet("More")
        more.write(0, 0, "Tyres of the second group")
        # Other order, two rows further down.
        for number, texts in enumerate((HEADS, ("A9", "Tyre nine", 99, "31 in", 10), ROW)):
            more.write_row(number + 2, 0, texts[::-1])

    path = workbook(tmp_path / "prices.xlsx", fill)
    mapping = proposed(open_price_list(path, sheet="Prices"))
    prices = open_price_list(path, sheets=["*"])
    assert prices.notes[0] == "read as one list: 'Prices', 'More'"
    rows, report, tally = rows_of(prices, mapping)
    assert report.errors == []
    assert [row.number for row in rows] == ["A1", "A9"]
    assert rows[1].place == "prices.xlsx sheet 'More' row 4"
    assert tally.alike == 1
    assert "there is no sheet 'Les'" in refusal(open_price_list, path, sheets=["Les"]).what


def test_a_pipe_is_no_list(tmp_path: Path) -> None:
    path = tmp_path / "pipe.csv"
    os.mkfifo(path)
    refused = []
    reading = threading.Thread(
        target=lambda: refused.append(refusal(open_price_list, path)), daemon=True
    )
    reading.start()
    reading.join(20)
    assert "a pipe or a device" in refused[0].what


def test_a_cell_far_out_makes_no_reader_lay_out_millions(tmp_path: Path) -> None:
    path = workbook(tmp_path / "prices.xlsx")
    end = f'<row r="{sheet_facts.MOST_ROWS}"><c r="SF{sheet_facts.MOST_ROWS}"><v>1</v></c></row>'
    changed(path, in_sheet("</sheetData>", f"{end}</sheetData>"))
    assert path.stat().st_size < 12_000
    assert "stands so far out that the sheet has 524,288,000 cells" in (
        refusal(open_price_list, path).what
    )


def test_cells_that_are_repeated_without_end(tmp_path: Path) -> None:
    many = 'table:number-rows-repeated="1000000"'
    wide = cell("x", 'table:number-columns-repeated="400"')
    path = document(tmp_path / "p.ods", table("A", [row(wide, more=many)]))
    assert "the sheet has 400,000,000 cells" in refusal(open_price_list, path).what
    path = document(tmp_path / "p.ods", table("A", [row(*[wide] * 2)]))
    assert "stands beyond column 500" in refusal(open_price_list, path).what


def test_one_long_text_that_all_cells_share(tmp_path: Path, monkeypatch) -> None:
    path = workbook(tmp_path / "prices.xlsx")

    def long(name: str, data: bytes) -> bytes:
        if not name.endswith("sharedStrings.xml"):
            return data
        return data.replace(b"Tyre one", b"x" * 40_000)

    changed(path, long)
    assert "a text of more than 32767 characters" in refusal(open_price_list, path).what
    monkeypatch.setattr(workbook_safety, "LARGEST_CELLS", 100)
    assert (
        "more than 10 characters, which 10 cells may share"
        in refusal(open_price_list, workbook(tmp_path / "p.xlsx")).what
    )


def test_a_document_type_is_found_whatever_the_part_is_called(tmp_path: Path) -> None:
    laughs = b'<?xml version="1.0"?>\n<!DOCTYPE x [<!ENTITY a "ha">]><x>&a;</x>'
    for name, data in (("xl/odd.bin", laughs), ("xl/odder.dat", laughs.decode().encode("utf-16"))):
        path = changed(workbook(tmp_path / "p.xlsx"), lambda _, old: old, **{name: data})
        assert "declares a document type" in refusal(open_price_list, path).what


@pytest.mark.parametrize("end", [60, 200, 600])
def test_a_workbook_that_is_cut_off(tmp_path: Path, end: int) -> None:
    path = workbook(tmp_path / "prices.xlsx")
    path.write_bytes(path.read_bytes()[:-end])
    refusal(open_price_list, path)


def _old_book(path: Path) -> Path:
    book = xlwt.Workbook()
    sheet = book.add_sheet("Prices")
    for column, text in enumerate(HEADS):
        sheet.write(0, column, text)
    book.save(str(path))
    return path


@pytest.mark.parametrize("name", ["list.xlsx", "list.xls", "list.ods", "list"])
def test_a_workbook_is_told_by_what_is_in_it(tmp_path: Path, name: str) -> None:
    for path in (
        _old_book(tmp_path / "old.xls"),
        document(tmp_path / "new.ods", table("Prices", [row(*map(cell, HEADS))])),
        workbook(tmp_path / "new.xlsx"),
    ):
        renamed = path.rename(tmp_path / name)
        first = next(iter(open_price_list(renamed).rows()))
        assert first.cells == tuple(HEADS)
