"""Housing and links as beams against sympy's continuum mechanics; asked again at every run.

Symbolic, so nothing is rounded: tolerance 1e-9.
"""

import pytest

from configurator.formulas.housing import bending_moment, bending_stress, midspan_deflection
from configurator.formulas.rods import midspan_load_at_yield
from configurator.formulas.sections import tube_second_moment, tube_section_modulus

REASON = "sympy is installed for tests only"
sympy = pytest.importorskip("sympy", reason=REASON)
mechanics = pytest.importorskip("sympy.physics.continuum_mechanics.beam", reason=REASON)

YOUNGS_MODULUS = 205e9


def simply_supported(span, second_moment, loads):
    left, right = sympy.symbols("left right")
    beam = mechanics.Beam(span, YOUNGS_MODULUS, second_moment)
    beam.apply_load(left, 0, -1)
    beam.apply_load(right, span, -1)
    for position, load in loads:
        beam.apply_load(-load, position, -1)
    beam.bc_deflection = [(0, 0), (span, 0)]
    beam.solve_for_reaction_loads(left, right)
    return beam


@pytest.mark.parametrize(
    ("span", "lever", "load", "tube"),
    [
        (1.6, 0.35, 8000.0, (0.0762, 0.0635)),
        (1.74, 0.42, 9500.0, (0.0889, 0.06985)),
        (1.5, 0.28, 6000.0, (0.0635, 0.0508)),
    ],
)
def test_housing_on_its_wheels(span, lever, load, tube):
    second_moment = tube_second_moment(*tube)
    beam = simply_supported(span, second_moment, [(lever, load), (span - lever, load)])
    x = sympy.Symbol("x")
    moment = abs(float(beam.bending_moment().subs(x, span / 2)))
    sag = abs(float(beam.deflection().subs(x, span / 2)))
    assert bending_moment(load, lever) == pytest.approx(moment, rel=1e-9)
    mine = midspan_deflection(load, lever, span, YOUNGS_MODULUS, second_moment)
    assert mine == pytest.approx(sag, rel=1e-9)
    # One load in the middle is another beam, and a sadder one.
    assert load * span / 2 != pytest.approx(moment, rel=0.5)


def test_housing_in_figures():
    """Read from sympy: 2,800 N m, 4.775452 mm; stress 2,800 / 22,490 mm3 = 124.5 MPa (0.1)."""
    second_moment = tube_second_moment(0.0762, 0.0635)
    stress = bending_stress(2800.0, tube_section_modulus(0.0762, 0.0635))
    sag = midspan_deflection(8000.0, 0.35, 1.6, YOUNGS_MODULUS, second_moment)
    assert stress / 1e6 == pytest.approx(124.5, abs=0.05)
    assert sag * 1e3 == pytest.approx(4.775, abs=0.0005)


def test_blow_across_a_link():
    length, moment = 1.1, 2091.5
    load = midspan_load_at_yield(moment, length)
    beam = simply_supported(length, 1e-7, [(length / 2, load)])
    at_middle = beam.bending_moment().subs(sympy.Symbol("x"), length / 2)
    assert abs(float(at_middle)) == pytest.approx(moment, rel=1e-9)
