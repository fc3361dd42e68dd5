"""Springs and dampers by the textbook formulas, worked out apart from this program.

Sources (from memory): Gillespie, Fundamentals of Vehicle Dynamics, ch. 5; Dixon, The Shock
Absorber Handbook, 2nd ed., ch. 1. The 40 kg wheel at 14.25 Hz is a published worked example.
Figures rounded to three or four places: tolerance 0.1 %.
"""

import numpy as np
import pytest

from configurator.core.units import to_si
from configurator.formulas.dampers import (
    critical_damping,
    damper_rate_needed,
    damper_travel,
    damping_ratio,
    ride_length,
    ride_length_at_share,
    usable_bump,
    usable_droop,
    wheel_damping,
)
from configurator.formulas.springs import (
    ride_frequency,
    ride_frequency_from_deflection,
    ride_rate,
    static_deflection,
    wheel_hop_frequency,
    wheel_rate,
)


def test_wheel_hop():
    assert wheel_hop_frequency(20630.0, 300e3, 40.0) == pytest.approx(14.25, rel=1e-3)


def test_hub_reductions_slow_the_wheel_down():
    """35 kg more at the wheel: 14.25 to 10.41 Hz, down 27 %."""
    before = wheel_hop_frequency(20630.0, 300e3, 40.0)
    after = wheel_hop_frequency(20630.0, 300e3, 75.0)
    assert after == pytest.approx(10.41, rel=1e-3)
    assert 1 - after / before == pytest.approx(0.27, abs=0.005)


def test_springs_in_series_are_not_the_wheel_hop():
    in_series = ride_frequency(ride_rate(20630.0, 300e3), 40.0)
    assert in_series != pytest.approx(14.25, rel=0.5)


@pytest.mark.parametrize(("deflection", "frequency"), [(to_si(9.8, "in"), 0.999), (0.100, 1.576)])
def test_frequency_from_static_deflection(deflection, frequency):
    assert ride_frequency_from_deflection(deflection) == pytest.approx(frequency, rel=1e-3)


def test_both_ways_to_the_frequency_agree():
    settled = static_deflection(500.0, 30000.0)
    from_rate = ride_frequency(30000.0, 500.0)
    assert ride_frequency_from_deflection(settled) == pytest.approx(from_rate, rel=1e-12)


def test_motion_ratio_counts_twice():
    rate = wheel_rate(25000.0, 0.6)
    assert rate == pytest.approx(9000.0)
    assert ride_frequency(rate, 500.0) == pytest.approx(0.675, rel=1e-3)
    assert critical_damping(rate, 500.0) == pytest.approx(4243, rel=1e-3)
    needed = damper_rate_needed(0.3, rate, 500.0, 0.7)
    assert needed == pytest.approx(2598, rel=1e-3)
    assert damping_ratio(wheel_damping(needed, 0.7), rate, 500.0) == pytest.approx(0.3)
    assert ride_frequency(25000.0 * 0.6, 500.0) != pytest.approx(0.675, rel=0.1)


def test_tyre_softens_the_ride():
    assert ride_frequency(30e3, 500.0) == pytest.approx(1.233, rel=1e-3)
    assert ride_frequency(ride_rate(30e3, 300e3), 500.0) == pytest.approx(1.175, rel=1e-3)
    assert critical_damping(30e3, 500.0) == pytest.approx(7746, rel=1e-3)


@pytest.mark.parametrize("unsprung", [40.0, 75.0])
def test_against_the_two_masses_moving_together(unsprung):
    """Eigenvalues of the quarter car (numpy): the two simple formulas hold within 1 % here.

    Ride rate neglects the unsprung mass, wheel hop the motion of the body; the coupling is of
    the order (wheel rate / tyre rate)^2 and mass ratio times rate ratio, under 1 % for both.
    """
    spring, tyre, sprung = 20630.0, 300e3, 500.0
    stiffness = np.array([[spring, -spring], [-spring, spring + tyre]])
    masses = np.diag([1 / sprung, 1 / unsprung])
    squares = np.sort(np.linalg.eigvals(masses @ stiffness).real)
    ride, hop = np.sqrt(squares) / (2 * np.pi)
    assert ride_frequency(ride_rate(spring, tyre), sprung) == pytest.approx(ride, rel=0.01)
    assert wheel_hop_frequency(spring, tyre, unsprung) == pytest.approx(hop, rel=0.01)


def test_damper_lengths():
    """350 to 560 mm: 210 mm travel, 455 mm in the middle; exact."""
    assert damper_travel(0.560, 0.350) == pytest.approx(0.210)
    middle = ride_length_at_share(0.560, 0.350, 0.5)
    assert middle == pytest.approx(0.455)
    assert usable_bump(middle, 0.350, 0.0) == pytest.approx(usable_droop(0.560, middle))


def test_a_lift_trades_droop_for_bump():
    after = ride_length(0.455, 0.050, 1.0)
    assert usable_droop(0.560, after) == pytest.approx(0.055)
    assert usable_bump(after, 0.350, 0.020) == pytest.approx(0.135)
