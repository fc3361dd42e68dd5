"""Stability of the rigid vehicle, worked out apart from this program.

Sources: static stability factor, 68 FR 59249 (half the track over the height); tip angles by
moments, Gillespie ch. 1 (from memory); axle lift, ISO 10392 (from memory). Factors rounded to
four places, angles to 0.01 degree, heights to 0.1 mm; tolerance half a step or one.
"""

import numpy as np
import pytest

from configurator.formulas.stability import (
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
