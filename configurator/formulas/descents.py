"""Standing on a slope and going down one: parking brake, brakes held for long, engine braking."""

from __future__ import annotations

import numpy as np

from configurator.core.units import Constant
from configurator.formulas.constants import STANDARD_GRAVITY, Number

ENGINE_FRICTION_PRESSURE = Constant(
    1.5e5,
    "Pa",
    "Guzzella & Sciarretta, Vehicle Propulsion Systems, ch. 3: mean pressure that friction and "
    "pumping take (from memory)",
)


def grade_held(wheel_torque: Number, tyre_radius: Number, mass: Number) -> Number:
    """Steepest grade on which a braking torque holds a standing vehicle.

    Parameters
    ----------
    wheel_torque : float
        Torque of the brake at all wheels that it holds [N*m].
    tyre_radius : float
        Radius on which it holds; the free one is on the safe side [m].
    mass : float
        Mass that stands on the slope, a trailer included [kg].

    Returns
    -------
    float
        Grade, rise over run [-].

    Notes
    -----
    The slope pulls with the sine of its angle. Beyond the weight there is no such slope; the grade
    then stays at that of 0.99 of the weight.

    References
    ----------
    .. [1] Mechanics; Day, Braking of Road Vehicles, ch. 5 (chapter from memory).

    Examples
    --------
    >>> round(float(grade_held(2800.0, 0.42, 3050.0)), 3)
    0.229
    """
    weight = mass * STANDARD_GRAVITY.beside(mass)
    return np.tan(np.arcsin(np.minimum(wheel_torque / (tyre_radius * weight), 0.99)))


def downhill_power(
    mass: Number, speed: Number, grade: Number, rolling_resistance: Number
) -> Number:
    """Power that has to be braked away to keep a speed downhill.

    Parameters
    ----------
    mass : float
        Mass of the vehicle [kg].
    speed : float
        Speed that is kept [m/s].
    grade : float
        Fall over run [-].
    rolling_resistance : float
        Coefficient of rolling resistance [-].

    Returns
    -------
    float
        Power [W].

    Notes
    -----
    Air drag is left out, which is on the safe side; so is the engine.

    References
    ----------
    .. [1] Limpert, Brake Design and Safety, 3rd ed., ch. 3 (chapter from memory).

    Examples
    --------
    >>> round(float(downhill_power(3050.0, 30 / 3.6, 0.06, 0.015)))
    11196
    """
    weight = mass * STANDARD_GRAVITY.beside(mass)
    angle = np.arctan(grade)
    return weight * speed * (np.sin(angle) - rolling_resistance * np.cos(angle))


def rise_while_held(
    power: Number, heat_capacity: Number, cooling_time: Number, time: Number
) -> Number:
    """Temperature that a brake rises to while it takes a steady power.

    Parameters
    ----------
    power : float
        Power that goes into it [W].
    heat_capacity : float
        Its mass times its specific heat [J/K].
    cooling_time : float
        Time in which it loses 63 % of what it is hotter than the air [s].
    time : float
        For how long it is held [s].

    Returns
    -------
    float
        Temperature above the air [K].

    References
    ----------
    .. [1] Limpert, Brake Design and Safety, 3rd ed., ch. 3, continued braking: one body that
       loses heat in proportion to its temperature (chapter from memory).

    Examples
    --------
    >>> round(float(rise_while_held(8900.0, 7912.0, 400.0, 720.0)))
    376
    """
    steady = power * cooling_time / heat_capacity
    return steady * (1.0 - np.exp(-time / cooling_time))


def engine_drag_torque(displacement: Number, friction_pressure: Number) -> Number:
    """Torque with which a four-stroke engine brakes, throttle shut, at low speed.

    Parameters
    ----------
    displacement : float
        Swept volume of all cylinders [m**3].
    friction_pressure : float
        Mean pressure that friction and pumping take [Pa].

    Returns
    -------
    float
        Torque at the crankshaft [N*m].

    References
    ----------
    .. [1] Guzzella & Sciarretta, Vehicle Propulsion Systems, ch. 3 (from memory): T = p V / 4 pi.

    Examples
    --------
    >>> round(engine_drag_torque(2.8e-3, 1.5e5), 1)
    33.4
    """
    return friction_pressure * displacement / (4.0 * np.pi)
