"""Every figure of one whole package, worked out line by line with a pocket calculator.

The vehicle is ``wagon.toml``, what is fitted to it ``package.toml``, both below ``worked_example``;
they are invented and belong to this file, so prices and parts of the demo lists cannot disturb it.
The lines stand there too, by subject.
Nothing here comes from `configurator.formulas`: each line is the arithmetic of one figure with its
numbers typed in, results of earlier lines included, then what comes out. Lengths are in mm, masses
in kg, forces in N, unless a line says otherwise; g is 9.80665 m/s2.

Source: none but the definitions beside each line; constants that are not geometry: tyre stiffness
by Rhyne (Tire Science and Technology 33(3), 2005), rolling circumference 3.05 D (ETRTO, second
hand), K = 0.4 for section width (UN R30), 0.577 for shear yield (distortion energy), c = 460 J/kgK
(cast iron), E = 206 GPa and 7850 kg/m3 (steel, from memory). The rest are workshop practices.

Tolerance: a figure is rounded to its step in both places, so results agree to 1 in 1,000,000.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from configurator.core import units
from configurator.evaluation.evaluator import Evaluation
from configurator.evaluation.packages import broken_rules, figures_of
from configurator.model.parts import Missing
from tests.validation.worked_example.braking import BRAKES, ON_THE_ROAD, WORK
from tests.validation.worked_example.driveline import DRIVESHAFTS, HOSES
from tests.validation.worked_example.gearing import (
    BEFORE,
    GEARING,
    TORQUE,
    TYRES_AND_WHEELS,
    WEAK_ENGINE,
)
from tests.validation.worked_example.masses import LOADS, MASSES, WEIGHED
from tests.validation.worked_example.ride import HEIGHTS, SLOPES, SPRINGS, UPRIGHT, WIDTHS
from tests.validation.worked_example.rounding import SAME
from tests.validation.worked_example.steering import LINKS_AND_HOUSINGS, STEERING

SHEET = [
    *TYRES_AND_WHEELS,
    *GEARING,
    *TORQUE,
    *SPRINGS,
    *MASSES,
    *HEIGHTS,
    *UPRIGHT,
    *WIDTHS,
    *STEERING,
    *LINKS_AND_HOUSINGS,
    *DRIVESHAFTS,
    *HOSES,
    *BRAKES,
    *LOADS,
    *SLOPES,
    *ON_THE_ROAD,
    *WORK,
]


def _same(evaluation: Evaluation, name: str, unit: str, worked: float, choice) -> None:
    assert evaluation.definition(name).unit == unit
    figure = evaluation.figure(name, choice)
    assert figure == pytest.approx(units.to_si(worked, unit), rel=SAME, abs=SAME)


@pytest.mark.parametrize(
    ("name", "unit", "worked", "result"), SHEET, ids=[line[0] for line in SHEET]
)
def test_a_figure_of_the_package(worked_example, name, unit, worked, result):
    evaluation, choice = worked_example
    assert worked == pytest.approx(result, rel=1e-5)  # as it is carried to later lines
    _same(evaluation, name, unit, worked, choice)


@pytest.mark.parametrize(
    ("name", "unit", "worked", "result"), BEFORE, ids=[line[0] for line in BEFORE]
)
def test_a_figure_of_the_vehicle_as_it_stands(worked_example, name, unit, worked, result):
    evaluation, _ = worked_example
    assert worked == pytest.approx(result, rel=1e-5)
    _same(evaluation, name, unit, worked, evaluation.fitted)


@pytest.mark.parametrize(
    ("name", "unit", "worked", "result"), WEAK_ENGINE, ids=[line[0] for line in WEAK_ENGINE]
)
def test_a_figure_where_the_engine_counts(worked_example, name, unit, worked, result):
    strong, choice = worked_example
    vehicle = strong.case.vehicle
    vehicle = replace(vehicle, values={**vehicle.values, "engine torque": 80.0})
    evaluation = Evaluation(replace(strong.case, vehicle=vehicle), strong.trade)
    assert worked == pytest.approx(result, rel=1e-5)
    _same(evaluation, name, unit, worked, choice)


def test_every_figure_of_the_trade_is_worked_out_once(worked_example):
    evaluation, choice = worked_example
    figures = figures_of(evaluation, choice)
    # The package was chosen so that every figure has a value, but for a sensor at the wheel, as the
    # speed is picked up at the gearbox, and for a trailer and a roof load, which nobody asks for.
    without = {
        "distance per turn of the counted wheel",
        "load still allowed with hitch and roof",
        "mass permitted beside hitch and roof",
        "front axle load permitted beside hitch and roof",
        "rear axle load permitted beside hitch and roof",
        "front tyre load needed for hitch and roof",
        "rear tyre load needed for hitch and roof",
        "side slope that tips it with the roof load",
    }
    unknown = {name for name, value in figures.items() if isinstance(value, Missing)}
    assert unknown == without, "fit in package.toml what it needs, or measure it in wagon.toml"
    by_hand = {name for name, _, _, _ in SHEET}
    missing = sorted(set(figures) - by_hand - without)
    assert missing == [], "work each out by hand on the sheet in worked_example/"
    assert sorted([*(name for name, _, _, _ in SHEET), *without]) == sorted(figures)


def test_the_parts_are_those_that_were_weighed(worked_example):
    _, choice = worked_example
    changed = {place: option for place, option in choice.items() if option.changed}
    assert set(WEIGHED) == set(changed)
    for place, (pieces, mass, *_) in WEIGHED.items():
        assert (changed[place].pieces, changed[place].part.values["mass"]) == (pieces, mass)


def test_it_is_a_package_that_could_be_built(worked_example):
    evaluation, choice = worked_example
    assert [rule.name for rule in broken_rules(evaluation, choice)] == []
