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
    shear_stress,
    torque_capacity,
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
