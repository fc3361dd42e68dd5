"""Torque on its way from the engine to the wheels, and what a shaft bears of it."""

from __future__ import annotations

import numpy as np

from configurator.formulas.constants import Number


def geared_torque(torque: Number, ratio: Number, efficiency: Number) -> Number:
    """Torque behind a gear stage or several: gearbox, transfer case, final drive, hub.

    Parameters
    ----------
    torque : float
        Torque ahead of the stage [N m].
    ratio : float
        Ratio of the stage, or the product of several [-].
    efficiency : float
        Share of the power that comes through, 1 for the torque that parts must bear at most [-].

    Returns
    -------
    float
        Torque behind the stage [N m].

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, ch. 2 (chapter from memory).

    Examples
    --------
    From the engine to the ring gear, through 4.46, 2.72 and 4.10:

    >>> round(geared_torque(400.0, 4.46 * 2.72 * 4.10, 0.9))
    17906
    """
    return torque * ratio * efficiency


def driveshaft_torque(
    engine_torque: Number, gearbox: Number, transfer: Number, efficiency: Number
) -> Number:
    """Torque in the driveshafts together, behind gearbox and transfer case.

    Parameters
    ----------
    engine_torque : float
        Engine torque, times the converter's ratio where there is one [N m].
    gearbox : float
        Ratio of the gearbox [-].
    transfer : float
        Ratio of the transfer case [-].
    efficiency : float
        Share of the power that comes through both [-].

    Returns
    -------
    float
        Torque behind the transfer case [N m].

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, ch. 2 (chapter from memory).

    Examples
    --------
    >>> round(driveshaft_torque(400.0, 4.46, 2.72, 1.0))
    4852
    """
    return geared_torque(engine_torque, gearbox * transfer, efficiency)


def ring_gear_torque(
    driveshaft_torque: Number, axle_share: Number, final_drive: Number, efficiency: Number
) -> Number:
    """Torque at the ring gear of one axle, as far as the engine can give it.

    Parameters
    ----------
    driveshaft_torque : float
        Torque behind the transfer case [N m].
    axle_share : float
        Share that goes to this axle; 1 with the centre locked and the other axle without grip [-].
    final_drive : float
        Ratio of the final drive [-].
    efficiency : float
        Share of the power that comes through the final drive [-].

    Returns
    -------
    float
        Torque at the ring gear [N m].

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, ch. 2 (chapter from memory).

    Examples
    --------
    >>> round(ring_gear_torque(4852.48, 1.0, 4.10, 0.9))
    17906
    """
    return geared_torque(driveshaft_torque * axle_share, final_drive, efficiency)


def half_shaft_torque(ring_gear_torque: Number, side_share: Number) -> Number:
    """Torque in one half-shaft, as far as the engine can give it.

    Parameters
    ----------
    ring_gear_torque : float
        Torque at the ring gear [N m].
    side_share : float
        Share that goes to this side: 0.5 with an open differential, up to 1 when locked [-].

    Returns
    -------
    float
        Torque in the half-shaft [N m].

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, ch. 2 (chapter from memory).

    Examples
    --------
    >>> round(half_shaft_torque(17906.0, 0.5))
    8953
    """
    return ring_gear_torque * side_share


def grip_limited_wheel_torque(
    friction: Number, wheel_load: Number, rolling_radius: Number
) -> Number:
    """Torque at a wheel at which its tyre spins.

    Parameters
    ----------
    friction : float
        Coefficient of friction between tyre and ground [-].
    wheel_load : float
        Load on the wheel; on the axle for the torque of both wheels [N].
    rolling_radius : float
        Radius at which the ground pulls: rolling or, more cautious, free radius [m].

    Returns
    -------
    float
        Torque at the wheel [N m].

    Notes
    -----
    A wheel wedged between rocks can take more than friction gives.

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, ch. 2 (chapter from memory).

    Examples
    --------
    >>> round(grip_limited_wheel_torque(1.0, 6129.2, 0.415))
    2544
    """
    return friction * wheel_load * rolling_radius


def torque_ahead_of_hub(wheel_torque: Number, hub: Number) -> Number:
    """Torque that a wheel's torque asks of the half-shaft ahead of a geared hub reduction.

    Parameters
    ----------
    wheel_torque : float
        Torque at the wheel [N m].
    hub : float
        Ratio of the geared hub reduction, 1 without one [-].

    Returns
    -------
    float
        Torque in the half-shaft [N m].

    Notes
    -----
    Losses in the hub left out, as they are for every torque that a part must bear.

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, ch. 2 (chapter from memory).

    Examples
    --------
    >>> round(torque_ahead_of_hub(2544.0, 1.25))
    2035
    """
    return wheel_torque / hub


def torque_relief(hub: Number) -> Number:
    """Share by which a geared hub reduction lowers the torque ahead of it.

    Parameters
    ----------
    hub : float
        Ratio of the geared hub reduction [-].

    Returns
    -------
    float
        Share of the wheel's torque that the parts ahead of the hub are spared [-].

    Notes
    -----
    Not the share by which it gears down: a ratio of 1.25 spares 20 %, not 25 %.

    References
    ----------
    .. [1] Follows from half-shaft torque = wheel torque / hub ratio.

    Examples
    --------
    >>> round(torque_relief(1.25), 3)
    0.2
    """
    return 1 - 1 / hub


def counted_torque(engine_limited: Number, grip_limited: Number) -> Number:
    """Torque that a part is held against: the smaller of the two limits.

    Parameters
    ----------
    engine_limited : float
        Torque that the engine can give at this place [N m].
    grip_limited : float
        Torque at this place at which the tyre spins [N m].

    Returns
    -------
    float
        Torque that counts [N m].

    References
    ----------
    .. [1] Common practice, no source.

    Examples
    --------
    >>> f"{counted_torque(8953.0, 2035.0):.0f}"
    '2035'
    """
    return np.minimum(engine_limited, grip_limited)
