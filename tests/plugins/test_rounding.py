"""A figure that a limit bounds is rounded to the side that is safe for the limit."""

from __future__ import annotations

import pytest

from configurator.core import paths
from configurator.evaluation.evaluator import Evaluation
from configurator.files import job_files
from configurator.model.knowledge import Trade
from configurator.model.references import FigureValue, computed

JOB = paths.catalogs() / "demo" / "jobs" / "touring-wagon-first-step.toml"

# Bounded on both sides, so that one of them is the other's unsafe side; comfort, a step wide.
ON_BOTH_SIDES = {
    "the front wheels have not too much caster",
    *(
        f"the {axle} {rule}"
        for axle in ("front", "rear")
        for rule in (
            "springs are not too hard",
            "springs are not too soft",
            "shocks calm the springs",
            "shocks are not too hard for the springs",
        )
    ),
}


def test_no_limit_is_kept_by_rounding(trade: Trade):
    unsafe, looked_at = set(), 0
    for limit in trade.limits.values():
        read = [item.reference for item in limit.inputs]
        safe = "down" if limit.at_least is not None else "up"
        sides = [(read[0], safe)] if len(read) == 1 else []
        sides += [(limit.at_least, "up"), (limit.at_most, "down")]
        for reference, side in sides:
            if not isinstance(reference, FigureValue) or reference.before:
                continue
            figure = trade.figures.get(reference.name)
            if figure is not None and figure.resolution:
                looked_at += 1
                if figure.rounding != side:
                    unsafe.add(limit.name)
    assert looked_at > 50
    assert unsafe == ON_BOTH_SIDES
    assert all(trade.limits[name].concerns == "comfort" for name in unsafe)


def test_what_is_held_against_the_vehicle_before_is_not_rounded_there(trade: Trade):
    """A figure now is rounded to the safe side; before, it must not be rounded to the same one."""
    alike, looked_at = set(), 0
    for limit in trade.limits.values():
        if limit.concerns != "change":
            continue
        read = [item.reference for item in limit.inputs] + [limit.at_least, limit.at_most]
        behind = [trade.figures[r.name] for r in read if isinstance(r, FigureValue)]
        for rule in (limit, *behind):
            for reference in (item.reference for item in rule.inputs):
                if not isinstance(reference, FigureValue) or not reference.before:
                    continue
                figure = trade.figures.get(reference.name)
                if figure is not None and figure.resolution:
                    looked_at += 1
                    if not reference.exact:
                        alike.add(rule.name)
    assert looked_at > 1
    assert not alike


def test_a_figure_before_can_be_exact_and_one_of_a_package_cannot(trade: Trade):
    evaluation = Evaluation(job_files.read_case(JOB, trade), trade)
    name = "deceleration at the permitted pedal force"
    rounded = evaluation.constant(FigureValue(name, before=True))
    exact = evaluation.constant(FigureValue(name, before=True, exact=True))
    assert rounded <= exact < rounded + 0.1  # rounded down, and so is what it reads
    assert rounded != exact
    with pytest.raises(ValueError, match="only a figure before"):
        computed(name, exact=True)


def test_brakes_that_stay_as_they_are_stop_as_well_as_before(trade: Trade):
    evaluation = Evaluation(job_files.read_case(JOB, trade), trade)
    rule = trade.limits["the brakes stop about as well as before the change"]
    verdict = evaluation.verdict(rule, evaluation.fitted)
    assert verdict.holds
    assert 0.97 < verdict.has <= 1.0


def test_steering_that_stays_as_it_is_needs_no_more_damping(trade: Trade):
    for job in sorted(JOB.parent.glob("*.toml")):
        evaluation = Evaluation(job_files.read_case(job, trade), trade)
        enough = evaluation.case.vehicle.values["steering damping as it stands"]
        assert evaluation.figure("steering damping needed", evaluation.fitted) == enough, job.stem
