"""Rods and tubes with a joint at each end: what they bear in compression and bending."""

from __future__ import annotations

import numpy as np

from configurator.core.units import Constant
from configurator.formulas.constants import Number
from configurator.formulas.sections import (
    radius_of_gyration,
    tube_area,
    tube_inner_diameter,
    tube_second_moment,
    tube_section_modulus,
)

PINNED_ENDS = Constant(
    1.0, "", "Budynas & Nisbett, Shigley, 10th ed., table 4-2 (from memory): both ends rounded"
)


def slenderness_ratio(length: Number, radius_of_gyration: Number) -> Number:
    """Length of a strut over its radius of gyration.

    Parameters
    ----------
    length : float
        Length between the joints [m].
    radius_of_gyration : float
        Radius of gyration of the section [m].

    Returns
    -------
    float
        Slenderness [-].

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, 10th ed., section 4-12
       (from memory).

    Examples
    --------
    >>> round(slenderness_ratio(1.1, 0.011447), 1)
    96.1
    """
    return length / radius_of_gyration


def transition_slenderness(
    youngs_modulus: Number, yield_strength: Number, end_condition: Number
) -> Number:
    """Slenderness above which Euler's formula holds and below which Johnson's does.

    Parameters
    ----------
    youngs_modulus : float
        Young's modulus [Pa].
    yield_strength : float
        Yield strength [Pa].
    end_condition : float
        End condition constant, 1 for ball joints at both ends [-].

    Returns
    -------
    float
        Slenderness where the two curves meet, at half the yield strength [-].

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, 10th ed., section 4-12
       (from memory).

    Examples
    --------
    >>> round(float(transition_slenderness(205e9, 480e6, 1.0)), 1)
    91.8
    """
    return np.sqrt(2.0 * np.pi**2 * end_condition * youngs_modulus / yield_strength)


def euler_load(
    second_moment: Number, length: Number, youngs_modulus: Number, end_condition: Number
) -> Number:
    """Buckling load of a slender strut.

    Parameters
    ----------
    second_moment : float
        Second moment of area [m**4].
    length : float
        Length between the joints [m].
    youngs_modulus : float
        Young's modulus [Pa].
    end_condition : float
        End condition constant, 1 for ball joints at both ends [-].

    Returns
    -------
    float
        Compression at which it buckles [N].

    Notes
    -----
    Straight strut, load in line. Only above the transition slenderness: below it the figure is
    too high. Strength does not enter; a stronger alloy of the same stiffness buckles as early.

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, 10th ed., section 4-12
       (from memory).

    Examples
    --------
    >>> round(euler_load(43.22e-9, 1.2, 210e9, 1.0) / 1e3, 1)
    62.2
    """
    return end_condition * np.pi**2 * youngs_modulus * second_moment / length**2


def johnson_load(
    area: Number,
    radius_of_gyration: Number,
    length: Number,
    youngs_modulus: Number,
    yield_strength: Number,
    end_condition: Number,
) -> Number:
    """Buckling load of a strut of middling slenderness.

    Parameters
    ----------
    area : float
        Area of the section [m**2].
    radius_of_gyration : float
        Radius of gyration of the section [m].
    length : float
        Length between the joints [m].
    youngs_modulus : float
        Young's modulus [Pa].
    yield_strength : float
        Yield strength [Pa].
    end_condition : float
        End condition constant, 1 for ball joints at both ends [-].

    Returns
    -------
    float
        Compression at which it buckles [N].

    Notes
    -----
    Only below the transition slenderness.

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, 10th ed., section 4-13
       (from memory).

    Examples
    --------
    >>> round(johnson_load(275.0e-6, 0.01021, 0.6, 205e9, 435e6, 1.0) / 1e3)
    97
    """
    slenderness = slenderness_ratio(length, radius_of_gyration)
    loss = (yield_strength * slenderness / (2.0 * np.pi)) ** 2 / (end_condition * youngs_modulus)
    return area * (yield_strength - loss)


def buckling_load(
    outer_diameter: Number,
    inner_diameter: Number,
    length: Number,
    youngs_modulus: Number,
    yield_strength: Number,
    end_condition: Number,
) -> Number:
    """Buckling load of a round rod or tube, by the formula that holds at its slenderness.

    Parameters
    ----------
    outer_diameter : float
        Outer diameter [m].
    inner_diameter : float
        Inner diameter, nought for a solid rod [m].
    length : float
        Length between the joints [m].
    youngs_modulus : float
        Young's modulus [Pa].
    yield_strength : float
        Yield strength [Pa].
    end_condition : float
        End condition constant, 1 for ball joints at both ends [-].

    Returns
    -------
    float
        Compression at which it buckles [N].

    Notes
    -----
    Straight and of one section from end to end. A link that is bent to clear something bears
    far less; this figure must not be used for it.

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, 10th ed., sections 4-12
       and 4-13 (from memory).

    Examples
    --------
    >>> round(float(buckling_load(0.0381, 0.0254, 1.1, 205e9, 480e6, 1.0)) / 1e3, 1)
    138.8
    """
    area = tube_area(outer_diameter, inner_diameter)
    second_moment = tube_second_moment(outer_diameter, inner_diameter)
    gyration = radius_of_gyration(second_moment, area)
    limit = transition_slenderness(youngs_modulus, yield_strength, end_condition)
    if slenderness_ratio(length, gyration) > limit:
        return euler_load(second_moment, length, youngs_modulus, end_condition)
    return johnson_load(area, gyration, length, youngs_modulus, yield_strength, end_condition)


def tube_buckling_load(
    outer_diameter: Number,
    wall: Number,
    length: Number,
    youngs_modulus: Number,
    yield_strength: Number,
) -> Number:
    """Buckling load of a straight tube or rod that turns freely at both ends.

    Parameters
    ----------
    outer_diameter : float
        Outer diameter [m].
    wall : float
        Thickness of the wall, half the outer diameter for a solid rod [m].
    length : float
        Length between the joints [m].
    youngs_modulus : float
        Young's modulus [Pa].
    yield_strength : float
        Yield strength [Pa].

    Returns
    -------
    float
        Compression at which it buckles [N].

    Notes
    -----
    Ball joints and bushes turn freely enough to count as rounded ends. As for `buckling_load`, a
    link that is bent bears far less.

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, 10th ed., sections 4-12
       and 4-13, table 4-2 (from memory).

    Examples
    --------
    >>> round(float(tube_buckling_load(0.0381, 0.00635, 1.1, 205e9, 480e6)) / 1e3, 1)
    138.8
    """
    inner_diameter = tube_inner_diameter(outer_diameter, wall)
    ends = PINNED_ENDS.value
    return buckling_load(
        outer_diameter, inner_diameter, length, youngs_modulus, yield_strength, ends
    )


def rod_yield_moment(
    outer_diameter: Number, inner_diameter: Number, yield_strength: Number
) -> Number:
    """Bending moment at which a round rod or tube starts to stay bent.

    Parameters
    ----------
    outer_diameter : float
        Outer diameter [m].
    inner_diameter : float
        Inner diameter, nought for a solid rod [m].
    yield_strength : float
        Yield strength [Pa].

    Returns
    -------
    float
        Bending moment at first yield [N*m].

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, 10th ed., section 3-10
       (from memory).

    Examples
    --------
    >>> round(rod_yield_moment(0.0381, 0.0254, 480e6))
    2091
    """
    return yield_strength * tube_section_modulus(outer_diameter, inner_diameter)


def midspan_load_at_yield(yield_moment: Number, length: Number) -> Number:
    """Load across the middle of a link, as from a rock, at which it stays bent.

    Parameters
    ----------
    yield_moment : float
        Bending moment at first yield [N*m].
    length : float
        Length between the joints [m].

    Returns
    -------
    float
        Load in the middle at first yield [N].

    Notes
    -----
    Standing load on a simply supported beam; a blow needs less.

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, 10th ed., table A-9, case 5
       (from memory).

    Examples
    --------
    >>> midspan_load_at_yield(2000.0, 1.0)
    8000.0
    """
    return 4.0 * yield_moment / length
