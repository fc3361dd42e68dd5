"""Springs: rates at the wheel, and the frequencies that follow from them.

One corner at a time (quarter car). A motion ratio is travel at the spring or damper over travel
at the wheel.
"""

from __future__ import annotations

import numpy as np

from configurator.formulas.constants import STANDARD_GRAVITY, Number


def wheel_rate(spring_rate: Number, motion_ratio: Number) -> Number:
    """Rate of a spring as the wheel feels it.

    Parameters
    ----------
    spring_rate : float
        Rate of the spring [N/m].
    motion_ratio : float
        Spring travel over wheel travel [-].

    Returns
    -------
    float
        Rate at the wheel [N/m].

    Notes
    -----
    The ratio counts twice: once for the force, once for the travel.

    References
    ----------
    .. [1] Milliken & Milliken, Race Car Vehicle Dynamics, 1995, ch. 16 (from memory).

    Examples
    --------
    >>> round(wheel_rate(25000.0, 0.6), 6)
    9000.0
    """
    return spring_rate * motion_ratio**2


def ride_rate(wheel_rate: Number, tyre_rate: Number) -> Number:
    """Rate of suspension and tyre, one behind the other.

    Parameters
    ----------
    wheel_rate : float
        Rate of the spring at the wheel [N/m].
    tyre_rate : float
        Vertical rate of the tyre [N/m].

    Returns
    -------
    float
        Ride rate [N/m].

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, 1992, ch. 5 (from memory).

    Examples
    --------
    >>> round(ride_rate(30000.0, 300000.0))
    27273
    """
    return wheel_rate * tyre_rate / (wheel_rate + tyre_rate)


def ride_frequency(rate: Number, sprung_mass: Number) -> Number:
    """Frequency at which the body bounces on one corner.

    Parameters
    ----------
    rate : float
        Wheel rate for the figure without the tyre, ride rate for the one with it [N/m].
    sprung_mass : float
        Sprung mass on the corner [kg].

    Returns
    -------
    float
        Undamped frequency [Hz].

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, 1992, ch. 5 (from memory).

    Examples
    --------
    >>> round(float(ride_frequency(30000.0, 500.0)), 3)
    1.233
    """
    return np.sqrt(rate / sprung_mass) / (2.0 * np.pi)


def static_deflection(sprung_mass: Number, rate: Number) -> Number:
    """How far a corner settles under its sprung mass.

    Parameters
    ----------
    sprung_mass : float
        Sprung mass on the corner [kg].
    rate : float
        Rate at the wheel [N/m].

    Returns
    -------
    float
        Static deflection [m].

    Notes
    -----
    A rate that stays the same over the travel.

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, 1992, ch. 5 (from memory).

    Examples
    --------
    >>> round(static_deflection(500.0, 30000.0) * 1e3, 1)
    163.4
    """
    return sprung_mass * STANDARD_GRAVITY.beside(sprung_mass) / rate


def ride_frequency_from_deflection(static_deflection: Number) -> Number:
    """Frequency at which the body bounces, from how far it settles.

    Parameters
    ----------
    static_deflection : float
        Static deflection [m].

    Returns
    -------
    float
        Undamped frequency [Hz].

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, 1992, ch. 5 (from memory).

    Examples
    --------
    >>> round(float(ride_frequency_from_deflection(0.100)), 3)
    1.576
    """
    gravity = STANDARD_GRAVITY.beside(static_deflection)
    return np.sqrt(gravity / static_deflection) / (2.0 * np.pi)


def wheel_hop_frequency(wheel_rate: Number, tyre_rate: Number, unsprung_mass: Number) -> Number:
    """Frequency at which a wheel hops between road and body.

    Parameters
    ----------
    wheel_rate : float
        Rate of the spring at the wheel [N/m].
    tyre_rate : float
        Vertical rate of the tyre [N/m].
    unsprung_mass : float
        Unsprung mass of the corner [kg].

    Returns
    -------
    float
        Undamped frequency [Hz].

    Notes
    -----
    The body stands still meanwhile, so spring and tyre act side by side.

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, 1992, ch. 5 (from memory).

    Examples
    --------
    >>> round(float(wheel_hop_frequency(20630.0, 300000.0, 40.0)), 2)
    14.25
    """
    return np.sqrt((wheel_rate + tyre_rate) / unsprung_mass) / (2.0 * np.pi)
