"""A shop's stationery, a customer, own parts; a second language; pictures that only draw."""

from __future__ import annotations

import datetime
import io
from dataclasses import replace
from pathlib import Path

import pypdf
import pytest
from babel.messages.pofile import read_po

from configurator import drawings
from configurator.as_built.assumptions import MEASURABLE
from configurator.core import paths
from configurator.core.filled_text import FilledText, ShownQuantity
from configurator.core.text import Report
from configurator.documents import (
    document_templates,
    formats,
    quotation,
    workshop_templates,
)
from configurator.documents.build_sheet import build_sheet
from configurator.documents.handover_sheet import handover_sheet
from configurator.documents.number_style import Writing, before_and_after, locale_of, writing_for
from configurator.documents.order_list import order_lines, order_sheet
from configurator.documents.quotation import quotation_sheet
from configurator.drawings import drawing_templates
from configurator.evaluation.evaluator import Evaluation
from configurator.evaluation.packages import kind_of, make_package
from configurator.evaluation.unknown import GAPS
from configurator.files import job_files
from configurator.files.job_link import from_parameter, to_parameter
from configurator.files.job_text import read_job, write_job
from configurator.files.logos import read_logo
from configurator.wording import certainty_templates, note_templates
from configurator.wording.felt import FELT
from tests import bundled

TRADE = bundled.trade()
JOB = paths.catalogs() / "demo" / "jobs" / "vineyard-trucks.toml"
DAY = datetime.date(2026, 10, 1)
OWN = "demo/PTA-25585R16"
CUSTOMER = f"""
discount = "2 %"
[own]
parts = ["{OWN}"]
[customer]
name = "A. Example"
address = ["Lane 1", "Town"]
reference = "order 17"
registration = "AB 123"
vin = "XXXBT00A1BC123456"
mileage = "84200 km"
"""


@pytest.fixture(scope="module")
def package(tmp_path_factory):
    job = tmp_path_factory.mktemp("job") / "job.toml"
    top, goals = JOB.read_text(encoding="utf-8").split("[conditions]")
    discount, tables = CUSTOMER.split("[own]")
    job.write_text(f"{top}{discount}[conditions]{goals}\n[own]{tables}", encoding="utf-8")
    evaluation = Evaluation(job_files.read_case(job, TRADE), TRADE)
    tyre = next(o for o in evaluation.options("tyres") if o.key == OWN)
    return evaluation, make_package(evaluation, {**evaluation.fitted, "tyres": tyre})


def laid_out(package, make=quotation_sheet, locale="en_GB", **more):
    return make(*package, locale=locale_of(locale), day=DAY, **more)


def test_shop_customer_and_vehicle_stand_at_the_head(package):
    paper = formats.pdf(laid_out(package))
    text = "".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(paper)).pages)
    for sentence in (
        "Hollinthwaite Off-Road Workshop",
        "Quarry Lane 4",
        "Tax number: 00 000 0000",
        "A. Example",
        "Registration: AB 123",
        "Vehicle identification number: XXXBT00A1BC123456",
        "Mileage: 84,200 km",
        "Your reference: order 17",
        "One half with the order",
        "I accept this quotation",
        "Signature",
        OWN,  # searched as it stands: nothing invisible in it
    ):
        assert sentence in text, sentence
    assert "\u200b" not in text


def test_own_parts_cost_nothing_are_not_ordered_and_have_no_warranty(package):
    evaluation, chosen = package
    assert chosen.choice["tyres"].price == 0
    assert "brought by you: no warranty" in formats.markdown(laid_out(package))
    lines = order_lines(chosen, 6, evaluation.case.job.own)
    assert OWN not in [line.part for line in lines]
    ordered = formats.markdown(laid_out(package, order_sheet))
    assert "Brought by the customer, not ordered" in ordered
    assert OWN.partition("/")[2] not in ordered


def test_a_job_with_a_customer_reads_back_and_no_link_carries_the_customer(package):
    job = package[0].case.job
    assert read_job(write_job(job, TRADE), TRADE) == job
    parameter = to_parameter(job, TRADE)
    assert from_parameter(parameter, TRADE) == replace(job, customer=None)


def english(sheet):
    """Return how many texts a German sheet says are in English."""
    (sentence,) = [s.sentences[0] for s in sheet.sections if s.heading == "English"] or ["0"]
    return int(sentence.split()[0])


def test_every_document_is_german_throughout(package):
    for make in (quotation_sheet, handover_sheet, build_sheet, order_sheet):
        sheet = laid_out(package, make, "de_AT")
        assert sheet.language == "de"
        written = formats.markdown(sheet)
        assert english(sheet) == 0
        for message in vars(document_templates).values():
            if isinstance(message, str) and "{" not in message and len(message) > 12:
                assert message not in written, message
    assert "1. Oktober 2026" in formats.markdown(laid_out(package, locale="de_AT"))


def test_a_language_without_a_translation_is_english_dates_too(package):
    written = formats.markdown(laid_out(package, locale="fr_FR"))
    assert "1 October 2026" in written
    assert "Quotation" in written


def test_what_nobody_has_translated_is_counted(package):
    evaluation, chosen = package
    caution = next(iter(TRADE.cautions.values()))
    strange = replace(caution, name="a new caution", says="Said in English only.")
    trade = replace(TRADE, cautions={**TRADE.cautions, strange.name: strange})
    written = formats.markdown(laid_out((Evaluation(evaluation.case, trade), chosen), locale="de"))
    assert "Said in English only." in written
    plain = laid_out(package, locale="de")
    assert english(laid_out((Evaluation(evaluation.case, trade), chosen), locale="de")) == (
        english(plain) + 2
    )


def messages(file):
    with file.open("rb") as stream:
        return {m.id: m.string for m in read_po(stream, abort_invalid=True) if m.id}


def test_what_stands_on_drawings_is_translated(package):
    evaluation, chosen = package
    asked: set[str] = set()

    def text(message):
        asked.add(message)
        return message

    names = ("front", "rear", "wheel", "side", "speeds")
    drawings.for_paper(evaluation, chosen.choice, names=names, text=text)
    here = messages(Path(quotation.__file__).with_name("translations") / "de.po")
    assert len(asked) > 40
    assert sorted(message for message in asked if message and not here.get(message)) == []


def test_a_caution_says_its_figures_as_the_reader_writes_them():
    pressure = FilledText("with {tyres} cold", {"tyres": ShownQuantity("2.8 bar", 280e3, "bar")})
    for locale, system, text in (
        ("en_GB", None, "2.8 bar"),
        ("de_DE", None, "2,8 bar"),
        ("en_US", "imperial", "40.61 psi"),
    ):
        how = Writing(locale_of(locale), "EUR", system)
        assert how.text(pressure) == f"with {text} cold"


def test_every_template_and_everything_that_plugins_say_on_them_is_translated():
    here = messages(Path(quotation.__file__).with_name("translations") / "de.po")
    templates = [
        *vars(document_templates).items(),
        *vars(note_templates).items(),
        *vars(certainty_templates).items(),
        *vars(workshop_templates).items(),
    ]
    for name, value in templates:
        texts = [value] if isinstance(value, str) else []
        for text in texts:
            if name.isupper() and text.strip():
                assert here.get(text), f"{text!r} has no words in translations/de.po"
    assert all(here.get(words) for words in GAPS.values())
    assert all(here.get(v) for k, v in vars(drawing_templates).items() if k.isupper())
    assert all(here.get(item.how) for item in MEASURABLE)
    assert all(here.get(words) for words in FELT.values())
    plugins = messages(paths.plugins() / "translations" / "de.po")
    wanted = {text for c in TRADE.cautions.values() for text in (c.name, c.says, c.inspect)}
    wanted |= {c.approve for c in TRADE.cautions.values()} - {""}
    wanted |= {what for c in TRADE.cautions.values() for _, what in c.again}
    wanted |= {operation.name for operation in TRADE.operations.values()}
    wanted |= {name for operation in TRADE.operations.values() for name in operation.uses}
    wanted |= {operation.station for operation in TRADE.operations.values()}
    wanted |= {place.name for family in TRADE.families.values() for place in family.positions}
    wanted |= {a.name for family in TRADE.families.values() for a in family.attributes}
    wanted |= {*TRADE.figures, *TRADE.totals, *TRADE.limits, *TRADE.fits, *TRADE.conditions}
    wanted |= {text for m in TRADE.measures.values() for text in (m.name, m.how)}
    wanted |= {kind_of(rule) for rule in (*TRADE.limits.values(), *TRADE.fits.values())}
    missing = sorted(text for text in wanted - {""} if not plugins.get(text))
    assert missing == [], "translate it in plugins/translations/de.po"


def test_named_values_are_the_same_in_both_languages():
    import string

    for file in (
        Path(quotation.__file__).with_name("translations") / "de.po",
        paths.plugins() / "translations" / "de.po",
    ):
        for english, german in messages(file).items():
            names = [
                {name for _, name, _, _ in string.Formatter().parse(text) if name}
                for text in (english, german)
            ]
            assert names[0] == names[1], english


def test_inches_come_first_with_as_many_places_in_a_row(package):
    how = writing_for(package[0], locale_of("en_US"), "imperial")
    cells = before_and_after(how, 0.235, 0.3251, "mm")
    assert [cell.text for cell in cells] == ["9.25 in (235 mm)", "12.80 in (325 mm)"]


@pytest.mark.parametrize(
    ("name", "data", "flaw"),
    [
        ("a.gif", b"GIF89a", "no picture that is read"),
        ("a.png", b"GIF89a", "it is no PNG"),
        ("a.svg", b"<svg/>", "it is no SVG"),
        ("a.svg", b'<!DOCTYPE svg [<!ENTITY a "b">]><svg/>', "no plain SVG"),
        ("a.svg", b'<svg xmlns="http://www.w3.org/2000/svg"><script/></svg>', "'script'"),
        ("a.svg", b'<svg xmlns="http://www.w3.org/2000/svg"><image/></svg>', "'image'"),
        ("a.svg", b'<svg xmlns="http://www.w3.org/2000/svg" onload="x()"/>', "reacts"),
        (
            "a.svg",
            b'<svg xmlns="http://www.w3.org/2000/svg"><use href="http://x.example/"/></svg>',
            "refers to another file",
        ),
        (
            "a.svg",
            b'<svg xmlns="http://www.w3.org/2000/svg"><style>@import "x"</style></svg>',
            "loads something",
        ),
    ],
)
def test_a_logo_that_does_more_than_draw_is_refused(name, data, flaw, tmp_path):
    (tmp_path / name).write_bytes(data)
    report = Report()
    assert read_logo(tmp_path / name, "workshop.toml, 'logo'", report) is None
    assert flaw in str(report.errors[0])


def test_a_sound_logo_is_taken(tmp_path):
    from PIL import Image

    Image.new("RGB", (40, 20), "navy").save(tmp_path / "logo.png")
    report = Report()
    logo = read_logo(tmp_path / "logo.png", "workshop.toml, 'logo'", report)
    assert (logo.kind, report.errors) == ("png", [])
