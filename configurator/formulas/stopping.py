"""Stopping distances: what regulations permit, and what a test run shows.

Which regulation binds a vehicle depends on where it is registered, and on its class and mass.
A changed vehicle meets one only when it has been tested to it.
"""

from __future__ import annotations

from dataclasses import dataclass

from configurator.core.units import Constant
from configurator.formulas.constants import Number


@dataclass(frozen=True, slots=True)
class StoppingRule:
    """A permitted stopping distance ``lag * v + square * v**2``.

    Parameters
    ----------
    title
        What is tested and on which vehicles.
    lag
        First coefficient [s]: the time until the brakes act.
    square
        Second coefficient [s**2/m]: the braking itself.
    pedal_force
        Largest force on the pedal [N].
    """

    title: str
    lag: Constant
    square: Constant
    pedal_force: Constant


REAR_ADHESION_SHARE = Constant(0.9, "", "49 CFR 571.135 S7.4.5 (2015)")

# Regulations print the coefficients for km/h and metres; 3.6 km/h are 1 m/s.
_KMH = 3.6


def _rule(
    title: str, lag: float, square: float, pedal_force: float, clause: str, memory: bool = False
) -> StoppingRule:
    source = f"{clause} (from memory)" if memory else clause
    return StoppingRule(
        title,
        Constant(lag * _KMH, "s", f"{source}: {lag:g} V"),
        Constant(square * _KMH**2, "s**2/m", f"{source}: {square:.6g} V**2"),
        Constant(pedal_force, "N", source),
    )


STOPPING_RULES = {
    "FMVSS 135 cold": _rule(
        "cold effectiveness, light vehicles up to 3,500 kg",
        *(0.10, 0.0060, 500.0, "49 CFR 571.135 S7.5 (2015)"),
    ),
    "FMVSS 135 hot": _rule(
        "hot performance, light vehicles up to 3,500 kg",
        *(0.10, 0.0079, 500.0, "49 CFR 571.135 S7.14 (2015)"),
    ),
    "R13-H service M1": _rule(
        "service brake, passenger cars", 0.10, 0.0060, 500.0, "UN R13-H annex 3, 2.1.1", memory=True
    ),
    "R13 service N1": _rule(
        "service brake, light goods vehicles",
        *(0.15, 1 / 130, 700.0, "UN R13 annex 4, 2.1.1"),
        memory=True,
    ),
    "R13 secondary M1": _rule(
        "secondary brake, passenger cars", 0.10, 2 / 150, 500.0, "UN R13 annex 4, 2.2"
    ),
    "R13 secondary M2 M3": _rule(
        "secondary brake, buses", 0.15, 2 / 130, 700.0, "UN R13 annex 4, 2.2"
    ),
    "R13 secondary N": _rule(
        "secondary brake, goods vehicles", 0.15, 2 / 115, 700.0, "UN R13 annex 4, 2.2"
    ),
}


def stopping_distance_limit(speed: Number, lag: Number, square: Number) -> Number:
    """Permitted stopping distance from a speed.

    Parameters
    ----------
    speed : float
        Speed at which the pedal is touched [m/s].
    lag : float
        First coefficient of the rule [s].
    square : float
        Second coefficient of the rule [s**2/m].

    Returns
    -------
    float
        Permitted distance from touching the pedal to standing [m].

    Notes
    -----
    The coefficients are in `STOPPING_RULES`.

    References
    ----------
    .. [1] 49 CFR 571.135 S7.5.3 (2015), "reduced test speed"; UN R13 annex 4, 2.

    Examples
    --------
    >>> rule = STOPPING_RULES["FMVSS 135 cold"]
    >>> round(stopping_distance_limit(100.0 / 3.6, rule.lag.value, rule.square.value), 6)
    70.0
    """
    return lag * speed + square * speed**2


def deceleration_required(square: Number) -> Number:
    """Mean deceleration that a stopping rule asks for once the brakes act.

    Parameters
    ----------
    square : float
        Second coefficient of the rule [s**2/m].

    Returns
    -------
    float
        Deceleration [m/s**2].

    References
    ----------
    .. [1] ``v**2 / (2 d)`` set equal to ``square * v**2``; UN R13 annex 4 prints both forms.

    Examples
    --------
    >>> round(deceleration_required(STOPPING_RULES["R13 secondary N"].square.value), 2)
    2.22
    """
    return 1.0 / (2.0 * square)


def mean_fully_developed_deceleration(
    speed_begin: Number, speed_end: Number, distance_begin: Number, distance_end: Number
) -> Number:
    """Mean fully developed deceleration, from a measured stop.

    Parameters
    ----------
    speed_begin : float
        Eight tenths of the speed at which the pedal was touched [m/s].
    speed_end : float
        One tenth of it [m/s].
    distance_begin : float
        Distance from touching the pedal to the first speed [m].
    distance_end : float
        Distance from touching the pedal to the second speed [m].

    Returns
    -------
    float
        Deceleration [m/s**2].

    References
    ----------
    .. [1] UN R13 annex 4, 1.1.2; printed for km/h with 25.92 in place of 2.

    Examples
    --------
    >>> round(mean_fully_developed_deceleration(80 / 3.6, 10 / 3.6, 20.0, 58.0), 2)
    6.4
    """
    return (speed_begin**2 - speed_end**2) / (2.0 * (distance_end - distance_begin))


def rear_adhesion_limit(braking_rate: Number) -> Number:
    """Most grip that the rear axle may use at a braking rate.

    Parameters
    ----------
    braking_rate : float
        Deceleration over gravity, between 0.15 and 0.80 [-].

    Returns
    -------
    float
        Largest adhesion the rear axle may use [-].

    References
    ----------
    .. [1] 49 CFR 571.135 S7.4.5 (2015): the rear curve lies below ``z = 0.9 k``.

    Examples
    --------
    >>> round(rear_adhesion_limit(0.45), 6)
    0.5
    """
    return braking_rate / REAR_ADHESION_SHARE.value
