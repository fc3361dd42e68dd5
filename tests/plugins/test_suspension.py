"""Springs, shock absorbers, bump stops, straps, ride and propshafts; worked by hand."""

from __future__ import annotations

import math

import pytest

from configurator.model.knowledge import Trade


def test_lift_follows_from_rate_and_free_length(trade: Trade):
    lift = trade.figures["front spring lift"]
    # 4500 N: 455 mm at 25 N/mm stands at 275 mm; 495 mm at 30 N/mm at 345 mm
    assert lift(30e3, 0.495, 25e3, 0.455, 4500.0, 1.0) == pytest.approx(0.070)
    # the axle moves further than a spring that sits inboard
    assert lift(30e3, 0.495, 25e3, 0.455, 4500.0, 0.7) == pytest.approx(0.100)
    # a firmer spring of the same length stands higher
    assert lift(30e3, 0.455, 25e3, 0.455, 4500.0, 1.0) == pytest.approx(0.030)


def test_springs_go_solid_only_with_short_stops(trade: Trade):
    left = trade.limits["the front springs do not go solid before the bump stop"]
    # standing 275, stop after 95: 180 mm between the seats
    assert left(0.170, 0.040, 0.040, 25e3, 0.455, 4500.0, 0.095, 1.0) == pytest.approx(0.010)
    assert left(0.184, 0.040, 0.040, 25e3, 0.455, 4500.0, 0.095, 1.0) < 0
    assert left(0.184, 0.060, 0.040, 25e3, 0.455, 4500.0, 0.095, 1.0) == pytest.approx(0.016)


def test_absorber_350_560_has_210_mm(trade: Trade):
    # 455 mm in the middle of its stroke: 105 either way
    full = trade.figures["front full droop"]
    assert full(0.560, None, 0.455, 1.0, 0.380) == pytest.approx(0.105)
    assert full(0.560, None, 0.455, 0.7, 0.380) == pytest.approx(0.150)
    assert full(0.560, 0.460, 0.455, 1.0, 0.380) == pytest.approx(0.080)  # the strap ends it
    assert trade.figures["front droop"](0.105, 0.050) == pytest.approx(0.055)
    bump = trade.limits["the front shocks do not bottom before the bump stop"]
    assert bump(0.350, 0.040, 0.040, 0.455, 0.095, 1.0) == pytest.approx(0.010)
    assert bump(0.380, 0.040, 0.040, 0.455, 0.095, 1.0) < 0
    assert bump(0.380, 0.070, 0.040, 0.455, 0.095, 1.0) == pytest.approx(0.010)


def test_a_taller_stop_takes_what_a_lift_gives(trade: Trade):
    travel = trade.figures["front bump travel"]
    assert travel(0.040, 0.040, 0.0, 0.095) == pytest.approx(0.095)
    assert travel(0.090, 0.040, 0.050, 0.095) == pytest.approx(0.095)
    assert travel(0.090, 0.040, 0.0, 0.095) == pytest.approx(0.045)


def test_mounts(trade: Trade):
    fits = trade.fits["the front shocks fit their mounts"]
    assert fits("stem", "eye", "stem", "eye")
    assert not fits("eye", "eye", "stem", "eye")
    assert trade.fits["the front spring fits its seat"]("coil 125", "coil 125")


def test_ride_frequency_is_that_of_its_static_deflection(trade: Trade):
    # 100 mm of static deflection: 15.76 / sqrt(100) = 1.576 Hz
    frequency = trade.figures["front ride frequency"]
    assert frequency(50e3, 5000.0, 1.0) == pytest.approx(1.576, abs=1e-3)


def test_damping_and_wheel_hop(trade: Trade):
    # spring 25 kN/m and shock absorber 2598 N.s/m, ratios 0.6 and 0.7, 500 kg: 0.3 of critical
    ratio = trade.figures["front damping ratio"]
    load = 500.0 * 9.80665 / 0.6  # on a spring that moves 0.6 of what the wheel moves
    assert ratio(25e3, 2598.0, load, 0.6, 0.7) == pytest.approx(0.300, abs=1e-3)
    # 20.63 + 300 kN/m, 40 kg: 14.25 Hz; 75 kg: 10.41 Hz
    hop = trade.figures["front wheel hop"]
    assert hop(20.63e3, 300e3, 80.0, 1.0) == pytest.approx(14.25, abs=0.01)
    assert hop(20.63e3, 300e3, 150.0, 1.0) == pytest.approx(10.41, abs=0.01)


def test_a_lift_bends_the_driveshaft_and_draws_it_out(trade: Trade):
    angle = trade.figures["front propshaft angle"]
    assert math.degrees(angle(0.0, 0.6, math.radians(9), math.radians(3))) == pytest.approx(6.0)
    # level shaft of 600 mm, 100 mm lower: atan(1/6) = 9.46 degrees, 8.28 mm longer
    assert math.degrees(angle(0.100, 0.6, 0.0, 0.0)) == pytest.approx(9.46, abs=0.01)
    length = trade.figures["front propshaft length"]
    assert length(0.100, 0.6, 0.0) == pytest.approx(0.60828, abs=1e-5)
    # 60 mm below already, 160 mm afterwards: 18.06 mm longer
    assert length(0.100, 0.6, math.asin(0.1)) == pytest.approx(0.61806, abs=1e-5)


def test_driveshaft_speed_and_its_limit(trade: Trade):
    # 76.2 x 3.048 mm, 1219.2 mm: 8408 rpm; three quarters of it
    limit = trade.figures["rear propshaft speed limit"](0.0762, 0.003048, 1.2192, 206e9, 0.75)
    assert limit * 60 / (2 * math.pi) == pytest.approx(0.75 * 8408, rel=1e-3)
