"""Axle loads by moments, worked out apart from this program and rounded to 0.1 kg.

Source (from memory): Gillespie, Fundamentals of Vehicle Dynamics, ch. 1.
"""

import pytest

from configurator.formulas.constants import STANDARD_GRAVITY
from configurator.formulas.mass import (
    front_axle_mass,
    front_axle_mass_change,
    mean_position,
    rear_axle_mass,
    rear_axle_mass_change,
    total_mass,
)


def test_axle_loads():
    assert front_axle_mass(2500.0, 2.6, 1.4) == pytest.approx(1153.8, abs=0.1)
    assert rear_axle_mass(2500.0, 2.6, 1.4) == pytest.approx(1346.2, abs=0.1)


def test_a_published_worked_example():
    """1,140 kg, 42 % in front: 2,349 N on each front tyre, rounded to 1 N; it takes g as 9.81."""
    front = front_axle_mass(1140.0, 1.0, 0.58)
    assert front / 2 * STANDARD_GRAVITY.value == pytest.approx(2349, rel=1e-3)


def test_load_behind_the_rear_axle():
    rear = rear_axle_mass_change(200.0, 2.6, 3.1)
    front = front_axle_mass_change(200.0, 2.6, 3.1)
    assert rear == pytest.approx(238.5, abs=0.1)
    assert front == pytest.approx(-38.5, abs=0.1)
    assert rear != pytest.approx(200.0, rel=0.1)  # the rear axle carries more than was added


def test_many_masses():
    """Adding a mass and weighing again agree."""
    masses, places = [2300.0, 200.0], [1.3, 3.1]
    together = mean_position(masses, places)
    rear = rear_axle_mass(total_mass(masses), 2.6, together)
    assert rear == pytest.approx(2300.0 * 1.3 / 2.6 + rear_axle_mass_change(200.0, 2.6, 3.1))
    with pytest.raises(ValueError, match="zip"):
        mean_position(masses, [1.3])
