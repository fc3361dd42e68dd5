"""49 CFR 571.135 (FMVSS 135), light vehicle brake systems, 2015 annual edition.

Distances are printed in whole metres with the formula beside them: exact. Adhesion utilisation
(S7.4.4 f and g) is checked in the form the standard prints it, with loads and forces in newtons.
"""

import pytest

from configurator.core.units import to_si
from configurator.formulas.brake_balance import (
    front_adhesion_used,
    front_locks_first_margin,
    rear_adhesion_used,
)
from configurator.formulas.constants import STANDARD_GRAVITY
from configurator.formulas.stopping import (
    STOPPING_RULES,
    deceleration_required,
    rear_adhesion_limit,
    stopping_distance_limit,
)

G = STANDARD_GRAVITY.value


def distance(rule, speed_kmh):
    chosen = STOPPING_RULES[rule]
    return stopping_distance_limit(to_si(speed_kmh, "km/h"), chosen.lag.value, chosen.square.value)


@pytest.mark.parametrize(
    ("rule", "speed", "printed", "half_step"),
    [
        ("FMVSS 135 cold", 100, 70, 1e-6),  # S7.5.3(a): 70 m from 100 km/h
        ("FMVSS 135 hot", 100, 89, 1e-6),  # S7.14.4(b): 89 m from 100 km/h
        # S7.5.3(b), 0.10 V + 0.0060 V^2 at reduced test speeds, rounded to 0.1 m
        ("FMVSS 135 cold", 80, 46.4, 0.05),
        ("FMVSS 135 cold", 60, 27.6, 0.05),
    ],
)
def test_stopping_distance(rule, speed, printed, half_step):
    assert distance(rule, speed) == pytest.approx(printed, abs=half_step)


@pytest.mark.parametrize(
    ("rule", "expected"),
    # What follows from the second coefficient, to 0.01 m/s2. UN R13-H prints 6.43 (from memory).
    [("FMVSS 135 cold", 6.43), ("FMVSS 135 hot", 4.88), ("R13-H service M1", 6.43)],
)
def test_deceleration(rule, expected):
    square = STOPPING_RULES[rule].square.value
    assert deceleration_required(square) == pytest.approx(expected, abs=0.005)


def test_pedal_force_is_at_most_500_newtons():
    assert STOPPING_RULES["FMVSS 135 cold"].pedal_force.value == 500.0


def test_speed_put_in_as_kmh_is_caught():
    rule = STOPPING_RULES["FMVSS 135 cold"]
    wrong = stopping_distance_limit(100.0, rule.lag.value, rule.square.value)
    assert wrong != pytest.approx(70, rel=1)


@pytest.mark.parametrize("rate", [0.15, 0.3, 0.5, 0.8])
def test_rear_curve_lies_below_z_0_9_k(rate):
    """S7.4.5: z = 0.9 k between 0.15 and 0.80."""
    assert rate == pytest.approx(0.9 * rear_adhesion_limit(rate))


@pytest.mark.parametrize("rate", [0.15, 0.4, 0.6, 0.8])
@pytest.mark.parametrize("share", [0.6, 0.7, 0.8])
def test_adhesion_used_in_the_words_of_the_standard(rate, share):
    """S7.4.4: z = (T1+T2)/P, f1 = T1/(P1 + z h P/E), f2 = T2/(P2 - z h P/E)."""
    mass, wheelbase, to_rear, height = 2500.0, 2.6, 1.2, 0.8
    p = mass * G
    p1, p2 = p * to_rear / wheelbase, p * (wheelbase - to_rear) / wheelbase
    t1, t2 = share * rate * p, (1 - share) * rate * p
    z = (t1 + t2) / p
    f1 = t1 / (p1 + z * height * p / wheelbase)
    f2 = t2 / (p2 - z * height * p / wheelbase)
    vehicle = (mass, wheelbase, to_rear, height)
    assert front_adhesion_used(t1, t2, *vehicle) == pytest.approx(f1, rel=1e-12)
    assert rear_adhesion_used(t1, t2, *vehicle) == pytest.approx(f2, rel=1e-12)
    assert front_locks_first_margin(t1, t2, *vehicle) == pytest.approx(f1 - f2, abs=1e-12)


def test_loads_at_rest_do_not_show_that_the_rear_locks():
    """With 60 % at the front, at 0.8 g the rear locks first; loads at rest say the opposite."""
    mass, wheelbase, to_rear, height = 2500.0, 2.6, 1.2, 0.8
    p, rate = mass * G, 0.8
    t1, t2 = 0.6 * rate * p, 0.4 * rate * p
    at_rest = t1 / (p * to_rear / wheelbase) - t2 / (p * (wheelbase - to_rear) / wheelbase)
    assert at_rest > 0
    assert front_locks_first_margin(t1, t2, mass, wheelbase, to_rear, height) < 0
