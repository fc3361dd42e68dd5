"""Ratios from the engine to the wheels, and what they make of engine speed and road speed."""

from __future__ import annotations

import numpy as np

from configurator.formulas.constants import Number


def overall_ratio(gearbox: Number, transfer: Number, final_drive: Number, hub: Number) -> Number:
    """Count the turns of the engine for one turn of the wheel.

    Parameters
    ----------
    gearbox : float
        Ratio of the gearbox in the gear that is engaged [-].
    transfer : float
        Ratio of the transfer case in the range that is engaged [-].
    final_drive : float
        Ratio of the final drive [-].
    hub : float
        Ratio of the geared hub reduction, 1 without one [-].

    Returns
    -------
    float
        Overall ratio [-].

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, ch. 2 (chapter from memory).

    Examples
    --------
    >>> round(overall_ratio(0.75, 1.0, 4.10, 1.0), 4)
    3.075
    """
    return gearbox * transfer * final_drive * hub


def crawl_ratio(lowest_gear: Number, low_range: Number, final_drive: Number, hub: Number) -> Number:
    """Overall ratio in the lowest gear and the low range.

    Parameters
    ----------
    lowest_gear : float
        Ratio of the lowest forward gear [-].
    low_range : float
        Ratio of the transfer case in its low range [-].
    final_drive : float
        Ratio of the final drive [-].
    hub : float
        Ratio of the geared hub reduction, 1 without one [-].

    Returns
    -------
    float
        Crawl ratio [-].

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, ch. 2 (chapter from memory).

    Examples
    --------
    >>> round(crawl_ratio(4.46, 2.72, 4.10, 1.25), 2)
    62.17
    """
    return overall_ratio(lowest_gear, low_range, final_drive, hub)


def engine_speed(road_speed: Number, ratio: Number, rolling_radius: Number) -> Number:
    """Engine speed at a road speed, or the speed of any shaft ahead of the wheels.

    Parameters
    ----------
    road_speed : float
        Road speed [m/s].
    ratio : float
        Turns of the engine, or of the shaft, for one turn of the wheel [-].
    rolling_radius : float
        Effective rolling radius [m].

    Returns
    -------
    float
        Speed of the engine or shaft [rad/s].

    Notes
    -----
    Without slip in clutch, converter and tyre.

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, ch. 2 (chapter from memory).

    Examples
    --------
    100 km/h in the top gear, about 2,000 turns a minute:

    >>> round(engine_speed(27.7778, 3.075, 0.4033), 1)
    211.8
    """
    return road_speed * ratio / rolling_radius


def road_speed(engine_speed: Number, ratio: Number, rolling_radius: Number) -> Number:
    """Road speed at an engine speed; walking speed at idle in the lowest gear.

    Parameters
    ----------
    engine_speed : float
        Engine speed [rad/s].
    ratio : float
        Overall ratio [-].
    rolling_radius : float
        Effective rolling radius [m].

    Returns
    -------
    float
        Road speed [m/s].

    Notes
    -----
    Without slip in clutch, converter and tyre.

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, ch. 2 (chapter from memory).

    Examples
    --------
    >>> round(road_speed(78.54, 62.17, 0.4033), 3)
    0.509
    """
    return engine_speed * rolling_radius / ratio


def top_speed(
    engine_speed_limit: Number, ratio: Number, rolling_radius: Number, tyre_speed: Number
) -> Number:
    """Highest road speed in a gear that both engine and tyre may run.

    Parameters
    ----------
    engine_speed_limit : float
        Highest permitted engine speed [rad/s].
    ratio : float
        Overall ratio in the gear [-].
    rolling_radius : float
        Effective rolling radius [m].
    tyre_speed : float
        Speed that the tyre's speed symbol permits [m/s].

    Returns
    -------
    float
        The smaller of the two limits [m/s].

    Notes
    -----
    What gearing permits, not what the engine's power reaches against the air.

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, ch. 2 (chapter from memory).

    Examples
    --------
    >>> f"{top_speed(471.24, 4.10, 0.4033, 47.22):.2f}"
    '46.35'
    """
    return np.minimum(road_speed(engine_speed_limit, ratio, rolling_radius), tyre_speed)


def hub_ratio_from_reduction(reduction: Number) -> Number:
    """Ratio of a hub that is said to gear down by a share.

    Parameters
    ----------
    reduction : float
        Share by which the hub gears down, 0.22 for 22 % [-].

    Returns
    -------
    float
        Ratio of the hub [-].

    Notes
    -----
    The shaft ahead of the hub turns faster by this share; its torque falls by less, by
    ``1 - 1 / ratio``.

    References
    ----------
    .. [1] Common practice, no source.

    Examples
    --------
    >>> hub_ratio_from_reduction(0.22)
    1.22
    """
    return 1 + reduction


def equivalent_final_drive(final_drive: Number, hub: Number) -> Number:
    """Ratio of the final drive that would gear a vehicle without hub reductions alike.

    Parameters
    ----------
    final_drive : float
        Ratio of the final drive [-].
    hub : float
        Ratio of the geared hub reduction [-].

    Returns
    -------
    float
        Ratio of final drive and hub together [-].

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, ch. 2 (chapter from memory).

    Examples
    --------
    >>> round(equivalent_final_drive(3.73, 1.22), 2)
    4.55
    """
    return final_drive * hub


def restoring_ratio(ratio: Number, radius_before: Number, radius_after: Number) -> Number:
    """Ratio that gives back the engine speed a tyre change has taken.

    Parameters
    ----------
    ratio : float
        Ratio before: final drive and hub together, or 1 for the factor alone [-].
    radius_before : float
        Effective rolling radius before [m].
    radius_after : float
        Effective rolling radius after [m].

    Returns
    -------
    float
        Ratio needed after [-].

    References
    ----------
    .. [1] Follows from engine speed = road speed * ratio / rolling radius.

    Examples
    --------
    >>> round(restoring_ratio(3.90, 31.0, 37.0), 3)
    4.655
    """
    return ratio * radius_after / radius_before
