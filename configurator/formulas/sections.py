"""Round tube and bar sections: what links, housings and shafts are made of.

An inner diameter of nought is a solid bar.
"""

from __future__ import annotations

import numpy as np

from configurator.formulas.constants import Number


def tube_inner_diameter(outer_diameter: Number, wall: Number) -> Number:
    """Inner diameter of a round tube, nought where its wall reaches the middle.

    Parameters
    ----------
    outer_diameter : float
        Outer diameter [m].
    wall : float
        Thickness of the wall, half the outer diameter for a solid bar [m].

    Returns
    -------
    float
        Inner diameter [m].

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(tube_inner_diameter(0.035, 0.005), 6), tube_inner_diameter(0.03, 0.015)
    (0.025, 0.0)
    """
    return max(outer_diameter - 2.0 * wall, 0.0 * wall)


def tube_area(outer_diameter: Number, inner_diameter: Number) -> Number:
    """Area of the metal in a round tube.

    Parameters
    ----------
    outer_diameter : float
        Outer diameter [m].
    inner_diameter : float
        Inner diameter, nought for a solid bar [m].

    Returns
    -------
    float
        Area of the section [m**2].

    References
    ----------
    .. [1] Gere & Goodno, Mechanics of Materials, 7th ed., appendix D (from memory).

    Examples
    --------
    >>> round(tube_area(0.0762, 0.0635) * 1e6, 1)
    1393.4
    """
    return np.pi / 4.0 * (outer_diameter**2 - inner_diameter**2)


def tube_second_moment(outer_diameter: Number, inner_diameter: Number) -> Number:
    """Second moment of area of a round tube about a diameter.

    Parameters
    ----------
    outer_diameter : float
        Outer diameter [m].
    inner_diameter : float
        Inner diameter, nought for a solid bar [m].

    Returns
    -------
    float
        Second moment of area [m**4].

    References
    ----------
    .. [1] Gere & Goodno, Mechanics of Materials, 7th ed., appendix D (from memory).

    Examples
    --------
    >>> round(tube_second_moment(0.0762, 0.0635) * 1e12)
    856855
    """
    return np.pi / 64.0 * (outer_diameter**4 - inner_diameter**4)


def tube_section_modulus(outer_diameter: Number, inner_diameter: Number) -> Number:
    """Section modulus of a round tube in bending.

    Parameters
    ----------
    outer_diameter : float
        Outer diameter [m].
    inner_diameter : float
        Inner diameter, nought for a solid bar [m].

    Returns
    -------
    float
        Section modulus [m**3].

    References
    ----------
    .. [1] Gere & Goodno, Mechanics of Materials, 7th ed., appendix D (from memory).

    Examples
    --------
    >>> round(tube_section_modulus(0.0762, 0.0635) * 1e9)
    22490
    """
    return tube_second_moment(outer_diameter, inner_diameter) / (outer_diameter / 2.0)


def tube_torsion_constant(outer_diameter: Number, inner_diameter: Number) -> Number:
    """Torsion constant of a round tube, which is its polar second moment of area.

    Parameters
    ----------
    outer_diameter : float
        Outer diameter [m].
    inner_diameter : float
        Inner diameter, nought for a solid bar [m].

    Returns
    -------
    float
        Torsion constant [m**4].

    Notes
    -----
    Closed tubes only: a tube slit along its length has a very small part of this.

    References
    ----------
    .. [1] Gere & Goodno, Mechanics of Materials, 7th ed., section 3.3 (from memory).

    Examples
    --------
    >>> round(tube_torsion_constant(0.0762, 0.0635) * 1e12)
    1713710
    """
    return 2.0 * tube_second_moment(outer_diameter, inner_diameter)


def radius_of_gyration(second_moment: Number, area: Number) -> Number:
    """Radius of gyration of a section: how far out its metal sits.

    Parameters
    ----------
    second_moment : float
        Second moment of area [m**4].
    area : float
        Area of the section [m**2].

    Returns
    -------
    float
        Radius of gyration [m].

    References
    ----------
    .. [1] Gere & Goodno, Mechanics of Materials, 7th ed., section 12.4 (from memory).

    Examples
    --------
    >>> round(float(radius_of_gyration(856855e-12, 1393.4e-6)) * 1e3, 2)
    24.8
    """
    return np.sqrt(second_moment / area)
