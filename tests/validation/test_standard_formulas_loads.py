"""Outside values for tyre load, wheel moments, slopes, road load and headlamp aim.

Sources, beside each block; where a value is from memory it says so. Tolerance: half the last digit
that the source prints, unless a line says otherwise.
"""

from __future__ import annotations

import math

import pytest

from configurator.core.units import to_si
from configurator.formulas import (
    brake_balance,
    brakes,
    descents,
    headlamps,
    road_load,
    traction,
    tyre_load,
    wheel_loads,
)
from configurator.formulas.constants import STANDARD_GRAVITY

BAR = 1e5
PSI = 6894.757

# Reimpell, Stoll & Betzler, The Automotive Chassis, 2nd ed., figure 2.14: load of a passenger tyre
# of load index 69 (325 kg at 2.5 bar), rounded to 5 kg (table from memory).
INDEX_69 = {1.5: 215, 1.6: 225, 1.7: 240, 1.8: 250, 1.9: 260, 2.0: 270, 2.1: 285, 2.2: 295,
            2.3: 305, 2.4: 315, 2.5: 325}  # fmt: skip


@pytest.mark.parametrize(("pressure", "printed"), INDEX_69.items())
def test_passenger_tyre_of_load_index_69(pressure, printed):
    exponent = tyre_load.PASSENGER_EXPONENT.value
    load = tyre_load.load_at_pressure(325.0, pressure * BAR, 2.5 * BAR, exponent)
    assert load == pytest.approx(printed, abs=2.6)


# Tire and Rim Association, LT265/75R16 load range E, single: load in lb at psi (from memory); the
# table is rounded to 5 lb and stepped, hence 2 %.
LT265_75R16 = {35: 1945, 40: 2130, 45: 2310, 50: 2470, 55: 2640, 60: 2805, 65: 2965, 70: 3120,
               75: 3270, 80: 3415}  # fmt: skip


@pytest.mark.parametrize(("pressure", "printed"), LT265_75R16.items())
def test_light_truck_tyre_of_load_range_e(pressure, printed):
    exponent = tyre_load.LIGHT_TRUCK_EXPONENT.value
    load = tyre_load.load_at_pressure(3415.0, pressure * PSI, 80 * PSI, exponent)
    assert load == pytest.approx(printed, rel=0.02)


def test_more_pressure_than_the_reference_carries_no_more():
    assert tyre_load.load_at_pressure(325.0, 3.2 * BAR, 2.5 * BAR, 0.8) == 325.0


def test_the_pressure_to_set_is_the_table_read_backwards():
    # 270 kg at 2.0 bar in the table above: 0.8 x ln p = ln (270/325)
    pressure = tyre_load.pressure_for_load(270.0, 325.0, 2.5 * BAR, 0.8)
    assert pressure / BAR == pytest.approx(2.0, abs=0.02)


# SAE J328 (2021), equation 1, M = W (R u + d) S with u = 0.7, as summarised in public: worked by
# hand. W in N, R and d in m.
@pytest.mark.parametrize(
    ("load", "radius", "inset", "moment"),
    [
        (5000.0, 0.300, 0.040, 5000 * (0.21 + 0.04)),
        (5000.0, 0.300, -0.040, 5000 * (0.21 + 0.04)),  # outset bends as much
        (8000.0, 0.400, 0.000, 8000 * 0.28),
    ],
)
def test_cornering_moment(load, radius, inset, moment):
    worked = wheel_loads.cornering_moment(load, inset, radius, wheel_loads.SIDE_FORCE_SHARE.value)
    assert worked == pytest.approx(moment)


@pytest.mark.parametrize("studs", [4, 5, 6, 8])
def test_most_loaded_stud_against_the_sum_over_the_ring(studs):
    # Shares as the distances from the axis: F = M y / sum y2, for the ring in its worst turn.
    circle, moment = 0.1397, 2187.0
    distances = [circle / 2 * math.cos(2 * math.pi * k / studs) for k in range(studs)]
    worst = moment * max(distances) / sum(y**2 for y in distances)
    assert wheel_loads.stud_load(moment, circle, studs) == pytest.approx(worst, rel=1e-9)


# 49 CFR 571.135 S7.12 and UN R13-H annex 3, 2.3.1 ask for 20 %; the pull is m g sin(atan 0.2).
@pytest.mark.parametrize(("mass", "grade"), [(1500.0, 0.20), (3050.0, 0.20), (5500.0, 0.12)])
def test_a_grade_is_held_by_the_pull_of_the_slope(mass, grade):
    pull = mass * STANDARD_GRAVITY.value * math.sin(math.atan(grade))
    assert descents.grade_held(pull * 0.35, 0.35, mass) == pytest.approx(grade)


def test_standing_on_a_grade_does_not_hang_on_the_ratio_of_wheel_to_pull():
    assert descents.grade_held(700.0, 0.35, 1000.0) == pytest.approx(
        descents.grade_held(1400.0, 0.70, 1000.0)
    )


# UN R13 annex 4, 1.6: type II, 6 km of 6 % at 30 km/h (from memory). The energy is m g h less
# rolling; over 720 s.
@pytest.mark.parametrize("mass", [2000.0, 3050.0])
def test_power_of_the_type_ii_descent_is_its_energy_over_its_time(mass):
    angle = math.atan(0.06)
    energy = mass * STANDARD_GRAVITY.value * 6000.0 * (math.sin(angle) - 0.015 * math.cos(angle))
    power = descents.downhill_power(mass, to_si(30, "km/h"), 0.06, 0.015)
    assert power == pytest.approx(energy / 720.0)


def test_a_brake_held_for_long_settles_and_one_held_briefly_keeps_its_heat():
    # Newton's law of cooling: P t / C at first, P tau / C at last; 63.2 % of it after tau.
    power, heat, tau = 5000.0, 8000.0, 400.0
    assert descents.rise_while_held(power, heat, tau, 1.0) == pytest.approx(0.625, rel=2e-3)
    assert descents.rise_while_held(power, heat, tau, 1e6) == pytest.approx(250.0)
    assert descents.rise_while_held(power, heat, tau, tau) == pytest.approx(250 * 0.63212, rel=1e-4)


def test_a_descent_is_hotter_than_the_stop_of_the_same_energy_only_if_it_does_not_cool():
    energy = brakes.kinetic_energy(3000.0, 27.78)
    stop = brakes.rotor_temperature_rise(energy, 0.7, 17.2, brakes.IRON_SPECIFIC_HEAT.value)
    held = descents.rise_while_held(0.7 * energy / 60.0, 17.2 * 460.0, 1e9, 60.0)
    assert held == pytest.approx(stop, rel=1e-6)


def test_engine_drag_torque():
    # Mean pressure over a four-stroke cycle: T = p V / 4 pi; 1 bar and 2 litres are 15.9 N m.
    assert descents.engine_drag_torque(2e-3, 1e5) == pytest.approx(15.9, abs=0.05)


# Gillespie, Fundamentals of Vehicle Dynamics, ch. 4: dynamic pressure at sea level
# is 0.00256 V2 lb/ft2 with V in mph (from memory): 60 mph 9.2 lb/ft2, 441 Pa.
def test_air_drag_against_the_dynamic_pressure_in_mph():
    pressure = 0.00256 * 60**2 * 4.44822 / 0.09290304
    force = road_load.air_drag(road_load.AIR_DENSITY.value, 1.0, 1.0, to_si(60, "mile/hour"))
    assert force == pytest.approx(pressure, rel=0.003)


def test_density_of_the_standard_atmosphere():
    # ISO 2533: 101325 Pa / (287.05 J/(kg K) 288.15 K)
    assert road_load.AIR_DENSITY.value == pytest.approx(101325 / (287.05287 * 288.15), abs=5e-4)


@pytest.mark.parametrize("first", [1.0, 0.87, 0.6])
def test_full_load_curve_goes_through_its_point(first):
    assert road_load.full_load_power(370.0, 100e3, 370.0, first) == pytest.approx(100e3)


def test_petrol_curve_has_its_largest_torque_at_half_the_speed():
    # Genta: P1 w + P2 w2 - P3 w3 with 1, 1, 1: torque 1 + x - x2 is largest at 0.5, by 1.25.
    torques = {x: road_load.full_load_power(x, 1.0, 1.0, 1.0) / x for x in (0.4, 0.5, 0.6)}
    assert max(torques, key=torques.__getitem__) == 0.5
    assert torques[0.5] == pytest.approx(1.25)


def test_fuel_of_a_known_efficiency():
    # 36 kW at 100 km/h for an hour at 0.40 of 36 MJ/l: 36 x 3.6 / (0.4 x 36) = 9 l for 100 km.
    fuel = road_load.fuel_per_way(36e3, 0.0, 0.40, 36e9, to_si(100, "km/h"))
    assert fuel * 1e8 == pytest.approx(9.0)


def test_force_balance_on_a_grade():
    # 2000 kg on 5 %, f = 0.015: 2000 g (sin + 0.015 cos) = 1273 N; what is left of it is the grade.
    angle = math.atan(0.05)
    force = 2000 * STANDARD_GRAVITY.value * (math.sin(angle) + 0.015 * math.cos(angle))
    assert force == pytest.approx(1273, abs=1)
    assert traction.grade(traction.engine_limited_grade_angle(force, 2000.0, 0.015)) == (
        pytest.approx(0.05)
    )


# UN R48, 6.2.6.1.1 and 6.2.6.1.2: initial aim by mounting height (from memory).
@pytest.mark.parametrize(
    ("height", "least", "most"),
    [(0.60, 0.010, 0.015), (0.799, 0.010, 0.015), (0.80, 0.010, 0.020), (1.00, 0.010, 0.020),
     (1.001, 0.015, 0.020), (1.20, 0.015, 0.020)],
)  # fmt: skip
def test_initial_aim_of_dipped_beams(height, least, most):
    assert headlamps.least_inclination(height) == least
    assert headlamps.most_inclination(height) == most


# UN R13-H annex 5, 3.1 (from memory): z >= 0.1 + 0.7 (k - 0.2) for k from 0.2 to 0.8. Against a
# search over k with the adhesion curve of 49 CFR 571.135 S7.4.4.
@pytest.mark.parametrize("share", [0.60, 0.70, 0.75, 0.795, 0.85])
def test_utilisation_margin_against_a_search(share):
    wheelbase, to_rear, height = 2.81, 1.17, 0.72

    def rate(grip):
        low, high = 0.0, 2.0
        for _ in range(60):
            z = (low + high) / 2
            deceleration = z * STANDARD_GRAVITY.value
            used = brake_balance.front_adhesion_used(
                share * deceleration, (1 - share) * deceleration, 1.0, wheelbase, to_rear, height
            )
            low, high = (z, high) if used < grip else (low, z)
        return low

    searched = min(rate(k / 1000) - (0.1 + 0.7 * (k / 1000 - 0.2)) for k in range(200, 801, 5))
    worked = brake_balance.adhesion_utilisation_margin(share, wheelbase, to_rear, height)
    assert worked == pytest.approx(searched, abs=2e-4)
