"""UN Regulation No. 13, annex 4: secondary braking limits and mean fully developed deceleration.

2.2 prints both a distance formula and a deceleration to 0.1 m/s2, so each checks the other to half
a step, 0.05. The service limit of N1 (0.15 v + v^2/130, 5.0 m/s2) is from memory.
"""

import pytest

from configurator.core.units import to_si
from configurator.formulas.stopping import (
    STOPPING_RULES,
    deceleration_required,
    mean_fully_developed_deceleration,
    stopping_distance_limit,
)


@pytest.mark.parametrize(
    ("rule", "printed", "speed", "distance"),
    [
        # distance: the printed formula in km/h, by hand at one speed, rounded to 0.01 m
        ("R13 secondary M1", 2.9, 80, 93.33),  # 0.1 v + 2 v^2/150
        ("R13 secondary M2 M3", 2.5, 60, 64.38),  # 0.15 v + 2 v^2/130
        ("R13 secondary N", 2.2, 70, 95.72),  # 0.15 v + 2 v^2/115
        ("R13 service N1", 5.0, 80, 61.23),  # 0.15 v + v^2/130, from memory
    ],
)
def test_limits(rule, printed, speed, distance):
    chosen = STOPPING_RULES[rule]
    assert deceleration_required(chosen.square.value) == pytest.approx(printed, abs=0.05)
    mine = stopping_distance_limit(to_si(speed, "km/h"), chosen.lag.value, chosen.square.value)
    assert mine == pytest.approx(distance, abs=0.005)


@pytest.mark.parametrize(("rule", "force"), [("R13 secondary M1", 500), ("R13 secondary N", 700)])
def test_pedal_force(rule, force):
    assert STOPPING_RULES[rule].pedal_force.value == force  # 50 and 70 daN


@pytest.mark.parametrize(("begin", "end", "from_", "to"), [(80, 10, 20, 58), (64, 8, 15, 47.5)])
def test_mean_fully_developed_deceleration(begin, end, from_, to):
    """1.1.2: (vb^2 - ve^2) / (25.92 (se - sb)), speeds in km/h, distances in metres."""
    printed_form = (begin**2 - end**2) / (25.92 * (to - from_))
    mine = mean_fully_developed_deceleration(to_si(begin, "km/h"), to_si(end, "km/h"), from_, to)
    assert mine == pytest.approx(printed_form, rel=1e-9)


def test_even_braking_is_found_again():
    """A body braked at 5 m/s2 from 20 m/s: v^2 = u^2 - 2 a s, by mechanics."""
    begin, end = 16.0, 2.0
    at = [(400.0 - speed**2) / 10.0 for speed in (begin, end)]
    assert mean_fully_developed_deceleration(begin, end, *at) == pytest.approx(5.0)
