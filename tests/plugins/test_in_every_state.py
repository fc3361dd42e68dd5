"""What breaks in one state only is refused there, by arithmetic that is not the rules' own.

Each package once passed, judged at ride height, with the wheels straight or with ratios of 1.
"""

from __future__ import annotations

from math import atan, cos, degrees, hypot, radians, sin, sqrt

import pytest

from configurator.model.knowledge import Trade


def test_a_hub_reduction_takes_the_brake_hose_along(trade: Trade):
    """Caliper 60 mm lower and 42 further out: a hose of 440 that had 30 mm left has too little."""
    needed = trade.figures["front brake hose length needed"]
    # 320 mm long, 210 of it down: hanging by 90 without the hub reduction, and with it
    level = sqrt(320**2 - 210**2)
    before = hypot(210 + 90, level)
    after = hypot(210 + 90 + 60, level + 42)
    assert needed(0.090, 0.0, 0.0, 0.320, 0.210) == pytest.approx(before / 1000)
    assert needed(0.090, 0.060, 0.042, 0.320, 0.210) == pytest.approx(after / 1000)
    assert 440 - after < 20 < 440 - before
    # a hose that ends at the axle tube stays where it is
    down, out = trade.figures["front brake hose end down"], trade.figures
    assert down(0.060, 0.0, 0.0, 0.0, "axle tube") == 0.0
    assert out["front brake hose end outboard"](0.042, "axle tube") == 0.0
    assert out["front brake hose end outboard"](0.042, "caliper") == 0.042
    assert down(0.060, 0.0, 0.0, 0.0, "caliper") == pytest.approx(0.060)
    assert down(0.060, 0.0, 0.050, 0.0, "caliper") == pytest.approx(0.010)


def test_splines_come_apart_at_full_droop(trade: Trade):
    """620 mm at 9 degrees: an axle that hangs 183 mm lower asks for 673, the shaft gives 655."""
    along, down = 620 * cos(radians(9)), 620 * sin(radians(9))
    longest = trade.figures["longest front propshaft at full droop"](0.183, 0.620, radians(9))
    assert longest == pytest.approx(hypot(along, down + 183) / 1000)
    assert longest == pytest.approx(0.673, abs=5e-4)
    slip = trade.limits["the front propshaft is long enough at full droop"]
    assert slip(0.655, longest) == pytest.approx(-0.018, abs=1e-3)
    # and its joint at the gearbox stands at 24.6 degrees, less those of the flange
    angle = trade.figures["front propshaft angle at full droop"](0.183, 0.620, radians(9), 0.0)
    assert degrees(angle) == pytest.approx(24.6, abs=0.05)
    # on its way up past the level the shaft is shortest where it lies level
    shortest = trade.figures["shortest front propshaft at full bump"]
    assert shortest(-0.120, 0.620, radians(9)) == pytest.approx(along / 1000)


def test_a_wide_tyre_reaches_further_ahead_on_the_way_to_full_lock(trade: Trade):
    """840 mm tall, its outer edge 236 mm outboard of the steering axis, lock 36 degrees."""
    reach = trade.figures["front tyre reach to full lock"](0.840, 0.236, radians(36))
    steps = (0.420 * cos(radians(a / 10)) + 0.236 * sin(radians(a / 10)) for a in range(361))
    assert reach == pytest.approx(max(steps), abs=1e-6)
    gap = trade.limits["the tyres clear the front arches ahead and behind"]
    assert gap(0.472, 0.0, 0.0, reach) == pytest.approx(-0.010, abs=5e-4)


def test_a_coil_is_loose_where_longer_shocks_let_the_axle_hang(trade: Trade):
    """275 mm under load and 183 mm of droop: 458 between the seats, 430 mm of coil."""
    pressed = trade.limits["the front springs stay in their seats at full droop"]
    standing = ("coil 125", 0.430, 0.183, 25e3, 0.455, 4500.0)
    assert pressed(*standing, 1.0) == pytest.approx(-0.028)
    # a spring that moves 0.62 of what the wheel does: 275 + 113.5
    assert pressed(*standing, 0.62) == pytest.approx(0.430 - 0.275 - 0.62 * 0.183)
    assert pressed("leaf 60", *standing[1:], 1.0) is None


def test_a_spring_carries_more_than_the_wheel_where_it_moves_less(trade: Trade):
    """1190 kg as used, 1400 permitted: 105 kg more on a wheel are 105 g / 0.62 on its spring."""
    load = trade.limits["the front springs carry the permitted axle load"]
    assert load(8600.0, 1190.0, 1400.0, 0.62) == pytest.approx(8600 + 105 * 9.80665 / 0.62)


def test_the_drag_link_turns_both_wheels_and_is_longer_after_a_lift(trade: Trade):
    assert trade.figures["drag link load"](12_500.0) == 25_000.0
    drop = trade.figures["drag link drop"](0.050, 0.0, 0.0, 0.900, radians(4))
    assert drop == pytest.approx(0.900 * sin(radians(4)) + 0.050)
    needed = trade.figures["drag link length needed"](0.900, radians(4), drop, 1.610, 1.610)
    assert needed == pytest.approx(hypot(0.900 * cos(radians(4)), drop))
    # an arm that is 50 mm lower makes up for it
    level = trade.figures["drag link drop"](0.050, 0.050, 0.0, 0.900, radians(4))
    assert level == pytest.approx(0.900 * sin(radians(4)))


def test_a_side_push_bends_the_tube_by_its_height_above_the_ground(trade: Trade):
    height = trade.figures["front tube height"](0.840, 0.100)
    moment = trade.figures["front housing bending moment"]
    # 15 % of 6864.7 N at 0.520 m instead of 0.420
    with_hub, without = (
        moment(1.6, height, 0.72, 1400.0, 0.15),
        moment(1.6, 0.42, 0.72, 1400.0, 0.15),
    )
    assert with_hub - without == pytest.approx(0.15 * 700 * 9.80665 * 0.100)


def test_a_pinion_must_point_at_a_double_cardan_joint(trade: Trade):
    """Shaft at 9, flange and pinion at 3 degrees: two joints of 6 cancel, one of 6 does not."""
    residual = trade.figures["front residual joint angle"]
    asked = (0.0, 0.0, 0.620, radians(9), radians(3), radians(3), 20.0)
    assert residual("cardan", *asked) == pytest.approx(0.0, abs=1e-9)
    assert degrees(residual("double cardan", *asked)) == pytest.approx(6.0)
    turned = (0.0, radians(6), *asked[2:])
    assert residual("double cardan", *turned) == pytest.approx(0.0, abs=1e-9)


def test_a_lift_on_radius_arms_takes_caster_and_plates_give_it_back(trade: Trade):
    caster = trade.figures["caster"]
    after = caster(0.050, 0.0, 0.0, radians(3.2), 1.100, "solid axle")
    assert degrees(after) == pytest.approx(3.2 - degrees(atan(50 / 1100)))
    plates = caster(0.050, radians(-2), 0.0, radians(3.2), 1.100, "solid axle")
    assert degrees(plates - after) == pytest.approx(2.0)


def test_what_hangs_lowest_counts_under_an_axle(trade: Trade):
    """Differential 79 mm below the wheel centre, hub boxes 106 mm: 398 - 106, not 398 - 79."""
    lowest = trade.figures["front lowest point below the wheel centre"](0.060, 0.0, 0.139, 0.106)
    assert trade.figures["clearance under front axle"](0.398, lowest) == pytest.approx(0.292)
    alone = trade.figures["front lowest point below the wheel centre"](0.0, 0.0, 0.139, None)
    assert trade.figures["clearance under front axle"](0.398, alone) == pytest.approx(0.259)


def test_wheels_hop_on_the_rate_at_the_wheel(trade: Trade):
    """A spring of 50 kN/m that moves 0.6 of what the wheel does is 18 kN/m there."""
    hop = trade.figures["front wheel hop"](50e3, 300e3, 80.0, 0.6)
    assert hop == pytest.approx(sqrt((18e3 + 300e3) / 40) / (2 * 3.141592653589793))
