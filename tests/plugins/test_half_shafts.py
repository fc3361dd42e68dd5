"""Torque in half-shafts, ring gears and hubs."""

from __future__ import annotations

import pytest

from configurator.core.units import from_si, to_si
from configurator.model.knowledge import Trade


def test_a_hub_reduction_of_125_takes_a_fifth_off_the_shaft(trade: Trade):
    # 1,250 kg on the axle, grip 1, radius 415 mm: 2 x 2544 N m at the wheels, 2 x 2035 ahead
    grip = trade.figures["front grip torque"]
    assert grip(0.830, 1.0, 1250.0, 1.0, 0.6) == pytest.approx(2 * 2544, abs=2)
    assert grip(0.830, 1.25, 1250.0, 1.0, 0.6) == pytest.approx(2 * 2035, abs=2)
    # The job's own grip counts where it is more: 1.2 of 2 x 2544.
    assert grip(0.830, 1.0, 1250.0, 1.0, 1.2) == pytest.approx(1.2 * 2 * 2544, abs=3)


def test_the_smaller_of_engine_and_grip_counts(trade: Trade):
    # 400 N m x 4.46 x 2.72 x 4.10 = 19,895 N m at the ring gear, through one shaft when locked
    driveshafts = trade.figures["propshaft torque"](400.0, 4.46, 2.72)
    ring_gear = trade.figures["rear ring gear torque"]
    shaft = trade.figures["rear half-shaft torque"]
    assert ring_gear(4.10, 50000.0, driveshafts) == pytest.approx(19895, abs=1)
    assert ring_gear(4.10, 7000.0, driveshafts) == 7000.0
    assert shaft(4.10, 50000.0, driveshafts, 0.8) == pytest.approx(19895, abs=1)
    assert shaft(4.10, 7000.0, driveshafts, 0.8) == pytest.approx(5600.0)


def test_the_root_of_the_spline_bears_the_torque(trade: Trade):
    # 33.3 mm of steel that yields at 1,090 MPa: 4.56 kN m
    capacity = trade.figures["front half-shaft capacity"]
    assert capacity(0.0333, 1090e6) == pytest.approx(4560, rel=2e-3)


def test_a_hub_reduction_speeds_the_shafts_up(trade: Trade):
    speed = trade.figures["front half-shaft speed"]
    # 165 km/h with 2.5 m a turn: 1,100 turns a minute, 1,375 ahead of a hub of 1.25
    assert from_si(speed(2.5, 1.0, to_si(165, "km/h")), "rpm") == pytest.approx(1100)
    assert from_si(speed(2.5, 1.25, to_si(165, "km/h")), "rpm") == pytest.approx(1375)


def test_the_wheel_asks_the_hub_for_the_shaft_torque_times_its_ratio(trade: Trade):
    assert trade.figures["rear hub reduction torque"](4000.0, 1.25) == 5000.0


def test_a_hub_reduction_wants_a_shorter_stub_with_its_own_spline(trade: Trade):
    assert trade.figures["front half-shaft length needed"](0.830, 0.046) == pytest.approx(0.784)
    fits = trade.fits["the front half-shafts fit the wheel end"]
    assert fits("S27", "S27", None)
    assert not fits("S27", "S27", "S30")


def test_joints_bend_with_the_springs_only_where_the_differential_hangs_on_the_body(trade: Trade):
    lift = trade.figures["front differential lift"]
    joints = trade.limits["the front half-shaft joints take the lift"]
    assert lift("independent", 0.050) == 0.050
    assert lift("solid axle", 0.050) == 0
    assert joints(0.050) == 0.050
    assert joints(0.0) is None
    bends = trade.figures["front lift over the differential"]
    assert bends("independent", 0.050) == 0
    assert bends("solid axle", 0.050) == 0.050


def test_the_box_bolts_to_the_flanges_it_names(trade: Trade):
    bolts = trade.fits["the rear hub reduction bolts to the axle"]
    assert bolts("T6", frozenset({"T6", "T5"}))
    assert not bolts("T8", frozenset({"T6", "T5"}))
