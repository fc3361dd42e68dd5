"""Ratios, engine speed, crawl and pull, from engine to tyre."""

from __future__ import annotations

import math

import pytest

from configurator.core.units import from_si, to_si
from configurator.model.knowledge import Trade


def test_engine_speed_at_100_km_h(trade: Trade):
    # 285/70R17: circumference 2533.9 mm; 0.75 x 4.10 make 2022.5 rpm
    way = trade.figures["rear distance per propshaft turn"](2.5339, 4.10)
    speed = trade.figures["engine speed at cruise"](way, 0.75, 1.0, to_si(100, "km/h"))
    assert from_si(speed, "rpm") == pytest.approx(2022.5, rel=1e-3)


def test_a_hub_reduction_multiplies_the_final_drive(trade: Trade):
    overall = trade.figures["front overall drive ratio"]
    assert overall(4.10, 1.0) == 4.10
    assert overall(3.73, 1.22) == pytest.approx(4.5506)
    # 4.46 x 2.72 x 4.10 x 1.25 = 62.17
    crawl = trade.figures["crawl ratio"](overall(4.10, 1.25), 4.46, 2.72)
    assert crawl == pytest.approx(62.17, abs=0.005)


def test_axles_that_disagree_are_named_in_per_cent(trade: Trade):
    uneven = trade.limits["both axles turn the wheels at the same overall ratio"]
    assert uneven(4.10, 4.10) == 0
    assert uneven(4.10 * 1.22, 4.10) == pytest.approx(0.22)


def test_walking_speed_at_idle(trade: Trade):
    # 750 rpm / (4.46 x 2.72 x 4.10 x 1.25) x 2.5339 m = 30.57 m a minute = 1.834 km/h
    way = trade.figures["rear distance per propshaft turn"](2.5339, 4.10 * 1.25)
    speed = trade.figures["walking speed"](way, 4.46, 2.72, to_si(750, "rpm"))
    assert from_si(speed, "km/h") == pytest.approx(1.834, abs=1e-3)


def test_in_the_crawler_gear_grip_is_the_limit(trade: Trade):
    # 400 N m x 49.74 x 0.85 / 0.415 m = 40.75 kN, but 0.8 of 2,500 kg takes 19.6 kN
    torque = trade.figures["propshaft torque"](400.0, 4.46, 2.72)
    way = 2 * 3.14159265 * 0.415 / 4.10
    pull = trade.figures["tractive force"]
    assert pull(way, torque, 2500.0, 0.8, 0.85) == pytest.approx(19613.3, rel=1e-4)
    assert pull(way, torque, 2500.0, 9.9, 0.85) == pytest.approx(40750.0, rel=1e-3)


def test_grade_is_rise_over_run(trade: Trade):
    # 250 N m x 14.35 x 0.85 / 0.39 m on 2,500 kg, 1.5 % rolling resistance: 31.98 %, not 31.89 %
    way = 2 * 3.14159265 * 0.39
    grade = trade.figures["grade"]
    assert grade(way, 250.0 * 14.35, 2500.0, 0.0, 0.8, 0.85, 0.015) == pytest.approx(
        0.3198, abs=1e-4
    )


def test_a_trailer_takes_of_the_grade_by_its_mass_and_gives_no_grip(trade: Trade):
    # The same 7,819 N on 4,000 kg: sin a = 0.1993, 20.34 %, less 1.5 %
    way = 2 * 3.14159265 * 0.39
    grade = trade.figures["grade"]
    force = 250.0 * 14.35 * 0.85 / 0.39
    angle = math.asin(force / (4000 * 9.80665)) - math.atan(0.015)
    assert grade(way, 250.0 * 14.35, 2500.0, 1500.0, 0.8, 0.85, 0.015) == pytest.approx(
        math.tan(angle), abs=1e-4
    )
    # On wet grass only 2,500 of 4,000 kg grip: 0.4 x 0.625, less 1.5 %
    assert grade(way, 250.0 * 14.35, 2500.0, 1500.0, 0.4, 0.85, 0.015) == pytest.approx(
        math.tan(min(angle, math.atan(0.4 * 0.625 - 0.015))), abs=1e-4
    )
    assert grade(way, 2 * 250.0 * 14.35, 2500.0, 1500.0, 0.4, 0.85, 0.015) == pytest.approx(0.235)


def test_top_speed_is_ended_by_the_tyre_or_by_the_engine(trade: Trade):
    top = trade.figures["top speed by gearing"]
    cruise, red_line = to_si(2000, "rpm"), to_si(4000, "rpm")
    assert top(cruise, "Q", red_line, to_si(100, "km/h")) == pytest.approx(to_si(160, "km/h"))
    assert top(cruise, "V", red_line, to_si(100, "km/h")) == pytest.approx(to_si(200, "km/h"))
