"""Speedometer rules against UN Regulation No. 39, 5.4."""

from __future__ import annotations

import pytest

from configurator.core.units import to_si
from configurator.model.knowledge import Trade


def test_a_taller_tyre_makes_it_read_low(trade: Trade):
    # 245/75R16 to 285/70R17, exact before: shown 100 is true 107.35, 6.8 % low
    error = trade.figures["speedometer error without calibration"]
    assert error(0.8308, 0.7739, 0.0) == pytest.approx(100 / 107.35 - 1, abs=1e-4)


def test_shorter_gears_count_only_with_the_pick_up_at_the_gearbox(trade: Trade):
    wheel = trade.figures["distance per turn of the counted wheel"]
    propshaft = trade.figures["distance per turn of the counted propshaft"]
    way = trade.figures["distance per turn at the speed pick-up"]
    assert way(wheel("wheel", 2.5, 1.0, "wheel"), propshaft("wheel", 0.6)) == 2.5
    assert way(wheel("gearbox", 2.5, 1.0, "wheel"), propshaft("gearbox", 0.6)) == 0.6


def test_calibration_sets_it_a_little_high_as_far_as_it_reaches(trade: Trade):
    error = trade.figures["speedometer error"]
    assert error(-0.07, 0.0, 0.0, 0.02) == pytest.approx(-0.07)
    assert error(-0.07, 0.30, 0.30, 0.02) == pytest.approx(0.02)
    assert error(0.25, 0.12, 0.12, 0.02) == pytest.approx(0.10)


def test_lawful_between_true_speed_and_a_tenth_and_4_km_h_more(trade: Trade):
    # At 120 km/h it may show 136 km/h
    check = to_si(120, "km/h")
    assert trade.figures["highest lawful speed shown"](check) == pytest.approx(to_si(136, "km/h"))
    shown = trade.limits["the speedometer does not read low"]
    assert shown(-0.01, check) < check < shown(0.01, check)


def test_a_part_that_corrects_it_now_is_not_simply_taken_out(trade: Trade):
    stays = trade.fits["what corrects the speedometer now stays or is replaced"]
    assert stays(True, True)
    assert stays(True, False)
    assert stays(False, False)
    assert not stays(False, True)
