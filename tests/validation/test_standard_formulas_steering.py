"""Steering geometry, worked out apart from this program; rounded to 0.01 degree and 0.01 m.

Source (from memory): Gillespie, Fundamentals of Vehicle Dynamics, ch. 8.
"""

import numpy as np
import pytest

from configurator.formulas.steering import (
    ackermann_outer_angle,
    kerb_turning_radius,
    link_force,
    rear_axle_turning_radius,
    standstill_steering_torque,
)

BASE, SPACING = 2.5, 1.5


def test_wheelbase_2_5_spacing_1_5_inner_30_degrees():
    inner = np.radians(30.0)
    outer = ackermann_outer_angle(inner, BASE, SPACING)
    assert np.degrees(outer) == pytest.approx(23.21, abs=0.01)
    assert rear_axle_turning_radius(inner, BASE, SPACING) == pytest.approx(5.08, abs=0.01)
    assert kerb_turning_radius(outer, BASE, 0.0) == pytest.approx(6.34, abs=0.01)


@pytest.mark.parametrize("degrees", [5.0, 20.0, 38.0])
def test_both_wheels_point_at_one_centre(degrees):
    """By construction: the centre lies on the line of the rear axle; Pythagoras does the rest."""
    inner = np.radians(degrees)
    centre = rear_axle_turning_radius(inner, BASE, SPACING)
    outer = ackermann_outer_angle(inner, BASE, SPACING)
    assert np.arctan2(BASE, centre + SPACING / 2) == pytest.approx(outer, rel=1e-12)
    assert kerb_turning_radius(outer, BASE, 0.0) == pytest.approx(
        np.hypot(BASE, centre + SPACING / 2), rel=1e-12
    )


def test_parallel_steering_is_not_ackermann():
    outer = ackermann_outer_angle(np.radians(30.0), BASE, SPACING)
    assert np.degrees(outer) != pytest.approx(30.0, abs=5)
    # The tangent's formula turned round gives a larger angle outside than inside.
    wrong = np.arctan(1 / (1 / np.tan(np.radians(30.0)) - SPACING / BASE))
    assert np.degrees(wrong) > 30


def test_standstill_torque():
    """W f sqrt(B^2/8 + E^2), sizing guides for hydrostatic steering; worked by hand, 0.1 %.

    6,000 N, 0.7, B 240 mm, E 60 mm: 4,200 x sqrt(0.0072 + 0.0036) = 436.5 N m.
    """
    torque = standstill_steering_torque(6000.0, 0.7, 0.24, 0.06)
    assert torque == pytest.approx(436.5, rel=1e-3)
    assert link_force(torque, 0.16) == pytest.approx(2728, rel=1e-3)
    # A larger scrub radius at the same friction takes more.
    assert standstill_steering_torque(6000.0, 0.7, 0.24, 0.09) > torque
