"""Clearance, ride height, ramp angles, track and arches; geometry worked by hand."""

from __future__ import annotations

import math

import pytest

from configurator.model.knowledge import Trade


def test_a_drop_of_100_mm_is_100_mm_more_under_the_axle_less_what_a_guard_takes(trade: Trade):
    height = trade.figures["front axle height"]
    depth = trade.figures["front depth below the axle line"]
    under = trade.figures["clearance under front differential"]
    assert under(height(0.400, 0.0), 0.0, depth(0.150, 0.0)) == pytest.approx(0.250)
    assert under(height(0.400, 0.100), 0.0, depth(0.150, 0.009)) == pytest.approx(0.341)


def test_springs_raise_only_a_differential_that_hangs_on_the_body(trade: Trade):
    under = trade.figures["clearance under front differential"]
    lift = trade.figures["front differential lift"]
    assert under(0.370, lift("solid axle", 0.05), 0.130) == pytest.approx(0.240)
    assert under(0.370, lift("independent", 0.05), 0.130) == pytest.approx(0.290)


def test_the_hub_box_hangs_below_the_wheel_centre(trade: Trade):
    depth = trade.figures["rear depth below the wheel centre"]
    under = trade.figures["clearance under rear hub reduction"]
    assert under(0.440, depth(0.110, 0.0)) == pytest.approx(0.330)
    assert under(0.440, depth(0.110, 0.006)) == pytest.approx(0.324)


def test_the_body_rises_with_tyre_drop_and_springs(trade: Trade):
    on_springs = trade.figures["front rise on springs and hub reductions"](0.0965, 0.0, 0.050)
    assert on_springs == pytest.approx(0.1465)
    assert trade.figures["front body rise"](0.440, 0.390, on_springs) == pytest.approx(0.1965)
    on_tyres = trade.figures["rise on tyres"](0.440, 0.430, 0.390, 0.384)
    assert on_tyres == pytest.approx(0.048)
    on_hubs = trade.figures["rise on hub reductions"](0.0965, 0.0765, 0.0, 0.0)
    assert on_hubs == pytest.approx(0.0865)
    on_springs = trade.figures["rise on springs"](0.05, 0.04)
    assert on_springs == pytest.approx(0.045)
    above = trade.figures["rise on hub reductions and springs"](on_hubs, on_springs)
    assert trade.figures["body rise"](on_tyres, above) == pytest.approx(0.1795)
    tilts = (
        trade.figures["tilt on hub reductions"](0.0965, 0.0765, 0.0, 0.0),
        trade.figures["tilt on springs"](0.03, 0.06),
    )
    assert trade.limits["the vehicle stays level"](*tilts) == pytest.approx(0.01)


def test_ramp_angles(trade: Trade):
    # radius 400, point 600 ahead and 450 up: 46.40 degrees; the arctangent of h/x would be 36.87
    approach = trade.figures["approach angle"]
    assert math.degrees(approach(0.600, 0.430, 0.020, 0.400)) == pytest.approx(46.40, abs=0.01)
    # wheelbase 2500, 250 up in the middle: 23.36 degrees
    breakover = trade.figures["breakover angle"]
    assert math.degrees(breakover(2.5, 0.250, 0.400)) == pytest.approx(23.36, abs=0.01)
    # inside the tyre there is no such angle
    assert approach(0.300, 0.400, 0.0, 0.400) is None


def test_track_follows_hub_faces_and_offset(trade: Trade):
    # 1524 mm between the faces: ET -12 makes 1548, ET 18 makes 1488
    faces = trade.figures["front hub-face distance"]
    track = trade.figures["front track"]
    assert track(faces(1.524, 0.0), -0.012) == pytest.approx(1.548)
    assert track(faces(1.524, 0.0), 0.018) == pytest.approx(1.488)
    assert track(faces(1.524, 0.058), 0.018) == pytest.approx(1.604)


def test_scrub_radius_grows_outboard_and_shrinks_with_height(trade: Trade):
    # 40 mm more height, kingpin leaning 8.5 degrees: 5.98 mm less; 30 mm less offset: 30 mm more
    scrub = trade.figures["scrub radius"]
    to_tyre = trade.figures["kingpin to tyre centreline"]
    lean = math.radians(8.5)
    before = scrub(to_tyre(0.090, 0.0, 0.020), 0.390, lean)
    assert scrub(to_tyre(0.090, 0.0, 0.020), 0.430, lean) - before == pytest.approx(
        -0.00598, abs=1e-5
    )
    assert scrub(to_tyre(0.090, 0.0, -0.010), 0.390, lean) - before == pytest.approx(0.030)


def test_turning_circle_over_the_tyre_walls(trade: Trade):
    # 2.5 m / sin 30 degrees + 0.05 m scrub + 0.15 m half a tyre = 5.2 m: twice that
    circle = trade.figures["turning circle"]
    assert circle(math.radians(30), 2.5, 0.05, 0.30) == pytest.approx(10.4)


def test_a_wide_tyre_needs_room_inboard(trade: Trade):
    reach = trade.figures["tyre reach inboard"](0.290, 0.018)
    assert reach == pytest.approx(0.163)
    gap = trade.limits["the front tyres clear springs, links and frame"]
    assert gap(0.172, 0.0, 0.0, 1.610, 1.610, reach) == pytest.approx(0.009)
    assert gap(0.172, 0.058, 0.0, 1.610, 1.610, reach) == pytest.approx(0.067)


def test_a_spare_that_is_not_carried_needs_no_carrier(trade: Trade):
    fits = trade.limits["the spare goes where it is carried"]
    assert fits(0.889, 5) == 0.889
    assert fits(0.889, 4) is None
    assert trade.figures["largest tyre as a spare"](0.960, 0.815) == 0.960
    assert trade.figures["largest tyre as a spare"](None, 0.815) == 0.815


def test_arches_gain_room_above_from_drop_and_shears(trade: Trade):
    above = trade.figures["front arch room"]
    # 430 mm measured, hubs drop 75, arches cut by 30
    assert above(0.430, 0.0, 0.0, 0.0, 0.0) == pytest.approx(0.430)
    assert above(0.430, 0.075, 0.0, 0.030, 0.0) == pytest.approx(0.535)
    assert trade.limits["the tyres clear the front arches at full bump"](0.430, 0.838) == (
        pytest.approx(0.011)
    )
    # ahead and behind only the shears help
    around = trade.limits["the tyres clear the rear arches ahead and behind"]
    assert around(0.472, 0.030, 0.0, 0.940) == pytest.approx(0.032)
