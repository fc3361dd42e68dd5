"""The order list holds every new part once, for all vehicles, by maker."""

from __future__ import annotations

import datetime
import io
import json
from dataclasses import replace

import openpyxl
import pypdf
import pytest

from configurator.core import paths
from configurator.documents import formats
from configurator.documents.number_style import locale_of
from configurator.documents.order_list import order_lines, order_sheet
from configurator.documents.workshop_templates import UNKNOWN_MAKER
from configurator.evaluation.evaluator import Evaluation
from configurator.evaluation.packages import make_package
from configurator.files import job_files
from tests import bundled

JOB = paths.catalogs() / "demo" / "jobs" / "vineyard-trucks.toml"
TRADE = bundled.trade()
DAY = datetime.date(2026, 10, 1)


def run(capsys, *words):
    """Run a command and return what it wrote."""
    from configurator.cli import main

    with pytest.raises(SystemExit) as end:
        main([*words])
    assert end.value.code == 0
    return capsys.readouterr().out


def test_the_order_is_the_package_times_the_vehicles(capsys):
    data = json.loads(run(capsys, "order", str(JOB), "--json"))
    (package,) = json.loads(run(capsys, "find", str(JOB), "--json"))["packages"]
    new = {
        package["parts"][position]: detail
        for position, detail in package["details"].items()
        if detail["changed"] and package["parts"][position]
    }
    assert {line["part"] for line in data["order"]} == set(new)
    total = sum(float(line["price"]["amount"]) for line in data["order"])
    parts = float(package["price"]["amount"]) - float(package["work"]["price"]["amount"])
    assert total == pytest.approx(6 * parts)
    makers = [line["maker"] for line in data["order"]]
    assert makers == sorted(makers)
    text = run(capsys, "order", str(JOB)).replace("\n", "")
    assert "PTA-25585R16" in text
    assert "demo/PTA" not in text


def package_of(**changes):
    """Return a package with tyres and wheel nuts, the tyres with some things different."""
    evaluation = Evaluation(job_files.read_case(JOB, TRADE), TRADE)
    tyre = next(o for o in evaluation.options("tyres") if o.key == "demo/PTA-25585R16")
    nuts = next(o for o in evaluation.options("wheel nuts") if o.changed)
    tyre = replace(tyre, part=replace(tyre.part, **changes))
    return evaluation, make_package(
        evaluation, {**evaluation.fitted, "tyres": tyre, "wheel nuts": nuts}
    )


def tabs(sheet, tmp_path):
    formats.write(sheet, tmp_path / "order.xlsx")
    return openpyxl.load_workbook(tmp_path / "order.xlsx")


def test_each_maker_has_a_tab_and_the_sums_add_up(tmp_path):
    evaluation, package = package_of()
    book = tabs(order_sheet(evaluation, package, locale=locale_of("en_GB"), day=DAY), tmp_path)
    *makers, total = list(book["All makers"].iter_rows(min_row=2, values_only=True))
    assert total[3] == pytest.approx(6 * (package.price - package.work) / 100)
    assert sum(row[3] for row in makers) == pytest.approx(total[3])
    for maker, pieces, _, price in makers:
        *lines, last = list(book[maker].iter_rows(min_row=2, values_only=True))
        # A single line is its own sum.
        lines, last = (lines, last) if lines else ([last], last)
        assert sum(line[5] for line in lines) == pytest.approx(price) == pytest.approx(last[5])
        assert sum(line[2] for line in lines) == pieces == last[2]


def test_numbers_of_a_spreadsheet_are_numbers_with_their_unit(tmp_path):
    evaluation, package = package_of(lead_time=10)
    book = tabs(order_sheet(evaluation, package, locale=locale_of("de_DE"), day=DAY), tmp_path)
    tab = book[package.choice["tyres"].part.maker]
    cells = {tab.cell(1, column).value: tab.cell(2, column) for column in range(1, 8)}
    assert (cells["Lieferzeit"].value, cells["Lieferzeit"].number_format) == (10, '#,##0" Tage"')
    assert cells["Preis"].number_format == '#,##0.00" EUR"'
    assert cells["Da am"].value == datetime.datetime(2026, 10, 11)
    assert cells["Nummer"].data_type == cells["Teil"].data_type == "s"


def test_what_lies_on_the_shelf_is_not_ordered_and_not_paid():
    _, package = package_of(stock=12)
    (line,) = (
        order_line
        for order_line in order_lines(package, 6)
        if order_line.part == "demo/PTA-25585R16"
    )
    option = package.choice["tyres"]
    assert line.pieces == 6 * option.pieces
    assert (line.shelf, line.to_order) == (12, 6 * option.pieces - 12)
    assert line.to_pay == option.part.price * line.to_order
    _, package = package_of(stock=1000)
    (line,) = (
        order_line
        for order_line in order_lines(package, 6)
        if order_line.part == "demo/PTA-25585R16"
    )
    assert (line.to_order, line.to_pay) == (0, 0)


@pytest.fixture
def shop(tmp_path):
    """Return a job that names two shops' catalogs over the demo list, both with tyres in stock."""
    for name, rows in (("first", "5;"), ("second", "7;our shelf")):
        folder = tmp_path / name
        folder.mkdir()
        (folder / "catalog.toml").write_text(
            'title = "Shelf"\ncurrency = "EUR"\nprice_date = 2026-10-01\nsource = "Made up"\n',
            encoding="utf-8",
        )
        (folder / "overrides.csv").write_text(
            f"catalog;part number;stock;note\ndemo;PTA-25585R16;{rows}\n", encoding="utf-8"
        )
    text = JOB.read_text(encoding="utf-8")
    job = tmp_path / "job.toml"
    job.write_text(
        text.replace('catalogs = ["demo"]', 'catalogs = ["demo", "./first", "./second"]'),
        encoding="utf-8",
    )
    return job


def test_the_stock_that_a_shop_lays_over_a_suppliers_list_is_taken_first(shop, capsys, tmp_path):
    data = json.loads(run(capsys, "order", str(shop), "--json"))
    line = next(
        order_line for order_line in data["order"] if order_line["part"] == "demo/PTA-25585R16"
    )
    assert (line["pieces"], line["on_the_shelf"], line["to_order"]) == (30, 7, 23)
    assert line["on_the_shelf_from"] == "second/overrides.csv row 2"
    each = float(line["price"]["amount"]) / 30
    assert float(line["to_pay"]["amount"]) == pytest.approx(23 * each)
    text = " ".join(run(capsys, "order", str(shop)).split())
    assert "Taken from the shelf, not ordered" in text
    assert "7 of 30 pieces of PTA-25585R16" in text
    assert "second/overrides.csv row 2" in text
    run(capsys, "order", str(shop), "--into", str(tmp_path / "o.xlsx"))
    book = openpyxl.load_workbook(tmp_path / "o.xlsx")
    (row,) = book["From the shelf"].iter_rows(min_row=2, values_only=True)
    assert row[:1] + row[2:6] == ("demo/PTA-25585R16", 30, 7, 23, "second/overrides.csv row 2")
    total = list(book["All makers"].iter_rows(min_row=2, values_only=True))[-1]
    assert total[3] == pytest.approx(sum(float(x["to_pay"]["amount"]) for x in data["order"]))


def test_what_all_lies_on_the_shelf_is_on_no_makers_order():
    evaluation, package = package_of(stock=1000)
    sheet = order_sheet(evaluation, package, locale=locale_of("en_GB"), day=DAY)
    headings = [section.heading for section in sheet.filled]
    assert "From the shelf" in headings
    assert package.choice["tyres"].part.maker not in headings
    assert package.choice["wheel nuts"].part.maker in headings


@pytest.mark.parametrize(
    ("needed", "message"),
    [
        (None, "11 Oct 2026"),
        (datetime.date(2026, 10, 20), "10 Oct 2026"),
        (datetime.date(2026, 10, 5), "25 Sept 2026 (late)"),
    ],
)
def test_the_day_follows_from_the_wait(needed, message):
    evaluation, package = package_of(lead_time=10)
    sheet = order_sheet(evaluation, package, locale=locale_of("en_GB"), day=DAY, needed=needed)
    assert message in formats.markdown(sheet)


def test_a_wait_nobody_knows_is_said_and_decides_the_longest():
    evaluation, package = package_of(lead_time=None, maker="")
    sheet = order_sheet(evaluation, package, locale=locale_of("en_GB"), day=DAY)
    written = formats.markdown(sheet)
    assert f"## {UNKNOWN_MAKER}" in written
    total = next(line for line in written.splitlines() if line.startswith("| Total |"))
    assert "not known" in total


@pytest.mark.parametrize(
    "maker", ["=1+1", "History", "Notes", "a/b\\c[d]*?:'", "M" * 90, "#let x = 1", "\x07", "🛞"]
)
def test_a_maker_of_any_name_has_a_tab_and_a_heading(maker, tmp_path):
    evaluation, package = package_of(maker=maker)
    sheet = order_sheet(evaluation, package, locale=locale_of("en_GB"), day=DAY)
    book = tabs(sheet, tmp_path)
    assert len(book.sheetnames) == len(set(map(str.casefold, book.sheetnames))) == 4
    pages = pypdf.PdfReader(io.BytesIO(formats.pdf(sheet))).pages
    text = "".join(page.extract_text() for page in pages)
    # A maker does not know the shop's catalogs.
    assert "PTA-25585R16" in text
    assert "demo/PTA-25585R16" not in text
    if maker.isascii() and maker.isprintable() and len(maker) < 20:
        assert maker.replace("'", "’") in text or maker in text


def test_the_command_writes_a_file_and_refuses_another_kind(tmp_path, capsys):
    from configurator.cli import main

    run(capsys, "order", str(JOB), "--into", str(tmp_path / "o.pdf"), "--needed", "2026-12-10")
    text = "".join(p.extract_text() for p in pypdf.PdfReader(tmp_path / "o.pdf").pages)
    assert "Parts needed by 10 December 2026" in text
    with pytest.raises(SystemExit) as end:
        main(["order", str(JOB), "--into", str(tmp_path / "o.doc")])
    assert end.value.code == 2
    assert "let its name end in .pdf, .xlsx or .md" in capsys.readouterr().err
