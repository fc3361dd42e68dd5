"""Build sheet and handover sheet: nothing invented, nothing left out, readable back."""

from __future__ import annotations

import datetime
import io
from dataclasses import replace

import openpyxl
import pypdf
import pytest

from configurator.as_built import Supposed, measurable, tolerance_of
from configurator.core import paths
from configurator.core.units import to_si
from configurator.documents import formats
from configurator.documents.build_sheet import build_sheet
from configurator.documents.handover_sheet import FELT, RETORQUE, handover_sheet
from configurator.documents.layout import ToFill
from configurator.documents.number_style import (
    Writing,
    before_and_after,
    locale_of,
    quantity,
    writing_for,
)
from configurator.documents.torques import torques_of
from configurator.documents.workshop_templates import TORQUE_NOT_GIVEN
from configurator.evaluation.evaluator import Evaluation
from configurator.evaluation.operations import operations_of
from configurator.evaluation.packages import cautions_of, make_package, not_checked
from configurator.files import job_files
from configurator.model.parts import Missing, attributes_of
from configurator.model.values import reader
from configurator.wording.felt import UNCHANGED, felt_value
from configurator.wording.sentences import begun
from configurator.wording.unchecked import unchecked_words
from tests import bundled

TRADE = bundled.trade()
JOBS = paths.catalogs() / "demo" / "jobs"
DAY = datetime.date(2026, 10, 1)


def package_with(**values):
    """Return the wagon on hub reductions; ``values`` are those of the nuts."""
    evaluation = Evaluation(job_files.read_case(JOBS / "hut-track-wagon.toml", TRADE), TRADE)

    def option(position, start=""):
        every = evaluation.options(position)
        return next(o for o in every if o.changed and o.key.startswith(f"demo/{start}"))

    nuts = option("wheel nuts")
    given = {name.replace("_", " "): value for name, value in values.items()}
    nuts = replace(nuts, part=replace(nuts.part, values={**nuts.part.values, **given}))
    choice = {
        **evaluation.fitted,
        "wheel nuts": nuts,
        "front hub reductions": option("front hub reductions", "HC-60"),
        "rear hub reductions": option("rear hub reductions", "HC-60"),
        "tyres": option("tyres"),
    }
    return evaluation, make_package(evaluation, choice)


@pytest.fixture(scope="module")
def package():
    return package_with()


def build(package, locale="en_GB", **more):
    return build_sheet(*package, locale=locale_of(locale), day=DAY, **more)


def handover(package, locale="en_GB", **more):
    return handover_sheet(*package, locale=locale_of(locale), day=DAY, **more)


def section(sheet, heading):
    return next(chapter for chapter in sheet.sections if chapter.heading == heading)


def squeezed(text):
    return "".join(text.split())


def text_of(paper):
    pages = pypdf.PdfReader(io.BytesIO(paper)).pages
    text = squeezed("".join(page.extract_text() for page in pages))
    return text.replace("\u200b", "").replace("’", "'")


def test_a_torque_that_nobody_gives_is_not_invented(package):
    rows = section(build(package), "Tightening torques").table.rows
    assert {row[0] for row in rows} == {"wheel nuts", "front hub reductions", "rear hub reductions"}
    for torque, row in zip(torques_of(package[1].choice), rows, strict=True):
        assert (torque.torque is None) == (row[2] == TORQUE_NOT_GIVEN)
        assert (torque.source == "") == (torque.torque is None and torque.again is None)


def test_a_torque_that_is_given_stands_with_its_source():
    given = package_with(
        tightening_torque=130.0,
        torque_from="fitting instruction 7 of 2026-05",
        tighten_again_after=50000.0,
    )
    rows = {row[0]: row for row in section(build(given), "Tightening torques").table.rows}
    torque, again, source = rows["wheel nuts"][2:5]
    assert (torque.text, torque.value, torque.form) == ("130 Nm", 130, '#,##0" Nm"')
    assert (again.text, again.value) == ("50 km", 50)
    assert source == "fitting instruction 7 of 2026-05"
    rows_of_section = [
        row[:2] for row in section(handover(given), "After the first kilometres").table.rows
    ]
    assert any(
        at.text == "50 km" and "with 130 Nm, from fitting instruction 7" in do
        for at, do in rows_of_section
    )
    imperial = build(given, system="imperial")
    rows = {row[0]: row for row in section(imperial, "Tightening torques").table.rows}
    assert rows["wheel nuts"][2].text == "95.88 ft-lb"


def test_a_torque_without_an_instruction_names_the_list_it_is_from():
    given = package_with(tightening_torque=130.0, torque_from=Missing.UNKNOWN)
    (nuts,) = (torque for torque in torques_of(given[1].choice) if torque.position == "wheel nuts")
    assert nuts.source.startswith("catalog demo: nuts.csv")


def test_a_list_may_give_torques_in_any_unit():
    attribute = next(
        column
        for column in attributes_of(TRADE.families["nuts"])
        if column.name == "tightening torque"
    )
    assert reader(attribute, None)("100 ft-lb") == pytest.approx(to_si(135.58, "N*m"), rel=1e-4)


def test_where_nobody_says_common_practice_is_called_so():
    unknown = dict.fromkeys(("tightening_torque", "tighten_again_after"), Missing.UNKNOWN)
    later = section(handover(package_with(**unknown)), "After the first kilometres")
    due = [row[0].text for row in later.table.rows if "wheel nuts" in row[1]]
    assert due == ["50 km", "100 km"]
    assert all(row[2] == ToFill() for row in later.table.rows)
    assert "common practice, no source" in RETORQUE
    assert any(
        sentence.startswith("Not given for front hub reductions, rear hub reductions")
        for sentence in later.sentences
    )


def test_the_work_is_all_there_in_the_spreadsheet_and_in_order(package, tmp_path):
    evaluation, chosen = package
    formats.write(build(package), tmp_path / "b.xlsx")
    rows = list(
        openpyxl.load_workbook(tmp_path / "b.xlsx")["Work"].iter_rows(min_row=2, values_only=True)
    )
    operations = operations_of(evaluation, chosen.choice)
    assert {row[1] for row in rows} == {begun(operation.name) for operation in operations}
    assert [row[0] for row in rows] == list(range(1, len(rows) + 1))
    assert sum(row[4] for row in rows) == pytest.approx(
        sum(operation.hours for operation in operations)
    )
    place = {row[1]: row[0] for row in rows}
    for operation in operations:
        after = [begun(name) for name in operation.after]
        assert all(place[a] < place[begun(operation.name)] for a in after if a in place)


@pytest.mark.parametrize(("locale", "to"), [("en_GB", "to"), ("de_DE", "bis")])
def test_what_to_measure_stands_with_its_tolerance(package, locale, to):
    evaluation, chosen = package
    paper = formats.pdf(build(package, locale))
    assert pypdf.PdfReader(io.BytesIO(paper)).trailer["/Root"]["/MarkInfo"]["/Marked"]
    text = text_of(paper)
    how = writing_for(evaluation, locale_of(locale))
    exact = Supposed(evaluation, chosen.choice)
    every = measurable(evaluation, chosen.choice)
    assert {"front track", "clearance under front axle", "front axle load"} <= {
        measured.figure for measured in every
    }
    for measured in every:
        unit = evaluation.definition(measured.figure).unit
        expected = exact.figure(measured.figure, chosen.choice)
        low = expected - tolerance_of(measured, expected)
        low = quantity(how, round(low, 3) if unit == "%" else low, unit)
        assert squeezed(f"{low} {to}") in text


def test_every_inspection_and_caution_of_the_package_is_on_the_build_sheet(package):
    evaluation, chosen = package
    how = Writing(locale_of("en_GB"), "EUR")
    text = text_of(formats.pdf(build(package)))
    for caution in cautions_of(evaluation, chosen.choice):
        assert squeezed(how.text(caution.inspect)) in text
        assert squeezed(how.text(caution.says)) in text


def test_the_handover_says_what_differs_and_what_was_not_checked(package):
    evaluation, chosen = package
    sheet = handover(package)
    text = text_of(formats.pdf(sheet))
    how = Writing(locale_of("en_GB"), "EUR")
    felt = {row[0] for row in section(sheet, "What is different in driving").table.rows}
    for name, words in FELT.items():
        unit = evaluation.definition(name).unit
        before, after = (
            evaluation.figure(name, choice) for choice in (evaluation.fitted, chosen.choice)
        )
        had, has = (felt_value(name, value, unit) for value in (before, after))
        assert (words in felt) == (had != has or name in UNCHANGED)
        if had != has:
            cells = before_and_after(how, had, has, unit)
            assert squeezed(words + "".join(cell.text for cell in cells)) in text
    for caution in cautions_of(evaluation, chosen.choice):
        assert squeezed(how.text(caution.says)) in text
        assert squeezed(caution.approve) in text
    for line in unchecked_words(not_checked(evaluation, chosen.choice), evaluation.trade):
        assert squeezed(line) in text
    assert squeezed("No local rules were checked") in text


def test_the_handover_says_what_may_be_loaded_with_the_trailer_hitched_and_the_roof_loaded():
    """Who pulls and loads the roof must not read what is allowed without either."""
    case = job_files.read_case(JOBS / "surveyor-pickup.toml", TRADE)
    asked = {"trailer": 700.0, "nose weight": 75.0, "roof load": 50.0}
    case = replace(case, job=replace(case.job, conditions={**case.job.conditions, **asked}))
    evaluation = Evaluation(case, TRADE)
    roof = "demo/SG-RF840"
    carrier = next(o for o in evaluation.options("spare carrier") if o.key == roof)
    chosen = {**evaluation.fitted, "spare carrier": carrier}

    def felt(evaluation):
        sheet = handover((evaluation, make_package(evaluation, chosen)))
        return {
            row[0]: row[1:] for row in section(sheet, "What is different in driving").table.rows
        }

    rows = felt(evaluation)
    # 2,780 of 3,050 kg on the scale; a carrier of 14, 75 on the ball, 50 on the roof
    assert [cell.text for cell in rows["Load still allowed now (from the mass as used)"]] == [
        "270 kg", "256 kg",
    ]  # fmt: skip
    allowed = rows["Load still allowed, trailer hitched and roof loaded"]
    assert [cell.text for cell in allowed] == ["145 kg", "131 kg"]
    tips = "Side slope on which it tips over, roof loaded"
    assert tips in rows
    # Where only the spare comes on to the roof, there was no such slope before.
    bare = Evaluation(replace(case, job=replace(case.job, conditions={})), TRADE)
    assert getattr(felt(bare)[tips][0], "text", felt(bare)[tips][0]) == "–"
    assert "Load still allowed, trailer hitched and roof loaded" not in felt(bare)


def test_figures_of_the_handover_are_those_that_there_are():
    assert set(FELT) <= {*TRADE.figures, *TRADE.totals}


def test_a_vehicle_as_it_stands_has_nothing_to_build(package):
    evaluation, _ = package
    nothing = evaluation, make_package(evaluation, evaluation.fitted)
    assert "No work" in formats.markdown(build(nothing))
    written = formats.markdown(handover(nothing))
    assert "Nothing." in written
    assert "After the first kilometres" not in written or "50 km" not in written


def test_boxes_to_tick_and_escaped_text_in_markdown(package):
    written = formats.markdown(build(package))
    assert "| [ ] |" in written
    assert "<" not in written.replace("\\<", "")


@pytest.mark.parametrize("name", ["build", "handover"])
def test_the_commands_write_files_and_refuse_unclear_names(name, tmp_path, capsys):
    from configurator.cli import main

    job = str(JOBS / "vineyard-trucks.toml")
    for kind in ("pdf", "xlsx", "md"):
        with pytest.raises(SystemExit) as end:
            main([name, job, "--into", str(tmp_path / f"s.{kind}"), "--locale", "de_AT"])
        assert end.value.code == 0
    assert (tmp_path / "s.pdf").read_bytes().startswith(b"%PDF")
    assert (tmp_path / "s.md").read_text(encoding="utf-8").startswith("# ")
    with pytest.raises(SystemExit) as end:
        main([name, job, "--into", str(tmp_path / "s.txt")])
    assert end.value.code == 2
    assert "what kind of file" in capsys.readouterr().err
