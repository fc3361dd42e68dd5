"""Shafts in torsion.

Sources: two published worked examples of shaft design (where they were published is not
recorded), re-derived from tau = 16 T / (pi d^3); Budynas & Nisbett, Shigley's Mechanical
Engineering Design, 10th ed., 3-12 (section from memory) for the formulas.
"""

from __future__ import annotations

import math

import pytest

from configurator.core.units import from_si, to_si
from configurator.formulas.shafts import (
    diameter_needed,
    shear_stress,
    torque_capacity,
    torsional_stiffness,
    twist,
)


def test_shaft_for_300_kw_at_100_rpm() -> None:
    # Printed: 28.65 kN m and, at 80 MPa, 122 mm (122.18 in full): 0.5 %.
    torque = to_si(300.0, "kW") / to_si(100.0, "rpm")
    assert torque == pytest.approx(28.65e3, rel=0.005)
    assert from_si(diameter_needed(torque, to_si(80.0, "MPa")), "mm") == pytest.approx(
        122.18, rel=0.005
    )


def test_400_mm_shaft_at_50_mpa() -> None:
    # 628.3 kN m; the last line of the published example misprints the unit as N m.
    stress = to_si(50.0, "MPa")
    torque = 628.3e3
    assert shear_stress(torque, 0.400) == pytest.approx(stress, rel=0.001)
    assert torque_capacity(0.400, stress / 0.577) == pytest.approx(torque, rel=0.001)


def test_the_root_of_the_spline_counts() -> None:
    # 4000 N m: 368.3 MPa on the 38.1 mm body, 551.7 MPa on the 33.3 mm root, 1.498 times as much.
    body, root = shear_stress(4000.0, 0.0381), shear_stress(4000.0, 0.0333)
    assert from_si(body, "MPa") == pytest.approx(368.3, rel=0.001)
    assert from_si(root, "MPa") == pytest.approx(551.7, rel=0.001)
    assert root / body == pytest.approx(1.498, abs=0.001)


@pytest.mark.parametrize("share", [0.3, 0.5, 0.8])
def test_hollow_shaft(share: float) -> None:
    # tau = 16 T D / (pi (D^4 - d^4)): a bore of half the diameter costs 1/16 of the strength.
    diameter = 0.040
    solid, hollow = shear_stress(1e3, diameter), shear_stress(1e3, diameter, share * diameter)
    assert solid / hollow == pytest.approx(1 - share**4, rel=1e-9)
    direct = 16 * 1e3 * diameter / (math.pi * (diameter**4 - (share * diameter) ** 4))
    assert hollow == pytest.approx(direct, rel=1e-9)


def test_twist() -> None:
    # 23 435.5 N m/rad (38.1 mm by 700 mm of steel): 2000 N m twist it by 4.89 degrees.
    stiffness = torsional_stiffness(79.3e9, math.pi * 0.0381**4 / 32, 0.700)
    assert from_si(twist(2000.0, stiffness), "deg") == pytest.approx(4.890, abs=0.001)
