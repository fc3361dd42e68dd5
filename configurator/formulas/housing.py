"""Axle housing: bending under the spring loads, and the reserve against staying bent."""

from __future__ import annotations

import numpy as np

from configurator.formulas.constants import Number

# Part of what this module offers; the shapes themselves serve links and shafts too.
from configurator.formulas.sections import (
    radius_of_gyration,
    tube_area,
    tube_second_moment,
    tube_section_modulus,
    tube_torsion_constant,
)

__all__ = [
    "bending_moment",
    "bending_stress",
    "built_up_section_modulus",
    "midspan_deflection",
    "radius_of_gyration",
    "reinforced_section_modulus",
    "tube_area",
    "tube_second_moment",
    "tube_section_modulus",
    "tube_torsion_constant",
    "yield_reserve",
]


def reinforced_section_modulus(section_modulus: Number, added_modulus: Number) -> Number:
    """Section modulus of a tube with the modulus of its reinforcement added.

    Parameters
    ----------
    section_modulus : float
        Section modulus of the bare tube [m**3].
    added_modulus : float
        What the reinforcement's maker or the workshop reckons it adds [m**3].

    Returns
    -------
    float
        Section modulus together [m**3].

    Notes
    -----
    As good as the figure for the addition. Where the sizes are known, work it out with
    `built_up_section_modulus`. Welds are not checked.

    References
    ----------
    .. [1] Common practice, no source.

    Examples
    --------
    >>> round(reinforced_section_modulus(22.5e-6, 9.0e-6) * 1e6, 1)
    31.5
    """
    return section_modulus + added_modulus


def built_up_section_modulus(
    tube_area: Number,
    tube_second_moment: Number,
    tube_outer_diameter: Number,
    added_area: Number,
    added_second_moment: Number,
    added_height: Number,
    added_reach: Number,
) -> Number:
    """Section modulus of a tube with a bar or plate welded along its top or bottom.

    Parameters
    ----------
    tube_area : float
        Area of the tube [m**2].
    tube_second_moment : float
        Second moment of area of the tube about its own axis [m**4].
    tube_outer_diameter : float
        Outer diameter of the tube [m].
    added_area : float
        Area of what is added [m**2].
    added_second_moment : float
        Second moment of area of what is added, about its own axis [m**4].
    added_height : float
        Distance of its centroid from the middle of the tube [m].
    added_reach : float
        Distance of its farthest fibre from the middle of the tube [m].

    Returns
    -------
    float
        The smaller section modulus of the two sides [m**3].

    Notes
    -----
    Both parts bend as one, which takes a continuous weld or struts that carry the shear.

    References
    ----------
    .. [1] Parallel-axis theorem; Gere & Goodno, Mechanics of Materials, 7th ed., ch. 12 (from
       memory).

    Examples
    --------
    >>> z = built_up_section_modulus(1393e-6, 856.9e-9, 0.0762, 300e-6, 2.5e-9, 0.0431, 0.0481)
    >>> round(float(z) * 1e6, 1)
    28.8
    """
    neutral = added_area * added_height / (tube_area + added_area)
    second_moment = (
        tube_second_moment
        + tube_area * neutral**2
        + added_second_moment
        + added_area * (added_height - neutral) ** 2
    )
    return second_moment / np.maximum(added_reach - neutral, tube_outer_diameter / 2.0 + neutral)


def bending_moment(spring_load: Number, wheel_to_spring: Number) -> Number:
    """Bending moment between the springs of a housing carried at its wheels.

    Parameters
    ----------
    spring_load : float
        Load of one spring [N].
    wheel_to_spring : float
        Distance of the spring inside the middle of the wheel [m].

    Returns
    -------
    float
        Bending moment between the springs [N*m].

    Notes
    -----
    Simply supported at the tyres' middles, both springs alike, standing still. A wider track
    with the springs where they were lengthens the lever.

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, 10th ed., table A-9, case 9
       (from memory).

    Examples
    --------
    >>> bending_moment(8000.0, 0.35)
    2800.0
    """
    return spring_load * wheel_to_spring


def bending_stress(moment: Number, section_modulus: Number) -> Number:
    """Bending stress in the outermost fibre.

    Parameters
    ----------
    moment : float
        Bending moment [N*m].
    section_modulus : float
        Section modulus [m**3].

    Returns
    -------
    float
        Stress [Pa].

    Notes
    -----
    Elastic. Notches, brackets and the heat of welds raise the stress locally.

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, 10th ed., section 3-10
       (from memory).

    Examples
    --------
    >>> round(bending_stress(2800.0, 22.490e-6) / 1e6, 1)
    124.5
    """
    return moment / section_modulus


def midspan_deflection(
    spring_load: Number,
    wheel_to_spring: Number,
    span: Number,
    youngs_modulus: Number,
    second_moment: Number,
) -> Number:
    """Sag in the middle of a housing carried at its wheels and loaded by two springs.

    Parameters
    ----------
    spring_load : float
        Load of one spring [N].
    wheel_to_spring : float
        Distance of the spring inside the middle of the wheel [m].
    span : float
        Distance between the middles of the wheels [m].
    youngs_modulus : float
        Young's modulus [Pa].
    second_moment : float
        Second moment of area, the same from end to end [m**4].

    Returns
    -------
    float
        Deflection in the middle [m].

    Notes
    -----
    Small, elastic, without shear. The stiff middle of a real housing sags less.

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, 10th ed., table A-9, case 9
       (from memory).

    Examples
    --------
    >>> round(midspan_deflection(8000.0, 0.35, 1.6, 205e9, 856855e-12) * 1e3, 3)
    4.775
    """
    lever = wheel_to_spring * (3.0 * span**2 - 4.0 * wheel_to_spring**2)
    return spring_load * lever / (24.0 * youngs_modulus * second_moment)


def yield_reserve(yield_strength: Number, stress: Number, dynamic_factor: Number) -> Number:
    """How many times the expected stress fits into the yield strength.

    Parameters
    ----------
    yield_strength : float
        Yield strength of the housing [Pa].
    stress : float
        Stress standing still [Pa].
    dynamic_factor : float
        How much more the load is on rough ground than standing still, 2 to 3 [-].

    Returns
    -------
    float
        Reserve; below 1 it stays bent [-].

    Notes
    -----
    The dynamic factor is common practice, no source. Fatigue is not checked.

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, 10th ed., section 1-11 for
       the factor of safety (from memory).

    Examples
    --------
    >>> round(yield_reserve(350e6, 124.5e6, 2.5), 2)
    1.12
    """
    return yield_strength / (stress * dynamic_factor)
