"""Masses: how they add up, where they sit, and what axles and tyres may carry.

Loads on axles are given in kilograms, as plates and tyre tables give them.
"""

from __future__ import annotations

from collections.abc import Sequence

from configurator.core.units import Constant
from configurator.formulas.constants import Number

PASSENGER_TYRE_DERATING = Constant(
    1.10,
    "",
    "49 CFR 571.110 S4.2.2.2 (2015): car tyre on a multipurpose vehicle or truck",
)
LIGHT_TRUCK_TYRE_DERATING = Constant(
    1.0, "", "49 CFR 571.110 S4.2.2.1 (2015): rating counts in full"
)


def front_axle_mass(mass: Number, wheelbase: Number, cg_behind_front_axle: Number) -> Number:
    """Mass that the front axle carries at rest on level ground.

    Parameters
    ----------
    mass : float
        Mass of the vehicle [kg].
    wheelbase : float
        Distance between the axles [m].
    cg_behind_front_axle : float
        Distance of the centre of gravity behind the front axle [m].

    Returns
    -------
    float
        Mass carried by the front axle [kg].

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, 1992, ch. 1 (from memory).

    Examples
    --------
    >>> round(front_axle_mass(2500.0, 2.6, 1.4), 1)
    1153.8
    """
    return mass * (wheelbase - cg_behind_front_axle) / wheelbase


def rear_axle_mass(mass: Number, wheelbase: Number, cg_behind_front_axle: Number) -> Number:
    """Mass that the rear axle carries at rest on level ground.

    Parameters
    ----------
    mass : float
        Mass of the vehicle [kg].
    wheelbase : float
        Distance between the axles [m].
    cg_behind_front_axle : float
        Distance of the centre of gravity behind the front axle [m].

    Returns
    -------
    float
        Mass carried by the rear axle [kg].

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, 1992, ch. 1 (from memory).

    Examples
    --------
    >>> round(rear_axle_mass(2500.0, 2.6, 1.4), 1)
    1346.2
    """
    return mass * cg_behind_front_axle / wheelbase


def front_axle_mass_change(
    added_mass: Number, wheelbase: Number, distance_behind_front_axle: Number
) -> Number:
    """Change of the front axle load when a mass is added.

    Parameters
    ----------
    added_mass : float
        Mass that is added, below nought when taken off [kg].
    wheelbase : float
        Distance between the axles [m].
    distance_behind_front_axle : float
        Where it sits behind the front axle, below nought when ahead of it [m].

    Returns
    -------
    float
        Change of the mass carried by the front axle [kg].

    Notes
    -----
    A mass behind the rear axle takes load off the front axle.

    References
    ----------
    .. [1] Moments about the rear axle; Gillespie, Fundamentals of Vehicle Dynamics, 1992, ch. 1
       (from memory).

    Examples
    --------
    >>> round(front_axle_mass_change(200.0, 2.6, 3.1), 1)
    -38.5
    """
    return added_mass * (wheelbase - distance_behind_front_axle) / wheelbase


def rear_axle_mass_change(
    added_mass: Number, wheelbase: Number, distance_behind_front_axle: Number
) -> Number:
    """Change of the rear axle load when a mass is added.

    Parameters
    ----------
    added_mass : float
        Mass that is added, below nought when taken off [kg].
    wheelbase : float
        Distance between the axles [m].
    distance_behind_front_axle : float
        Where it sits behind the front axle, below nought when ahead of it [m].

    Returns
    -------
    float
        Change of the mass carried by the rear axle [kg].

    References
    ----------
    .. [1] Moments about the front axle; Gillespie, Fundamentals of Vehicle Dynamics, 1992, ch. 1
       (from memory).

    Examples
    --------
    >>> round(rear_axle_mass_change(200.0, 2.6, 3.1), 1)
    238.5
    """
    return added_mass * distance_behind_front_axle / wheelbase


def cg_behind_front_axle(
    front_axle_mass: Number, rear_axle_mass: Number, wheelbase: Number
) -> Number:
    """Where the centre of gravity sits, from the two axles on the scales.

    Parameters
    ----------
    front_axle_mass : float
        Mass carried by the front axle [kg].
    rear_axle_mass : float
        Mass carried by the rear axle [kg].
    wheelbase : float
        Distance between the axles [m].

    Returns
    -------
    float
        Distance of the centre of gravity behind the front axle [m].

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, 1992, ch. 1 (from memory).

    Examples
    --------
    >>> round(cg_behind_front_axle(1200.0, 1300.0, 2.6), 3)
    1.352
    """
    return wheelbase * rear_axle_mass / (front_axle_mass + rear_axle_mass)


def total_mass(masses: Sequence[Number]) -> Number:
    """Mass of many things together.

    Parameters
    ----------
    masses : sequence of float
        The masses; at least one [kg].

    Returns
    -------
    float
        Their sum [kg].

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> total_mass([2300.0, 120.0, -80.0])
    2340.0
    """
    return sum(masses)


def mean_position(masses: Sequence[Number], positions: Sequence[Number]) -> Number:
    """Centre of gravity of many masses along one direction.

    Serves for heights above the ground as well as for distances behind the front axle.

    Parameters
    ----------
    masses : sequence of float
        The masses; a part taken off counts below nought [kg].
    positions : sequence of float
        Where each sits, all from the same datum [m].

    Returns
    -------
    float
        Position of the common centre of gravity [m].

    Raises
    ------
    ValueError
        If there are not as many positions as masses.

    Notes
    -----
    The masses together must be above nought.

    References
    ----------
    .. [1] First moments; Gillespie, Fundamentals of Vehicle Dynamics, 1992, ch. 1 (from memory).

    Examples
    --------
    >>> round(mean_position([2200.0, 100.0], [0.70, 1.80]), 4)
    0.7478
    """
    moments = [mass * at for mass, at in zip(masses, positions, strict=True)]
    return sum(moments) / sum(masses)


def axle_tyre_capacity(tyre_rating: Number, tyres: Number, derating: Number) -> Number:
    """Load that the tyres of one axle may carry together.

    Parameters
    ----------
    tyre_rating : float
        Rated load of one tyre, from its load index [kg].
    tyres : float
        Tyres on the axle [-].
    derating : float
        What the rating is divided by: 1.10 for a passenger car tyre on a multipurpose vehicle
        or truck, else 1 [-].

    Returns
    -------
    float
        Tyre capacity of the axle, to be at least its permitted load [kg].

    Notes
    -----
    Vehicles up to 4,536 kg. The divisors are ``PASSENGER_TYRE_DERATING`` and
    ``LIGHT_TRUCK_TYRE_DERATING``.

    References
    ----------
    .. [1] 49 CFR 571.110 S4.2.2.1 and S4.2.2.2 (2015).

    Examples
    --------
    >>> round(axle_tyre_capacity(1250.0, 2.0, PASSENGER_TYRE_DERATING.value), 1)
    2272.7
    """
    return tyre_rating * tyres / derating
