"""What cannot be true together in a vehicle's file or in a row of a list, said as a warning."""

from __future__ import annotations

import csv
import datetime
import re
import shutil
from dataclasses import replace

import pytest

from configurator import testing
from configurator.core import paths, units
from configurator.evaluation.contradictions import contradictions_of
from configurator.evaluation.evaluator import Evaluation
from configurator.files.catalog_check import examine
from configurator.files.catalog_files import check_catalog
from configurator.model.value_contradictions import part_contradictions, vehicle_contradictions
from tests import bundled

TRADE = bundled.trade()
DEMO = paths.catalogs() / "demo"
TODAY = datetime.date(2026, 11, 1)


def with_figures(key="brennhall-tarn", **figures):
    named = {name.replace("_", " "): value for name, value in figures.items()}
    return testing.demo_vehicle(TRADE, key, named)


def warned(vehicle):
    return [problem.what for problem in vehicle_contradictions(TRADE, vehicle)]


@pytest.mark.parametrize(
    "key",
    ["brennhall-tarn", "brennhall-tarn-rebuilt", "norvane-plover", "orrest-wheatear",
     "valdrin-boek"],
)  # fmt: skip
def test_the_demo_vehicles_contradict_nothing(key):
    vehicle = testing.demo_vehicle(TRADE, key)
    assert vehicle_contradictions(TRADE, vehicle) == []
    assert contradictions_of(Evaluation(testing.case(TRADE, vehicle), TRADE)) == []


@pytest.mark.parametrize(
    ("figures", "name"),
    [
        ({"laden_mass": "2400 kg"}, "the axle loads add up to the laden mass"),
        ({"permitted_mass": "2300 kg"}, "the vehicle as weighed is within its permitted mass"),
        ({"permitted_front_axle_load": "1000 kg"},
         "the front axle as weighed is within its permitted load"),
        ({"permitted_rear_axle_load": "1300 kg"},
         "both permitted axle loads together reach the permitted mass"),
        ({"payload": "300 kg"}, "empty, the vehicle is not heavier than laden"),
        ({"front_spring_load": "7500 N"},
         "the front spring load agrees with the front axle load"),
        ({"rear_shock_length_at_ride_height": "900 mm"},
         "the rear shock absorbers stand between closed and open at ride height"),
        ({"headlamp_upper_edge_height": "500 mm"},
         "the lower edge of the headlamps lies below the upper"),
        ({"top_gear_ratio": "1.5", "lowest_gear_ratio": "2"}, None),
        ({"idle_speed": "1500 rpm", "highest_engine_speed": "1500 rpm"},
         "the engine idles below its red line"),
    ],
)  # fmt: skip
def test_what_contradicts_itself_is_named(figures, name):
    warnings = warned(with_figures(**figures))
    assert any(name in text for text in warnings) if name else warnings == []
    for text in warnings:
        assert text.startswith("not so: ")


def test_the_numbers_are_said_and_what_to_do():
    (problem,) = vehicle_contradictions(TRADE, with_figures(laden_mass="2400 kg"))
    front, rear = (with_figures().values[f"laden {axle} axle load"] for axle in ("front", "rear"))
    assert problem.what == (
        "not so: the axle loads add up to the laden mass (laden front axle load "
        f"{front:g} kg, laden rear axle load {rear:g} kg, laden mass 2400 kg)"
    )
    assert problem.do == "weigh again: each axle, and the whole vehicle"
    assert problem.where == "demo/vehicles/brennhall-tarn.toml"


def test_a_default_contradicts_nothing():
    """Only what somebody wrote can be wrong: the load is held against a ratio that was measured."""
    ratio = with_figures(front_spring_motion_ratio="0.6")
    assert any("front spring load agrees" in text for text in warned(ratio))
    assumed = replace(ratio, assumed=frozenset({"front spring motion ratio"}))
    assert warned(assumed) == []


def test_spring_load_goes_through_the_motion_ratio():
    """A spring at 0.7 of the travel carries the load of its wheel over 0.7."""
    values = with_figures().values
    below, axle = values["front unsprung mass"], values["laden front axle load"]
    load = units.write((axle - below) / 2 * 9.80665 / 0.7, "N")
    sound = with_figures(front_spring_motion_ratio="0.7", front_spring_load=load)
    assert not any("spring load" in text for text in warned(sound))


def test_a_vehicle_that_breaks_a_rule_as_it_stands_is_to_be_measured_again():
    vehicle = with_figures(front_arch_room="390 mm")
    problems = contradictions_of(Evaluation(testing.case(TRADE, vehicle), TRADE))
    (problem,) = problems
    assert problem.what == (
        "as it stands the vehicle breaks: the tyres clear the front arches at full bump"
    )
    assert problem.do == "check these measures first: front arch room"


# -- lists --------------------------------------------------------------------------------------


def part(family, **values):
    demo = testing.demo_parts(TRADE, [family])[family][0]
    named = {name.replace("_", " "): value for name, value in values.items()}
    return replace(demo, values={**demo.values, **named})


@pytest.mark.parametrize(
    ("family", "values", "name"),
    [
        ("wheels", {"offset": -0.119, "rim_width": 0.2032},
         "the mounting face lies inside the rim"),
        ("wheels", {"barrel_diameter": 0.5, "rim_diameter": 0.4318},
         "the barrel is smaller than the rim"),
        ("tyres", {"overall_diameter": 0.5, "rim_diameter": 0.5588},
         "the tyre is taller than its rim"),
        ("tyres", {"narrowest_rim": 0.25, "widest_rim": 0.2},
         "the narrowest rim is no wider than the widest"),
        ("tyres", {"overall_diameter": 0.8, "rolling_circumference": 2.0},
         "the rolling circumference agrees with the diameter"),
        ("shocks", {"closed_length": 0.6, "open_length": 0.4},
         "a shock absorber is shorter closed than open"),
        ("springs", {"free_length": 0.2, "solid_length": 0.3},
         "a spring is longer free than solid"),
        ("brakes", {"effective_radius": 0.2, "envelope_radius": 0.15},
         "the pads lie inside the brake's envelope"),
        ("axles", {"tube_diameter": 0.05, "tube_wall": 0.025},
         "the wall of an axle tube is less than half of its diameter"),
        ("propshafts", {"shortest_length": 0.9, "longest_length": 0.8},
         "a propshaft is no longer at its shortest"),
        ("half_shafts", {"shortest_length": 0.9, "longest_length": 0.8},
         "a half-shaft is no longer at its shortest"),
        ("steering_links", {"shortest_length": 0.9, "longest_length": 0.8},
         "a steering link is no longer at its shortest"),
        ("panhard_rods", {"shortest_length": 0.9, "longest_length": 0.8},
         "a Panhard rod is no longer at its shortest"),
    ],
)  # fmt: skip
def test_a_part_that_contradicts_itself_is_named(family, values, name):
    (problem,) = part_contradictions(TRADE, part(family, **values))
    assert problem.what.startswith(f"not so: {name}")


def test_the_demo_lists_contradict_nothing():
    parts = testing.demo_parts(TRADE)
    every = [item for listed in parts.values() for item in listed]
    assert len(every) > 300
    assert [problem for item in every for problem in part_contradictions(TRADE, item)] == []


def test_the_check_of_a_catalog_says_it_with_file_and_row(tmp_path):
    folder = tmp_path / "demo"
    shutil.copytree(DEMO, folder)
    wheels = folder / "wheels.csv"
    with wheels.open(encoding="utf-8", newline="") as stream:
        head, first, *rest = csv.reader(stream)
    at = next(n for n, name in enumerate(head) if name.startswith("offset"))
    width = next(n for n, name in enumerate(head) if name.startswith("rim width"))
    mass = next(n for n, name in enumerate(head) if name.startswith("mass"))
    # The mass may be pounds or kilograms; the width can only be millimetres.
    first[at], first[width], first[mass] = "-119", "177.8 mm", "14.6 lb"
    with wheels.open("w", encoding="utf-8", newline="") as stream:
        csv.writer(stream).writerows([head, first, *rest])
    vehicle = folder / "vehicles" / "valdrin-boek.toml"
    text = vehicle.read_text(encoding="utf-8")
    heavy = re.sub(r'"laden mass" = "[^"]*"', '"laden mass" = "900 kg"', text)
    vehicle.write_text(heavy, encoding="utf-8")
    errors, warnings, _ = check_catalog(folder, TRADE)
    assert errors == []
    lines = [str(warning) for warning in warnings]
    (face,) = [line for line in lines if "mounting face" in line]
    assert face.startswith("demo/wheels.csv row 2: not so: the mounting face lies inside the rim")
    assert "offset -119 mm" in face
    assert any("add up to the laden mass" in line and "valdrin-boek" in line for line in lines)
    (unit,) = [line for line in lines if "its own unit was taken" in line]
    assert "wheels.csv row 2, column 'mass [kg]'" in unit
    assert "'14.6 lb' stands in a column of kg" in unit
    assert {str(warning) for warning in examine(folder, TRADE, TODAY).warnings} >= {face, unit}


def test_what_the_job_asks_of_the_vehicle_is_no_wrong_measure():
    vehicle = testing.demo_vehicle(TRADE, "brennhall-tarn")
    case = testing.case(TRADE, vehicle)
    asked = replace(case.job, conditions={"roof load": 120.0})
    (problem,) = contradictions_of(Evaluation(replace(case, job=asked), TRADE))
    assert "does not bear what the job asks: the roof carries its load" in problem.what
    assert problem.do == "the package has to change that; or ask for less: roof load"
    # A wrong measure is one whatever the job asks.
    measured = with_figures(permitted_rear_axle_load="1280 kg", rear_spring_load="4900 N")
    case = testing.case(TRADE, measured)
    wheels = replace(case.job, conditions={"roof load": 50.0})
    problems = contradictions_of(Evaluation(replace(case, job=wheels), TRADE))
    assert any("does not bear what the job asks: rear axle load" in p.what for p in problems)
