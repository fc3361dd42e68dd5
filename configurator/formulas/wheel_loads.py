"""What a wheel does to its bearing and its studs: load on a lever, and side force on the radius."""

from __future__ import annotations

import numpy as np

from configurator.core.units import Constant
from configurator.formulas.constants import Number

SIDE_FORCE_SHARE = Constant(
    0.7, "", "SAE J328 (2021), dynamic cornering fatigue: coefficient of friction"
)


def cornering_moment(
    wheel_load: Number, lever: Number, static_loaded_radius: Number, side_share: Number
) -> Number:
    """Moment with which a wheel bends what it is held by, in a bend or a rut.

    Parameters
    ----------
    wheel_load : float
        Load on the wheel, half of the axle load [N].
    lever : float
        From the tyre's centre plane to what it is held by, along the axle, either sign [m].
    static_loaded_radius : float
        Height of the wheel centre above the ground [m].
    side_share : float
        Side force over load; 0.7 in SAE J328 [-].

    Returns
    -------
    float
        Bending moment [N*m].

    Notes
    -----
    The side force may come from either side, so both parts are added whatever the lever's sign.

    References
    ----------
    .. [1] SAE J328 (2021), M = W (u R + d) S, here with S = 1.

    Examples
    --------
    >>> round(float(cornering_moment(6865.0, 0.040, 0.398, 0.7)))
    2187
    """
    return wheel_load * (np.abs(lever) + side_share * static_loaded_radius)


def stud_load(moment: Number, bolt_circle: Number, studs: int) -> Number:
    """Largest pull that a bending moment puts on one stud of a ring.

    Parameters
    ----------
    moment : float
        Bending moment on the ring of studs [N*m].
    bolt_circle : float
        Diameter of the circle through the studs [m].
    studs : int
        How many there are.

    Returns
    -------
    float
        Pull on the stud that gets most [N].

    Notes
    -----
    Studs share a moment as their distances from the axis through the middle: with n studs on a
    circle of diameter d the sum of the squares is n d2 / 8, whatever the angle they stand at.

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, 10th ed., ch. 8 (chapter
       from memory): ring of bolts under a moment.

    Examples
    --------
    >>> round(stud_load(2187.0, 0.1397, 6))
    10437
    """
    return 4.0 * moment / (studs * bolt_circle)
