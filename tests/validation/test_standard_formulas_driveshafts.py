"""Propshafts, against published angle tables and figures worked out apart from this program.

Cardan joint: SAE AE-7, 3.1.1 (from memory). Angle table: a published table of allowable angles of
joint 1, printed to 0.1 degree; near 7 degrees a step is 1.4 %, and twice that in the square.
Critical speed: ross-rotordynamics 2.3.0 (Euler-Bernoulli, rigid bearings) gave 8,407.63 rpm.
"""

import numpy as np
import pytest

from configurator.core.units import from_si, to_si
from configurator.formulas.cardan_joints import (
    EXCITATION_LIMIT,
    residual_angle,
    torsional_excitation,
)
from configurator.formulas.driveshafts import (
    critical_speed,
    joint_angle,
    operating_speed_limit,
    shaft_slope,
    shaft_speed,
    slip_travel,
)


def degrees(value):
    return to_si(value, "degree")


@pytest.mark.parametrize(("rpm", "angle"), [(1500, 7.3), (1600, 6.9), (1700, 6.5)])
def test_table_of_allowable_angles(rpm, angle):
    """One constant, about 400 rad/s2, stands behind the column: 401, 407, 408."""
    excitation = torsional_excitation(to_si(rpm, "rpm"), degrees(angle))
    assert excitation == pytest.approx(EXCITATION_LIMIT.value, rel=0.028)


@pytest.mark.parametrize(
    ("first", "second", "expected"), [(11.6, 9.0, 7.32), (10.8, 8.0, 7.26), (7.6, 2.0, 7.33)]
)
def test_two_joints_leave_the_root_of_the_difference_of_squares(first, second, expected):
    """Same table, 1,500 rpm with a second joint: what remains is the 7.3 degrees of one joint."""
    left = from_si(residual_angle(degrees(first), degrees(second)), "degree")
    assert left == pytest.approx(expected, abs=0.005)
    assert left == pytest.approx(7.3, rel=0.01)
    assert first - second != pytest.approx(7.3, rel=0.2)  # the plain difference will not do


def test_equal_angles_cancel():
    assert residual_angle(degrees(8), degrees(8)) == 0.0


TUBE = (0.0762, 0.070104, 1.2192, 206e9, 7850.0)


def test_critical_speed():
    rpm = from_si(critical_speed(*TUBE), "rpm")
    assert rpm == pytest.approx(8407.63, rel=1e-3)
    assert from_si(operating_speed_limit(critical_speed(*TUBE), 0.75), "rpm") < 6310


def test_critical_speed_against_finite_elements():
    """Sixteen beam elements on two pins, solved with scipy; their error is under 1e-5."""
    linalg = pytest.importorskip("scipy.linalg", reason="scipy is installed for tests only")
    outer, inner, length, modulus, density = TUBE
    area = np.pi / 4 * (outer**2 - inner**2)
    inertia = np.pi / 64 * (outer**4 - inner**4)
    count = 16
    h = length / count
    bend = np.array([[12, 6 * h, -12, 6 * h], [6 * h, 4 * h**2, -6 * h, 2 * h**2]])
    stiff = np.vstack([bend, -bend[0], [6 * h, 2 * h**2, -6 * h, 4 * h**2]])
    stiff = stiff * modulus * inertia / h**3
    heavy = np.array(
        [
            [156, 22 * h, 54, -13 * h],
            [22 * h, 4 * h**2, 13 * h, -3 * h**2],
            [54, 13 * h, 156, -22 * h],
            [-13 * h, -3 * h**2, -22 * h, 4 * h**2],
        ]
    )
    heavy = heavy * density * area * h / 420
    whole_stiff = np.zeros((2 * count + 2, 2 * count + 2))
    whole_heavy = np.zeros_like(whole_stiff)
    for element in range(count):
        here = slice(2 * element, 2 * element + 4)
        whole_stiff[here, here] += stiff
        whole_heavy[here, here] += heavy
    free = [i for i in range(2 * count + 2) if i not in (0, 2 * count)]
    squares = linalg.eigvalsh(whole_stiff[np.ix_(free, free)], whole_heavy[np.ix_(free, free)])
    assert critical_speed(*TUBE) == pytest.approx(np.sqrt(squares[0]), rel=1e-4)


def test_critical_speed_falls_with_the_square_of_the_length():
    longer = critical_speed(TUBE[0], TUBE[1], 2 * TUBE[2], *TUBE[3:])
    assert critical_speed(*TUBE) / longer == pytest.approx(4.0)


@pytest.mark.parametrize(("before", "after", "travel"), [(0, 100, 8.28), (60, 160, 18.06)])
def test_slip_travel_of_a_600_mm_shaft(before, after, travel):
    """Rounded to 0.01 mm; tolerance 0.05."""
    mine = slip_travel(0.600, before / 1e3, after / 1e3) * 1e3
    assert mine == pytest.approx(travel, abs=0.05)


def test_driveshaft_speed_at_110_km_h():
    """37 in tyre, 3.05 D a turn, 4.10: 2,622 rpm. The free radius gives 3 % too few."""
    rolling = 3.05 * to_si(37, "in") / (2 * np.pi)
    rpm = from_si(shaft_speed(to_si(110, "km/h"), rolling, 4.10), "rpm")
    assert rpm == pytest.approx(2622, rel=1e-3)
    free = from_si(shaft_speed(to_si(110, "km/h"), to_si(18.5, "in"), 4.10), "rpm")
    assert free != pytest.approx(2622, rel=0.02)


def test_angles_from_heights():
    """160 mm drop over 800 mm: atan 0.2 = 11.31 degrees; less 4 at the flange, 7.31."""
    slope = shaft_slope(0.160, 0.800)
    assert from_si(slope, "degree") == pytest.approx(11.31, abs=0.005)
    assert from_si(joint_angle(slope, degrees(4)), "degree") == pytest.approx(7.31, abs=0.005)
