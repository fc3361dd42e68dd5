"""What a check of the finished vehicle says of tolerances, for the next job and for the list."""

from __future__ import annotations

from dataclasses import replace

import pytest

from configurator.as_built import compare
from configurator.as_built.as_built_files import built_vehicle, vehicle_text
from configurator.as_built.closer_tolerances import confirmed
from configurator.core import paths
from configurator.core.text import Report
from configurator.evaluation.evaluator import Evaluation
from configurator.evaluation.propagation import Propagation
from configurator.files import job_files, toml_files
from configurator.files.judgement import tolerances_of
from configurator.files.vehicle_files import vehicle_of
from configurator.model.tolerances import reserve_of
from tests import bundled

TRADE = bundled.trade()
JOB = paths.catalogs() / "demo" / "jobs" / "vineyard-trucks.toml"
TYRE = "demo/PTA-25585R16"
RADIUS = "rear static radius"


@pytest.fixture(scope="module")
def built():
    """A job, and a package with other tyres."""
    evaluation = Evaluation(job_files.read_case(JOB, TRADE), TRADE)
    tyre = next(o for o in evaluation.options("tyres") if o.key == TYRE)
    return evaluation, {**evaluation.fitted, "tyres": tyre}


def measured(built, *figures):
    """What was measured, just as it was promised before rounding."""
    evaluation, choice = built
    known = Propagation(evaluation, choice)
    return compare(evaluation, choice, {name: float(known.figure(name).exact) for name in figures})


def next_job(built, vehicle):
    """The next job on a vehicle, read from its file."""
    case = built[0].case
    report = Report()
    top = toml_files.load(vehicle_text(vehicle, TRADE), "vehicle", report)
    again = vehicle_of(top, "demo/again", TRADE)
    assert not report.errors
    assert again.tolerances == vehicle.tolerances
    stated = tolerances_of({**case.workshop.tolerances, **again.tolerances}, TRADE)
    return Evaluation(replace(case, vehicle=again, tolerances=stated), TRADE)


def within(evaluation, figure):
    return reserve_of(Propagation(evaluation).figure(figure).effects.values())


def test_what_was_measured_shrinks_the_tolerances_of_the_next_job(built):
    evaluation, choice = built
    plain = next_job(built, built_vehicle(evaluation, choice, ()))
    sets = measured(built, "rolling circumference", "front static radius", RADIUS)
    after = next_job(built, built_vehicle(evaluation, choice, sets))
    for figure in ("engine speed at cruise", RADIUS, "clearance under rear axle"):
        before = reserve_of(Propagation(evaluation, choice).figure(figure).effects.values())
        assert within(after, figure) < 0.8 * before, figure
        assert within(after, figure) < within(plain, figure), figure
    assert after.case.vehicle.tolerances["fitted tyres: rolling circumference"] == "7 mm"


def test_what_was_only_worked_out_is_known_no_closer_than_it_was(built):
    """A radius that nobody measured after the tyres were changed is no measurement."""
    evaluation, choice = built
    vehicle = evaluation.case.vehicle
    case = replace(
        evaluation.case,
        vehicle=replace(vehicle, values={**vehicle.values, RADIUS: 0.36}),
    )
    known = Evaluation(case, TRADE)
    assert within(known, RADIUS) == pytest.approx(0.002)  # as it was measured, and no estimate
    promised = reserve_of(Propagation(known, choice).figure(RADIUS).effects.values())
    assert promised > 0.005
    after = next_job((known, choice), built_vehicle(known, choice, ()))
    assert within(after, RADIUS) >= promised


def test_what_was_stated_of_a_part_that_is_gone_is_gone_with_it(built):
    evaluation, choice = built
    stated = {"fitted tyres: overall diameter": "1 mm", "wheelbase": "1 mm"}
    vehicle = replace(evaluation.case.vehicle, tolerances=stated)
    known = Evaluation(replace(evaluation.case, vehicle=vehicle), TRADE)
    after = built_vehicle(known, choice, ()).tolerances
    assert after["wheelbase"] == "1 mm"
    assert "fitted tyres: overall diameter" not in after
    same = built_vehicle(known, known.fitted, ()).tolerances
    assert same["fitted tyres: overall diameter"] == "1 mm"


def test_a_value_of_the_list_that_was_measured_and_agreed_is_named(built):
    evaluation, choice = built
    option = choice["tyres"]
    values = {**option.part.values, "rolling circumference": 2.4}
    listed = replace(option, part=replace(option.part, values=values))
    with_value = {**choice, "tyres": listed}
    compared = compare(evaluation, with_value, {"rolling circumference": 2.402})
    (value,) = confirmed(evaluation, with_value, compared)
    assert (value.name, value.within) == (f"{TYRE}: rolling circumference", "7 mm")
    off = compare(evaluation, with_value, {"rolling circumference": 2.45})
    assert confirmed(evaluation, with_value, off) == []


def test_a_tolerance_of_one_part_counts_for_that_part_alone(built):
    evaluation, _ = built
    stated = tolerances_of({f"{TYRE}: overall diameter": "1 mm"}, TRADE)
    known = Evaluation(replace(evaluation.case, tolerances=stated), TRADE)
    own = {
        option.key: known.tolerances.of_part("tyres", option.part, "overall diameter")
        for option in known.options("tyres")
    }
    assert own[TYRE].amount == pytest.approx(0.001)
    assert {t.amount for key, t in own.items() if key != TYRE} == {0.01}


@pytest.mark.parametrize("name", ["demo/T-1: no such attribute", "/T: overall diameter", "demo/T"])
def test_a_tolerance_of_what_is_not_there_is_refused(name):
    report = Report()
    text = f'title = "T"\n[tolerances]\n"{name}" = "1 mm"\n'
    vehicle_of(toml_files.load(text, "vehicle", report), "demo/t", TRADE)
    assert any(name in problem.what for problem in report.errors)
