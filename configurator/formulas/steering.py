"""Steering: where the wheels turn to, and what turning them takes."""

from __future__ import annotations

import numpy as np

from configurator.formulas.constants import Number

WHEELS_STEERED = 2
"""A drag link turns both front wheels, a tie rod the one at its far end."""


def ackermann_outer_angle(
    inner_angle: Number, wheelbase: Number, kingpin_spacing: Number
) -> Number:
    """Angle of the outer wheel with which both front wheels roll about one point.

    Parameters
    ----------
    inner_angle : float
        Steering angle of the inner wheel, above nought [rad].
    wheelbase : float
        Distance between the axles [m].
    kingpin_spacing : float
        Distance between the steering axes at the ground [m].

    Returns
    -------
    float
        Steering angle of the outer wheel [rad].

    Notes
    -----
    Rolling at walking pace without slip; real linkages come near it only.

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, 1992, ch. 8 (from memory).

    Examples
    --------
    >>> round(float(np.degrees(ackermann_outer_angle(np.radians(30.0), 2.5, 1.5))), 2)
    23.21
    """
    return np.arctan(1.0 / (1.0 / np.tan(inner_angle) + kingpin_spacing / wheelbase))


def rear_axle_turning_radius(
    inner_angle: Number, wheelbase: Number, kingpin_spacing: Number
) -> Number:
    """Radius on which the middle of the rear axle turns.

    Parameters
    ----------
    inner_angle : float
        Steering angle of the inner wheel, above nought [rad].
    wheelbase : float
        Distance between the axles [m].
    kingpin_spacing : float
        Distance between the steering axes at the ground [m].

    Returns
    -------
    float
        Turning radius of the middle of the rear axle [m].

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, 1992, ch. 8 (from memory).

    Examples
    --------
    >>> round(float(rear_axle_turning_radius(np.radians(30.0), 2.5, 1.5)), 2)
    5.08
    """
    return wheelbase / np.tan(inner_angle) + kingpin_spacing / 2.0


def kerb_turning_radius(outer_angle: Number, wheelbase: Number, scrub_radius: Number) -> Number:
    """Radius that the middle of the outer front tyre draws on the ground.

    Parameters
    ----------
    outer_angle : float
        Steering angle of the outer wheel, above nought [rad].
    wheelbase : float
        Distance between the axles [m].
    scrub_radius : float
        Distance of the tyre's middle outside the steering axis at the ground [m].

    Returns
    -------
    float
        Turning radius between kerbs, to the middle of the tread [m].

    Notes
    -----
    Half the section width comes on top for the outer wall of the tyre.

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, 1992, ch. 8; ISO 612:1978, 6.7, turning
       circle (both from memory).

    Examples
    --------
    >>> round(float(kerb_turning_radius(np.radians(23.21), 2.5, 0.05)), 2)
    6.39
    """
    return wheelbase / np.sin(outer_angle) + scrub_radius


def standstill_steering_torque(
    wheel_load: Number, friction: Number, tread_width: Number, scrub_radius: Number
) -> Number:
    """Torque about the steering axis that turns one standing wheel, an estimate.

    Parameters
    ----------
    wheel_load : float
        Load on the wheel [N].
    friction : float
        Friction between tyre and ground, about 0.7 on dry concrete [-].
    tread_width : float
        Width of the tread on the ground [m].
    scrub_radius : float
        Distance between steering axis and middle of the tread at the ground [m].

    Returns
    -------
    float
        Torque about the steering axis of one wheel [N*m].

    Notes
    -----
    Common practice for sizing steering cylinders, no standard: the patch is taken as a disc as
    wide as the tread that turns and slides at once. The friction that goes with it falls as
    the scrub radius grows, because the wheel rolls. Castor and lifting of the axle are left out.

    References
    ----------
    .. [1] Sizing guides for hydrostatic steering; ascribed to Gough (from memory).

    Examples
    --------
    >>> round(float(standstill_steering_torque(6000.0, 0.7, 0.24, 0.06)))
    436
    """
    return friction * wheel_load * np.sqrt(tread_width**2 / 8.0 + scrub_radius**2)


def link_force(steering_torque: Number, arm_length: Number) -> Number:
    """Force in a tie rod or drag link from a torque about the steering axis.

    Parameters
    ----------
    steering_torque : float
        Torque about the steering axis that the link passes on [N*m].
    arm_length : float
        Lever from the steering axis, square to the link [m].

    Returns
    -------
    float
        Force along the link [N].

    References
    ----------
    .. [1] Moments about the steering axis.

    Examples
    --------
    >>> link_force(800.0, 0.16)
    5000.0
    """
    return steering_torque / arm_length


def tyre_sweep_ahead(radius: Number, outer_edge: Number, lock: Number) -> Number:
    """How far ahead of the steering axis a tyre reaches as it is steered to its lock.

    Parameters
    ----------
    radius : float
        Radius of the tyre [m].
    outer_edge : float
        From the steering axis out to the tyre's outer edge, at the height of the axle [m].
    lock : float
        Steering angle at full lock [rad].

    Returns
    -------
    float
        Way to the foremost point of the tyre; as much behind, on the other lock [m].

    Notes
    -----
    The tyre as an upright box. Steered by an angle, the outer edge reaches R cos + edge sin ahead;
    where that is greatest before the lock is reached, that counts. Caster is left out.

    References
    ----------
    .. [1] Geometry: a corner of the tyre turned about the steering axis.

    Examples
    --------
    >>> round(float(tyre_sweep_ahead(0.420, 0.236, np.radians(30.5))), 4)
    0.4818
    """
    worst = np.minimum(np.arctan2(np.maximum(outer_edge, 0.0 * outer_edge), radius), lock)
    return radius * np.cos(worst) + outer_edge * np.sin(worst)


def tyre_sweep_inboard(radius: Number, inner_edge: Number, lock: Number) -> Number:
    """How far inboard of the steering axis a tyre reaches as it is steered to its lock.

    Parameters
    ----------
    radius : float
        Radius of the tyre [m].
    inner_edge : float
        From the steering axis in to the tyre's inner edge; below nought where that lies
        outboard [m].
    lock : float
        Steering angle at full lock [rad].

    Returns
    -------
    float
        Way to the innermost point of the tyre [m].

    Notes
    -----
    The tyre as an upright box.

    References
    ----------
    .. [1] Geometry: a corner of the tyre turned about the steering axis.

    Examples
    --------
    >>> round(float(tyre_sweep_inboard(0.420, 0.050, np.radians(36.0))), 4)
    0.2873
    """
    worst = np.minimum(np.arctan2(radius, inner_edge), lock)
    return radius * np.sin(worst) + inner_edge * np.cos(worst)


def link_drop(length: Number, slope: Number) -> Number:
    """How far one end of a link lies below the other.

    Parameters
    ----------
    length : float
        Between its joints [m].
    slope : float
        Slope to the level [rad].

    Returns
    -------
    float
        Drop [m].

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(float(link_drop(0.900, np.radians(4.0))) * 1e3, 1)
    62.8
    """
    return length * np.sin(slope)


def link_length(length: Number, slope: Number, wider: Number, drop: Number) -> Number:
    """Length of a link once its axle end has moved.

    Parameters
    ----------
    length : float
        Between its joints before [m].
    slope : float
        Slope to the level before [rad].
    wider : float
        How much further away along the level the axle end is [m].
    drop : float
        How far the axle end lies below the other now [m].

    Returns
    -------
    float
        Length between the joints [m].

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(float(link_length(0.900, np.radians(4.0), 0.0, 0.1128)) * 1e3, 1)
    904.9
    """
    return np.sqrt((length * np.cos(slope) + wider) ** 2 + drop**2)


def bump_steer(way: Number, steering_arm: Number) -> Number:
    """Angle by which a wheel steers itself when the end of its drag link is drawn aside.

    Parameters
    ----------
    way : float
        How far the axle moves sideways against the end of the drag link [m].
    steering_arm : float
        From the steering axis to the drag link [m].

    Returns
    -------
    float
        Steering angle [rad].

    References
    ----------
    .. [1] Milliken & Milliken, Race Car Vehicle Dynamics, 1995, ch. 19, bump steer (from memory).

    Examples
    --------
    >>> round(float(np.degrees(bump_steer(0.003, 0.170))), 2)
    1.01
    """
    return np.arctan(way / steering_arm)
