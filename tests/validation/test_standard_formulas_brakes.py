"""Brakes by the textbook formulas, worked out apart from this program.

Sources (from memory): Limpert, Brake Design and Safety, 3rd ed., ch. 3, 5, 7; Gillespie,
Fundamentals of Vehicle Dynamics, ch. 3. Figures rounded to three or four places; tolerance 0.1 %,
heat 0.2 %.
"""

import pytest

from configurator.core.units import to_si
from configurator.formulas.brake_balance import (
    equal_adhesion_deceleration,
    front_adhesion_used,
    front_axle_braking_load,
    ideal_front_share,
    rear_adhesion_used,
    rear_axle_braking_load,
)
from configurator.formulas.brake_hydraulics import (
    line_pressure,
    master_cylinder_stroke,
    pedal_travel_share,
    piston_area,
)
from configurator.formulas.brakes import (
    IRON_SPECIFIC_HEAT,
    axle_brake_gain,
    brake_force,
    brake_torque_needed,
    deceleration_reached,
    disc_brake_torque,
    kinetic_energy,
    pedal_force_needed,
    rotor_temperature_rise,
    torque_at_wheel,
)
from configurator.formulas.constants import STANDARD_GRAVITY

G = STANDARD_GRAVITY.value
VEHICLE = (2500.0, 2.6, 1.2, 0.8)


def test_axle_loads_at_0_8_g():
    front = front_axle_braking_load(*VEHICLE, 0.8 * G)
    rear = rear_axle_braking_load(*VEHICLE, 0.8 * G)
    assert front == pytest.approx(17350, rel=1e-3)
    assert rear == pytest.approx(7166, rel=1e-3)
    assert front + rear == pytest.approx(2500 * G)


def test_ideal_split():
    assert ideal_front_share(2.6, 1.2, 0.8, 0.8 * G) == pytest.approx(0.708, rel=1e-3)
    assert ideal_front_share(2.6, 1.2, 0.8, 0.0) == pytest.approx(0.462, rel=1e-3)


@pytest.mark.parametrize("rate", [0.2, 0.5, 0.8])
def test_the_ideal_split_uses_the_same_grip_at_both_axles(rate):
    share = ideal_front_share(2.6, 1.2, 0.8, rate * G)
    force = 2500.0 * rate * G
    forces = (share * force, (1 - share) * force)
    assert front_adhesion_used(*forces, *VEHICLE) == pytest.approx(rate)
    assert rear_adhesion_used(*forces, *VEHICLE) == pytest.approx(rate)
    assert equal_adhesion_deceleration(share, 2.6, 1.2, 0.8) == pytest.approx(rate * G)


def test_pedal_to_torque():
    pressure = line_pressure(400.0, 4.0, 1.0, 0.0254)
    area = piston_area(0.048, 2.0)
    assert pressure / 1e6 == pytest.approx(3.158, rel=1e-3)
    assert pressure * area / 1e3 == pytest.approx(11.43, rel=1e-3)
    torque = disc_brake_torque(pressure, area, 0.4, 0.13)
    assert torque == pytest.approx(1188.5, rel=1e-3)
    boosted = disc_brake_torque(line_pressure(400.0, 4.0, 5.0, 0.0254), area, 0.4, 0.13)
    assert boosted == pytest.approx(5942, rel=1e-3)


def test_pistons_of_both_sides_are_not_counted_twice():
    torque = disc_brake_torque(3.158e6, piston_area(0.048, 4.0), 0.4, 0.13)
    assert torque != pytest.approx(1188.5, rel=0.5)


def test_torque_demand_grows_with_the_tyre():
    before = brake_torque_needed(2500.0, 0.8 * G, 0.39)
    after = brake_torque_needed(2500.0, 0.8 * G, 0.47)
    assert before == pytest.approx(7649, rel=1e-3)
    assert after == pytest.approx(9218, rel=1e-3)
    assert after / before == pytest.approx(1.205, rel=1e-3)


def test_a_brake_inboard_of_the_hub_gear_gains_by_its_ratio():
    inboard, outboard = torque_at_wheel(1188.5, 1.25), torque_at_wheel(1188.5, 1.0)
    assert inboard == pytest.approx(1188.5 * 1.25)
    assert outboard == 1188.5
    gain = axle_brake_gain(piston_area(0.048, 2.0), 0.4, 0.13, 1.25)
    assert gain * 3.158e6 == pytest.approx(2 * inboard, rel=1e-3)


def test_pedal_to_deceleration_step_by_step():
    """Four wheels, front as above, rear half of it: (2 + 1) x 5,942 N m / 0.39 m / 2,500 kg."""
    front = axle_brake_gain(piston_area(0.048, 2.0), 0.4, 0.13, 1.0)
    brakes = (4.0, 5.0, 0.0254, front, front / 2, 0.39, 2500.0)
    expected = brake_force(3 * 5942.0, 0.39) / 2500.0
    assert deceleration_reached(400.0, *brakes) == pytest.approx(expected, rel=1e-3)
    assert pedal_force_needed(expected, *brakes) == pytest.approx(400.0, rel=1e-3)


def test_a_larger_master_cylinder_shortens_the_pedal_and_hardens_it():
    """25.4 mm to 31.75 mm bore: area x 1.5625, so stroke and pressure over 1.5625."""
    strokes = [master_cylinder_stroke(0.0145, 0.0005, bore) for bore in (0.0254, 0.03175)]
    assert strokes[0] * 1e3 == pytest.approx(14.31, rel=1e-3)
    assert strokes[0] / strokes[1] == pytest.approx(1.5625)
    assert pedal_travel_share(strokes[0], 0.036) == pytest.approx(0.3974, rel=1e-3)
    pressures = [line_pressure(400.0, 4.0, 1.0, bore) for bore in (0.0254, 0.03175)]
    assert pressures[0] / pressures[1] == pytest.approx(1.5625)


def test_heat_of_one_stop():
    energy = kinetic_energy(2500.0, to_si(100, "km/h"))
    heat = IRON_SPECIFIC_HEAT.value
    assert energy / 1e3 == pytest.approx(964.5, rel=2e-3)
    assert rotor_temperature_rise(energy, 0.7, 20.0, heat) == pytest.approx(73.4, rel=2e-3)
    assert rotor_temperature_rise(energy, 0.3, 20.0, heat) == pytest.approx(31.5, rel=2e-3)
