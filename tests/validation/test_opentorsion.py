"""Torsional stiffness of round shafts against opentorsion's shaft element.

Source: package opentorsion 0.3.2, ``opentorsion.elements.shaft_element.Shaft(nl, nr, L, odl, idl,
G)`` (lengths in mm), attribute ``k`` in N m/rad. Printed for 700 mm by 38.1 mm: 23 435.54 with a
shear modulus of 79.3 GPa; 23 642.4 with the package's own 80 GPa. Both sides are G J / L in
floating point: tolerance 1e-6.
"""

from __future__ import annotations

import pytest

from configurator.core.units import to_si
from configurator.formulas.constants import STEEL_SHEAR_MODULUS
from configurator.formulas.sections import tube_torsion_constant
from configurator.formulas.shafts import torsional_stiffness

# An independent model of the same shaft; no part of the program uses it.
shaft_element = pytest.importorskip(
    "opentorsion.elements.shaft_element", reason="checks torsional stiffness; for tests only"
)


def stiffness(length: float, diameter: float, bore: float, shear_modulus: float) -> float:
    section = tube_torsion_constant(to_si(diameter, "mm"), to_si(bore, "mm"))
    return float(torsional_stiffness(shear_modulus, section, to_si(length, "mm")))


@pytest.mark.parametrize(
    ("length", "diameter", "bore"),
    [(700, 38.1, 0), (700, 38.1, 20), (850, 33.3, 0), (1219.2, 76.2, 70.104), (420, 30, 12)],
)
def test_agrees_with_the_shaft_element(length: float, diameter: float, bore: float) -> None:
    modulus = STEEL_SHEAR_MODULUS.value
    other = shaft_element.Shaft(0, 1, length, diameter, idl=bore, G=modulus)
    assert stiffness(length, diameter, bore, modulus) == pytest.approx(other.k, rel=1e-6)


@pytest.mark.parametrize(("modulus", "printed"), [(79.3e9, 23435.54), (80e9, 23642.4)])
def test_printed_values(modulus: float, printed: float) -> None:
    # Printed to 2 and to 1 decimal.
    assert stiffness(700, 38.1, 0, modulus) == pytest.approx(printed, abs=0.05)
