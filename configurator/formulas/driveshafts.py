"""Driveshafts: joint angles, how evenly they turn, critical speed and length."""

from __future__ import annotations

import numpy as np

from configurator.core.units import Constant
from configurator.formulas.constants import Number

STEEL_DENSITY = Constant(7850.0, "kg/m**3", "carbon steel, EN 1993-1-1, 3.2.6 (from memory)")
CRITICAL_SPEED_SHARE = Constant(
    0.75, "", "common practice, no source; some makers stay at 0.65 to 0.70"
)
EXCITATION_LIMIT = Constant(
    400.0, "1/s**2", "about 400 rad/s**2 in makers' angle tables; no standard seen"
)


def joint_speed_ratio(joint_angle: Number, turn: Number) -> Number:
    """Output speed over input speed of one cardan joint, at one point of the turn.

    Parameters
    ----------
    joint_angle : float
        Angle between the two shafts [rad].
    turn : float
        Turn of the driving shaft, from where its fork lies in the plane of the shafts [rad].

    Returns
    -------
    float
        Speed ratio [-].

    References
    ----------
    .. [1] SAE AE-7, Universal Joint and Driveshaft Design Manual, 3.1.1 (from memory).

    Examples
    --------
    >>> round(float(joint_speed_ratio(np.radians(30.0), 0.0)), 4)
    1.1547
    """
    return np.cos(joint_angle) / (1.0 - np.sin(joint_angle) ** 2 * np.cos(turn) ** 2)


def joint_speed_fluctuation(joint_angle: Number) -> Number:
    """Swing of the output speed of one cardan joint, highest less lowest, over the input speed.

    Parameters
    ----------
    joint_angle : float
        Angle between the two shafts [rad].

    Returns
    -------
    float
        Fluctuation [-].

    References
    ----------
    .. [1] SAE AE-7, Universal Joint and Driveshaft Design Manual, 3.1.1 (from memory).

    Examples
    --------
    >>> round(float(joint_speed_fluctuation(np.radians(10.0))) * 100.0, 2)
    3.06
    """
    return np.sin(joint_angle) * np.tan(joint_angle)


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


def critical_speed(
    outer_diameter: Number,
    inner_diameter: Number,
    length: Number,
    youngs_modulus: Number,
    density: Number,
) -> Number:
    """First speed at which a tube between two joints whirls.

    Parameters
    ----------
    outer_diameter : float
        Outer diameter of the tube [m].
    inner_diameter : float
        Inner diameter of the tube [m].
    length : float
        Length between the joints [m].
    youngs_modulus : float
        Young's modulus [Pa].
    density : float
        Density of the tube [kg/m**3].

    Returns
    -------
    float
        Critical speed [rad/s].

    Notes
    -----
    Simply supported slender tube on stiff bearings, without shear, forks and slip joint, which
    all bring it down.

    References
    ----------
    .. [1] SAE AE-7, Universal Joint and Driveshaft Design Manual (from memory); Timoshenko,
       Vibration Problems in Engineering, first bending mode (from memory).

    Examples
    --------
    >>> speed = critical_speed(0.0762, 0.070104, 1.2192, 206e9, STEEL_DENSITY.value)
    >>> round(float(speed) * 30.0 / np.pi)
    8408
    """
    gyration = np.sqrt(outer_diameter**2 + inner_diameter**2) / 4.0
    return (np.pi / length) ** 2 * gyration * np.sqrt(youngs_modulus / density)


def operating_speed_limit(critical_speed: Number, share: Number) -> Number:
    """Highest speed at which a shaft is let run.

    Parameters
    ----------
    critical_speed : float
        Critical speed [rad/s].
    share : float
        Share of it that is used, see `CRITICAL_SPEED_SHARE` [-].

    Returns
    -------
    float
        Highest speed in use [rad/s].

    References
    ----------
    .. [1] Common practice, no source.

    Examples
    --------
    >>> operating_speed_limit(800.0, CRITICAL_SPEED_SHARE.value)
    600.0
    """
    return critical_speed * share


def shaft_slope(drop: Number, level_distance: Number) -> Number:
    """Slope of a driveshaft.

    Parameters
    ----------
    drop : float
        How far its axle end lies below its gearbox end [m].
    level_distance : float
        Distance between its ends along the level [m].

    Returns
    -------
    float
        Slope to the level [rad].

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(float(np.degrees(shaft_slope(0.160, 0.800))), 2)
    11.31
    """
    return np.arctan2(drop, level_distance)


def joint_angle(shaft_slope: Number, flange_slope: Number) -> Number:
    """Angle of a joint between a driveshaft and the shaft it is bolted to, seen from the side.

    Parameters
    ----------
    shaft_slope : float
        Slope of the driveshaft to the level [rad].
    flange_slope : float
        Slope of the gearbox or axle shaft to the level, the same way round [rad].

    Returns
    -------
    float
        Joint angle [rad].

    Notes
    -----
    Side view only; a shaft that also runs across the vehicle bends its joints further.

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(float(np.degrees(joint_angle(np.radians(11.3), np.radians(4.0)))), 2)
    7.3
    """
    return np.abs(shaft_slope - flange_slope)


def slip_travel(length: Number, drop_before: Number, drop_after: Number) -> Number:
    """How much longer a driveshaft must become when its axle drops straight down.

    Parameters
    ----------
    length : float
        Length between the joints before [m].
    drop_before : float
        How far the axle end lies below the gearbox end before [m].
    drop_after : float
        How far it lies below afterwards [m].

    Returns
    -------
    float
        Change of length, below nought if it becomes shorter [m].

    Notes
    -----
    An axle on links swings on an arc; its fore-and-aft motion comes on top.

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(float(slip_travel(0.600, 0.060, 0.160)) * 1e3, 2)
    18.06
    """
    return np.sqrt(length**2 - drop_before**2 + drop_after**2) - length


def shaft_speed(road_speed: Number, rolling_radius: Number, ratio_to_wheel: Number) -> Number:
    """Speed of a shaft at a road speed.

    Parameters
    ----------
    road_speed : float
        Speed on the road [m/s].
    rolling_radius : float
        Effective rolling radius of the tyre [m].
    ratio_to_wheel : float
        Turns of the shaft for one of the wheel: final drive times hub reduction for a
        driveshaft, hub reduction for a half-shaft [-].

    Returns
    -------
    float
        Speed of the shaft [rad/s].

    Notes
    -----
    The reduction at the hubs speeds up everything before it.

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, 1992, ch. 2 (from memory).

    Examples
    --------
    >>> round(float(shaft_speed(110.0 / 3.6, 0.4562, 4.10) * 30.0 / np.pi))
    2622
    """
    return road_speed * ratio_to_wheel / rolling_radius
