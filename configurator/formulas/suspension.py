"""Springs and dampers: rates at the wheel, frequencies, damping and travel.

One corner at a time (quarter car). A motion ratio is travel at the spring or damper over travel
at the wheel.
"""

from __future__ import annotations

import numpy as np

from configurator.formulas.constants import STANDARD_GRAVITY, Number


def coil_rate(
    shear_modulus: Number, wire_diameter: Number, mean_diameter: Number, active_coils: Number
) -> Number:
    """Rate of a coil spring of round wire.

    Parameters
    ----------
    shear_modulus : float
        Shear modulus of the wire [Pa].
    wire_diameter : float
        Diameter of the wire [m].
    mean_diameter : float
        Diameter of the coil, middle of the wire to middle of the wire [m].
    active_coils : float
        Coils that are free to move [-].

    Returns
    -------
    float
        Rate of the spring [N/m].

    Notes
    -----
    Cylindrical coil, constant pitch, small coil angle.

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, 10th ed., eq. 10-9; EN
       13906-1 (both from memory).

    Examples
    --------
    >>> round(coil_rate(79.3e9, 0.015, 0.120, 8.0) / 1e3, 1)
    36.3
    """
    return shear_modulus * wire_diameter**4 / (8.0 * active_coils * mean_diameter**3)


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
