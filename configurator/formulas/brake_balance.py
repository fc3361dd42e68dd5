"""Brake balance: how the axles are loaded while braking, and which wheels lock first.

A rear axle that locks first spins the vehicle round. These figures compare packages; they are no
approval, and a changed brake system is tested on the road by people licensed to do it.
"""

from __future__ import annotations

import numpy as np

from configurator.formulas.constants import STANDARD_GRAVITY, Number


def front_axle_braking_load(
    mass: Number,
    wheelbase: Number,
    cg_to_rear_axle: Number,
    cg_height: Number,
    deceleration: Number,
) -> Number:
    """Load on the front axle while braking.

    Parameters
    ----------
    mass : float
        Mass of the vehicle [kg].
    wheelbase : float
        Distance between the axles [m].
    cg_to_rear_axle : float
        Distance from the centre of gravity to the rear axle [m].
    cg_height : float
        Height of the centre of gravity above the ground [m].
    deceleration : float
        Deceleration, nought at rest [m/s**2].

    Returns
    -------
    float
        Force of the front axle on the ground [N].

    Notes
    -----
    Level road; pitch, air and hanging loads are left out. Holds until the rear axle lifts.

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, 1992, ch. 3; UN R13-H annex 5 (both from
       memory).

    Examples
    --------
    >>> round(front_axle_braking_load(2500.0, 2.6, 1.2, 0.8, 0.8 * 9.80665))
    17350
    """
    weight = mass * STANDARD_GRAVITY.beside(mass)
    return (weight * cg_to_rear_axle + mass * deceleration * cg_height) / wheelbase


def rear_axle_braking_load(
    mass: Number,
    wheelbase: Number,
    cg_to_rear_axle: Number,
    cg_height: Number,
    deceleration: Number,
) -> Number:
    """Load on the rear axle while braking.

    Parameters
    ----------
    mass : float
        Mass of the vehicle [kg].
    wheelbase : float
        Distance between the axles [m].
    cg_to_rear_axle : float
        Distance from the centre of gravity to the rear axle [m].
    cg_height : float
        Height of the centre of gravity above the ground [m].
    deceleration : float
        Deceleration, nought at rest [m/s**2].

    Returns
    -------
    float
        Force of the rear axle on the ground, below nought once it has lifted [N].

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, 1992, ch. 3; UN R13-H annex 5 (both from
       memory).

    Examples
    --------
    >>> round(rear_axle_braking_load(2500.0, 2.6, 1.2, 0.8, 0.8 * 9.80665))
    7166
    """
    weight = mass * STANDARD_GRAVITY.beside(mass)
    cg_behind_front_axle = wheelbase - cg_to_rear_axle
    return (weight * cg_behind_front_axle - mass * deceleration * cg_height) / wheelbase


def ideal_front_share(
    wheelbase: Number, cg_to_rear_axle: Number, cg_height: Number, deceleration: Number
) -> Number:
    """Share of the braking force at the front with which both axles use the same grip.

    Parameters
    ----------
    wheelbase : float
        Distance between the axles [m].
    cg_to_rear_axle : float
        Distance from the centre of gravity to the rear axle [m].
    cg_height : float
        Height of the centre of gravity above the ground [m].
    deceleration : float
        Deceleration [m/s**2].

    Returns
    -------
    float
        Front share of the braking force [-].

    Notes
    -----
    It grows with deceleration, so a fixed split fits at one deceleration only.

    References
    ----------
    .. [1] Limpert, Brake Design and Safety, 3rd ed., ch. 7 (from memory).

    Examples
    --------
    >>> round(ideal_front_share(2.6, 1.2, 0.8, 0.8 * 9.80665), 3)
    0.708
    """
    rate = deceleration / STANDARD_GRAVITY.beside(deceleration)
    return (cg_to_rear_axle + rate * cg_height) / wheelbase


def front_adhesion_used(
    front_force: Number,
    rear_force: Number,
    mass: Number,
    wheelbase: Number,
    cg_to_rear_axle: Number,
    cg_height: Number,
) -> Number:
    """Grip that the front axle uses, f1: its braking force over its load.

    Parameters
    ----------
    front_force : float
        Braking force of the front axle [N].
    rear_force : float
        Braking force of the rear axle [N].
    mass : float
        Mass of the vehicle [kg].
    wheelbase : float
        Distance between the axles [m].
    cg_to_rear_axle : float
        Distance from the centre of gravity to the rear axle [m].
    cg_height : float
        Height of the centre of gravity above the ground [m].

    Returns
    -------
    float
        Friction that the ground must give for the front wheels not to lock [-].

    Notes
    -----
    The load is the one while braking, not the one at rest.

    References
    ----------
    .. [1] 49 CFR 571.135 S7.4.4(f) (2015), T1/(P1 + z h P/E); UN R13-H annex 5 (from memory).

    Examples
    --------
    >>> round(front_adhesion_used(9000.0, 3000.0, 2500.0, 2.6, 1.2, 0.8), 3)
    0.6
    """
    deceleration = (front_force + rear_force) / mass
    load = front_axle_braking_load(mass, wheelbase, cg_to_rear_axle, cg_height, deceleration)
    return front_force / load


def rear_adhesion_used(
    front_force: Number,
    rear_force: Number,
    mass: Number,
    wheelbase: Number,
    cg_to_rear_axle: Number,
    cg_height: Number,
) -> Number:
    """Grip that the rear axle uses, f2: its braking force over its load.

    Parameters
    ----------
    front_force : float
        Braking force of the front axle [N].
    rear_force : float
        Braking force of the rear axle [N].
    mass : float
        Mass of the vehicle [kg].
    wheelbase : float
        Distance between the axles [m].
    cg_to_rear_axle : float
        Distance from the centre of gravity to the rear axle [m].
    cg_height : float
        Height of the centre of gravity above the ground [m].

    Returns
    -------
    float
        Friction that the ground must give for the rear wheels not to lock [-].

    References
    ----------
    .. [1] 49 CFR 571.135 S7.4.4(g) (2015), T2/(P2 - z h P/E); UN R13-H annex 5 (from memory).

    Examples
    --------
    >>> round(rear_adhesion_used(9000.0, 3000.0, 2500.0, 2.6, 1.2, 0.8), 3)
    0.315
    """
    deceleration = (front_force + rear_force) / mass
    load = rear_axle_braking_load(mass, wheelbase, cg_to_rear_axle, cg_height, deceleration)
    return rear_force / load


def equal_adhesion_deceleration(
    front_share: Number, wheelbase: Number, cg_to_rear_axle: Number, cg_height: Number
) -> Number:
    """Deceleration up to which the front locks first, with a fixed split.

    Parameters
    ----------
    front_share : float
        Front share of the braking force [-].
    wheelbase : float
        Distance between the axles [m].
    cg_to_rear_axle : float
        Distance from the centre of gravity to the rear axle [m].
    cg_height : float
        Height of the centre of gravity above the ground [m].

    Returns
    -------
    float
        Deceleration at which both axles use the same grip [m/s**2].

    Notes
    -----
    Below it the front locks first, above it the rear. No pressure-limiting valve, no anti-lock.

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, 1992, ch. 3 (from memory).

    Examples
    --------
    >>> round(equal_adhesion_deceleration(0.7077, 2.6, 1.2, 0.8) / 9.80665, 2)
    0.8
    """
    gravity = STANDARD_GRAVITY.beside(wheelbase)
    return gravity * (front_share * wheelbase - cg_to_rear_axle) / cg_height


def adhesion_utilisation_margin(
    front_share: Number, wheelbase: Number, cg_to_rear_axle: Number, cg_height: Number
) -> Number:
    """How far the braking rate stays above what UN R13-H asks where the front axle locks first.

    Parameters
    ----------
    front_share : float
        Front share of the braking force [-].
    wheelbase : float
        Distance between the axles [m].
    cg_to_rear_axle : float
        Distance from the centre of gravity to the rear axle [m].
    cg_height : float
        Height of the centre of gravity above the ground [m].

    Returns
    -------
    float
        Least of z - (0.1 + 0.7 (k - 0.2)) for k from 0.2 to 0.8; below nought the rear brakes do
        too little [-].

    Notes
    -----
    With the front axle at the grip k the braking rate is z = k b / (s L - k h), which bends
    upwards: its distance from the line is least where the slopes agree, or at an end.

    References
    ----------
    .. [1] UN Regulation No. 13-H, annex 5, 3.1 (from memory).

    Examples
    --------
    >>> round(float(adhesion_utilisation_margin(0.75, 2.81, 1.17, 0.72)), 3)
    0.015
    """
    balance = front_share * wheelbase
    bend = (balance - (cg_to_rear_axle * balance / 0.7) ** 0.5) / cg_height
    grip = np.minimum(np.maximum(bend, 0.2), 0.8)
    rate = grip * cg_to_rear_axle / (balance - grip * cg_height)
    return rate - (0.1 + 0.7 * (grip - 0.2))
