"""Conversion of units.

Sources: NIST Special Publication 811 (2008), appendix B, for the printed factors; the package
scipy, module ``scipy.constants``, as a second reading of most. Exact by definition: 1e-9.
"""

from __future__ import annotations

import pytest

from configurator.core.units import dimension, from_si, to_si
from configurator.formulas.constants import INCH, STANDARD_GRAVITY

# An independent table of the same factors; no part of the program uses it.
constants = pytest.importorskip("scipy.constants", reason="second reading; for tests only")


@pytest.mark.parametrize(
    ("unit", "metric", "factor"),
    [
        ("ft*lbf", "N*m", 1.3558179483314),
        ("ft-lb", "N*m", 1.3558179483314),
        ("lb", "kg", 0.45359237),
        ("mph", "km/h", 1.609344),
        ("psi", "kPa", 6.894757293168),
        ("lbf", "N", 4.4482216152605),
        ("lbf/in", "N/mm", 0.17512683524648),
        ("hp", "W", 745.6998715823),
        ("PS", "W", 735.49875),
        ("bar", "psi", 14.503773773),
        ("in", "mm", 25.4),
        ("kgf/mm", "N/m", 9806.65),
    ],
)
def test_factor(unit: str, metric: str, factor: float) -> None:
    assert dimension(unit) == dimension(metric)
    assert from_si(to_si(1.0, unit), metric) == pytest.approx(factor, rel=1e-9)


@pytest.mark.parametrize(
    ("unit", "name"),
    [
        ("lb", "lb"), ("lbf", "lbf"), ("psi", "psi"), ("bar", "bar"), ("hp", "hp"),
        ("mph", "mph"), ("km/h", "kmh"), ("in", "inch"), ("ft", "foot"), ("deg", "degree"),
        ("kgf", "kgf"), ("mile", "mile"),
    ],
)  # fmt: skip
def test_second_reading(unit: str, name: str) -> None:
    # Our values are rounded to 12 digits.
    assert to_si(1.0, unit) == pytest.approx(getattr(constants, name), rel=1e-11)


def test_constants() -> None:
    assert constants.g == STANDARD_GRAVITY.value
    assert constants.inch == INCH.value


def test_a_newton_metre_is_no_nautical_mile() -> None:
    # The trap: "Nm" written by a workshop, read as a unit of length.
    assert to_si(1.0, "Nm") == 1.0
    assert dimension("Nm") == dimension("J")
