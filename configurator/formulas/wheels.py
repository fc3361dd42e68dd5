"""A wheel as a shape: offset and backspacing, bolt circle, barrel.

Offset is positive when the mounting face lies outboard of the rim's centreline.
"""

from __future__ import annotations

import numpy as np

from configurator.core.units import Constant
from configurator.formulas.constants import Number

FLANGE_THICKNESS = Constant(0.0127, "m", "half an inch at each flange; common practice, no source")


def width_over_flanges(rim_width: Number, flange_thickness: Number) -> Number:
    """Width of a rim from lip to lip.

    Parameters
    ----------
    rim_width : float
        Nominal rim width, between the flanges [m].
    flange_thickness : float
        Thickness of one flange; `FLANGE_THICKNESS` where it was not measured [m].

    Returns
    -------
    float
        Width over both flanges [m].

    References
    ----------
    .. [1] ISO 3911, for the terms (title from memory).

    Examples
    --------
    >>> round(width_over_flanges(0.2286, 0.0127), 4)
    0.254
    """
    return rim_width + 2 * flange_thickness


def offset_from_backspacing(
    backspacing: Number, rim_width: Number, flange_thickness: Number
) -> Number:
    """Offset of a wheel whose backspacing was measured.

    Parameters
    ----------
    backspacing : float
        From the mounting face to the inner lip of the rim [m].
    rim_width : float
        Nominal rim width, between the flanges [m].
    flange_thickness : float
        Thickness of one flange [m].

    Returns
    -------
    float
        Offset, positive with the mounting face outboard of the centreline [m].

    Notes
    -----
    Backspacing is measured from the lip, nominal width between the flanges: leaving the flange out
    makes the offset half an inch too large.

    References
    ----------
    .. [1] ISO 3911, for the terms (title from memory).

    Examples
    --------
    A 9 inch wheel with 5.75 inch backspacing:

    >>> round(offset_from_backspacing(0.14605, 0.2286, 0.0127), 5)
    0.01905
    """
    return backspacing - width_over_flanges(rim_width, flange_thickness) / 2


def backspacing_from_offset(offset: Number, rim_width: Number, flange_thickness: Number) -> Number:
    """Backspacing of a wheel whose offset is known.

    Parameters
    ----------
    offset : float
        Offset, positive with the mounting face outboard of the centreline [m].
    rim_width : float
        Nominal rim width, between the flanges [m].
    flange_thickness : float
        Thickness of one flange [m].

    Returns
    -------
    float
        From the mounting face to the inner lip of the rim [m].

    References
    ----------
    .. [1] ISO 3911, for the terms (title from memory).

    Examples
    --------
    >>> round(backspacing_from_offset(-0.012, 0.2286, 0.0127), 4)
    0.115
    """
    return offset + width_over_flanges(rim_width, flange_thickness) / 2


def effective_offset(offset: Number, spacer: Number) -> Number:
    """Offset that a wheel and a spacer have together.

    Parameters
    ----------
    offset : float
        Offset of the wheel [m].
    spacer : float
        Thickness of the spacer between hub and wheel [m].

    Returns
    -------
    float
        Offset that counts at the hub face [m].

    References
    ----------
    .. [1] Geometry; ISO 3911 for the terms (title from memory).

    Examples
    --------
    >>> round(effective_offset(0.044, 0.025), 3)
    0.019
    """
    return offset - spacer


def track_change(offset_before: Number, offset_after: Number) -> Number:
    """Change of track when both wheels of an axle change their offset.

    Parameters
    ----------
    offset_before : float
        Offset before, spacers included [m].
    offset_after : float
        Offset after, spacers included [m].

    Returns
    -------
    float
        Change of track, positive when wider [m].

    References
    ----------
    .. [1] Geometry; ISO 612:1978 for track.

    Examples
    --------
    >>> round(track_change(0.044, -0.012), 3)
    0.112
    """
    return 2 * (offset_before - offset_after)


def inboard_reach(offset: Number, width: Number) -> Number:
    """How far a rim or a tyre reaches inboard of the hub face.

    Parameters
    ----------
    offset : float
        Offset, spacers included [m].
    width : float
        Width over the flanges for the rim, section width for the tyre [m].

    Returns
    -------
    float
        From the hub face to the inner edge, positive inboard [m].

    Notes
    -----
    For the rim this is the backspacing. A tyre wider than its rim reaches further than the rim.

    References
    ----------
    .. [1] Geometry; ISO 3911 for the terms (title from memory).

    Examples
    --------
    >>> round(inboard_reach(0.018, 0.290), 3)
    0.163
    """
    return width / 2 + offset


def outboard_reach(offset: Number, width: Number) -> Number:
    """How far a rim or a tyre reaches outboard of the hub face.

    Parameters
    ----------
    offset : float
        Offset, spacers included [m].
    width : float
        Width over the flanges for the rim, section width for the tyre [m].

    Returns
    -------
    float
        From the hub face to the outer edge, positive outboard [m].

    References
    ----------
    .. [1] Geometry; ISO 3911 for the terms (title from memory).

    Examples
    --------
    >>> round(outboard_reach(0.018, 0.290), 3)
    0.127
    """
    return width / 2 - offset


def bolt_circle(adjacent_distance: Number, studs: int) -> Number:
    """Bolt circle from the distance between two neighbouring studs.

    Parameters
    ----------
    adjacent_distance : float
        Between the centres of two neighbouring studs [m].
    studs : int
        Number of studs, evenly spaced.

    Returns
    -------
    float
        Diameter of the bolt circle [m].

    References
    ----------
    .. [1] Geometry: chord of a regular polygon.

    Examples
    --------
    >>> f"{bolt_circle(0.08211, 5):.4f}"
    '0.1397'
    """
    return adjacent_distance / np.sin(np.pi / studs)


def adjacent_stud_distance(bolt_circle: Number, studs: int) -> Number:
    """Distance between two neighbouring studs of a bolt circle.

    Parameters
    ----------
    bolt_circle : float
        Diameter of the bolt circle [m].
    studs : int
        Number of studs, evenly spaced.

    Returns
    -------
    float
        Between the centres of two neighbouring studs [m].

    References
    ----------
    .. [1] Geometry: chord of a regular polygon.

    Examples
    --------
    >>> f"{adjacent_stud_distance(0.1397, 6):.5f}"
    '0.06985'
    """
    return bolt_circle * np.sin(np.pi / studs)


def barrel_diameter(rim_diameter: Number, wall: Number) -> Number:
    """Inside diameter of the barrel, estimated where the maker does not state it.

    Parameters
    ----------
    rim_diameter : float
        Nominal rim diameter [m].
    wall : float
        From the bead seat to the inside of the barrel at its tightest place, wall included [m].

    Returns
    -------
    float
        Inside diameter of the barrel [m].

    Notes
    -----
    An estimate: the well of the rim and the shape of the spokes are the maker's own. A measured
    diameter wins.

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(barrel_diameter(0.4318, 0.028), 4)
    0.3758
    """
    return rim_diameter - 2 * wall


def barrel_gap(barrel_diameter: Number, envelope_diameter: Number) -> Number:
    """Gap between the barrel and a brake or hub box that sits inside it.

    Parameters
    ----------
    barrel_diameter : float
        Inside diameter of the barrel [m].
    envelope_diameter : float
        Diameter of the circle about the wheel centre that encloses the part [m].

    Returns
    -------
    float
        Gap all round, negative when the part does not go in [m].

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(barrel_gap(0.376, 0.366), 4)
    0.005
    """
    return (barrel_diameter - envelope_diameter) / 2
