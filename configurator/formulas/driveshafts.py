"""Driveshafts: slope and joint angles, critical speed, and length in every state."""

from __future__ import annotations

import numpy as np

from configurator.core.units import Constant
from configurator.formulas.constants import Number

STEEL_DENSITY = Constant(7850.0, "kg/m**3", "carbon steel, EN 1993-1-1, 3.2.6 (from memory)")
CRITICAL_SPEED_SHARE = Constant(
    0.75, "", "common practice, no source; some makers stay at 0.65 to 0.70"
)


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


def slope_after_drop(length: Number, slope: Number, drop: Number) -> Number:
    """Slope of a driveshaft once its axle end has moved straight down.

    Parameters
    ----------
    length : float
        Length between the joints before [m].
    slope : float
        Slope to the level before, the axle end lower [rad].
    drop : float
        How far the axle end moves down [m].

    Returns
    -------
    float
        Slope to the level [rad].

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(float(np.degrees(slope_after_drop(0.620, np.radians(9.0), 0.183))), 1)
    24.6
    """
    return np.arctan2(length * np.sin(slope) + drop, length * np.cos(slope))


def length_after_drop(length: Number, slope: Number, drop: Number) -> Number:
    """Length of a driveshaft once its axle end has moved straight down.

    Parameters
    ----------
    length : float
        Length between the joints before [m].
    slope : float
        Slope to the level before, the axle end lower [rad].
    drop : float
        How far the axle end moves down [m].

    Returns
    -------
    float
        Length between the joints [m].

    Notes
    -----
    An axle on links swings on an arc; its fore-and-aft motion comes on top.

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(float(length_after_drop(0.620, np.radians(9.0), 0.183)), 3)
    0.673
    """
    down = length * np.sin(slope)
    return length + slip_travel(length, down, down + drop)


def shortest_length(length: Number, slope: Number, drop: Number) -> Number:
    """Shortest length of a driveshaft on the way of its axle up to a bump stop.

    Parameters
    ----------
    length : float
        Length between the joints before [m].
    slope : float
        Slope to the level before, the axle end lower [rad].
    drop : float
        How far the axle end lies down at the stop; below nought above where it was [m].

    Returns
    -------
    float
        Length between the joints [m].

    Notes
    -----
    A shaft is shortest where it lies level; one that passes the level does so on its way.

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(float(shortest_length(0.620, np.radians(9.0), -0.120)), 4)
    0.6124
    """
    down = length * np.sin(slope)
    level = length * np.cos(slope)
    return np.sqrt(level**2 + np.maximum(down + drop, 0.0 * down) ** 2)


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
