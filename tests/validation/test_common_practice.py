"""Trade rules: common practice, no source.

Values that circulate in the trade without a publication that proves them. Each is rounded the way
people say it; the tolerance is what that rounding leaves, with the reason beside it.
"""

from __future__ import annotations

import math

import pytest

from configurator.core.units import from_si, to_si
from configurator.formulas.clearance import axle_rise, differential_clearance
from configurator.formulas.gearing import (
    engine_speed,
    equivalent_final_drive,
    hub_ratio_from_reduction,
)
from configurator.formulas.torque import torque_relief
from configurator.formulas.tyres import effective_rolling_radius, rolling_circumference
from configurator.formulas.wheels import (
    FLANGE_THICKNESS,
    bolt_circle,
    offset_from_backspacing,
    width_over_flanges,
)


def test_geared_hub_behaves_like_a_shorter_final_drive() -> None:
    # 3.73 behind a hub that gears down by 22 % is said to be "about 4.56", a ratio gears are sold
    # in; 4.5506 in full, 0.2 % away. Half a percent is less than the step to the next ratio sold.
    ratio = equivalent_final_drive(3.73, hub_ratio_from_reduction(0.22))
    assert ratio == pytest.approx(4.56, rel=0.005)
    # The wrong way round, dividing by 0.78, gives 4.78.
    assert pytest.approx(4.56, rel=0.005) != 3.73 / 0.78


def test_geared_hub_lowers_torque_by_less_than_it_gears_down() -> None:
    # 22 % more ratio is 18 % less torque ahead of the hub (18.03), said to a full percent.
    relief = torque_relief(hub_ratio_from_reduction(0.22))
    assert relief == pytest.approx(0.18, abs=0.005)
    assert relief != pytest.approx(0.22, abs=0.005)


def test_offset_of_a_nine_inch_wheel() -> None:
    # 5.75 inch backspacing on 9 inches is said to be "about +18 mm"; 19.05 with flanges of half
    # an inch. Flanges measure 11 to 14 mm, so 2 mm either way.
    offset = offset_from_backspacing(to_si(5.75, "in"), to_si(9.0, "in"), FLANGE_THICKNESS.value)
    assert from_si(offset, "mm") == pytest.approx(19.05, abs=0.005)
    assert from_si(offset, "mm") == pytest.approx(18, abs=2)
    # Leaving the flange out gives 31.75.
    wrong = offset_from_backspacing(to_si(5.75, "in"), to_si(9.0, "in"), 0.0)
    assert from_si(wrong, "mm") == pytest.approx(31.75, abs=0.005)


def test_rim_is_an_inch_wider_than_it_says() -> None:
    width = width_over_flanges(to_si(8.0, "in"), FLANGE_THICKNESS.value)
    assert from_si(width, "in") == pytest.approx(9.0, abs=1e-9)


def test_hub_drop_raises_the_axle_tube() -> None:
    # 3.8 inches are 96.5 mm (96.52), said to half a millimetre.
    drop = to_si(3.8, "in")
    assert from_si(axle_rise(0.45, 0.45, drop), "mm") == pytest.approx(96.5, abs=0.25)
    raised = differential_clearance(0.45, drop, 0.15, 0.0) - differential_clearance(
        0.45, 0.0, 0.15, 0.0
    )
    assert raised == pytest.approx(drop)


@pytest.mark.parametrize(
    ("final_drive", "circumference_share", "expected"),
    [(4.5506, math.pi, 1888), (4.56, math.pi, 1892), (4.5506, 3.05, 1945), (4.56, 3.05, 1949)],
)
def test_engine_speed_with_38_inch_tyres(
    final_drive: float, circumference_share: float, expected: float
) -> None:
    # 70 mph, 0.67 top gear: "about 2,000 rpm". Worked out it is 1,888 to 1,949: the trade rounds
    # to the next hundred or so, 38 inch tyres measure less than their name, and a converter that
    # is not locked slips by a few percent. 6 % therefore.
    radius = effective_rolling_radius(circumference_share * to_si(38.0, "in"))
    speed = engine_speed(to_si(70.0, "mph"), 0.67 * final_drive, radius)
    assert from_si(speed, "rpm") == pytest.approx(expected, abs=0.6)
    assert from_si(speed, "rpm") == pytest.approx(2000, rel=0.06)
    # Forgetting the hub (3.73 alone) leaves the tolerance.
    forgotten = engine_speed(to_si(70.0, "mph"), 0.67 * 3.73, radius)
    assert from_si(forgotten, "rpm") != pytest.approx(2000, rel=0.06)


def test_loaded_tyre_turns_three_percent_more_often() -> None:
    assert math.pi / rolling_circumference(1.0) == pytest.approx(1.03, abs=0.005)


def test_rpm_from_inches_and_miles() -> None:
    # "mph times ratio times 336 over tyre in inches", on the free circumference: 336.135.
    radius = effective_rolling_radius(math.pi * to_si(31.0, "in"))
    speed = engine_speed(to_si(60.0, "mph"), 3.9, radius)
    assert from_si(speed, "rpm") == pytest.approx(60 * 3.9 * 336 / 31, rel=0.001)


@pytest.mark.parametrize(
    ("studs", "multiplier", "digits"),
    [(5, 1.701, 0.0005), (3, 1.154, 0.001)],
)
def test_multiplier_for_neighbouring_studs(studs: int, multiplier: float, digits: float) -> None:
    assert bolt_circle(1.0, studs) == pytest.approx(multiplier, abs=digits)


def test_clearance_gain_is_half_the_diameter_gain() -> None:
    gain = differential_clearance(0.440, 0.0, 0.15, 0.0) - differential_clearance(
        0.415, 0.0, 0.15, 0.0
    )
    assert gain == pytest.approx(0.050 / 2)
