"""Standing upright: how far a rigid vehicle leans or climbs before it tips.

Springs and tyres give way, so a real vehicle tips earlier than these figures say. They compare
a vehicle before and after a change; they promise nothing about a slope.
"""

from __future__ import annotations

import numpy as np

from configurator.formulas.constants import Number


def static_stability_factor(track: Number, cg_height: Number) -> Number:
    """Half the track over the height of the centre of gravity.

    Parameters
    ----------
    track : float
        Track, the mean of front and rear [m].
    cg_height : float
        Height of the centre of gravity above the ground [m].

    Returns
    -------
    float
        Static stability factor [-].

    Notes
    -----
    No star rating follows from it: ratings belong to a tested vehicle as it left the maker.

    References
    ----------
    .. [1] NHTSA, Consumer Information Regulations; Rollover Resistance, 68 FR 59249 (2003).

    Examples
    --------
    >>> round(static_stability_factor(1.60, 0.75), 4)
    1.0667
    """
    return track / (2.0 * cg_height)


def side_tip_angle(track: Number, cg_height: Number) -> Number:
    """Side slope on which a rigid vehicle tips.

    Parameters
    ----------
    track : float
        Track, the mean of front and rear [m].
    cg_height : float
        Height of the centre of gravity above the ground [m].

    Returns
    -------
    float
        Angle of the slope [rad].

    Notes
    -----
    Rigid body on rigid tyres: tilt-table tests of suspended vehicles tip earlier.

    References
    ----------
    .. [1] Transportation Research Board, Special Report 265 (2002), ch. 2.

    Examples
    --------
    >>> round(float(np.degrees(side_tip_angle(1.60, 0.85))), 2)
    43.26
    """
    return np.arctan(static_stability_factor(track, cg_height))


def uphill_tip_angle(cg_to_rear_axle: Number, cg_height: Number) -> Number:
    """Slope on which a vehicle facing uphill tips over its rear wheels.

    Parameters
    ----------
    cg_to_rear_axle : float
        Distance from the centre of gravity to the rear axle [m].
    cg_height : float
        Height of the centre of gravity above the ground [m].

    Returns
    -------
    float
        Angle of the slope [rad].

    Notes
    -----
    Standing still, rigid body.

    References
    ----------
    .. [1] Moments about the rear contact; Gillespie, Fundamentals of Vehicle Dynamics, 1992, ch. 1
       (from memory).

    Examples
    --------
    >>> round(float(np.degrees(uphill_tip_angle(1.20, 0.85))), 2)
    54.69
    """
    return np.arctan(cg_to_rear_axle / cg_height)


def downhill_tip_angle(cg_behind_front_axle: Number, cg_height: Number) -> Number:
    """Slope on which a vehicle facing downhill tips over its front wheels.

    Parameters
    ----------
    cg_behind_front_axle : float
        Distance from the front axle to the centre of gravity [m].
    cg_height : float
        Height of the centre of gravity above the ground [m].

    Returns
    -------
    float
        Angle of the slope [rad].

    Notes
    -----
    Standing still, rigid body; braking on the slope tips it earlier.

    References
    ----------
    .. [1] Moments about the front contact; Gillespie, Fundamentals of Vehicle Dynamics, 1992,
       ch. 1 (from memory).

    Examples
    --------
    >>> round(float(np.degrees(downhill_tip_angle(1.40, 0.85))), 2)
    58.74
    """
    return np.arctan(cg_behind_front_axle / cg_height)


def cg_height_change(mass: Number, moved_mass: Number, rise: Number) -> Number:
    """Rise of the centre of gravity when a part of the mass is lifted.

    Parameters
    ----------
    mass : float
        Mass of the whole vehicle [kg].
    moved_mass : float
        Mass of what is lifted [kg].
    rise : float
        How far it is lifted [m].

    Returns
    -------
    float
        Rise of the centre of gravity of the whole [m].

    Notes
    -----
    A suspension lift raises the sprung mass; a drop at the hubs raises the axles as well; a
    taller tyre raises everything by half of what it gains in diameter.

    References
    ----------
    .. [1] First moments, as in 68 FR 59249 for the effect of load on height.

    Examples
    --------
    >>> round(cg_height_change(2300.0, 1800.0, 0.100) + cg_height_change(2300.0, 2300.0, 0.040), 4)
    0.1183
    """
    return moved_mass * rise / mass


def cg_height_by_axle_lift(
    mass: Number,
    wheelbase: Number,
    mass_shifted: Number,
    lift_angle: Number,
    loaded_radius: Number,
) -> Number:
    """Height of the centre of gravity, from lifting one axle on the scales.

    Parameters
    ----------
    mass : float
        Mass of the vehicle [kg].
    wheelbase : float
        Distance between the axles [m].
    mass_shifted : float
        How much more the axle on the scales carries with the other one lifted [kg].
    lift_angle : float
        Angle of the line through the wheel centres to the level [rad].
    loaded_radius : float
        Height of the wheel centres above the ground, standing level [m].

    Returns
    -------
    float
        Height of the centre of gravity above the ground [m].

    Notes
    -----
    Springs blocked, brakes off, all wheels of the same radius. The axle is turned about the
    wheel centres, so the angle enters with its tangent. Small angles magnify errors of weighing.

    References
    ----------
    .. [1] ISO 10392:2011, Road vehicles, Determination of centre of gravity, axle lift method
       (from memory).

    Examples
    --------
    >>> round(float(cg_height_by_axle_lift(2500.0, 2.6, 120.0, np.radians(15.0), 0.4)), 3)
    0.866
    """
    return loaded_radius + mass_shifted * wheelbase / (mass * np.tan(lift_angle))
