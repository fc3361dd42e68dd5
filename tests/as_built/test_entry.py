"""What a fitter writes down: every slip is found at once, and what figures cannot tell is said."""

from __future__ import annotations

import datetime
import math
import re
import shutil
from dataclasses import replace

import pytest

from configurator.as_built import ASSUMPTIONS, Supposed, compare, explain, measurable
from configurator.as_built.ambiguity import alike, left_over, unmoved, unseen
from configurator.as_built.as_built_files import built_vehicle, stands_otherwise, vehicle_text
from configurator.as_built.as_built_words import (
    alike_lines,
    answer_rows,
    carried_rows,
    left_lines,
    together_lines,
)
from configurator.as_built.carry_over import carried, write_vehicle
from configurator.as_built.entry import (
    BY,
    DAY,
    ENGINE_AT_IT,
    NOTE,
    SHOWN_AT_IT,
    TRUE_SPEED,
    Entry,
    check,
    entry_of,
    fields_of,
    refuse_slips,
)
from configurator.as_built.joint_causes import together
from configurator.core import paths
from configurator.core.errors import InputError
from configurator.documents import formats
from configurator.documents.as_built_sheet import About, measured_sheet
from configurator.documents.number_style import locale_of
from configurator.evaluation.evaluator import Evaluation
from configurator.files import vehicle_files
from tests.as_built.test_diagnosis import BY_NAME, TRADE, built, figures, findings

__all__ = ["built"]  # the fixture
TODAY = datetime.date(2026, 3, 4)


def entered(built, numbers, **about):
    entry = Entry(numbers, **{"day": TODAY, "by": "Ada", **about})
    return check(entry, *built, today=TODAY)


def test_every_measurable_figure_has_a_field_and_the_road_has_three(built):
    fields = fields_of(*built)
    names = {measured.figure for measured in measurable(*built)}
    assert names - set(fields) == {"engine speed at cruise", "speedometer error"}
    assert set(fields) - names == {TRUE_SPEED, ENGINE_AT_IT, SHOWN_AT_IT}


def test_what_is_read_on_the_road_becomes_figures(built):
    evaluation, choice = built
    entry = entered(built, {TRUE_SPEED: 15.0, ENGINE_AT_IT: 150.0, SHOWN_AT_IT: 16.5})
    assert entry.problems == {}
    assert entry.values["speedometer error"] == pytest.approx(0.1)
    again = entry_of(entry.values, evaluation)
    assert again[ENGINE_AT_IT] / again[TRUE_SPEED] == pytest.approx(10.0)
    assert again[SHOWN_AT_IT] / again[TRUE_SPEED] == pytest.approx(1.1)
    kept = check(Entry(again, TODAY, "Ada"), evaluation, choice, today=TODAY)
    assert kept.values == pytest.approx(entry.values)


def test_everything_that_is_wrong_is_said_at_once_with_its_field_and_what_to_do(built):
    right = figures(built)
    entry = entered(
        built,
        {
            "front track": right["front track"] / 25.4,  # typed in the wrong unit
            "rear axle load": right["rear axle load"] * 10,  # a digit too many
            "vehicle mass": -1.0,
            "rolling circumference": math.inf,
            "clearance under front axle": right["clearance under front axle"],
            "no such figure": 1.0,
            ENGINE_AT_IT: 200.0,
        },
        day=TODAY + datetime.timedelta(days=1),
        by="  ",
        note="x" * 501,
    )
    wrong = {
        "front track",
        "rear axle load",
        "vehicle mass",
        "rolling circumference",
        "no such figure",
        TRUE_SPEED,
        DAY,
        BY,
        NOTE,
    }
    assert set(entry.problems) == wrong
    for field, problem in entry.problems.items():
        assert problem.where == field
        assert problem.what
        assert problem.do
    assert set(entry.values) == {"clearance under front axle"}
    assert not entry.sound
    assert "mm" in entry.problems["front track"].do


@pytest.mark.parametrize(
    ("numbers", "field"),
    [
        ({}, "figures"),
        ({TRUE_SPEED: 15.0}, TRUE_SPEED),
        ({TRUE_SPEED: 0.0, ENGINE_AT_IT: 150.0}, TRUE_SPEED),
        ({TRUE_SPEED: 80.0, ENGINE_AT_IT: 150.0}, TRUE_SPEED),
        ({TRUE_SPEED: 15.0, ENGINE_AT_IT: -150.0}, ENGINE_AT_IT),
        ({TRUE_SPEED: 15.0, SHOWN_AT_IT: 30.0}, SHOWN_AT_IT),
        ({TRUE_SPEED: 15.0, ENGINE_AT_IT: 15.0}, ENGINE_AT_IT),
    ],
)
def test_a_slip_is_named_at_its_field(built, numbers, field):
    entry = entered(built, numbers)
    assert set(entry.problems) == {field}
    assert not entry.sound


def test_a_mass_that_is_not_what_both_axles_carry_is_a_slip(built):
    loads = {"front axle load": 1037.0, "rear axle load": 1254.0}
    assert entered(built, {**loads, "vehicle mass": 2300.0}).sound
    entry = entered(built, {**loads, "vehicle mass": 2391.0})
    assert set(entry.problems) == {"vehicle mass"}
    assert "2,291 kg" in entry.problems["vehicle mass"].what
    assert set(entry.values) == set(loads)


def test_slips_are_refused_on_the_command_line_as_on_the_page(built):
    right = figures(built)
    refuse_slips({"front track": right["front track"] + 0.03}, *built)
    with pytest.raises(InputError) as caught:
        refuse_slips({"front track": 9999.0, "vehicle mass": 0.0}, *built)
    far, nothing = (str(problem) for problem in caught.value.problems)
    assert far.startswith("measured, 'front track': 9,999,000 mm is too far from the")
    assert far.endswith("look at the digits and the unit")
    assert nothing == "measured, 'vehicle mass': 0 kg cannot be; enter what was read, in kg"


def test_a_measurement_that_is_off_by_a_fault_is_no_slip(built):
    right = figures(built)
    entry = entered(
        built, {"clearance under front axle": right["clearance under front axle"] - 0.06}
    )
    assert entry.sound


def test_sensitivity_is_how_far_a_figure_moves_when_worked_out_again(built):
    evaluation, choice = built
    name = "rolling circumference"
    diagnosis = findings(built, figures(built, BY_NAME[name], 0.02))
    (best,) = diagnosis.best
    moved = Supposed(evaluation, choice, BY_NAME[name], 0.021)
    still = Supposed(evaluation, choice, BY_NAME[name], 0.020)
    for figure in ("engine speed at cruise", "rolling circumference", "front track"):
        step = (moved.figure(figure, choice) - still.figure(figure, choice)) / 0.001
        assert best.answers[figure] == pytest.approx(step, rel=2e-2, abs=1e-9)
    assert {row[0]: row[1] for row in answer_rows(diagnosis, best)}["front track"] == "0 mm"


def test_what_cannot_be_told_apart_is_said_with_the_figure_that_would(built):
    evaluation, choice = built
    values = figures(built, BY_NAME["static loaded radius"], -0.012)
    names = ("clearance under front axle", "front static radius")
    diagnosis = findings(built, {name: values[name] for name in names})
    pairs = alike(diagnosis, evaluation, choice)
    named = {(pair.first.assumption.name, pair.other.assumption.name): pair for pair in pairs}
    (pair,) = (
        explanation
        for both, explanation in named.items()
        if set(both) == {"static loaded radius", "static loaded radius in front"}
    )
    assert "rear" in pair.telling
    assert any(
        f"measure {pair.telling} as well" in line for line in alike_lines(diagnosis, pairs, None)
    )
    more = findings(built, {name: values[name] for name in (*names, pair.telling)})
    both = {pair.first.assumption.name, pair.other.assumption.name}
    assert all(
        {pair.first.assumption.name, pair.other.assumption.name} != both
        for pair in alike(more, evaluation, choice)
    )


def test_one_figure_alone_proves_nothing_and_what_is_too_small_is_not_seen(built):
    evaluation, choice = built
    values = figures(built, BY_NAME["static loaded radius"], -0.012)
    alone = findings(built, {"front static radius": values["front static radius"]})
    assert "One figure alone" in alike_lines(alone, alike(alone, evaluation, choice), None)[0]
    diagnosis = findings(built, values)
    hidden = {explanation.assumption.name for explanation in unseen(diagnosis)}
    # Half a per cent of final drive is less than an engine speed can be read to.
    assert "overall drive ratio" in hidden
    assert any(
        "neither be found nor ruled out" in line for line in alike_lines(diagnosis, (), None)
    )


def test_what_is_left_and_what_nothing_moves_is_said(built):
    values = figures(built, BY_NAME["static loaded radius"], -0.012)
    values["front track"] += 0.05
    evaluation, choice = built
    assumptions = [assumption for assumption in ASSUMPTIONS if "radius" in assumption.name]
    reasons = explain(evaluation, choice, compare(evaluation, choice, values), assumptions)
    assert [comparison.figure for comparison in unmoved(reasons)] == ["front track"]
    left = left_over(reasons, reasons.explained[0])
    assert [comparison.figure for comparison, _ in left] == ["front track"]
    assert left[0][1] == pytest.approx(0.05)
    lines = left_lines(reasons, None)
    assert "front track: +50 mm is left" in lines[0]
    assert "none of the assumptions moves it" in lines[0]
    assert left_lines(findings(built, figures(built)), None) == []


def test_what_is_carried_is_listed_with_where_it_is_from(built):
    evaluation, choice = built
    values = figures(built, BY_NAME["static loaded radius"], -0.012)
    kept = ("front static radius", "clearance under rear axle", "vehicle mass")
    diagnosis = findings(built, {name: values[name] for name in kept})
    (best,) = diagnosis.best
    before = evaluation.case.vehicle
    after = built_vehicle(evaluation, choice, diagnosis.compared, best)
    plain = built_vehicle(evaluation, choice, diagnosis.compared)
    listed = {
        change.name: change for change in carried(before, after, TRADE, diagnosis.compared, plain)
    }
    assert listed["front static radius"].origin == "measured"
    assert listed["rear static radius"].origin == "corrected"
    assert listed["rear static radius"].before is None
    # What hangs on the radius is corrected with it, what does not is worked out as before.
    assert listed["door sill height"].origin == "corrected"
    assert listed["payload"].origin == "worked out"
    assert (
        listed["laden mass"].origin == "measured"
        or values["vehicle mass"] == before.values["laden mass"]
    )
    assert listed["tyres"].after == choice["tyres"].part.title
    # Nothing else is different.
    different = {name for name, value in after.values.items() if before.values.get(name) != value}
    assert different <= set(listed)
    rows = {row[0]: row for row in carried_rows(list(listed.values()), "imperial")}
    assert rows["rear static radius"][1] == "not given"
    assert rows["rear static radius"][2].endswith(" in")


def test_a_vehicle_goes_into_a_new_file_and_never_over_one(built, tmp_path):
    evaluation, choice = built
    folder = tmp_path / "shop"
    shutil.copytree(paths.catalogs() / "demo", folder)
    vehicle = built_vehicle(evaluation, choice, ())
    text = vehicle_text(vehicle, TRADE)
    path = write_vehicle(folder, "truck-as-built", text)
    assert path.read_text(encoding="utf-8") == text
    assert vehicle_files.read_vehicle(folder, "truck-as-built", TRADE).title == vehicle.title
    with pytest.raises(InputError, match="nothing is written over"):
        write_vehicle(folder, "truck-as-built", "other")
    assert path.read_text(encoding="utf-8") == text
    for name in ("../out", "", "Über", "a b", "a" * 61, "con/aux"):
        with pytest.raises(InputError, match="cannot be used"):
            write_vehicle(folder, name, text)
    assert list(tmp_path.iterdir()) == [folder]


def test_the_sheet_says_it_all_in_every_form(built, tmp_path):
    evaluation, choice = built
    values = figures(built, BY_NAME["static loaded radius"], -0.012)
    diagnosis = findings(built, values)
    (best,) = diagnosis.best
    after = built_vehicle(evaluation, choice, diagnosis.compared, best)
    sheet = measured_sheet(
        evaluation,
        diagnosis,
        About("Quotation 2026-0001", TODAY, "Ada <b>", "#set page(fill: red)"),
        locale=locale_of("de_DE"),
        system="imperial",
        pairs=alike(diagnosis, evaluation, choice),
        changes=carried(evaluation.case.vehicle, after, TRADE, diagnosis.compared),
        remarks=("measure again",),
    )
    text = formats.markdown(sheet)
    for piece in ("Quotation 2026-0001", "4. März 2026", "Ada \\<b\\>", "static loaded radius"):
        assert piece in text
    assert "-0,472 in" in text  # 12 mm, as written in German
    assert "measure again" in text
    # Decimals stand behind a comma everywhere; a point parts thousands.
    assert not re.search(r"\d\.(\d{1,2}|\d{4,}) (in|lb|rpm|%|tol)", text)
    formats.write(sheet, tmp_path / "sheet.xlsx")
    assert formats.pdf(sheet).startswith(b"%PDF")
    headings = [section.heading for section in sheet.filled]
    assert headings[:2] == ["Promised and measured", "Likely cause"]
    assert "Sensitivity to static loaded radius" in headings


def test_a_second_job_starts_from_what_was_measured(built):
    """The next job on the vehicle is worked out from the radius that was measured."""
    evaluation, choice = built
    values = figures(built, BY_NAME["static loaded radius"], -0.012)
    diagnosis = findings(built, values)
    (best,) = diagnosis.best
    vehicle = built_vehicle(evaluation, choice, diagnosis.compared, best)
    again = Evaluation(replace(evaluation.case, vehicle=vehicle, local_rules=None), TRADE)
    other = next(o for o in again.options("tyres") if o.changed)
    next_choice = {**again.fitted, "tyres": other}
    plain_vehicle = replace(
        vehicle,
        values={k: v for k, v in vehicle.values.items() if not k.endswith("static radius")},
    )
    plain = Evaluation(replace(evaluation.case, vehicle=plain_vehicle, local_rules=None), TRADE)
    name = "front static radius"
    moved = Supposed(again, next_choice).figure(name, next_choice)
    plainly = Supposed(plain, next_choice).figure(name, next_choice)
    stood = Supposed(again, {}).figure(name, again.fitted)
    estimated = Supposed(plain, {}).figure(name, plain.fitted)
    assert moved - plainly == pytest.approx(stood - estimated)


def test_two_assumptions_that_are_off_at_once_are_found_together(built):
    evaluation, choice = built
    radius, other = BY_NAME["static loaded radius"], BY_NAME["rolling circumference"]
    supposed = Supposed(evaluation, choice, radius, -0.012, ((other, 0.02),))
    names = (
        "clearance under front axle",
        "clearance under rear axle",
        "front static radius",
        "rolling circumference",
        "engine speed at cruise",
    )
    diagnosis = findings(built, {name: supposed.figure(name, choice) for name in names})
    assert diagnosis.verdict == "none"
    best = together(diagnosis, evaluation, choice)[0]
    fitted = {it.name: correction for it, correction in best.corrections}
    assert fitted == {
        radius.name: pytest.approx(-0.012, rel=1e-3),
        other.name: pytest.approx(0.02, rel=1e-3),
    }
    assert best.left == pytest.approx(0.0, abs=1e-3)
    # Both are carried: the next job begins where this one was measured.
    vehicle = built_vehicle(evaluation, choice, diagnosis.compared, best)
    assert stands_otherwise(evaluation, choice, vehicle, diagnosis.compared, best) == []
    lines = together_lines(together(diagnosis, evaluation, choice), None)
    assert "static loaded radius −12 mm and rolling circumference +2 %" in " ".join(lines) or (
        "rolling circumference +2 % and static loaded radius −12 mm" in " ".join(lines)
    )


def test_two_are_not_asked_where_one_does_or_too_little_was_measured(built):
    evaluation, choice = built
    values = figures(built, BY_NAME["static loaded radius"], -0.012)
    assert together(findings(built, values), evaluation, choice) == ()
    # Two figures are put right by any two corrections: that would prove nothing.
    wrong = {
        "clearance under front axle": values["clearance under front axle"] + 0.03,
        "front static radius": values["front static radius"] - 0.03,
    }
    diagnosis = findings(built, wrong)
    assert diagnosis.verdict == "none"
    assert together(diagnosis, evaluation, choice) == ()
