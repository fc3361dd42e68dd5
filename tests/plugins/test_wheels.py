"""Wheel and nut rules: what goes on which hub."""

from __future__ import annotations

import pytest

from configurator.model.knowledge import Trade


def test_a_hub_reduction_brings_its_own_bolt_circle_studs_and_register(trade: Trade):
    for figure, axle, hub in (
        ("front PCD", 0.1397, 0.1651),
        ("front studs", 6, 8),
        ("front hub register", 0.108, 0.1215),
        ("rear stud length", 0.040, 0.042),
    ):
        assert trade.figures[figure](axle, None) == axle
        assert trade.figures[figure](axle, hub) == hub


def test_bolt_circles_must_agree_to_a_tenth_of_a_millimetre(trade: Trade):
    fits = trade.fits["the wheel's PCD fits the front hub"]
    assert fits(0.1397, 0.13975)
    assert not fits(0.1397, 0.135)
    assert not fits(0.1397, 0.1401)


def test_a_box_of_366_mm_has_5_mm_of_air_in_a_barrel_of_376_mm(trade: Trade):
    gap = trade.limits["the front hub reduction fits inside the wheel"]
    assert gap(0.376, 0.366) == pytest.approx(0.005)


def test_each_wheel_carries_half_the_axle(trade: Trade):
    # SAE J2530: an axle of 1,800 kg needs wheels of 900 kg
    assert trade.limits["the wheels carry the permitted rear axle load"](900.0) == 1800.0


def test_nuts_follow_the_studs_of_the_hub_that_is_there(trade: Trade):
    fits = trade.fits["the nuts screw on the rear studs"]
    assert fits("M12x1.5", "M12x1.5", None)
    assert not fits("M12x1.5", "M12x1.5", "M14x1.5")
    assert fits("M14x1.5", "M12x1.5", "M14x1.5")


def test_five_studs_a_wheel_take_twenty_nuts(trade: Trade):
    left = trade.limits["there is a nut for every stud"]
    assert left(20, 5, 5) == 0
    assert left(20, 6, 6) == -4


def test_a_thick_alloy_pad_takes_thread_from_the_nut(trade: Trade):
    engaged = trade.limits["the front studs reach far enough into the nuts"]
    assert engaged(0.030, 0.006) == pytest.approx(0.024)
    assert engaged(0.030, 0.018) == pytest.approx(0.012)
