"""Tractive force and the grade it climbs: what the engine gives, what the ground takes."""

from __future__ import annotations

import numpy as np

from configurator.formulas.constants import STANDARD_GRAVITY, Number


def engine_limited_force(
    engine_torque: Number, ratio: Number, efficiency: Number, rolling_radius: Number
) -> Number:
    """Tractive force that the engine can put to the ground, grip permitting.

    Parameters
    ----------
    engine_torque : float
        Engine torque [N m].
    ratio : float
        Overall ratio [-].
    efficiency : float
        Share of the torque that reaches the wheels [-].
    rolling_radius : float
        Effective rolling radius [m].

    Returns
    -------
    float
        Tractive force [N].

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, ch. 2 (chapter from memory).
    .. [2] Mannering & Washburn, Principles of Highway Engineering, ch. 2 (chapter from memory).

    Examples
    --------
    >>> round(engine_limited_force(250.0, 14.35, 0.85, 0.39))
    7819
    """
    return engine_torque * ratio * efficiency / rolling_radius


def grip_limited_force(friction: Number, normal_load: Number) -> Number:
    """Tractive force that the driven tyres can take before they spin.

    Parameters
    ----------
    friction : float
        Coefficient of friction between tyre and ground [-].
    normal_load : float
        Load on the driven tyres, square to the ground [N].

    Returns
    -------
    float
        Tractive force [N].

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, ch. 2 (chapter from memory).

    Examples
    --------
    >>> round(grip_limited_force(0.8, 24516.6))
    19613
    """
    return friction * normal_load


def tractive_force(engine_limited: Number, grip_limited: Number) -> Number:
    """Tractive force that counts: the smaller of the two limits.

    Parameters
    ----------
    engine_limited : float
        What the engine gives [N].
    grip_limited : float
        What the ground takes [N].

    Returns
    -------
    float
        Tractive force [N].

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, ch. 2 (chapter from memory).

    Examples
    --------
    >>> f"{tractive_force(40750.0, 19613.0):.0f}"
    '19613'
    """
    return np.minimum(engine_limited, grip_limited)


def engine_limited_grade_angle(force: Number, mass: Number, rolling_resistance: Number) -> Number:
    """Steepest slope on which a tractive force holds its speed, grip permitting.

    Parameters
    ----------
    force : float
        Tractive force [N].
    mass : float
        Mass of the vehicle [kg].
    rolling_resistance : float
        Coefficient of rolling resistance [-].

    Returns
    -------
    float
        Angle of the slope [rad].

    Notes
    -----
    Solves ``F = m g (sin a + f cos a)`` for ``a``, at walking speed, where air drag is nothing. A
    force beyond the weight would climb anything; the angle then stays at the largest that the
    equation has, and grip is the limit that counts.

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, ch. 2 (chapter from memory).
    .. [2] Mannering & Washburn, Principles of Highway Engineering, ch. 2 (chapter from memory).

    Examples
    --------
    >>> f"{np.degrees(engine_limited_grade_angle(7819.0, 2500.0, 0.015)):.2f}"
    '17.74'
    """
    weight = mass * STANDARD_GRAVITY.beside(mass)
    share = force / (weight * (1 + rolling_resistance**2) ** 0.5)
    return np.arcsin(np.minimum(share, 1.0)) - np.arctan(rolling_resistance)


def grip_limited_grade_angle(friction: Number, rolling_resistance: Number) -> Number:
    """Steepest slope that the tyres hold with all wheels driven.

    Parameters
    ----------
    friction : float
        Coefficient of friction between tyre and ground [-].
    rolling_resistance : float
        Coefficient of rolling resistance [-].

    Returns
    -------
    float
        Angle of the slope [rad].

    Notes
    -----
    Grip shrinks with the cosine of the slope, so a limit from the weight on level ground is too
    high. All wheels driven and the torque shared as the loads are.

    References
    ----------
    .. [1] Follows from mu cos a = sin a + f cos a.

    Examples
    --------
    >>> f"{np.degrees(grip_limited_grade_angle(0.8, 0.015)):.2f}"
    '38.13'
    """
    return np.arctan(friction - rolling_resistance)


def grade_angle(engine_limited: Number, grip_limited: Number) -> Number:
    """Steepest slope the vehicle climbs: the smaller of the two limits.

    Parameters
    ----------
    engine_limited : float
        Slope that the engine's tractive force climbs [rad].
    grip_limited : float
        Slope that the tyres hold [rad].

    Returns
    -------
    float
        Angle of the slope [rad].

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, ch. 2 (chapter from memory).

    Examples
    --------
    >>> f"{grade_angle(1.2, 0.6655):.4f}"
    '0.6655'
    """
    return np.minimum(engine_limited, grip_limited)


def grade(angle: Number) -> Number:
    """Grade of a slope: rise over run.

    Parameters
    ----------
    angle : float
        Angle of the slope [rad].

    Returns
    -------
    float
        Grade, 1 for 100 % [-].

    Notes
    -----
    The tangent, not the sine: 100 % is 45 degrees.

    References
    ----------
    .. [1] Mannering & Washburn, Principles of Highway Engineering, ch. 2 (chapter from memory).

    Examples
    --------
    >>> f"{grade(np.radians(17.74)):.4f}"
    '0.3199'
    """
    return np.tan(angle)
