"""Brake hydraulics: pressure from the pedal, and how far it goes down.

Brakes decide over life and death. These figures compare packages; they are no approval, and a
changed brake system is tested on the road by people licensed to do it.
"""

from __future__ import annotations

import numpy as np

from configurator.formulas.constants import Number


def piston_area(diameter: Number, pistons: Number) -> Number:
    """Area of the pistons of one bore, together.

    Parameters
    ----------
    diameter : float
        Diameter of a piston or bore [m].
    pistons : float
        How many there are [-].

    Returns
    -------
    float
        Area [m**2].

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(piston_area(0.048, 2.0) * 1e6)
    3619
    """
    return pistons * np.pi / 4.0 * diameter**2


def line_pressure(
    pedal_force: Number, pedal_ratio: Number, booster_gain: Number, master_cylinder_bore: Number
) -> Number:
    """Pressure in the brake lines at a pedal force.

    Parameters
    ----------
    pedal_force : float
        Force of the foot on the pedal [N].
    pedal_ratio : float
        Travel of the pedal over travel of the push rod [-].
    booster_gain : float
        Force behind the booster over force before it, 1 without a booster [-].
    master_cylinder_bore : float
        Bore of the master cylinder [m].

    Returns
    -------
    float
        Line pressure [Pa].

    Notes
    -----
    Losses and the booster's run-out, above which it helps no further, are left out.

    References
    ----------
    .. [1] Limpert, Brake Design and Safety, 3rd ed., ch. 5 (from memory).

    Examples
    --------
    >>> round(line_pressure(400.0, 4.0, 1.0, 0.0254) / 1e6, 3)
    3.158
    """
    return pedal_force * pedal_ratio * booster_gain / piston_area(master_cylinder_bore, 1.0)


def master_cylinder_stroke(
    total_piston_area: Number, piston_travel: Number, master_cylinder_bore: Number
) -> Number:
    """Stroke of the master cylinder that moves all brake pistons.

    Parameters
    ----------
    total_piston_area : float
        Area of all pistons that move, on both sides of every disc fed [m**2].
    piston_travel : float
        Travel of each piston until the pads are pressed home [m].
    master_cylinder_bore : float
        Bore of the master cylinder [m].

    Returns
    -------
    float
        Stroke [m].

    Notes
    -----
    By volume; hoses, calipers and fluid that give way are to be put into the travel.

    References
    ----------
    .. [1] Limpert, Brake Design and Safety, 3rd ed., ch. 5 (from memory).

    Examples
    --------
    >>> round(master_cylinder_stroke(0.0145, 0.0005, 0.0254) * 1e3, 1)
    14.3
    """
    return total_piston_area * piston_travel / piston_area(master_cylinder_bore, 1.0)


def pedal_travel_share(stroke: Number, available_stroke: Number) -> Number:
    """Share of the master cylinder's stroke that the brakes take up.

    Parameters
    ----------
    stroke : float
        Stroke that the brakes take, see `master_cylinder_stroke` [m].
    available_stroke : float
        Stroke there is [m].

    Returns
    -------
    float
        Share used; at 1 the pedal is on the floor [-].

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> round(pedal_travel_share(0.0143, 0.036), 2)
    0.4
    """
    return stroke / available_stroke
