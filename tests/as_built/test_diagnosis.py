"""Measured against promised: errors that were put in are found again, and nothing is made up."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from configurator.as_built import ASSUMPTIONS, Supposed, at_cruise, compare, explain, measurable
from configurator.as_built.as_built_files import (
    AFTER,
    built_vehicle,
    read_values,
    remarks_of,
    stands_otherwise,
    vehicle_text,
)
from configurator.as_built.as_built_words import findings_record, show_findings, verdict_words
from configurator.core import paths
from configurator.core.errors import InputError
from configurator.evaluation.evaluator import Evaluation
from configurator.files import job_files, vehicle_files
from tests import bundled

TRADE = bundled.trade()
JOBS = paths.catalogs() / "demo" / "jobs"
EVERY = (
    "clearance under front axle",
    "clearance under rear axle",
    "front static radius",
    "rear static radius",
    "front track",
    "rolling circumference",
    "engine speed at cruise",
    "speedometer error",
    "front axle load",
    "rear axle load",
    "vehicle mass",
)
BY_NAME = {assumption.name: assumption for assumption in ASSUMPTIONS}


@pytest.fixture(scope="module")
def built():
    """Return a job and a package with other tyres: no search, so that it costs nothing."""
    evaluation = Evaluation(job_files.read_case(JOBS / "vineyard-trucks.toml", TRADE), TRADE)
    tyre = next(o for o in evaluation.options("tyres") if o.key == "demo/PTA-25585R16")
    return evaluation, {**evaluation.fitted, "tyres": tyre}


def figures(built, assumption=None, correction=0.0):
    """Return what would be measured if an assumption were off by so much."""
    evaluation, choice = built
    supposed = Supposed(evaluation, choice, assumption, correction)
    return {name: supposed.figure(name, choice) for name in EVERY}


def findings(built, values):
    evaluation, choice = built
    return explain(evaluation, choice, compare(evaluation, choice, values))


def test_there_is_something_to_measure(built):
    assert set(EVERY) <= {measured.figure for measured in measurable(*built)}


def test_what_was_promised_and_found_needs_no_explanation(built):
    diagnosis = findings(built, figures(built))
    assert diagnosis.verdict == "agrees"
    assert all(comparison.difference == pytest.approx(0.0) for comparison in diagnosis.compared)


@pytest.mark.parametrize(
    ("name", "correction"),
    [
        ("rolling circumference", 0.025),
        ("rolling circumference", -0.02),
        ("static loaded radius", -0.012),
        ("static loaded radius", 0.014),
        ("load on board when it was weighed", 0.04),
        ("distance of the wheel faces", 0.009),
    ],
)
def test_an_error_that_was_put_in_is_found_again(built, name, correction):
    diagnosis = findings(built, figures(built, BY_NAME[name], correction))
    assert diagnosis.verdict == "one", [(e.assumption.name, e.left) for e in diagnosis.explained]
    (best,) = diagnosis.best
    assert best.assumption.name == name
    assert best.correction == pytest.approx(correction, rel=1e-3)
    assert best.left == pytest.approx(0.0, abs=1e-3)
    assert best.share == pytest.approx(1.0, abs=1e-4)
    assert abs(best.correction - correction) <= best.spread


def test_the_mass_of_parts_is_found_again_where_they_weigh_something():
    evaluation = Evaluation(job_files.read_case(JOBS / "hut-track-wagon.toml", TRADE), TRADE)
    hubs = {
        position: next(o for o in evaluation.options(position) if o.key.startswith("demo/HC-60"))
        for position in ("front hub reductions", "rear hub reductions")
    }
    built = evaluation, {**evaluation.fitted, **hubs}
    name = "mass of what was fitted"
    values = figures(built, BY_NAME[name], 0.3)
    kept = {figure: values[figure] for figure in ("front axle load", "rear axle load")}
    diagnosis = findings(built, kept)
    (same,) = (
        explanation for explanation in diagnosis.explained if explanation.assumption.name == name
    )
    assert same.correction == pytest.approx(0.3, rel=1e-6)
    assert same.left == pytest.approx(0.0, abs=1e-9)


def test_noise_within_the_tolerances_does_not_hide_it(built):
    values = figures(built, BY_NAME["rolling circumference"], 0.027)
    values["engine speed at cruise"] *= 1.004
    values["rolling circumference"] -= 0.003
    values["front track"] += 0.003
    diagnosis = findings(built, values)
    assert [explanation.assumption.name for explanation in diagnosis.best] == [
        "rolling circumference"
    ]
    assert diagnosis.best[0].correction == pytest.approx(0.027, abs=2 * diagnosis.best[0].spread)
    assert diagnosis.best[0].left < 1.0 < diagnosis.best[0].before


def test_one_measurement_cannot_tell_assumptions_apart(built):
    values = figures(built, BY_NAME["static loaded radius"], -0.012)
    diagnosis = findings(
        built, {"clearance under front axle": values["clearance under front axle"]}
    )
    assert diagnosis.verdict == "several"
    assert {"static loaded radius", "static loaded radius in front"} <= {
        explanation.assumption.name for explanation in diagnosis.best
    }
    assert "Measure another figure" in verdict_words(diagnosis)


def test_measurements_that_contradict_each_other_are_explained_by_none(built):
    values = figures(built)
    values["clearance under front axle"] += 0.03
    values["front static radius"] -= 0.03
    diagnosis = findings(built, values)
    assert diagnosis.verdict == "none"
    assert diagnosis.best == ()
    assert "No single cause" in verdict_words(diagnosis)


def test_a_correction_beyond_what_is_usual_is_said_and_never_best(built):
    diagnosis = findings(built, figures(built, BY_NAME["rolling circumference"], 0.2))
    assert diagnosis.verdict == "none"
    (explanation,) = (
        e for e in diagnosis.explained if e.assumption.name == "rolling circumference"
    )
    assert explanation.every
    assert not explanation.usual
    assert any("more than is usual" in line for line in show_findings(diagnosis)[3])


def test_what_no_assumption_moves_is_explained_by_none(built):
    values = {"front track": figures(built)["front track"] + 0.05}
    evaluation, choice = built
    compared = compare(evaluation, choice, values)
    reasons = explain(evaluation, choice, compared, [BY_NAME["rolling circumference"]])
    assert reasons.explained == ()
    assert reasons.verdict == "none"
    assert "Measure again" in verdict_words(reasons)


def test_tyres_that_stayed_were_off_before_as_well(built):
    evaluation, _ = built
    stays = evaluation, dict(evaluation.fitted)
    off = figures(stays, BY_NAME["rolling circumference"], 0.02)
    # What the speedometer shows was measured with these very tyres.
    assert off["speedometer error"] == pytest.approx(figures(stays)["speedometer error"])
    changed = figures(built, BY_NAME["rolling circumference"], 0.02)
    assert changed["speedometer error"] != pytest.approx(figures(built)["speedometer error"])


def test_an_engine_speed_at_another_road_speed_is_in_proportion(built):
    evaluation, choice = built
    cruise = evaluation.case.job.conditions.get("cruising speed", 100 / 3.6)
    assert at_cruise(evaluation, 100.0, cruise / 2) == pytest.approx(200.0)
    words = [f"engine speed at {cruise * 3.6 / 2!r} km/h = 1000 rpm"]
    values = read_values(None, words, evaluation, choice)
    assert values["engine speed at cruise"] == pytest.approx(2000 * 2 * 3.141592653589793 / 60)


def test_everything_that_is_wrong_with_the_values_is_said_at_once(built, tmp_path):
    file = tmp_path / "values.toml"
    file.write_text('[measured]\n"front trak" = "1500 mm"\n"front track" = "3 kg"\n')
    with pytest.raises(InputError) as caught:
        read_values(file, ["rear track 5", "engine speed at 0 km/h = 900 rpm"], *built)
    text = " ".join(str(problem) for problem in caught.value.problems)
    for piece in ("front trak", "did you mean 'front track'", "'kg'", "rear track 5", "above 0"):
        assert piece in text
    with pytest.raises(InputError, match="nothing was measured"):
        read_values(None, [], *built)
    with pytest.raises(InputError):
        read_values(tmp_path / "none.toml", [], *built)


def test_a_figure_that_is_given_twice_is_refused(built):
    with pytest.raises(InputError, match="'front track' is given twice"):
        read_values(None, ["front track = 1612 mm", "front track = 1580 mm"], *built)


@pytest.mark.parametrize("text", ["1,612 mm", "1.612,5 mm", "1e308 mm", "\u0663 mm", "1/2 in"])
def test_measured_values_are_read_as_those_of_lists_are(built, text):
    with pytest.raises(InputError):
        read_values(None, [f"front track = {text}"], *built)
    assert read_values(None, ["front track = 1612,5 mm"], *built) == {"front track": 1.6125}


def test_the_built_vehicle_stands_as_it_was_measured(built, tmp_path):
    evaluation, choice = built
    name = "rolling circumference"
    diagnosis = findings(built, figures(built, BY_NAME[name], 0.02))
    (best,) = diagnosis.best
    vehicle = built_vehicle(evaluation, choice, diagnosis.compared, best)
    folder = tmp_path / "own"
    (folder / "vehicles").mkdir(parents=True)
    otherwise = stands_otherwise(evaluation, choice, vehicle, diagnosis.compared, best)
    assert otherwise == []
    remarks = remarks_of(evaluation, otherwise, best)
    text = vehicle_text(vehicle, TRADE, remarks)
    (folder / "vehicles" / "built.toml").write_text(text, encoding="utf-8")
    read = vehicle_files.read_vehicle(folder, "built", TRADE)
    assert read.values["laden mass"] == pytest.approx(figures(built)["vehicle mass"])
    assert read.fitted["tyres"].values[name] == pytest.approx(
        1.02 * evaluation.figure(name, choice), rel=2e-3
    )
    again = Evaluation(replace(evaluation.case, vehicle=read), TRADE)
    for figure in (
        "rolling circumference",
        "engine speed at cruise",
        "vehicle mass",
        "front track",
    ):
        here = Supposed(again, {}).figure(figure, again.fitted)
        assert here == pytest.approx(
            figures(built, BY_NAME[name], best.correction)[figure], rel=1e-6
        )
    assert "# Corrected: rolling circumference." in text
    assert set(AFTER) <= set(TRADE.measures)


def test_a_corrected_static_radius_is_carried_to_the_next_job(built):
    evaluation, choice = built
    values = figures(built, BY_NAME["static loaded radius"], -0.012)
    front = {name: values[name] for name in ("front static radius", "clearance under rear axle")}
    diagnosis = findings(built, front)
    (best,) = diagnosis.best
    assert best.assumption.name == "static loaded radius"
    assert "front static radius" not in evaluation.case.vehicle.values
    vehicle = built_vehicle(evaluation, choice, diagnosis.compared, best)
    again = Evaluation(replace(evaluation.case, vehicle=vehicle, local_rules=None), TRADE)
    for name in ("front static radius", "rear static radius", "clearance under rear axle"):
        here = Supposed(again, {}).figure(name, again.fitted)
        assert here == pytest.approx(values[name], abs=1e-6), name
    # What nobody measured and nothing corrects is not made up.
    plain = built_vehicle(evaluation, choice, ())
    assert "front static radius" not in plain.values


def test_what_the_built_vehicle_cannot_tell_is_said():
    evaluation = Evaluation(
        job_files.read_case(JOBS / "touring-wagon-first-step.toml", TRADE), TRADE
    )
    spring = max(evaluation.options("front springs"), key=lambda o: o.part.values["free length"])
    choice = {**evaluation.fitted, "front springs": spring}
    vehicle = built_vehicle(evaluation, choice, ())
    otherwise = stands_otherwise(evaluation, choice, vehicle)
    assert "clearance under front axle" in [figure for figure, _, _ in otherwise]
    assert any(
        "correct the measures" in remark for remark in remarks_of(evaluation, otherwise, None)
    )


def test_the_record_is_plain_data(built):
    diagnosis = findings(built, figures(built, BY_NAME["rolling circumference"], 0.02))
    record = json.loads(json.dumps(findings_record(diagnosis, "imperial")))
    assert record["best"] == ["rolling circumference"]
    units = {row["figure"]: row["unit"] for row in record["compared"]}
    assert units["front track"] == "in"
    share = record["assumptions"][0]["correction"]
    assert share == pytest.approx(2.0, rel=1e-3)


def test_the_command_reads_compares_and_never_writes_over(tmp_path, capsys):
    from configurator.cli import main

    job, into = JOBS / "vineyard-trucks.toml", tmp_path / "built.toml"
    words = ["measured", str(job), "--is", "rolling circumference = 2500 mm", "--into", str(into)]
    with pytest.raises(SystemExit) as end:
        main([*words, "--json"])
    assert end.value.code == 0
    record = json.loads(capsys.readouterr().out)
    assert record["compared"][0]["measured"] == pytest.approx(2500)
    sheet = tmp_path / "sheet.md"
    paper = ["measured", str(job), "--is", "front track = 1450 mm", "--sheet", str(sheet)]
    with pytest.raises(SystemExit) as end:
        main(paper)
    assert end.value.code == 2
    assert "nobody is named who measured" in capsys.readouterr().err
    with pytest.raises(SystemExit) as end:
        main([*paper, "--by", "Ada"])
    assert end.value.code == 0
    assert "One figure alone" in capsys.readouterr().out
    assert "by Ada" in sheet.read_text(encoding="utf-8")
    before = into.read_text(encoding="utf-8")
    with pytest.raises(SystemExit) as end:
        main(words)
    assert end.value.code == 2
    assert "nothing is written over" in capsys.readouterr().err
    assert into.read_text(encoding="utf-8") == before
