"""Section moduli of axle tubes, worked out apart from this program from Gere, appendix D.

Rounded to whole cubic millimetres: tolerance 0.1 %.
"""

import pytest

from configurator.formulas.sections import (
    tube_area,
    tube_second_moment,
    tube_section_modulus,
    tube_torsion_constant,
)


@pytest.mark.parametrize(
    ("outer", "wall", "modulus"),
    [
        (76.2, 6.35, 22490),
        (88.9, 9.525, 42689),
        (76.2, 9.525, 29694),
        (63.5, 6.35, 14841),
    ],
)
def test_section_modulus(outer, wall, modulus):
    mine = tube_section_modulus(outer / 1e3, (outer - 2 * wall) / 1e3)
    assert mine * 1e9 == pytest.approx(modulus, rel=1e-3)


def test_other_properties_of_76_2_by_6_35():
    assert tube_area(0.0762, 0.0635) * 1e6 == pytest.approx(1393.4, abs=0.05)
    assert tube_second_moment(0.0762, 0.0635) * 1e12 == pytest.approx(856855, abs=0.5)
    assert tube_torsion_constant(0.0762, 0.0635) * 1e12 == pytest.approx(1713710, abs=0.5)
