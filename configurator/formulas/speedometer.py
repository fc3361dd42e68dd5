"""What a speedometer shows after a change of tyres or gears, and what it may show."""

from __future__ import annotations

from configurator.core.units import Constant, to_si
from configurator.formulas.constants import Number

R39_SHARE = Constant(0.1, "", "UN Regulation No. 39, 5.4 (5.3 in earlier issues)")

R39_ALLOWANCE = Constant(
    to_si(4.0, "km/h"), "m/s", "UN Regulation No. 39, 5.4 (5.3 in earlier issues): 4 km/h"
)


def shown_speed(
    true_speed: Number,
    radius_before: Number,
    radius_after: Number,
    ratio_before: Number,
    ratio_after: Number,
) -> Number:
    """Speed shown by a speedometer that was exact before and was not calibrated again.

    Parameters
    ----------
    true_speed : float
        True road speed [m/s].
    radius_before : float
        Effective rolling radius the speedometer was exact with [m].
    radius_after : float
        Effective rolling radius now [m].
    ratio_before : float
        Ratio between the pick-up and the wheels the speedometer was exact with [-].
    ratio_after : float
        Ratio between the pick-up and the wheels now [-].

    Returns
    -------
    float
        Shown speed [m/s].

    Notes
    -----
    With the pick-up at the gearbox or transfer case, final drive and hub lie between it and the
    wheels. With the pick-up at a wheel, both ratios are 1.

    References
    ----------
    .. [1] Follows from shaft speed = road speed * ratio / rolling radius.

    Examples
    --------
    Taller tyres alone make it read low, the unlawful side:

    >>> round(shown_speed(29.82, 0.3870, 0.4154, 1.0, 1.0), 2)
    27.78
    """
    return true_speed * (radius_before / radius_after) * (ratio_after / ratio_before)


def true_speed(
    shown_speed: Number,
    radius_before: Number,
    radius_after: Number,
    ratio_before: Number,
    ratio_after: Number,
) -> Number:
    """Road speed in truth when the speedometer, exact before, shows a speed.

    Parameters
    ----------
    shown_speed : float
        Shown speed [m/s].
    radius_before : float
        Effective rolling radius the speedometer was exact with [m].
    radius_after : float
        Effective rolling radius now [m].
    ratio_before : float
        Ratio between the pick-up and the wheels the speedometer was exact with [-].
    ratio_after : float
        Ratio between the pick-up and the wheels now [-].

    Returns
    -------
    float
        True road speed [m/s].

    References
    ----------
    .. [1] Follows from shaft speed = road speed * ratio / rolling radius.

    Examples
    --------
    >>> round(true_speed(27.78, 0.3870, 0.4154, 1.0, 1.0), 2)
    29.82
    """
    return shown_speed * (radius_after / radius_before) * (ratio_before / ratio_after)


def error_share(shown_speed: Number, true_speed: Number) -> Number:
    """Error of a speedometer as a share of the true speed.

    Parameters
    ----------
    shown_speed : float
        Shown speed [m/s].
    true_speed : float
        True road speed [m/s].

    Returns
    -------
    float
        Error, negative when the speedometer reads low [-].

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> round(error_share(27.78, 29.82), 3)
    -0.068
    """
    return (shown_speed - true_speed) / true_speed


def largest_shown_speed(true_speed: Number) -> Number:
    """Highest speed that a speedometer may show at a true speed.

    Parameters
    ----------
    true_speed : float
        True road speed [m/s].

    Returns
    -------
    float
        Highest lawful shown speed [m/s].

    Notes
    -----
    The lowest lawful shown speed is the true speed itself. The regulation tests at fixed speeds;
    local law may differ.

    References
    ----------
    .. [1] UN Regulation No. 39, 5.4 (5.3 in earlier issues):
       0 <= V1 - V2 <= 0.1 V2 + 4 km/h, V1 shown and V2 true.

    Examples
    --------
    >>> round(largest_shown_speed(25.0), 4)
    28.6111
    """
    return true_speed * (1 + R39_SHARE.beside(true_speed)) + R39_ALLOWANCE.beside(true_speed)


def is_lawful(shown_speed: Number, true_speed: Number) -> bool:
    """Whether a shown speed is within the limits at a true speed.

    Parameters
    ----------
    shown_speed : float
        Shown speed [m/s].
    true_speed : float
        True road speed [m/s].

    Returns
    -------
    bool
        False when the speedometer reads low at all, or too high.

    References
    ----------
    .. [1] UN Regulation No. 39, 5.4 (5.3 in earlier issues).

    Examples
    --------
    >>> is_lawful(27.78, 29.82), is_lawful(30.0, 29.82), is_lawful(35.0, 29.82)
    (False, True, False)
    """
    return bool(true_speed <= shown_speed <= largest_shown_speed(true_speed))
