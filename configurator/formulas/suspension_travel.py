"""Suspension travel: what an axle turns, draws and loosens on its way between bump and droop.

Lengths are taken from where the axle stood when the vehicle was measured, downwards.
"""

from __future__ import annotations

import numpy as np

from configurator.formulas.constants import Number


def axle_turn(travel: Number, swing_arm: Number) -> Number:
    """Turn of a solid axle, seen from the side, when it moves against the body.

    Parameters
    ----------
    travel : float
        How far the axle moves down against the body [m].
    swing_arm : float
        Side-view swing arm: from the axle line to the point that it turns about, along the
        level [m].

    Returns
    -------
    float
        Turn of the axle [rad].

    Notes
    -----
    Radius arms turn with the axle about their bush on the frame. The pinion, which points at the
    same bush, goes up as the axle drops; in front the kingpins' upper ends go forward (less
    caster). Upper and lower links of the same length and slope hardly turn the axle: their swing
    arm is very long.

    References
    ----------
    .. [1] Milliken & Milliken, Race Car Vehicle Dynamics, 1995, ch. 17, side view swing arm (from
       memory).

    Examples
    --------
    >>> round(float(np.degrees(axle_turn(0.050, 0.900))), 2)
    3.18
    """
    return np.arctan(travel / swing_arm)


def spring_length(free_length: Number, load: Number, rate: Number) -> Number:
    """Length of a spring under a load.

    Parameters
    ----------
    free_length : float
        Its length without load [m].
    load : float
        Load on the spring itself [N].
    rate : float
        Its rate [N/m].

    Returns
    -------
    float
        Length under load [m].

    References
    ----------
    .. [1] Hooke's law.

    Examples
    --------
    >>> round(spring_length(0.455, 4500.0, 25000.0), 3)
    0.275
    """
    return free_length - load / rate


def seat_gap(standing_length: Number, travel: Number, motion_ratio: Number) -> Number:
    """Gap between the seats of a spring once the axle has moved down.

    Parameters
    ----------
    standing_length : float
        Length of the spring where the travel begins [m].
    travel : float
        How far the axle moves down [m].
    motion_ratio : float
        Spring travel over axle travel [-].

    Returns
    -------
    float
        Gap between the seats; a coil whose free length is shorter lies loose [m].

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(seat_gap(0.275, 0.183, 1.0), 3)
    0.458
    """
    return standing_length + travel * motion_ratio


def load_on_spring(wheel_load: Number, motion_ratio: Number) -> Number:
    """Load on a spring that holds up a load at the wheel.

    Parameters
    ----------
    wheel_load : float
        Load at the wheel, what is below the springs left out [N].
    motion_ratio : float
        Spring travel over wheel travel [-].

    Returns
    -------
    float
        Load on the spring [N].

    Notes
    -----
    Virtual work: the spring that moves less carries more.

    References
    ----------
    .. [1] Milliken & Milliken, Race Car Vehicle Dynamics, 1995, ch. 16 (from memory).

    Examples
    --------
    >>> load_on_spring(3000.0, 0.6)
    5000.0
    """
    return wheel_load / motion_ratio


def sag(added_load: Number, rate: Number, motion_ratio: Number) -> Number:
    """How far a body sinks on a spring that carries more than it did.

    Parameters
    ----------
    added_load : float
        Load on the spring itself beyond what it carried [N].
    rate : float
        Its rate [N/m].
    motion_ratio : float
        Spring travel over wheel travel [-].

    Returns
    -------
    float
        Way of the body against the wheel [m].

    References
    ----------
    .. [1] Hooke's law.

    Examples
    --------
    >>> round(sag(300.0, 30_000.0, 0.8), 4)
    0.0125
    """
    return added_load / rate / motion_ratio


def wheel_rise_in_twist(travel: Number, track: Number, spacing: Number) -> Number:
    """How much higher a wheel goes, its side at the stop, when the other side hangs lower.

    Parameters
    ----------
    travel : float
        How much lower the other side hangs at its absorber [m].
    track : float
        Track [m].
    spacing : float
        Between stops or absorbers, across the vehicle [m].

    Returns
    -------
    float
        Rise of the wheel on the side of the stop [m].

    Notes
    -----
    The axle is a straight bar that turns about its stop, which stands inside the wheel.

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(wheel_rise_in_twist(0.030, 1.600, 0.800), 3)
    0.015
    """
    return travel * (track - spacing) / (2.0 * spacing)


def link_swing(length: Number, drop: Number, travel: Number) -> Number:
    """How far the axle end of a link across the vehicle moves sideways as the axle moves up.

    Parameters
    ----------
    length : float
        Between the joints of the link [m].
    drop : float
        How far its axle end lies below its other end [m].
    travel : float
        How far the axle moves up [m].

    Returns
    -------
    float
        Way of the axle end, away from the other end [m].

    References
    ----------
    .. [1] Geometry: the link swings on an arc.

    Examples
    --------
    >>> round(float(link_swing(0.860, 0.095, 0.050)) * 1e3, 2)
    4.09
    """
    return np.sqrt(length**2 - (drop - travel) ** 2) - np.sqrt(length**2 - drop**2)


def hose_reach(reach: Number, fall: Number, outreach: Number, down: Number, out: Number) -> Number:
    """Way that a hose must bridge once its axle end has moved.

    Parameters
    ----------
    reach : float
        Way between its fittings before [m].
    fall : float
        How far its axle end lies below its body end before [m].
    outreach : float
        How far its axle end lies outboard of its body end before [m].
    down : float
        How far the axle end moves down [m].
    out : float
        How far it moves outboard [m].

    Returns
    -------
    float
        Way between the fittings afterwards [m].

    Notes
    -----
    The hose taken as straight, what is left of its way as running along the vehicle. A hose that
    hangs down loses all of a drop, one that lies level hardly any.

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(float(hose_reach(0.320, 0.200, 0.150, 0.090 + 0.060, 0.042)), 4)
    0.4464
    """
    along = np.maximum(reach**2 - fall**2 - outreach**2, 0.0 * reach**2)
    return np.sqrt((fall + down) ** 2 + (outreach + out) ** 2 + along)
