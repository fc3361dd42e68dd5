"""What a tyre carries at the pressure it is run at, and the pressure that a load asks for.

The load index holds at one pressure only: that of its class, or the one moulded beside the largest
load. Below it the tyre carries less, by a power of the pressure that depends on the class.
"""

from __future__ import annotations

import numpy as np

from configurator.core.units import Constant
from configurator.formulas.constants import Number

PASSENGER_EXPONENT = Constant(
    0.8, "", "ETRTO load formula for passenger car tyres (from memory); fits the tables of ETRTO"
)
LIGHT_TRUCK_EXPONENT = Constant(
    0.7, "", "Tire and Rim Association, LT-metric load formula (from memory); fits its tables"
)
PASSENGER_REFERENCE = Constant(
    2.5e5, "Pa", "ETRTO, ISO 4000-1: standard load at 250 kPa (from memory)"
)


def load_at_pressure(
    capacity: Number, pressure: Number, reference: Number, exponent: Number
) -> Number:
    """Load that a tyre carries at a pressure below the one of its load index.

    Parameters
    ----------
    capacity : float
        Load of its load index [kg].
    pressure : float
        Inflation, cold, above the air outside [Pa].
    reference : float
        Inflation at which the load index holds [Pa].
    exponent : float
        0.8 for passenger car tyres, 0.7 for light truck tyres [-].

    Returns
    -------
    float
        Load that it carries [kg].

    Notes
    -----
    More pressure than the reference carries no more load.

    References
    ----------
    .. [1] Reimpell, Stoll & Betzler, The Automotive Chassis, 2nd ed., 2.2.6 (from memory).
    .. [2] Daws, Inflation pressures at less-than-maximum tire loads, Tire Society, 2009.

    Examples
    --------
    >>> round(float(load_at_pressure(1450.0, 2.4e5, 5.5e5, 0.7)))
    811
    """
    return capacity * np.minimum(pressure / reference, 1.0) ** exponent


def pressure_for_load(
    load: Number, capacity: Number, reference: Number, exponent: Number
) -> Number:
    """Pressure at which a tyre carries a load.

    Parameters
    ----------
    load : float
        Load on the tyre [kg].
    capacity : float
        Load of its load index [kg].
    reference : float
        Inflation at which the load index holds [Pa].
    exponent : float
        0.8 for passenger car tyres, 0.7 for light truck tyres [-].

    Returns
    -------
    float
        Inflation, cold, above the air outside [Pa].

    Notes
    -----
    Above the reference the tyre is overloaded at any pressure.

    References
    ----------
    .. [1] Daws, Inflation pressures at less-than-maximum tire loads, Tire Society, 2009.

    Examples
    --------
    >>> round(float(pressure_for_load(811.0, 1450.0, 5.5e5, 0.7)) / 1e5, 2)
    2.4
    """
    return reference * (load / capacity) ** (1.0 / exponent)
