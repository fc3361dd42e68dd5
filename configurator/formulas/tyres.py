"""A tyre as a shape and a spring: diameters, widths, radii and stiffness.

What it may carry stands in `tyre_sizes` and `mass`.
"""

from __future__ import annotations

import numpy as np

from configurator.core.units import Constant
from configurator.formulas.constants import Number

WIDTH_PER_RIM_WIDTH = Constant(0.4, "", "UN Regulation No. 30, 6.1.1.1, factor K")

ROLLING_FACTOR = Constant(
    3.05, "", "ETRTO Standards Manual, general section, radial tyres (second-hand, not seen)"
)


STIFFNESS_PER_PRESSURE = Constant(
    2.745862,
    "",
    "Rhyne, Tire Science and Technology 33(3), 2005: 0.00028 kgf/mm for each kPa and mm",
)

STIFFNESS_UNINFLATED = Constant(
    33832.9425, "N/m", "Rhyne, Tire Science and Technology 33(3), 2005: 3.45 kgf/mm"
)

CONTACT_WIDTH_SHARE = Constant(0.75, "", "Rhyne, Tire Science and Technology 33(3), 2005")


def section_height(section_width: Number, aspect_ratio: Number) -> Number:
    """Height of the tyre section above the rim.

    Parameters
    ----------
    section_width : float
        Nominal section width from the size designation [m].
    aspect_ratio : float
        Nominal aspect ratio, 0.70 for a 70 series tyre [-].

    Returns
    -------
    float
        Section height [m].

    References
    ----------
    .. [1] UN Regulation No. 30 and No. 54, 6.1.2; ISO 4000-1 (clause from memory).

    Examples
    --------
    >>> round(section_height(0.285, 0.70), 4)
    0.1995
    """
    return section_width * aspect_ratio


def overall_diameter(rim_diameter: Number, section_height: Number) -> Number:
    """Overall diameter of a new tyre, inflated, not loaded.

    Parameters
    ----------
    rim_diameter : float
        Nominal rim diameter [m].
    section_height : float
        Section height [m].

    Returns
    -------
    float
        Overall diameter [m].

    Notes
    -----
    Holds for ISO metric designations. Flotation sizes state the overall diameter itself; numeric
    sizes have no formula. Where the maker publishes a measured diameter, that one wins.

    References
    ----------
    .. [1] UN Regulation No. 30 and No. 54, 6.1.2.

    Examples
    --------
    >>> round(overall_diameter(0.4318, 0.1995), 4)
    0.8308
    """
    return rim_diameter + 2 * section_height


def section_width_on_rim(
    section_width: Number, rim_width: Number, measuring_rim_width: Number
) -> Number:
    """Section width on a rim other than the one the tyre was measured on.

    Parameters
    ----------
    section_width : float
        Section width on the measuring rim [m].
    rim_width : float
        Width of the rim the tyre is fitted to, between the flanges [m].
    measuring_rim_width : float
        Width of the measuring rim [m].

    Returns
    -------
    float
        Section width on the fitted rim [m].

    Notes
    -----
    Within the range of rims that the maker permits. A rim width given as a code is in inches.

    References
    ----------
    .. [1] UN Regulation No. 30, 6.1.1.1: S = S1 + K (A - A1) with K = 0.4.

    Examples
    --------
    Half an inch more rim makes the section 5 mm wider:

    >>> round(section_width_on_rim(0.285, 0.2286, 0.2159), 5)
    0.29008
    """
    factor = WIDTH_PER_RIM_WIDTH.beside(section_width)
    return section_width + factor * (rim_width - measuring_rim_width)


def theoretical_rim_width(section_width: Number, rim_ratio: Number) -> Number:
    """Rim width that a section width is defined on, where the maker states no measuring rim.

    Parameters
    ----------
    section_width : float
        Nominal section width [m].
    rim_ratio : float
        Rim width over section width; 0.7 is usual for series 75 to 50 (from memory) [-].

    Returns
    -------
    float
        Theoretical rim width [m].

    References
    ----------
    .. [1] UN Regulation No. 30, 6.1.1.1: A1 = x S1.

    Examples
    --------
    >>> round(theoretical_rim_width(0.285, 0.7), 4)
    0.1995
    """
    return section_width * rim_ratio


def rolling_circumference(overall_diameter: Number) -> Number:
    """Distance a radial tyre covers in one turn at its reference load and pressure.

    Parameters
    ----------
    overall_diameter : float
        Overall diameter, not loaded [m].

    Returns
    -------
    float
        Rolling circumference [m].

    Notes
    -----
    2.9 % less than the free circumference. For radial road tyres; bias and mud flotation tyres
    are not covered, and the result is an estimate for them.

    References
    ----------
    .. [1] ETRTO Standards Manual, general section: 3.05 times the overall diameter (second-hand).

    Examples
    --------
    >>> round(rolling_circumference(0.8308), 4)
    2.5339
    """
    return ROLLING_FACTOR.beside(overall_diameter) * overall_diameter


def effective_rolling_radius(rolling_circumference: Number) -> Number:
    """Radius that ties road speed to the speed of the wheel.

    Parameters
    ----------
    rolling_circumference : float
        Distance covered in one turn [m].

    Returns
    -------
    float
        Effective rolling radius [m].

    References
    ----------
    .. [1] Pacejka, Tire and Vehicle Dynamics, 3rd ed., ch. 7.

    Examples
    --------
    >>> round(effective_rolling_radius(2.5339), 4)
    0.4033
    """
    return rolling_circumference / (2 * np.pi)


def effective_radius_from_deflection(free_radius: Number, deflection: Number) -> Number:
    """Effective rolling radius from the deflection, a second way beside the circumference.

    Parameters
    ----------
    free_radius : float
        Half the overall diameter [m].
    deflection : float
        Free radius less static loaded radius [m].

    Returns
    -------
    float
        Effective rolling radius [m].

    Notes
    -----
    A third of the deflection is a usual value for radial tyres; within about 1 % of the value
    from the rolling circumference.

    References
    ----------
    .. [1] Pacejka, Tire and Vehicle Dynamics, 3rd ed., ch. 7; Jazar, Vehicle Dynamics, ch. 3.

    Examples
    --------
    >>> round(effective_radius_from_deflection(0.4154, 0.0252), 4)
    0.407
    """
    return free_radius - deflection / 3


def vertical_stiffness(pressure: Number, section_width: Number, overall_diameter: Number) -> Number:
    """Vertical spring rate of a tyre, estimated from its size and pressure.

    Parameters
    ----------
    pressure : float
        Inflation pressure above that of the air outside [Pa].
    section_width : float
        Section width [m].
    overall_diameter : float
        Overall diameter, not loaded [m].

    Returns
    -------
    float
        Vertical stiffness [N/m].

    Notes
    -----
    A fit to measured passenger and light truck tyres at road pressures; an estimate for others,
    and not for pressures let down for soft ground.

    References
    ----------
    .. [1] Rhyne, Development of a vertical stiffness relationship for belted radial tires,
       Tire Science and Technology 33(3), 2005.

    Examples
    --------
    >>> round(vertical_stiffness(240e3, 0.285, 0.8308), -2)
    311500.0
    """
    contact_width = CONTACT_WIDTH_SHARE.beside(section_width) * section_width
    size = (contact_width * overall_diameter) ** 0.5
    inflated = STIFFNESS_PER_PRESSURE.beside(pressure) * pressure * size
    return inflated + STIFFNESS_UNINFLATED.beside(pressure)


def deflection(load: Number, stiffness: Number) -> Number:
    """How far a tyre gives way under load.

    Parameters
    ----------
    load : float
        Vertical load on the tyre [N].
    stiffness : float
        Vertical stiffness [N/m].

    Returns
    -------
    float
        Deflection [m].

    References
    ----------
    .. [1] Jazar, Vehicle Dynamics, ch. 3.

    Examples
    --------
    >>> round(deflection(7845.0, 311.5e3), 4)
    0.0252
    """
    return load / stiffness


def static_loaded_radius(overall_diameter: Number, load: Number, stiffness: Number) -> Number:
    """Height of the wheel centre above the ground with the vehicle standing.

    Parameters
    ----------
    overall_diameter : float
        Overall diameter, not loaded [m].
    load : float
        Vertical load on the tyre [N].
    stiffness : float
        Vertical stiffness [N/m].

    Returns
    -------
    float
        Static loaded radius [m].

    References
    ----------
    .. [1] Jazar, Vehicle Dynamics, ch. 3; 49 CFR 523.2 for the term.

    Examples
    --------
    >>> round(static_loaded_radius(0.8308, 7845.0, 311.5e3), 4)
    0.3902
    """
    return overall_diameter / 2 - deflection(load, stiffness)
