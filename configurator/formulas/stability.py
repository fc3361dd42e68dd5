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
