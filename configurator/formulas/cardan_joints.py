"""Cardan joints: how evenly one turns, and two that only partly cancel."""

from __future__ import annotations

import numpy as np

from configurator.core.units import Constant
from configurator.formulas.constants import Number

EXCITATION_LIMIT = Constant(
    400.0, "1/s**2", "about 400 rad/s**2 in makers' angle tables; no standard seen"
)


def residual_angle(first_angle: Number, second_angle: Number) -> Number:
    """Angle of the one joint that would run as unevenly as two that only partly cancel.

    Parameters
    ----------
    first_angle : float
        Angle of one joint [rad].
    second_angle : float
        Angle of the other [rad].

    Returns
    -------
    float
        Residual angle [rad].

    Notes
    -----
    Both angles in one plane and the forks in phase: equal angles then cancel.

    References
    ----------
    .. [1] SAE AE-7, Universal Joint and Driveshaft Design Manual (from memory).

    Examples
    --------
    >>> round(float(np.degrees(residual_angle(np.radians(11.6), np.radians(9.0)))), 2)
    7.32
    """
    return np.sqrt(np.abs(first_angle**2 - second_angle**2))


def torsional_excitation(shaft_speed: Number, residual_angle: Number) -> Number:
    """Amplitude of the angular acceleration that uneven running puts into the driveline.

    Parameters
    ----------
    shaft_speed : float
        Speed of the shaft [rad/s].
    residual_angle : float
        Residual angle of its joints; of one joint, its angle [rad].

    Returns
    -------
    float
        Angular acceleration [rad/s**2].

    Notes
    -----
    Small angles.

    References
    ----------
    .. [1] SAE AE-7, Universal Joint and Driveshaft Design Manual (from memory).

    Examples
    --------
    >>> round(float(torsional_excitation(1500.0 * np.pi / 30.0, np.radians(7.3))))
    401
    """
    return shaft_speed**2 * residual_angle**2


def permitted_residual_angle(shaft_speed: Number, excitation: Number) -> Number:
    """Residual angle up to which a shaft runs evenly enough at a speed.

    Parameters
    ----------
    shaft_speed : float
        Speed of the shaft [rad/s].
    excitation : float
        Angular acceleration that is let pass, see `EXCITATION_LIMIT` [rad/s**2].

    Returns
    -------
    float
        Residual angle; of one joint, its angle [rad].

    Notes
    -----
    `torsional_excitation` the other way round; small angles.

    References
    ----------
    .. [1] SAE AE-7, Universal Joint and Driveshaft Design Manual (from memory).

    Examples
    --------
    >>> round(float(np.degrees(permitted_residual_angle(1500.0 * np.pi / 30.0, 400.0))), 2)
    7.3
    """
    return np.sqrt(excitation) / shaft_speed
