"""A quotation read back: the numbers on paper are those of the package, text stays text."""

from __future__ import annotations

import datetime
import io
from dataclasses import replace

import openpyxl
import pypdf
import pytest

from configurator import homes, job_files, plugin_loading
from configurator.errors import InputError
from configurator.evaluation import Evaluation, Option
from configurator.packages import make_package
from configurator.sheets import papers
from configurator.sheets.quotation import locale_of, quotation

TRADE = plugin_loading.load(installed=False).trade
JOB = homes.catalogs() / "demo" / "jobs" / "vineyard-trucks.toml"
FORMULA = '=HYPERLINK("x") #evil *b* <i>'


@pytest.fixture(scope="module")
def package():
    evaluation = Evaluation(job_files.read_case(JOB, TRADE), TRADE)
    tyre = next(o for o in evaluation.options("tyres") if o.key == "demo/PTA-25585R16")
    tyre = Option("tyres", replace(tyre.part, title=FORMULA), tyre.pieces, tyre.price, changed=True)
    return evaluation, make_package(evaluation, {**evaluation.fitted, "tyres": tyre})


def data_of(package, locale="en_GB"):
    day = datetime.date(2026, 10, 1)
    return quotation(*package, locale=locale_of(locale), day=day)


def test_the_spreadsheet_holds_the_sums_as_numbers_and_text_as_text(package, tmp_path):
    papers.xlsx(data_of(package), tmp_path / "q.xlsx")
    book = openpyxl.load_workbook(tmp_path / "q.xlsx")
    sums = {row[0].value: row[1].value for row in book["Prices"].iter_rows(min_row=2)}
    price, work = package[1].price, package[1].work
    assert sums["Parts"] == pytest.approx((price - work) / 100)
    assert sums["Work and consumables"] == pytest.approx(work / 100)
    assert sums["Total, tax included"] == pytest.approx(price / 100)
    assert sums["of which tax (20 %)"] == pytest.approx(price / 100 / 6, abs=0.005)
    assert sums["For 6 identical vehicles"] == pytest.approx(6 * price / 100)
    lines = [row[-1].value for row in book["Work"].iter_rows(min_row=2)]
    assert sum(lines) == pytest.approx(work / 100)
    cell = book["Parts"]["B2"]
    assert (cell.value, cell.data_type) == (FORMULA, "s")


@pytest.mark.parametrize("locale", ["en_GB", "de_AT"])
def test_the_pdf_is_tagged_and_says_the_same(package, locale):
    data = data_of(package, locale)
    reader = pypdf.PdfReader(io.BytesIO(papers.pdf(data)))
    assert reader.trailer["/Root"]["/MarkInfo"]["/Marked"]
    squeezed = "".join("".join(page.extract_text() for page in reader.pages).split())
    for one in (*data["sums"], *data["parts"], *data["work"]):
        assert "".join(one["price"]["text"].split()) in squeezed
    assert "".join(FORMULA.split()) in squeezed.replace("’", "'")


def test_markdown_holds_no_html_and_names_what_was_not_checked(package):
    written = papers.markdown(data_of(package))
    assert "\\<i\\>" in written
    assert "local rules: none was checked" in written
    assert "31 October 2026" in written


def test_an_unknown_locale_is_refused():
    with pytest.raises(InputError, match="no locale"):
        locale_of("xx_nowhere_at_all")
