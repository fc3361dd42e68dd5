"""Dampers: damping at the wheel, and the travel that their lengths leave.

One corner at a time (quarter car). A motion ratio is travel at the spring or damper over travel
at the wheel.
"""

from __future__ import annotations

import numpy as np

from configurator.formulas.constants import Number


def wheel_damping(damper_rate: Number, motion_ratio: Number) -> Number:
    """Damping of a shock absorber as the wheel feels it.

    Parameters
    ----------
    damper_rate : float
        Force over speed at the damper [N*s/m].
    motion_ratio : float
        Damper travel over wheel travel [-].

    Returns
    -------
    float
        Damping at the wheel [N*s/m].

    Notes
    -----
    Real dampers differ in bump and rebound and with speed; take the mean of the two.

    References
    ----------
    .. [1] Dixon, The Shock Absorber Handbook, 2nd ed., ch. 1 (from memory).

    Examples
    --------
    >>> round(wheel_damping(2598.0, 0.7))
    1273
    """
    return damper_rate * motion_ratio**2


def critical_damping(rate: Number, sprung_mass: Number) -> Number:
    """Damping at which the body comes to rest without swinging back.

    Parameters
    ----------
    rate : float
        Rate at the wheel [N/m].
    sprung_mass : float
        Sprung mass on the corner [kg].

    Returns
    -------
    float
        Critical damping at the wheel [N*s/m].

    References
    ----------
    .. [1] Dixon, The Shock Absorber Handbook, 2nd ed., ch. 1 (from memory).

    Examples
    --------
    >>> round(float(critical_damping(9000.0, 500.0)))
    4243
    """
    return 2.0 * np.sqrt(rate * sprung_mass)


def damping_ratio(wheel_damping: Number, rate: Number, sprung_mass: Number) -> Number:
    """Damping of a corner as a share of the critical one.

    Parameters
    ----------
    wheel_damping : float
        Damping at the wheel [N*s/m].
    rate : float
        Rate at the wheel [N/m].
    sprung_mass : float
        Sprung mass on the corner [kg].

    Returns
    -------
    float
        Damping ratio [-].

    Notes
    -----
    Between 0.25 and 0.4 is comfortable on rough ground: common practice, no source.

    References
    ----------
    .. [1] Dixon, The Shock Absorber Handbook, 2nd ed., ch. 1 (from memory).

    Examples
    --------
    >>> round(float(damping_ratio(1273.0, 9000.0, 500.0)), 2)
    0.3
    """
    return wheel_damping / critical_damping(rate, sprung_mass)


def damper_rate_needed(
    damping_ratio: Number, rate: Number, sprung_mass: Number, motion_ratio: Number
) -> Number:
    """Force over speed that a damper must give for a damping ratio.

    Parameters
    ----------
    damping_ratio : float
        Damping ratio wanted [-].
    rate : float
        Rate at the wheel [N/m].
    sprung_mass : float
        Sprung mass on the corner [kg].
    motion_ratio : float
        Damper travel over wheel travel [-].

    Returns
    -------
    float
        Force over speed at the damper [N*s/m].

    References
    ----------
    .. [1] Dixon, The Shock Absorber Handbook, 2nd ed., ch. 1 (from memory).

    Examples
    --------
    >>> round(float(damper_rate_needed(0.3, 9000.0, 500.0, 0.7)))
    2598
    """
    return damping_ratio * critical_damping(rate, sprung_mass) / motion_ratio**2


def damper_travel(open_length: Number, closed_length: Number) -> Number:
    """Whole travel of a shock absorber.

    Parameters
    ----------
    open_length : float
        Length pulled out, eye to eye [m].
    closed_length : float
        Length pushed in, eye to eye [m].

    Returns
    -------
    float
        Travel [m].

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(damper_travel(0.560, 0.350), 3)
    0.21
    """
    return open_length - closed_length


def ride_length_at_share(open_length: Number, closed_length: Number, bump_share: Number) -> Number:
    """Length of a shock absorber at which a share of its travel is left for bump.

    Parameters
    ----------
    open_length : float
        Length pulled out, eye to eye [m].
    closed_length : float
        Length pushed in, eye to eye [m].
    bump_share : float
        Share of the travel left for bump, one half for the middle [-].

    Returns
    -------
    float
        Length at ride height, eye to eye [m].

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(ride_length_at_share(0.560, 0.350, 0.5), 4)
    0.455
    """
    return closed_length + bump_share * damper_travel(open_length, closed_length)


def ride_length(length_before: Number, lift: Number, motion_ratio: Number) -> Number:
    """Length of the room for a shock absorber at ride height, after a lift.

    Parameters
    ----------
    length_before : float
        Length at ride height before, eye to eye [m].
    lift : float
        How far the body was lifted above the axle [m].
    motion_ratio : float
        Damper travel over wheel travel [-].

    Returns
    -------
    float
        Length at ride height, eye to eye [m].

    Notes
    -----
    A drop at the hubs lifts axle and body together and changes nothing here.

    References
    ----------
    .. [1] Geometry, for lifts that are small beside the damper's length.

    Examples
    --------
    >>> round(ride_length(0.455, 0.050, 0.9), 4)
    0.5
    """
    return length_before + lift * motion_ratio


def usable_bump(ride_length: Number, closed_length: Number, bump_stop_left: Number) -> Number:
    """Travel into bump that a shock absorber has left before it bottoms.

    Parameters
    ----------
    ride_length : float
        Length at ride height, eye to eye [m].
    closed_length : float
        Length pushed in, eye to eye [m].
    bump_stop_left : float
        Length that must be left when the bump stop is pressed flat [m].

    Returns
    -------
    float
        Travel at the damper, below nought if it bottoms before the bump stop [m].

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(usable_bump(0.455, 0.350, 0.020), 3)
    0.085
    """
    return ride_length - closed_length - bump_stop_left


def usable_droop(open_length: Number, ride_length: Number) -> Number:
    """Travel into droop that a shock absorber has left before it tops out.

    Parameters
    ----------
    open_length : float
        Length pulled out, eye to eye [m].
    ride_length : float
        Length at ride height, eye to eye [m].

    Returns
    -------
    float
        Travel at the damper [m].

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(usable_droop(0.560, 0.455), 3)
    0.105
    """
    return open_length - ride_length


def wheel_travel(damper_travel: Number, motion_ratio: Number) -> Number:
    """Travel of the wheel for a travel of the damper.

    Parameters
    ----------
    damper_travel : float
        Travel at the damper [m].
    motion_ratio : float
        Damper travel over wheel travel [-].

    Returns
    -------
    float
        Travel at the wheel [m].

    References
    ----------
    .. [1] Definition of the motion ratio.

    Examples
    --------
    >>> round(wheel_travel(0.084, 0.7), 3)
    0.12
    """
    return damper_travel / motion_ratio
