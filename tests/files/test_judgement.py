"""Tolerances that are stated, and rules that somebody answers for lifting."""

from __future__ import annotations

from dataclasses import replace

import pytest

from configurator.core import paths
from configurator.core.errors import InputError
from configurator.core.text import Report
from configurator.evaluation.evaluator import Evaluation
from configurator.files import job_files
from configurator.files.catalog_files import load_workshop
from configurator.files.job_text import read_job
from configurator.files.job_writing import write_job
from tests import bundled

TRADE = bundled.trade()
JOB = 'title = "T"\nvehicle = "demo/valdrin-boek"\ncatalogs = ["demo"]\n'
ABOUT = 'title = "x"\ncurrency = "EUR"\nprice_date = 2026-11-01\nsource = "x"\n'
COMFORT = "the vehicle stays level"


def case_of(tmp_path, more):
    path = tmp_path / "job.toml"
    path.write_text(JOB + more, encoding="utf-8")
    return job_files.read_case(path, TRADE)


def problems(more):
    with pytest.raises(InputError) as caught:
        read_job(JOB + more, TRADE)
    return {problem.where: (problem.what, problem.do) for problem in caught.value.problems}


def test_what_a_job_states_counts_before_what_is_usual(tmp_path):
    more = '[tolerances]\n"front arch room" = "1 mm"\n"tyres: overall diameter" = "0.2 %"\n'
    usual = Evaluation(case_of(tmp_path, ""), TRADE).tolerances
    stated = Evaluation(case_of(tmp_path, more), TRADE).tolerances
    assert usual.of_measure("front arch room").amount == 0.004
    assert stated.of_measure("front arch room").amount == 0.001
    assert stated.of_measure("rear arch room").amount == 0.004
    tyre = next(o for o in Evaluation(case_of(tmp_path, ""), TRADE).options("tyres") if o.changed)
    assert usual.of_part("tyres", tyre.part, "overall diameter").amount == 0.01
    assert stated.of_part("tyres", tyre.part, "overall diameter").amount == 0.002


def test_all_that_is_wrong_is_said_at_once():
    errors = problems(
        '[tolerances]\n"front arch roam" = "1 mm"\n"rear arch room" = "wide"\n'
        '"wheelbase" = "3 kg"\n"laden mass" = "-2 kg"\n'
    )
    assert len(errors) == 4
    assert "did you mean 'front arch room'" in errors["job, [tolerances], 'front arch roam'"][1]
    assert "no tolerance" in errors["job, [tolerances], 'rear arch room'"][0]
    assert 'as "2 mm" or "1 %"' in errors["job, [tolerances], 'wheelbase'"][1]


def test_a_rule_that_should_hold_can_be_lifted_by_name(tmp_path):
    more = f'[lifted]\n"{COMFORT}" = "A. Example: a plough hangs on the rear"\n'
    case = case_of(tmp_path, more)
    assert case.job.lifted == {COMFORT: "A. Example: a plough hangs on the rear"}
    assert COMFORT in Evaluation(case_of(tmp_path, ""), TRADE).trade.limits
    assert COMFORT not in Evaluation(case, TRADE).trade.limits
    assert read_job(write_job(case.job, TRADE), TRADE) == case.job


def test_a_rule_that_must_hold_is_never_lifted():
    errors = problems(
        '[lifted]\n"the front tyres clear springs, links and frame" = "A. Example: it is fine"\n'
        f'"the vehicle stays levle" = "A. Example"\n"{COMFORT}" = " "\n'
    )
    assert len(errors) == 3
    what, _ = errors["job, [lifted], 'the front tyres clear springs, links and frame'"]
    assert what == "this rule must hold: it is about parts that must not touch"
    assert f"did you mean {COMFORT!r}" in errors["job, [lifted], 'the vehicle stays levle'"][1]
    assert errors[f"job, [lifted], {COMFORT!r}"][0] == "nobody answers for it"


def test_a_workshop_lifts_what_should_hold_for_all_its_jobs(tmp_path):
    who = "A. Example, owner: our ploughs hang on the rear"
    (tmp_path / "catalog.toml").write_text(ABOUT, encoding="utf-8")
    (tmp_path / "workshop.toml").write_text(f'[lifted]\n"{COMFORT}" = "{who}"\n', encoding="utf-8")
    workshop, _ = load_workshop(tmp_path, TRADE, Report())
    assert workshop.lifted == {COMFORT: who}
    case = replace(case_of(tmp_path, ""), workshop=workshop)
    assert COMFORT not in Evaluation(case, TRADE).trade.limits
    # The job has the first word on who answers for it.
    own = replace(case, job=replace(case.job, lifted={COMFORT: "B. Other: asked for"}))
    assert own.lifted == {COMFORT: "B. Other: asked for"}
    assert case.lifted == {COMFORT: who}


def test_no_workshop_lifts_what_must_hold(tmp_path):
    (tmp_path / "catalog.toml").write_text(ABOUT, encoding="utf-8")
    rule = "the front tyres clear springs, links and frame"
    (tmp_path / "workshop.toml").write_text(f'[lifted]\n"{rule}" = "A."\n', encoding="utf-8")
    report = Report()
    load_workshop(tmp_path, TRADE, report)
    problems_at = {problem.where: problem.what for problem in report.errors}
    (what,) = (what for where, what in problems_at.items() if "[lifted]" in where)
    assert what == "this rule must hold: it is about parts that must not touch"


def test_every_bundled_tolerance_can_be_read():
    """A slip in a plugin is found when its tolerances are looked up, whoever asks first."""
    for vehicle in (paths.catalogs() / "demo" / "vehicles").glob("*.toml"):
        job = JOB.replace("valdrin-boek", vehicle.stem)
        assert read_job(job, TRADE).vehicle.endswith(vehicle.stem)
