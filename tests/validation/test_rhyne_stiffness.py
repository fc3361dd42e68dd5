"""Vertical stiffness of tyres by Rhyne's relationship.

Source: T. B. Rhyne, Tire Science and Technology 33(3), 2005, quoted in a public repository:
k [kgf/mm] = 0.00028 P sqrt(W D) + 3.45, P in kPa, W = 0.75 times the section width and D the
overall diameter in mm. Worked example there: 285/30R21 at 240 kPa, about 290 kN/m.
"""

from __future__ import annotations

import math

import pytest

from configurator.core.units import to_si
from configurator.formulas.constants import STANDARD_GRAVITY
from configurator.formulas.tyre_sizes import parse
from configurator.formulas.tyres import (
    deflection,
    effective_radius_from_deflection,
    effective_rolling_radius,
    rolling_circumference,
    static_loaded_radius,
    vertical_stiffness,
)


def stiffness(designation: str, kilopascals: float) -> float:
    size = parse(designation)
    pressure = to_si(kilopascals, "kPa")
    return float(vertical_stiffness(pressure, size.section_width, size.overall_diameter))


def test_worked_example() -> None:
    # Printed "about 290", in full 289.5: 1 %.
    assert stiffness("285/30R21", 240) == pytest.approx(289.5e3, rel=0.01)


@pytest.mark.parametrize(
    ("designation", "kilopascals"), [("285/70R17", 240), ("235/85R16", 350), ("265/70R17", 180)]
)
def test_same_as_in_the_units_of_the_paper(designation: str, kilopascals: float) -> None:
    size = parse(designation)
    width, diameter = 0.75 * size.section_width * 1e3, size.overall_diameter * 1e3
    in_kgf_per_mm = 0.00028 * kilopascals * math.sqrt(width * diameter) + 3.45
    expected = to_si(in_kgf_per_mm, "kgf/mm")
    assert stiffness(designation, kilopascals) == pytest.approx(expected, rel=1e-6)


def test_radii_of_a_loaded_tyre() -> None:
    # 285/70R17, 240 kPa, 800 kg: 311.5 kN/m, 25.2 mm, 390.2 mm, 407.0 mm, worked out from the
    # relationship and printed to 4 digits.
    size = parse("285/70R17")
    load = 800 * STANDARD_GRAVITY.value
    rate = stiffness("285/70R17", 240)
    assert rate == pytest.approx(311.5e3, rel=0.001)
    gives = deflection(load, rate)
    assert gives == pytest.approx(0.0252, abs=0.0001)
    assert static_loaded_radius(size.overall_diameter, load, rate) == pytest.approx(
        0.3902, abs=1e-4
    )
    rolling = effective_radius_from_deflection(size.overall_diameter / 2, gives)
    assert rolling == pytest.approx(0.4070, abs=1e-4)
    # Two independent ways to the rolling radius agree within 1 %.
    other = effective_rolling_radius(rolling_circumference(size.overall_diameter))
    assert rolling == pytest.approx(other, rel=0.01)
