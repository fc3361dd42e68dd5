"""An empty list of every family: sound as it is, and filled in, for the import and as a list."""

from __future__ import annotations

import datetime
import re
from pathlib import Path

import openpyxl
import pytest

from configurator.files import catalog_files
from configurator.files.templates import EXAMPLE_NUMBER, csv_template, template, xlsx_template
from configurator.supplier_lists import taking_over
from configurator.supplier_lists.mapping import doubtful
from configurator.supplier_lists.open_list import open_price_list
from configurator.supplier_lists.proposing import propose
from tests import bundled

TRADE = bundled.trade()
ABOUT = 'title = "x"\ncurrency = "EUR"\nprice_date = 2026-10-01\nsource = "x"\n'


@pytest.mark.parametrize("key", sorted(TRADE.families))
def test_an_empty_list_is_a_sound_list(tmp_path: Path, key: str) -> None:
    folder = tmp_path / "shop"
    folder.mkdir()
    (folder / "catalog.toml").write_text(ABOUT, encoding="utf-8")
    columns = template(TRADE.families[key], "EUR")
    (folder / f"{key}.csv").write_text(csv_template(columns), encoding="utf-8")
    errors, warnings, counts = catalog_files.check_catalog(folder, TRADE)
    assert (errors, warnings, counts[key]) == ([], [], 1)
    for column in columns:
        assert column.meaning, column.heading
        assert column.example or not column.required


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
@pytest.mark.parametrize("key", ["tyres", "axles", "steps", "shocks"])
def test_the_import_reads_it_without_a_doubt(tmp_path: Path, key: str, kind: str) -> None:
    family = TRADE.families[key]
    columns, path = template(family, "EUR"), tmp_path / f"x.{kind}"
    if kind == "csv":
        path.write_text(csv_template(columns), encoding="utf-8")
    else:
        path.write_bytes(xlsx_template(family, columns))
    prices = open_price_list(path, delimiter="comma" if kind == "csv" else "", prefer=key)
    mapping, _ = propose(prices, family)
    assert doubtful(mapping) == ()
    assert len(mapping.columns) == len(columns)
    folder = tmp_path / "shop"
    with taking_over.compared(prices, mapping, "m", family, folder, "EUR") as made:
        assert made.errors == []
        taking_over.write_list(made, datetime.date(2026, 11, 25))
    (folder / "catalog.toml").write_text(ABOUT, encoding="utf-8")
    (part,) = catalog_files.read_catalog(folder, TRADE).parts[key]
    assert part.key == f"shop/{EXAMPLE_NUMBER}"
    assert part.lead_time == 7


def test_the_workbook_offers_words_and_says_what_columns_mean(tmp_path: Path) -> None:
    family = TRADE.families["shocks"]
    columns, path = template(family, "EUR"), tmp_path / "x.xlsx"
    path.write_bytes(xlsx_template(family, columns))
    book = openpyxl.load_workbook(path)
    assert book.sheetnames == ["shocks", "meanings"]
    sheet = book["shocks"]
    headings = [cell.value for cell in sheet[1]]
    assert headings == [column.heading for column in columns]
    for cell, column in zip(sheet[1], columns, strict=True):
        assert column.meaning in cell.comment.text
    lists = {
        str(validation.sqref): validation for validation in sheet.data_validations.dataValidation
    }
    offered = [column for column in columns if column.words]
    assert len(lists) == len(offered) > 2
    position = lists[f"{sheet.cell(1, headings.index('position') + 1).column_letter}2:F5001"]
    assert position.formula1 == '"front shocks,rear shocks,front shocks | rear shocks"'
    assert position.errorStyle == "warning"  # other mixes of positions can be typed
    # Codes are kept as text, so that no spreadsheet turns them into dates.
    assert sheet["A2"].number_format == "@"
    assert isinstance(sheet.cell(2, headings.index("price [EUR]") + 1).value, float | int)
    meanings = {row[0].value: row[3].value for row in book["meanings"].iter_rows(min_row=2)}
    assert meanings == {column.heading: column.meaning for column in columns}


def test_many_words_do_not_fit_a_cell(tmp_path: Path) -> None:
    from configurator.files.templates import _list_of

    assert _list_of(("a", "b"))["validate"] == "list"
    assert _list_of(tuple(f"a rather long word {n}" for n in range(20)))["validate"] == "length"
    assert re.search("'meanings'", str(_list_of(("a, b", "c"))["input_message"]))
