"""Stability of the rigid vehicle, worked out apart from this program.

Sources: static stability factor, 68 FR 59249 (half the track over the height); tip angles by
moments, Gillespie ch. 1 (from memory); axle lift, ISO 10392 (from memory). Factors rounded to
four places, angles to 0.01 degree, heights to 0.1 mm; tolerance half a step or one.
"""

import numpy as np
import pytest

from configurator.formulas.mass import mean_position
from configurator.formulas.stability import (
    cg_height_by_axle_lift,
    cg_height_change,
    downhill_tip_angle,
    side_tip_angle,
    static_stability_factor,
    uphill_tip_angle,
)


@pytest.mark.parametrize(
    ("track", "height", "factor", "angle"),
    [(1.60, 0.75, 1.0667, 46.85), (1.60, 0.85, 0.9412, 43.26), (1.70, 0.85, 1.0, 45.0)],
)
def test_factor_and_angle(track, height, factor, angle):
    assert static_stability_factor(track, height) == pytest.approx(factor, abs=5e-5)
    assert np.degrees(side_tip_angle(track, height)) == pytest.approx(angle, abs=0.01)


def test_light_four_wheel_drives_lie_between_1_0_and_1_25():
    """Plausibility, from memory: published factors of light four-wheel drives."""
    assert 1.0 <= static_stability_factor(1.50, 0.68) <= 1.25


def test_longitudinal_tip():
    assert np.degrees(uphill_tip_angle(1.20, 0.85)) == pytest.approx(54.69, abs=0.01)
    assert np.degrees(downhill_tip_angle(1.20, 0.85)) == pytest.approx(54.69, abs=0.01)


def test_lift_and_taller_tyres():
    """2,300 kg with 1,800 kg sprung up 100 mm, all up another 40 mm: 78.3 + 40 = 118.3 mm."""
    lift = cg_height_change(2300.0, 1800.0, 0.100)
    tyres = cg_height_change(2300.0, 2300.0, 0.040)
    assert lift * 1e3 == pytest.approx(78.3, abs=0.05)
    assert (lift + tyres) * 1e3 == pytest.approx(118.3, abs=0.05)
    before = mean_position([1800.0, 500.0], [0.80, 0.40])
    after = mean_position([1800.0, 500.0], [0.94, 0.44])
    assert after - before == pytest.approx(lift + tyres)
    # The whole lift is not the rise of the centre of gravity.
    assert lift + tyres != pytest.approx(0.140, rel=0.1)


def test_axle_lift():
    height = cg_height_by_axle_lift(2500.0, 2.6, 120.0, np.radians(15.0), 0.4)
    assert height == pytest.approx(0.866, abs=5e-4)
    with_sine = 0.4 + 120.0 * 2.6 / (2500.0 * np.sin(np.radians(15.0)))
    assert with_sine != pytest.approx(0.866, abs=5e-3)


def test_axle_lift_finds_a_known_height():
    """A body with its centre of gravity placed by hand, turned by rotation, weighed by moments."""
    wheelbase, back, height, radius, mass, angle = 2.7, 1.3, 0.83, 0.41, 2100.0, np.radians(12.0)
    # Front axle lifted: wheel centres and cg turned about the rear wheel centre.
    lever = (wheelbase - back) * np.cos(angle) - (height - radius) * np.sin(angle)
    front = mass * lever / (wheelbase * np.cos(angle))
    shifted = mass * (wheelbase - back) / wheelbase - front
    found = cg_height_by_axle_lift(mass, wheelbase, shifted, angle, radius)
    assert found == pytest.approx(height, rel=1e-12)
