"""Brakes, master cylinder and hoses; worked by hand, and against 49 CFR 571.135."""

from __future__ import annotations

import pytest

from configurator.model.knowledge import Trade

# Pedal 400 N x 4, no booster, 25.4 mm bore; two 48 mm pistons a side, friction 0.4, radius 130 mm.
PISTONS = 2 * 3.14159265 / 4 * 0.048**2


def test_torque_from_pedal_to_wheel(trade: Trade):
    # 1600 N over 506.7 mm2 is 3.158 MPa; times 2 x 0.4 x 3619 mm2 x 0.13 m is 1188.5 N.m a wheel
    pressure = trade.figures["line pressure"](0.0254, 400.0, 4.0, 1.0)
    assert pressure == pytest.approx(3.158e6, rel=1e-3)
    front = trade.figures["front brake torque"](PISTONS, 0.4, 0.130, pressure)
    assert front == pytest.approx(2 * 1188.5, rel=1e-3)
    rear = trade.figures["rear brake torque"](PISTONS, 0.4, 0.130, pressure, 0.65)
    assert rear == pytest.approx(0.65 * front)


def test_a_taller_tyre_takes_brake_force_in_proportion(trade: Trade):
    # 7649 N.m stop 2500 kg on tyres of 390 mm with 0.8 g; on 470 mm it is 390/470 of that
    deceleration = trade.figures["deceleration at the permitted pedal force"]
    assert deceleration(7649.0, 0.78, 2500.0) == pytest.approx(0.8 * 9.80665, rel=1e-3)
    assert deceleration(7649.0, 0.94, 2500.0) == pytest.approx(0.8 * 9.80665 / 1.205, rel=1e-3)
    kept = trade.limits["the brakes stop about as well as before the change"]
    assert kept(deceleration(7649.0, 0.94, 2500.0), deceleration(7649.0, 0.78, 2500.0)) == (
        pytest.approx(0.78 / 0.94)
    )


def test_required_deceleration_is_the_one_behind_the_stopping_distance(trade: Trade):
    # 49 CFR 571.135 S7.5 (2015): S <= 0.10 V + 0.0060 V^2 with V in km/h. The second term alone
    # is v^2 / 2a, so a = 1 / (2 x 0.0060 x 12.96) = 6.43 m/s2.
    assert trade.measures["required deceleration"].default == pytest.approx(
        1 / (2 * 0.0060 * 3.6**2), abs=0.005
    )


def test_ideal_share_of_the_front_axle(trade: Trade):
    # 2500 kg, wheelbase 2.6 m, height 0.8 m, 1.2 m ahead of the rear axle, 0.8 g: 70.8 % in front
    front_load = 2500.0 * 1.2 / 2.6
    ideal = trade.figures["ideal front share of braking"](
        2.6, front_load, 2500.0 - front_load, 0.8, 0.8 * 9.80665
    )
    assert ideal == pytest.approx(0.708, abs=5e-4)
    assert trade.figures["front share of braking"](3000.0, 2000.0, 0.5) == pytest.approx(0.75)


def test_one_stop_heats_the_rotors(trade: Trade):
    # 2500 kg from 100 km/h is 964.5 kJ; 70 % into 2 x 10 kg of iron at 460 J/(kg K): 73.4 K
    speed = 100 / 3.6
    front = trade.figures["front rotor temperature rise"](10.0, 0.70, 2500.0, speed)
    rear = trade.figures["rear rotor temperature rise"](10.0, 0.70, 2500.0, speed)
    assert front == pytest.approx(73.4, abs=0.1)
    assert rear == pytest.approx(31.5, abs=0.1)


def test_brake_in_the_barrel(trade: Trade):
    gap = trade.limits["the front brake fits inside the wheel"]
    assert gap(0.376, 0.183) == pytest.approx(0.005)
    assert gap(0.376, 0.190) < 0


def test_a_hub_box_brings_its_own_mount(trade: Trade):
    fits = trade.fits["the front brake bolts to the hub or axle"]
    assert fits("2x150", "2x150", None)
    assert not fits("2x150", "2x150", "2x160")
    assert fits("2x160", "2x150", "2x160")


def test_pedal_travel_grows_with_the_calipers(trade: Trade):
    # front 4 x 30 cm2, rear 4 x 15 cm2 move 0.5 mm: 9 cm3; bore 25.4 mm: 17.8 mm of 36 mm
    front = trade.figures["front brake piston area"](30e-4)
    rear = trade.figures["rear brake piston area"](15e-4)
    used = trade.figures["pedal travel used"](front, rear, 0.0254, 0.036, 0.0005)
    assert used == pytest.approx(9.0 / 5.067 / 3.6, rel=1e-3)


def test_hoses_reach_as_far_as_the_axle_hangs(trade: Trade):
    slack = trade.limits["the front brake hoses reach with the wheel hanging"]
    assert slack(0.440, 0.383) == pytest.approx(0.057)
    assert slack(0.440, 0.445) < 0
