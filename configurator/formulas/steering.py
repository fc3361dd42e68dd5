"""Steering: where the wheels turn to, and what turning them takes."""

from __future__ import annotations

import numpy as np

from configurator.formulas.constants import Number


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
