"""Off-highway criteria, tyre widths: US federal rules.

Sources: 49 CFR 523.2 and 523.5(b), 49 CFR 571.139 S6.1.2.2; annual edition of 2015. Check the
current edition before quoting them as law.
"""

from __future__ import annotations

import pytest

from configurator.core.units import to_si
from configurator.formulas.clearance import off_highway_criteria
from configurator.formulas.tyres import widest_section

# 523.5(b)(2): at least 28, 14 and 20 degrees, 20 cm, and 18 cm under each axle.
LIMITS = {
    "approach angle": (0, 28.0, "deg"),
    "breakover angle": (1, 14.0, "deg"),
    "departure angle": (2, 20.0, "deg"),
    "running clearance": (3, 20.0, "cm"),
    "axle clearance": (4, 18.0, "cm"),
}


def just(*short: int) -> dict[str, bool]:
    """Every measure exactly at its limit, those at the given places a little short."""
    measures = [
        (28.0, "deg"),
        (14.0, "deg"),
        (20.0, "deg"),
        (20.0, "cm"),
        (18.0, "cm"),
        (18.0, "cm"),
    ]
    values = [
        to_si(value - (0.1 if place in short else 0.0), unit)
        for place, (value, unit) in enumerate(measures)
    ]
    return off_highway_criteria(*values)


def test_at_the_limits_all_five_hold() -> None:
    assert list(just()) == list(LIMITS)
    assert all(just().values())


@pytest.mark.parametrize("criterion", LIMITS)
def test_a_little_short_of_one_limit(criterion: str) -> None:
    met = just(LIMITS[criterion][0])
    assert [name for name, holds in met.items() if not holds] == [criterion]


def test_both_axles_count_as_one_criterion() -> None:
    # The wrong method would count six criteria, or look at one axle only.
    assert not just(4)["axle clearance"]
    assert not just(5)["axle clearance"]
    assert sum(just(4, 5).values()) == 4


def test_tyres_may_measure_seven_percent_wider() -> None:
    assert widest_section(0.300) == pytest.approx(0.321, abs=1e-9)
