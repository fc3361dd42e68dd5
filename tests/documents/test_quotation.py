"""A quotation read back: the numbers on paper are those of the package, text stays text."""

from __future__ import annotations

import datetime
import io
import json
import re
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import openpyxl
import pypdf
import pytest
import typst
from PIL import Image

from configurator import drawings
from configurator.consequences.shared_properties import SharedProperty
from configurator.consequences.upgrade_records import Arrow, Forced
from configurator.core import paths
from configurator.core.errors import InputError
from configurator.documents import formats
from configurator.documents.number_style import Writing, locale_of, money, numbers_of, quantity
from configurator.documents.quotation import discounted, quotation, quotation_sheet
from configurator.documents.upgrade_lines import forced_lines
from configurator.evaluation.evaluator import Evaluation, Option
from configurator.evaluation.operations import operations_of, work_cost
from configurator.evaluation.packages import make_package
from configurator.files import job_files
from configurator.search.explanation.conflicts import Reason
from tests import bundled

TRADE = bundled.trade()
JOB = paths.catalogs() / "demo" / "jobs" / "vineyard-trucks.toml"
FORMULA = '=HYPERLINK("x") #evil *b* <i>'
DAY = datetime.date(2026, 10, 1)


def package_with(title):
    evaluation = Evaluation(job_files.read_case(JOB, TRADE), TRADE)
    tyre = next(o for o in evaluation.options("tyres") if o.key == "demo/PTA-25585R16")
    tyre = Option("tyres", replace(tyre.part, title=title), tyre.pieces, tyre.price, changed=True)
    return evaluation, make_package(evaluation, {**evaluation.fitted, "tyres": tyre})


@pytest.fixture(scope="module")
def package():
    return package_with(FORMULA)


def sheet_of(package, locale="en_GB", **more):
    return quotation_sheet(*package, locale=locale_of(locale), day=DAY, **more)


def text_of(paper):
    """Return the text of a PDF without any space, as it may be broken anywhere."""
    pages = pypdf.PdfReader(io.BytesIO(paper)).pages
    text = "".join("".join(page.extract_text() for page in pages).split())
    return text.replace("\u200b", "").replace("’", "'")


def squeezed(text):
    return "".join(text.split())


def test_the_spreadsheet_holds_the_sums_as_numbers_and_text_as_text(package, tmp_path):
    formats.write(sheet_of(package), tmp_path / "q.xlsx")
    book = openpyxl.load_workbook(tmp_path / "q.xlsx")
    sums = {row[0].value: row[1].value for row in book["Price"].iter_rows(min_row=2)}
    price, work = package[1].price, package[1].work
    assert sums["Parts"] == pytest.approx((price - work) / 100)
    assert sums["Work and consumables"] == pytest.approx(work / 100)
    assert sums["Total, tax included"] == pytest.approx(price / 100)
    assert sums["of which tax (20 %)"] == pytest.approx(price / 100 / 6, abs=0.005)
    assert sums["For 6 identical vehicles"] == pytest.approx(6 * price / 100)
    whole = 0.0
    for tab in ("Wheels and tyres", "Setting up and checks"):
        *rows, subtotal = [row[-1].value for row in book[tab].iter_rows(min_row=2)]
        assert sum(rows) == pytest.approx(subtotal)
        whole += subtotal
    assert whole == pytest.approx(price / 100)
    cell = book["Wheels and tyres"]["A2"]
    assert (cell.value, cell.data_type) == (f"Tyres: {FORMULA}", "s")


def test_the_rows_of_work_add_up_to_the_work(package):
    evaluation, chosen = package
    operations = operations_of(evaluation, chosen.choice)
    costs = [work_cost(evaluation, operation, chosen.choice) for operation in operations]
    assert sum(costs) == chosen.work
    written = formats.markdown(sheet_of(package))
    assert "includes 10 × balance weights, 5 × tyre valves" in written


def test_a_discount_and_rounding_are_lines_of_the_price(package):
    evaluation, chosen = package
    case = evaluation.case
    shop = replace(case.workshop, round_to=500)
    cheaper = replace(case, job=replace(case.job, discount=0.03), workshop=shop)
    sheet = sheet_of((Evaluation(cheaper, TRADE), chosen))
    prices = {row[0]: row[1].value for row in sheet.sections[0].table.rows}
    off, rounding = discounted(chosen.price, 0.03, 500)
    assert round(prices["Discount 3 %"] * 100) == -off == -int(chosen.price * 0.03)
    assert round(prices["Rounded down"] * 100) == -rounding
    total = chosen.price - off - rounding
    assert total % 500 == 0
    assert 0 <= rounding < 500
    assert round(prices["Total, tax included"] * 100) == total


@pytest.mark.parametrize(
    ("locale", "price", "track"),
    [
        ("en_GB", "€1,234.50", "1,780 mm"),
        ("en_US", "€1,234.50", "1,780 mm"),
        ("de_DE", "1.234,50\xa0€", "1.780 mm"),
        ("fr_FR", "1\u202f234,50\xa0€", "1\u202f780 mm"),
    ],
)
def test_numbers_are_written_as_the_reader_writes_them(locale, price, track):
    how = Writing(locale_of(locale), "EUR")
    assert money(how, 123450).text == price
    assert quantity(how, 1.78, "mm") == track


def test_letter_paper_and_inches_where_they_are_used(package):
    sheet = sheet_of(package, "en_US", system="imperial")
    assert sheet.paper == "us-letter"
    page = pypdf.PdfReader(io.BytesIO(formats.pdf(sheet))).pages[0]
    assert float(page.mediabox.width) == pytest.approx(8.5 * 72)
    assert " in" in formats.markdown(sheet)
    assert sheet_of(package).paper == "a4"


@pytest.mark.parametrize("locale", ["en_GB", "en_US", "de_DE", "de_AT"])
def test_the_pdf_is_tagged_and_says_the_same(package, locale):
    paper = formats.pdf(sheet_of(package, locale))
    root = pypdf.PdfReader(io.BytesIO(paper)).trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == locale[:2]
    text = text_of(paper)
    data = quotation(*package, locale=locale_of(locale), day=DAY)
    for amount in (*data["sums"], *data["parts"]):
        assert squeezed(amount["price"]["text"]) in text
    how = Writing(locale_of(locale), "EUR")
    evaluation, chosen = package
    for operation in operations_of(evaluation, chosen.choice):
        price = work_cost(evaluation, operation, chosen.choice)
        assert squeezed(money(how, price).text) in text
    assert squeezed(FORMULA) in text


def paper_as_pictures(sheet):
    """Set a sheet as pictures, 4 dots per millimetre."""
    source = Path(formats.__file__).with_name("sheet.typ")
    data = {"data": json.dumps(formats.data_of(sheet))}
    image = typst.compile(str(source), format="png", ppi=25.4 * 4, sys_inputs=data)
    return [
        Image.open(io.BytesIO(picture))
        for picture in (image if isinstance(image, list) else [image])
    ]


def blank_margin(pictures):
    """Whether nothing stands in the right margin of 20 mm, but for half a millimetre of a rule."""
    return all(
        picture.convert("L")
        .crop((picture.width - 78, 0, picture.width, picture.height))
        .getextrema()
        == (255, 255)
        for picture in pictures
    )


HOSTILE = {
    "formula": "=1+cmd|' /C calc'!A0",
    "typst": '#read("/etc/passwd") $x^2$ `raw` @ref <label> = Heading',
    "word": "W" * 300,
    "emoji": "Tyre 🛞 for 🏔",
    "right to left": "إطار الطين مقاس كبير",
    "controls": "tab\there \x07bell",
    "spreadsheet": "@SUM(1) -2+3",
}


@pytest.mark.parametrize("title", HOSTILE.values(), ids=HOSTILE)
def test_text_of_a_catalog_stays_text_and_within_the_page(title, tmp_path):
    package = package_with(title)
    sheet = sheet_of(package)
    paper = formats.pdf(sheet)
    calm = formats.pdf(sheet_of(package_with("Tyre")))
    count, usual = (
        len(pypdf.PdfReader(io.BytesIO(paper_made)).pages) for paper_made in (paper, calm)
    )
    assert usual <= count <= usual + 1
    if title.isascii() and title.isprintable():
        assert squeezed(title) in text_of(paper)
    assert blank_margin(paper_as_pictures(sheet))
    (tmp_path / "q.xlsx").write_bytes(formats.xlsx(sheet))
    cell = openpyxl.load_workbook(tmp_path / "q.xlsx")["Wheels and tyres"]["A2"]
    assert cell.data_type == "s"
    assert "<label>" not in formats.markdown(sheet)


def test_drawings_stand_at_the_scale_they_state(package):
    evaluation, chosen = package
    drawn = drawings.for_paper(evaluation, chosen.choice, names=("front",))
    paper = formats.pdf(sheet_of(package, drawings=drawn))
    text = text_of(paper)
    assert f"1:{drawn[0].scale}" in text
    # A unit of the drawing is a millimetre of it; on paper, 72 points are 25.4 mm.
    units = set()
    for page in pypdf.PdfReader(io.BytesIO(paper)).pages:

        def note(chunk, outer, inner, *_font):
            if chunk.strip() and abs(outer[0]) > 1.5:
                units.add(round(abs(outer[0]) * abs(inner[0]), 3))

        page.extract_text(visitor_text=note)
    assert units == {round(72 / 25.4, 3)}
    # The length of the track in the drawing, times its scale, is the track.
    track = evaluation.figure("front track", chosen.choice)
    root = ElementTree.fromstring(drawn[0].svg)
    lengths = [
        float(line.get("x2")) - float(line.get("x1"))
        for shown in root.iter()
        if shown.get("data-figure") == "front track" and float(shown.get("data-value")) == track
        for line in shown.iter("{http://www.w3.org/2000/svg}line")
    ]
    assert lengths
    assert all(length * drawn[0].scale / 1000 == pytest.approx(track) for length in lengths)


@pytest.mark.parametrize(("locale", "sign", "other"), [("de_AT", ",", "."), ("en_GB", ".", ",")])
def test_drawings_write_numbers_as_the_rest_of_the_sheet(package, locale, sign, other):
    evaluation, chosen = package
    drawn = drawings.for_paper(
        evaluation,
        chosen.choice,
        system="imperial",
        number=numbers_of(locale_of(locale)),
        names=("front", "rear", "side", "speeds"),
    )
    for drawing in drawn:
        root = ElementTree.fromstring(drawing.svg)
        texts = [text.text for text in root.iter("{http://www.w3.org/2000/svg}text")]
        inches = [text for text in texts if text.endswith(" in")]
        assert all(re.search(rf"\d{re.escape(other)}\d\d? ", text) is None for text in inches)
        # The numbers of an axis are right-aligned; thousands are set apart as on the sheet.
        rpm = {text for text in texts if text in ("1,000", "1.000", "1\xa0000", "1000")}
        assert rpm <= {numbers_of(locale_of(locale))("1000")}
    track = evaluation.figure("front track", chosen.choice)
    sentence = f"track{quantity(Writing(locale_of(locale), 'EUR', 'imperial'), track, 'mm')}"
    assert sign in sentence
    paper = formats.pdf(sheet_of(package, locale, system="imperial", drawings=drawn))
    assert squeezed(sentence) in text_of(paper)


def test_markdown_holds_no_html_and_names_what_was_not_checked(package):
    written = formats.markdown(sheet_of(package))
    assert "\\<i\\>" in written
    assert "local rules: none was checked" in written
    assert "31 October 2026" in written


@pytest.mark.parametrize("name", ["xx_nowhere_at_all", "", "_", "zz"])
def test_an_unknown_locale_is_refused(name):
    with pytest.raises(InputError, match="no locale"):
        locale_of(name)


def test_a_file_of_an_unclear_kind_is_refused_and_so_is_a_missing_folder(tmp_path):
    with pytest.raises(InputError, match="what kind of file"):
        formats.check_names([tmp_path / "sheet.doc"])
    with pytest.raises(InputError, match="its folder is not there"):
        formats.check_names([tmp_path / "none" / "sheet.pdf"])


def test_what_is_forced_is_said_once_with_the_rule_that_looks_at_it(package):
    evaluation, chosen = package
    tyres = chosen.choice["tyres"]
    fit = TRADE.limits["the rim is wide enough for the tyre"]
    other = next(rule for rule in TRADE.limits.values() if "wheels" not in evaluation.reach(rule))
    wide = SharedProperty("wheels", "rim width", "at least", 1.1684, "mm")
    arrow = Arrow(
        "wheels",
        (wide,),
        (Reason(rule=fit, has=1.1557, needs=1.1684, unit="mm"), Reason(rule=other)),
        ("fitted",),
        (),
        False,
        ("demo/x",),
    )
    forced = [Forced(tyres, True, (), (arrow, arrow), (), 0, True, ())]
    how = Writing(locale_of("de_DE"), "EUR")
    assert forced_lines(forced, evaluation, how) == [
        "wheels, with rim width at least 1.168 mm; needed by the new tyres. Why: "
        f"{fit.because} (1.156 mm at best without it, minimum 1.168 mm)."
    ]
    assert forced_lines(
        [replace(forced[0], arrows=(replace(arrow, anyway=True),))], evaluation, how
    )[0].startswith("wheels, with rim width at least 1.168 mm; needed by what was asked for.")
    assert forced_lines([], evaluation, how) == []


def test_the_command_writes_all_three_and_wants_a_folder(tmp_path, capsys):
    from configurator.cli import main

    files = [tmp_path / f"q.{kind}" for kind in ("pdf", "xlsx", "md")]
    pdf, xlsx, markdown = map(str, files)
    words = [
        "quote",
        str(JOB),
        "--pdf",
        pdf,
        "--xlsx",
        xlsx,
        "--markdown",
        markdown,
    ]
    with pytest.raises(SystemExit) as end:
        main([*words, "--locale", "de_DE"])
    assert end.value.code == 0
    written = files[2].read_text(encoding="utf-8")
    total = openpyxl.load_workbook(xlsx)["Preis"]["B4"].value
    how = Writing(locale_of("de_DE"), "EUR")
    assert money(how, round(total * 100)).text in written
    assert squeezed(money(how, round(total * 100)).text) in text_of(files[0].read_bytes())
    assert "gültig bis" in written
    with pytest.raises(SystemExit) as end:
        main([*words[:2], "--pdf", str(tmp_path / "none" / "q.pdf")])
    assert end.value.code == 2
    assert "its folder is not there" in capsys.readouterr().err
