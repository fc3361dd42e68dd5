"""What the road asks at speed, what the engine has left for a grade, and what it drinks."""

from __future__ import annotations

from configurator.core.units import Constant
from configurator.formulas.constants import STANDARD_GRAVITY, Number

AIR_DENSITY = Constant(1.225, "kg/m**3", "ISO 2533:1975, standard atmosphere at sea level, 15 degC")
PETROL_CURVE = Constant(
    1.0, "", "Genta, Motor Vehicle Dynamics, 1997, ch. 4, after Artamonov (from memory): petrol"
)
DIESEL_CURVE = Constant(
    0.87,
    "",
    "Genta, Motor Vehicle Dynamics, 1997, ch. 4, after Artamonov (from memory): diesel, direct "
    "injection",
)
_WILLANS = "Guzzella & Sciarretta, Vehicle Propulsion Systems, ch. 3 (from memory)"
PETROL_EFFICIENCY = Constant(0.38, "", f"{_WILLANS}: of the gas, friction left out")
DIESEL_EFFICIENCY = Constant(0.42, "", f"{_WILLANS}: of the gas, friction left out")
PETROL_ENERGY = Constant(32.2e9, "J/m**3", "EN 228 petrol: 43.2 MJ/kg, 745 kg/m3 (from memory)")
DIESEL_ENERGY = Constant(35.8e9, "J/m**3", "EN 590 diesel: 42.8 MJ/kg, 836 kg/m3 (from memory)")


def air_drag(density: Number, drag_coefficient: Number, area: Number, speed: Number) -> Number:
    """Force of the air on a vehicle.

    Parameters
    ----------
    density : float
        Density of the air [kg/m**3].
    drag_coefficient : float
        Drag coefficient [-].
    area : float
        Frontal area [m**2].
    speed : float
        Speed through the air [m/s].

    Returns
    -------
    float
        Force against the motion [N].

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, ch. 4 (chapter from memory).

    Examples
    --------
    >>> round(air_drag(1.225, 0.45, 2.9, 100 / 3.6))
    617
    """
    return 0.5 * density * drag_coefficient * area * speed**2


def rolling_force(mass: Number, rolling_resistance: Number) -> Number:
    """Force of rolling on level ground.

    Parameters
    ----------
    mass : float
        Mass of the vehicle [kg].
    rolling_resistance : float
        Coefficient of rolling resistance [-].

    Returns
    -------
    float
        Force against the motion [N].

    References
    ----------
    .. [1] Gillespie, Fundamentals of Vehicle Dynamics, ch. 4 (chapter from memory).

    Examples
    --------
    >>> round(rolling_force(3050.0, 0.015))
    449
    """
    return rolling_resistance * mass * STANDARD_GRAVITY.beside(mass)


def full_load_power(
    engine_speed: Number, largest_power: Number, speed_of_largest: Number, first: Number
) -> Number:
    """Power of an engine at full load, from the one point that papers give.

    Parameters
    ----------
    engine_speed : float
        Engine speed [rad/s].
    largest_power : float
        Its largest power [W].
    speed_of_largest : float
        Engine speed at which it has it [rad/s].
    first : float
        First coefficient of the curve; the second is 2 less that, the third -1 [-].

    Returns
    -------
    float
        Power [W].

    Notes
    -----
    A cubic of the speed through the one point. Turbocharged engines have more at low speed.

    References
    ----------
    .. [1] Genta, Motor Vehicle Dynamics, 1997, ch. 4, after Artamonov et al. (from memory).

    Examples
    --------
    >>> [round(full_load_power(x, 100.0, 1.0, 1.0)) for x in (0.5, 1.0)]
    [62, 100]
    """
    share = engine_speed / speed_of_largest
    return largest_power * share * (first + (2.0 - first) * share - share**2)


def fuel_per_way(
    power: Number,
    friction_power: Number,
    efficiency: Number,
    energy_density: Number,
    speed: Number,
) -> Number:
    """Fuel that an engine takes for its way, by a straight line through power and friction.

    Parameters
    ----------
    power : float
        Power at the crankshaft [W].
    friction_power : float
        Power that its own friction and pumping take [W].
    efficiency : float
        Share of the fuel's energy that the gas turns into work [-].
    energy_density : float
        Lower heating value of a volume of fuel [J/m**3].
    speed : float
        Road speed [m/s].

    Returns
    -------
    float
        Volume of fuel over way [m**2].

    References
    ----------
    .. [1] Guzzella & Sciarretta, Vehicle Propulsion Systems, ch. 3: Willans line (from memory).

    Examples
    --------
    >>> round(fuel_per_way(35e3, 10e3, 0.42, 35.8e9, 100 / 3.6) * 1e8, 1)
    10.8
    """
    return (power + friction_power) / (efficiency * energy_density * speed)
