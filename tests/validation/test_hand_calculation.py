"""Figures worked out by hand from definitions.

Source: none but the definitions, which stand beside each group (ISO 612:1978 and 49 CFR 523.2 for
angles, clearances and track; ISO 8855 for the scrub radius; Gillespie, Fundamentals of Vehicle
Dynamics, ch. 2, for forces and grades, chapter from memory). Worked out apart from the code,
printed to 3 to 5 digits; tolerance half the last digit unless said.
"""

from __future__ import annotations

import math

import pytest

from configurator.core.units import from_si, to_si
from configurator.formulas import clearance, gearing, torque, traction, wheels
from configurator.formulas.constants import STANDARD_GRAVITY


@pytest.mark.parametrize(
    ("studs", "bolt_circle", "distance"),
    [
        (5, 139.7, 82.11),
        (5, 127.0, 74.65),
        (5, 114.3, 67.18),
        (5, 150.0, 88.17),
        (6, 139.7, 69.85),
        (8, 165.1, 63.18),
    ],
)
def test_stud_distance(studs: int, bolt_circle: float, distance: float) -> None:
    # Chord of a regular polygon: s = PCD sin(pi / n).
    adjacent_stud_distance = wheels.adjacent_stud_distance(to_si(bolt_circle, "mm"), studs)
    assert from_si(adjacent_stud_distance, "mm") == pytest.approx(distance, abs=0.01)
    assert wheels.bolt_circle(adjacent_stud_distance, studs) == pytest.approx(
        to_si(bolt_circle, "mm")
    )


def test_offset_and_backspacing() -> None:
    flange = wheels.FLANGE_THICKNESS.value
    none = wheels.offset_from_backspacing(to_si(4.75, "in"), to_si(8.5, "in"), flange)
    assert none == pytest.approx(0.0, abs=0.0001)
    back = wheels.backspacing_from_offset(-0.012, to_si(9.0, "in"), flange)
    assert from_si(back, "in") == pytest.approx(4.528, abs=0.005)
    reach = wheels.inboard_reach(-0.012, wheels.width_over_flanges(to_si(9.0, "in"), flange))
    assert reach == pytest.approx(back)


def test_track_and_spacers() -> None:
    assert wheels.track_change(0.044, -0.012) == pytest.approx(0.112)
    spaced = wheels.effective_offset(0.044, 0.025)
    assert wheels.track_change(0.044, spaced) == pytest.approx(0.050)
    assert clearance.track(1.524, -0.012) == pytest.approx(1.548)
    # The wrong sign narrows the track with a wheel that sticks out.
    assert clearance.track(1.524, 0.018) == pytest.approx(1.488)
    assert clearance.overall_width(1.548, 0.318) == pytest.approx(1.866)
    assert wheels.inboard_reach(0.018, 0.29) + wheels.outboard_reach(0.018, 0.29) == 0.29


def test_room_in_the_barrel() -> None:
    # 17 inches are 431.8 mm; 28 mm to the inside each way leave 375.8, and 4.9 around 366.
    barrel = wheels.barrel_diameter(to_si(17.0, "in"), 0.028)
    assert barrel == pytest.approx(0.3758)
    assert wheels.barrel_gap(barrel, 0.366) == pytest.approx(0.0049)
    assert wheels.barrel_gap(barrel, 0.386) < 0


@pytest.mark.parametrize(
    ("gear", "low_range", "final_drive", "hub", "expected"),
    [
        (4.46, 2.72, 4.10, 1.0, 49.74),
        (5.44, 4.0, 4.88, 1.0, 106.19),
        (4.46, 2.72, 4.10, 1.25, 62.17),
    ],
)
def test_crawl_ratio(
    gear: float, low_range: float, final_drive: float, hub: float, expected: float
) -> None:
    crawl_ratio = gearing.crawl_ratio(gear, low_range, final_drive, hub)
    assert crawl_ratio == pytest.approx(expected, abs=0.01)


def test_gearing_restored_after_a_tyre_change() -> None:
    # 31 to 37 inch tyres on 3.90: 4.655, or a hub of 1.1935 behind the old final drive.
    before, after = to_si(31.0, "in"), to_si(37.0, "in")
    needed = gearing.restoring_ratio(3.90, before, after)
    hub = gearing.restoring_ratio(1.0, before, after)
    assert needed == pytest.approx(4.655, abs=0.001)
    assert hub == pytest.approx(1.1935, abs=0.0001)
    assert gearing.equivalent_final_drive(3.90, hub) == pytest.approx(needed)
    speed = gearing.engine_speed(30.0, needed, after)
    assert speed == pytest.approx(gearing.engine_speed(30.0, 3.90, before))
    # The wrong way round would gear it up.
    assert gearing.restoring_ratio(3.90, after, before) < 3.90


def test_top_speed_is_the_smaller_of_engine_and_tyre() -> None:
    limit = to_si(4500.0, "rpm")
    engine = gearing.road_speed(limit, 4.10, 0.4033)
    assert from_si(engine, "km/h") == pytest.approx(166.9, abs=0.1)
    assert gearing.top_speed(limit, 4.10, 0.4033, to_si(160.0, "km/h")) == to_si(160.0, "km/h")
    assert gearing.top_speed(limit, 4.10, 0.4033, to_si(180.0, "km/h")) == engine


def test_tractive_force_in_low_range_is_limited_by_grip() -> None:
    # 400 N m, 49.74, 0.85, 0.415 m, 2500 kg: 40.75 kN or 1.66 of the weight; grip 0.8 takes 19.6.
    engine = traction.engine_limited_force(400.0, 49.74, 0.85, 0.415)
    weight = 2500 * STANDARD_GRAVITY.value
    assert engine == pytest.approx(40.75e3, rel=0.001)
    assert engine / weight == pytest.approx(1.66, abs=0.005)
    grip = traction.grip_limited_force(0.8, weight)
    assert grip == pytest.approx(19.6e3, rel=0.001)
    assert traction.tractive_force(engine, grip) == grip


def test_grade_is_a_tangent() -> None:
    # 250 N m, 14.35, 0.85, 0.39 m, 2500 kg, f 0.015: 7.819 kN, 17.74 degrees, 31.98 %.
    force = traction.engine_limited_force(250.0, 14.35, 0.85, 0.39)
    angle = traction.engine_limited_grade_angle(force, 2500.0, 0.015)
    assert force == pytest.approx(7819, rel=0.001)
    assert from_si(angle, "deg") == pytest.approx(17.74, abs=0.01)
    assert traction.grade(angle) == pytest.approx(0.3198, abs=0.0001)
    # Put back into the equation it was solved from.
    weight = 2500 * STANDARD_GRAVITY.value
    assert weight * (math.sin(angle) + 0.015 * math.cos(angle)) == pytest.approx(force)
    # Force over weight, 31.89 %, is not the grade, and nor is the sine of the angle, 30.5 %.
    assert force / weight == pytest.approx(0.3189, abs=0.0001)
    assert traction.grade(angle) != pytest.approx(force / weight, abs=0.0005)
    assert traction.grade(angle) != pytest.approx(math.sin(angle), abs=0.01)


def test_grip_ends_a_climb_before_the_engine_does() -> None:
    # Force beyond the weight, all wheels driven, grip 0.8: 38.7 degrees, tan = 0.8. The wrong
    # method, grip on level ground as if it held on the slope, gives asin 0.8 = 53.1 degrees.
    engine = traction.engine_limited_grade_angle(40.75e3, 2500.0, 0.0)
    assert from_si(engine, "deg") == pytest.approx(90.0)
    grip = traction.grip_limited_grade_angle(0.8, 0.0)
    assert from_si(traction.grade_angle(engine, grip), "deg") == pytest.approx(38.66, abs=0.01)
    # Rolling resistance takes from the grip: atan(0.8 - 0.015) = 38.13 degrees.
    rolling = traction.grip_limited_grade_angle(0.8, 0.015)
    assert from_si(rolling, "deg") == pytest.approx(38.13, abs=0.01)
    weight = 2500 * STANDARD_GRAVITY.value
    wrong = traction.engine_limited_grade_angle(0.8 * weight, 2500.0, 0.0)
    assert from_si(wrong, "deg") == pytest.approx(53.13, abs=0.01)


def test_torque_down_the_path() -> None:
    # 400 N m, 4.46 x 2.72 x 4.10: 19.90 kN m without losses, 17.91 at 0.9, half of it to a side.
    shaft = torque.driveshaft_torque(400.0, 4.46, 2.72, 1.0)
    assert torque.ring_gear_torque(shaft, 1.0, 4.10, 1.0) == pytest.approx(19.90e3, rel=0.001)
    ring = torque.ring_gear_torque(shaft, 1.0, 4.10, 0.9)
    assert ring == pytest.approx(17.91e3, rel=0.001)
    assert torque.half_shaft_torque(ring, 0.5) == pytest.approx(8.95e3, rel=0.001)
    assert torque.half_shaft_torque(ring, 1.0) == ring
    # A transfer box that sends 40 % to this axle leaves it 7.96 kN m without losses.
    assert torque.ring_gear_torque(shaft, 0.4, 4.10, 1.0) == pytest.approx(7.96e3, rel=0.001)


def test_hub_reduction_spares_the_half_shaft() -> None:
    # 625 kg, grip 1, 0.415 m: 2544 N m at the wheel, 2035 ahead of a hub of 1.25: 20 % less.
    load = 625 * STANDARD_GRAVITY.value
    wheel = torque.grip_limited_wheel_torque(1.0, load, 0.415)
    shaft = torque.torque_ahead_of_hub(wheel, 1.25)
    assert wheel == pytest.approx(2544, rel=0.001)
    assert shaft == pytest.approx(2035, rel=0.001)
    assert 1 - shaft / wheel == pytest.approx(torque.torque_relief(1.25))
    assert torque.torque_relief(1.25) == pytest.approx(0.20)
    # In low range the engine could give 8.95 kN m: grip is what counts.
    assert torque.counted_torque(8.95e3, shaft) == shaft


@pytest.mark.parametrize(
    ("distance", "height", "radius", "degrees"),
    [(0.600, 0.450, 0.400, 46.40), (0.600, 0.400, 0.400, 41.81), (1.250, 0.250, 0.400, 11.68)],
)
def test_ramp_angle(distance: float, height: float, radius: float, degrees: float) -> None:
    angle = clearance.ramp_angle(distance, height, radius)
    assert from_si(angle, "deg") == pytest.approx(degrees, abs=0.01)
    # The line must touch the arc: its distance from the wheel centre is the radius.
    from_centre = distance * math.sin(angle) - (height - radius) * math.cos(angle)
    assert from_centre == pytest.approx(radius)


def test_ramp_angle_is_not_that_of_the_wheel_centre() -> None:
    # atan(h / x) = 36.87 degrees leaves the tyre out.
    right = from_si(clearance.ramp_angle(0.600, 0.450, 0.400), "deg")
    wrong = math.degrees(math.atan2(0.450, 0.600))
    assert wrong == pytest.approx(36.87, abs=0.01)
    assert right - wrong > 9


def test_a_point_within_the_tyre_counts_as_if_on_its_arc() -> None:
    assert from_si(clearance.ramp_angle(0.300, 0.400, 0.400), "deg") == pytest.approx(90.0)


@pytest.mark.parametrize(
    ("radius", "wheelbase", "height", "exact", "approximate"),
    [(0.400, 2.500, 0.250, 23.36, 22.62), (0.390, 2.550, 0.240, 21.95, 21.32)],
)
def test_breakover_angle(
    radius: float, wheelbase: float, height: float, exact: float, approximate: float
) -> None:
    half = wheelbase / 2
    angle = from_si(clearance.breakover_angle(half, half, height, radius), "deg")
    assert angle == pytest.approx(exact, abs=0.01)
    # 2 atan(2 h / L) comes out 3 % low and must not pass for the angle.
    rough = math.degrees(2 * math.atan(2 * height / wheelbase))
    assert rough == pytest.approx(approximate, abs=0.01)
    assert angle != pytest.approx(rough, rel=0.02)


@pytest.mark.parametrize(("height", "wheelbase", "degrees"), [(12, 100, 26.99), (15, 120, 28.07)])
def test_breakover_without_tyres_is_the_approximation(
    height: float, wheelbase: float, degrees: float
) -> None:
    half = wheelbase / 2
    angle = clearance.breakover_angle(half, half, height, 0.0)
    assert from_si(angle, "deg") == pytest.approx(degrees, abs=0.02)


def test_hub_drop_raises_housing_and_body_alike() -> None:
    # Radius 400, housing 150 below the axle line, drop 100: 250 becomes 350, the body 100 higher.
    assert clearance.differential_clearance(0.400, 0.0, 0.150, 0.0) == pytest.approx(0.250)
    assert clearance.differential_clearance(0.400, 0.100, 0.150, 0.0) == pytest.approx(0.350)
    assert clearance.body_rise(0.400, 0.400, 0.100, 0.0) == pytest.approx(0.100)
    # A guard of 12 mm under the housing costs 12 mm.
    assert clearance.differential_clearance(0.400, 0.0, 0.150, 0.012) == pytest.approx(0.238)
    # A spring lift raises the body and leaves the axle where it is.
    assert clearance.body_rise(0.400, 0.400, 0.0, 0.050) == pytest.approx(0.050)
    assert clearance.axle_rise(0.400, 0.400, 0.0) == 0.0
    # Under the hub box, only the tyre helps.
    assert clearance.hub_box_clearance(0.425, 0.110) == pytest.approx(0.315)


def test_scrub_radius() -> None:
    # dR +40 mm at 8.5 degrees: -5.98 mm; 30 mm less offset: +30 mm.
    taller = clearance.scrub_radius_change(0.0, 0.040, to_si(8.5, "deg"))
    assert from_si(taller, "mm") == pytest.approx(-5.98, abs=0.01)
    wider = clearance.scrub_radius_change(0.030, 0.0, to_si(8.5, "deg"))
    assert wider == pytest.approx(0.030)


def test_room_over_the_tyre() -> None:
    # 25 mm of radius are 50 mm of diameter, 25 mm of clearance and 25 mm less room in the arch; a
    # drop of the hub gives that room back.
    assert clearance.arch_gap(0.450, 0.0, 0.440) == pytest.approx(0.010)
    assert clearance.arch_gap(0.450, 0.0, 0.465) == pytest.approx(-0.015)
    assert clearance.arch_gap(0.450, 0.0965, 0.465) == pytest.approx(0.0815)
