"""Packages that break in one state only, each with its number worked out here and not by the rule.

On vehicles whose ratios are not 1: two thirds of the pressure at the rear brakes, hub reductions
that move the wheel, tyres below the pressure of their load index.
"""

from __future__ import annotations

from math import atan, cos, degrees, exp, hypot, pi, sin

import pytest

from configurator.evaluation.operations import operations_of
from configurator.evaluation.packages import cautions_of, not_checked
from tests.plugins.packages import TRADE, has, package, refusals

HUBS = {
    "front hub reductions": "HC-60-F",
    "rear hub reductions": "HC-60-R",
}


def test_light_truck_tyres_at_the_pressure_of_a_car_carry_half_their_index():
    # Load index 120 is 1400 kg at 5.5 bar; at 2.4 bar (2.4/5.5)^0.7 = 0.5597 of it: 1567 kg on two.
    # The rear axle carries 1550 kg as weighed and more with heavier tyres and the spare.
    evaluation, choice = package("norvane-plover", {"tyres": "PTA-34x1050R17"})
    assert "load left on the rear tyres" in refusals(evaluation, choice)
    added = evaluation.figure("rear axle load", choice) - 1550.0
    left = 2 * 1400 * (2.4 / 5.5) ** 0.7 - 1550.0 - added
    assert left < 0
    assert has(evaluation, choice, "load left on the rear tyres") == pytest.approx(left, abs=0.1)
    softer, same = package("norvane-plover", {"tyres": "PTA-34x1050R17"}, {"tyre pressure": 3e5})
    assert "load left on the rear tyres" not in refusals(softer, same)
    # What to set for the permitted 1850 kg: 5.5 bar (1850/2800)^(1/0.7) = 3.05, up to 3.1
    assert evaluation.figure("rear tyre pressure fully laden", choice) == pytest.approx(3.1e5)
    (caution,) = (
        c for c in cautions_of(evaluation, choice) if c.name == "set the tyre pressure for the load"
    )
    assert "3.1 bar behind" in caution.says


def test_a_hub_reduction_unbolts_the_brakes():
    evaluation, choice = package("brennhall-tarn", HUBS)
    work = {operation.name for operation in operations_of(evaluation, choice)}
    for axle in ("front", "rear"):
        assert f"unbolt the {axle} brakes and bolt them on again" in work
        assert f"bleed the {axle} brakes" in work
        assert f"bed in and measure the {axle} brakes" in work
    assert "set the parking brake and try it on a slope" in work
    assert "try the front wheel-speed sensors and clear what they stored" in work
    assert "the brakes were changed" in {c.name for c in cautions_of(evaluation, choice)}


def test_a_hub_reduction_pulls_the_sensor_leads():
    # 60 mm down and 42 mm out; in twist the wheel, so much further out, hangs lower than it did by
    # 185 x 84 / 1440 = 10.8 mm, in steps of 10: 90.4 mm of lead, of which 55 are loose in front.
    evaluation, choice = package("brennhall-tarn", HUBS)
    rule = "the front sensor leads reach with the wheel hanging"
    assert rule in refusals(evaluation, choice)
    assert has(evaluation, choice, rule) == pytest.approx(0.055 - hypot(0.080, 0.042))
    longer = {**HUBS, "front sensor leads": "LQ-D2-80"}
    assert rule not in refusals(*package("brennhall-tarn", longer))


def test_rear_wheels_that_lock_first_with_the_driver_alone():
    # 1300 kg of 2350 in front, centre of gravity at 710 mm, 0.8 g:
    # (2810 x 1300/2350 + 0.8005 x 710) / 2810 = 75.5 % and more; the brakes give 75.5 % as laden.
    light = {"lightly laden front axle load": 1310.0, "lightly laden rear axle load": 1040.0}
    evaluation, choice = package("brennhall-tarn", measures=light)
    ideal = (2.810 * 1310 / 2350 + 7.85 / 9.80665 * 0.710) / 2.810
    shown = evaluation.figure("ideal front share of braking lightly laden", choice)
    assert ideal <= shown <= ideal + 0.001
    assert refusals(evaluation, choice) == [
        "the front wheels lock before the rear ones lightly laden"
    ]


def test_headlamps_that_stand_higher_are_aimed():
    evaluation, choice = package("brennhall-tarn", HUBS)
    work = {operation.name for operation in operations_of(evaluation, choice)}
    assert "aim the headlamps" in work
    (caution,) = (c for c in cautions_of(evaluation, choice) if "headlamps" in c.name)
    # From 790 to 850 mm: above 0.8 m the law knows two ranges, 1 to 1.5 and 1.5 to 2 %.
    assert "1 % to 2 %" in caution.says


def test_a_bed_mount_needs_a_bed():
    evaluation, choice = package("brennhall-tarn", {"spare carrier": "SG-BD850"})
    assert "the spare carrier is made for the body" in refusals(evaluation, choice)
    assert refusals(*package("norvane-plover", {"spare carrier": "SG-BD850"})) == []


def test_a_hub_brake_without_a_lever_leaves_no_parking_brake():
    evaluation, choice = package("brennhall-tarn-rebuilt", {"rear brakes": "TG-K6"})
    rule = "the parking brake holds the laden vehicle"
    assert rule in refusals(evaluation, choice)
    assert has(evaluation, choice, rule) == 0.0


def test_a_taller_tyre_lets_the_parking_brake_slip():
    # 2 x 1400 N m on 509.6 mm, 3050 kg: sin a = 0.1837, 18.7 %
    evaluation, choice = package("brennhall-tarn", {"tyres": "GQM-40x1350R17"})
    rule = "the parking brake holds the laden vehicle"
    held = 2800 / (0.510 * 3050 * 9.80665)
    assert has(evaluation, choice, rule) == pytest.approx(held / (1 - held**2) ** 0.5, abs=0.005)
    assert rule in refusals(evaluation, choice)


def test_a_parking_brake_behind_the_transfer_box_gains_by_the_ratio():
    # 640 N m through 4.88 instead of 4.30
    evaluation, choice = package("valdrin-boek", {"rear crown wheel and pinion": "RN-215-488"})
    assert evaluation.figure("parking brake torque", choice) == pytest.approx(640 * 4.88, abs=50)


def test_a_wheel_far_outboard_pries_its_bearing_apart():
    # Half of 1400 kg, the tyre's plane 88 mm from the bearing, 0.7 of 510 mm: 3055 N m
    parts = {"tyres": "GQM-40x1350R17", "wheels": "PA17-9-6-N30", "front axle": "BW-F95"}
    evaluation, choice = package("brennhall-tarn", parts)
    moment = 700 * 9.80665 * (0.058 + 0.030 + 0.7 * 0.510)
    assert evaluation.figure("front wheel moment", choice) == pytest.approx(moment, abs=50)
    assert "the front wheel bearings bear the wheels" in refusals(evaluation, choice)


def test_a_four_piston_caliper_meets_the_spokes_of_a_deep_wheel():
    parts = {"front brakes": "KB-3302", "wheels": "PA17-8-6-E30"}
    evaluation, choice = package("brennhall-tarn", parts)
    assert has(evaluation, choice, "the front caliper clears the spokes") == pytest.approx(-0.003)
    assert "the front caliper clears the spokes" in refusals(evaluation, choice)


def test_a_sensor_on_the_half_shaft_reads_fast_by_the_ratio_of_the_hub():
    way = TRADE.figures["distance per turn of the counted wheel"]
    assert way("wheel", 2.5, 1.25, "half-shaft") == pytest.approx(2.0)
    assert way("wheel", 2.5, 1.25, "wheel") == 2.5
    assert way("gearbox", 2.5, 1.25, "half-shaft") is None


def test_a_speedometer_that_is_left_reading_high_is_said():
    # 4.88 for 4.30 with the pick-up at the gearbox: 13.5 % more than before
    parts = {
        "front crown wheel and pinion": "CK-185-488P",
        "rear crown wheel and pinion": "RN-215-488",
    }
    evaluation, choice = package("valdrin-boek", parts)
    (caution,) = (
        c for c in cautions_of(evaluation, choice) if c.name == "the speedometer reads high"
    )
    assert "at a true 120 km/h" in caution.says


def test_a_trailer_weighs_more_on_the_axle_than_on_the_ball():
    # 100 kg on a ball 1060 mm behind the axle of a wheelbase of 2810 mm: 137.7 kg
    evaluation, choice = package("brennhall-tarn", conditions={"nose weight": 100.0})
    load = evaluation.figure("rear axle load with hitch and roof", choice)
    assert load == pytest.approx(1270 + 100 * (2810 + 1060) / 2810, abs=0.1)


def unknown(evaluation, choice, rule):
    """Whether a rule was not checked for want of something."""
    known = TRADE.limits.get(rule) or TRADE.totals[rule]
    verdict = evaluation.verdict(known, choice)
    return verdict.holds is None and bool(verdict.unknown)


HITCH_AND_ROOF = {
    "nose": "the ball carries the nose of the trailer",
    "mass": "vehicle mass beside hitch and roof",
    "axle": "{axle} axle load beside hitch and roof",
    "tyres": "load left on the {axle} tyres for hitch and roof",
}


def test_a_trailer_whose_nose_nobody_weighed_is_not_checked_and_not_passed():
    evaluation, choice = package("brennhall-tarn", conditions={"trailer": 2000.0})
    for rule in ("nose", "mass", "axle", "tyres"):
        assert unknown(evaluation, choice, HITCH_AND_ROOF[rule].format(axle="rear"))
    gap = {str(g) for u in not_checked(evaluation, choice) for g in u.gaps}
    assert "give nose weight in the job" in gap
    # A trailer that puts nothing on the ball says so; without a trailer nothing is asked.
    evaluation, choice = package("brennhall-tarn", conditions={"trailer": 2e3, "nose weight": 0.0})
    assert not unknown(evaluation, choice, HITCH_AND_ROOF["nose"])
    assert refusals(evaluation, choice) == []


def test_nose_and_roof_load_are_load_of_the_vehicle():
    # 2,450 kg as weighed of 2,580 permitted: 100 kg on the roof and 40 on the ball are too much.
    asked = {"roof load": 100.0, "nose weight": 40.0}
    plate = {"permitted mass": 2580.0, "permitted rear axle load": 1400.0}
    evaluation, choice = package("brennhall-tarn", conditions=asked, measures=plate)
    assert HITCH_AND_ROOF["mass"] in refusals(evaluation, choice)
    assert evaluation.figure("vehicle mass with hitch and roof", choice) == pytest.approx(2590.0)
    assert evaluation.verdict(TRADE.totals[HITCH_AND_ROOF["mass"]], choice).needs == 2440.0
    assert "vehicle mass" not in refusals(evaluation, choice)
    allowed = evaluation.figure("load still allowed with hitch and roof", choice)
    assert allowed == pytest.approx(2580 - 2590)
    # On the rear axle 40 x 3.87 / 2.81 of the nose and 60 of the roof: 1,385.1 kg
    rear = 1270 + 40 * (2810 + 1060) / 2810 + 60
    shown = evaluation.figure("rear axle load with hitch and roof", choice)
    assert rear <= shown < rear + 0.1
    front = evaluation.figure("front axle load with hitch and roof", choice)
    assert front == pytest.approx(1180 + 60)


def test_soft_tyres_carry_the_vehicle_but_not_the_nose_of_its_trailer():
    # Load index 112 of a car's tyre: 2 x 1120 / 1.1 (1.45/2.5)^0.8 = 1317 kg at 1.45 bar.
    soft = {"tyre pressure": 1.45e5, "nose weight": 60.0}
    evaluation, choice = package("brennhall-tarn", conditions=soft)
    assert "load left on the rear tyres" not in refusals(evaluation, choice)
    left, needed = 2 * 1120 / 1.1 * (1.45 / 2.5) ** 0.8 - 1270, 60 * (2810 + 1060) / 2810
    assert 0 < left < needed
    rule = HITCH_AND_ROOF["tyres"].format(axle="rear")
    assert has(evaluation, choice, rule) == pytest.approx(left, abs=0.1)
    assert evaluation.verdict(TRADE.totals[rule], choice).needs == pytest.approx(needed)
    assert rule in refusals(evaluation, choice)


def test_a_spare_that_moves_to_the_roof_loads_the_front_axle():
    # In the axle loads it hangs behind, at 1.2 wheelbases; on the roof 60 % of it may be in front.
    parts = {"spare carrier": "SG-RF840"}
    evaluation, choice = package("norvane-plover", parts)
    spare = evaluation.figure("spare on the roof", choice)
    assert spare > 40
    front = evaluation.figure("front axle load", choice) + (0.6 + 0.2) * spare
    shown = evaluation.figure("front axle load with hitch and roof", choice)
    assert shown == pytest.approx(front, abs=0.1)


def test_a_load_on_the_roof_makes_the_rear_wheels_lock_sooner():
    # 1400 of 2800 kg in front: 0.5 L, and 0.8005 of the height with 100 kg on the roof.
    roof = {"roof load": 100.0}
    plate = {"permitted mass": 2800.0}
    evaluation, choice = package("brennhall-tarn", conditions=roof, measures=plate)
    height = (2450 * 0.720 + 100 * (1.880 + 0.200)) / 2550
    slope = evaluation.figure("side slope that tips it with the roof load", choice)
    assert degrees(slope) == pytest.approx(degrees(atan(1.570 / 2 / height)), abs=0.2)
    ideal = 0.5 + 7.85 / 9.80665 * height / 2.810
    shown = evaluation.figure("ideal front share of braking with the roof load", choice)
    assert ideal <= shown <= ideal + 0.002
    # 124 mm, 28.3 cm2 in front; 126 mm, 13.9 cm2 behind, to which 65 % of the pressure comes.
    share = 124 * 28.3 / (124 * 28.3 + 0.65 * 126 * 13.9)
    assert evaluation.figure("front share of braking", choice) == pytest.approx(share)


def test_a_trailer_without_brakes_is_stopped_by_those_of_the_vehicle():
    rule = "the brakes stop vehicle and trailer without brakes"
    asked = {"trailer": 700.0, "nose weight": 40.0}
    evaluation, choice = package("brennhall-tarn", conditions=asked)
    torque = evaluation.figure("brake torque", choice)
    assert has(evaluation, choice, rule) == pytest.approx(torque / 0.390 / 3750, abs=0.02)
    # One of 760 kg must have brakes of its own.
    heavier = {"trailer": 760.0, "nose weight": 40.0}
    evaluation, choice = package("brennhall-tarn", conditions=heavier)
    assert evaluation.verdict(TRADE.limits[rule], choice).holds is None
    # Down a pass the vehicle's brakes hold the first alone: 6 %, less 1.5 % that rolling takes.
    assert evaluation.figure("power of the long descent", choice) == pytest.approx(
        3050 * 9.80665 * 30 / 3.6 * (sin(atan(0.06)) - 0.015 * cos(atan(0.06)))
    )
    evaluation, choice = package("brennhall-tarn", conditions=asked)
    assert evaluation.figure("power of the long descent", choice) == pytest.approx(
        3750 * 9.80665 * 30 / 3.6 * (sin(atan(0.06)) - 0.015 * cos(atan(0.06)))
    )


def test_a_valve_that_cuts_the_rear_pressure_stands_open_on_a_long_descent():
    # 126 mm, 13.9 cm2 behind and 124 mm, 28.3 cm2 in front: 33.3 % of the heat, not the 24.5 % of
    # a hard stop; 4.6 kg of iron at 460 J/(kg K) cool with 400 s over the 720 s of 6 km.
    evaluation, choice = package("brennhall-tarn")
    share = 126 * 13.9 / (126 * 13.9 + 124 * 28.3)
    power = 3050 * 9.80665 * 30 / 3.6 * (sin(atan(0.06)) - 0.015 * cos(atan(0.06)))
    rise = share * power * 400 / (2 * 4.6 * 460) * (1 - exp(-720 / 400))
    shown = evaluation.figure("rear rotor temperature rise on a long descent", choice)
    assert rise <= shown <= rise + 5.0


def test_who_weighed_the_vehicle_with_less_on_board_than_it_carries_is_told():
    # 2,780 kg on the scale, 2,330 empty: 450 kg were on board.
    name = "the vehicle was weighed with less on board than it is to carry"
    evaluation, choice = package("norvane-plover", conditions={"load carried": 600.0})
    (caution,) = (c for c in cautions_of(evaluation, choice) if c.name == name)
    assert "450 kg were on board; the job carries 600 kg" in caution.says
    evaluation, choice = package("norvane-plover", conditions={"load carried": 480.0})
    assert name not in {c.name for c in cautions_of(evaluation, choice)}
    # Where nobody weighed it empty, it is said as well, but for a job that carries nothing.
    for carried in (0.0, 480.0):
        asked = {"load carried": carried}
        evaluation, choice = package("norvane-plover", conditions=asked, measures={"payload": None})
        assert (name in {c.name for c in cautions_of(evaluation, choice)}) == bool(carried)


def test_a_strap_whose_place_nobody_measured_leaves_the_droop_open():
    rule = "the front shocks do not top out before droop"
    strap = {"front limit straps": "LS-490"}
    evaluation, choice = package("brennhall-tarn", strap)
    assert not unknown(evaluation, choice, rule)
    nobody = {"front strap length at ride height": None}
    evaluation, choice = package("brennhall-tarn", strap, measures=nobody)
    assert unknown(evaluation, choice, rule)
    assert not unknown(*package("brennhall-tarn", measures=nobody), rule)


def test_what_the_engine_holds_back_downhill_grows_with_the_ratio():
    # 150 kPa on 2.8 litres: 33.4 N m, through 4.31 x 2.57 x 4.10 on 2365 mm of circumference
    evaluation, choice = package("brennhall-tarn")
    force = 150e3 * 2.8e-3 / (4 * pi) * 4.31 * 2.57 * 4.10 * 2 * pi / 2.365
    held = force / (3050 * 9.80665)
    shown = evaluation.figure("descent that the engine holds", choice)
    assert held / (1 - held**2) ** 0.5 - 0.01 <= shown <= held / (1 - held**2) ** 0.5
