"""How far dipped beams must point down: the higher the lamp, the steeper."""

from __future__ import annotations

from configurator.core.units import Constant
from configurator.formulas.constants import Number

_R48 = "UN Regulation No. 48, 6.2.6.1.1 and 6.2.6.1.2 (from memory)"

LOW_LAMP = Constant(0.8, "m", f"{_R48}: below it the flatter range holds")
HIGH_LAMP = Constant(1.0, "m", f"{_R48}: above it the steeper range holds")
FLAT = Constant(0.010, "", f"{_R48}: 1.0 % down")
MIDDLE = Constant(0.015, "", f"{_R48}: 1.5 % down")
STEEP = Constant(0.020, "", f"{_R48}: 2.0 % down")


def least_inclination(lower_edge_height: Number) -> Number:
    """Least that a dipped beam is set to point down, as fall over way.

    Parameters
    ----------
    lower_edge_height : float
        From the ground to the lower edge of the lamp's light emitting surface [m].

    Returns
    -------
    float
        Fall over way, 0.01 for 1 % [-].

    References
    ----------
    .. [1] UN Regulation No. 48, 6.2.6.1.1 and 6.2.6.1.2 (from memory): initial aim 1.0 to 1.5 %
       below 0.8 m, 1.5 to 2.0 % above 1.0 m, between them either, as the maker chooses.

    Examples
    --------
    >>> least_inclination(0.79), least_inclination(0.9), least_inclination(1.05)
    (0.01, 0.01, 0.015)
    """
    steep = lower_edge_height > HIGH_LAMP.beside(lower_edge_height)
    return MIDDLE.value if steep else FLAT.value


def most_inclination(lower_edge_height: Number) -> Number:
    """Most that a dipped beam is set to point down, as fall over way.

    Parameters
    ----------
    lower_edge_height : float
        From the ground to the lower edge of the lamp's light emitting surface [m].

    Returns
    -------
    float
        Fall over way, 0.01 for 1 % [-].

    References
    ----------
    .. [1] UN Regulation No. 48, 6.2.6.1.1 and 6.2.6.1.2 (from memory).

    Examples
    --------
    >>> most_inclination(0.79), most_inclination(0.9), most_inclination(1.05)
    (0.015, 0.02, 0.02)
    """
    flat = lower_edge_height < LOW_LAMP.beside(lower_edge_height)
    return MIDDLE.value if flat else STEEP.value
