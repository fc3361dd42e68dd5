"""Brakes: from the line pressure to the ground, and the heat of a stop.

Brakes decide over life and death. These figures compare packages; they are no approval, and a
changed brake system is tested on the road by people licensed to do it.

Which wheels lock first is in `brake_balance`.
"""

from __future__ import annotations

from configurator.core.units import Constant
from configurator.formulas.brake_hydraulics import line_pressure, piston_area
from configurator.formulas.constants import Number

IRON_SPECIFIC_HEAT = Constant(
    460.0, "J/(kg*K)", "grey cast iron; Limpert, Brake Design and Safety, 3rd ed. (from memory)"
)


def disc_brake_torque(
    pressure: Number, piston_area: Number, friction: Number, effective_radius: Number
) -> Number:
    """Torque of one disc brake.

    Parameters
    ----------
    pressure : float
        Line pressure [Pa].
    piston_area : float
        Area of the pistons on one side of the disc [m**2].
    friction : float
        Friction of the pads [-].
    effective_radius : float
        Radius at which the pads act on average [m].

    Returns
    -------
    float
        Braking torque on the disc [N*m].

    Notes
    -----
    Two faces, pressed alike: a sliding caliper with pistons on one side presses the other face
    just as hard. Counting the pistons of both sides gives twice the torque there is.

    References
    ----------
    .. [1] Limpert, Brake Design and Safety, 3rd ed., ch. 5 (from memory).

    Examples
    --------
    >>> round(disc_brake_torque(3.158e6, 3.6191e-3, 0.4, 0.13))
    1189
    """
    return 2.0 * friction * pressure * piston_area * effective_radius


def torque_at_wheel(brake_torque: Number, gear_ratio: Number) -> Number:
    """Braking torque at the wheel of a brake that sits before a reduction gear.

    Parameters
    ----------
    brake_torque : float
        Torque at the disc or drum [N*m].
    gear_ratio : float
        Ratio between brake and wheel: the hub reduction for a brake inboard of it, 1 for a
        brake on the wheel side [-].

    Returns
    -------
    float
        Braking torque at the wheel [N*m].

    Notes
    -----
    A brake inboard of the gear gains torque by the ratio and turns faster by it; both teeth and
    half-shaft joints then carry braking.

    References
    ----------
    .. [1] Gear ratio as ratio of torques without loss; ISO 1122-1:1998 (from memory).

    Examples
    --------
    >>> torque_at_wheel(1200.0, 1.25)
    1500.0
    """
    return brake_torque * gear_ratio


def brake_force(torque: Number, tyre_radius: Number) -> Number:
    """Force at the ground from braking torque.

    Parameters
    ----------
    torque : float
        Braking torque at the wheel or wheels [N*m].
    tyre_radius : float
        Static loaded radius of the tyre [m].

    Returns
    -------
    float
        Braking force, as long as the tyre grips [N].

    References
    ----------
    .. [1] Limpert, Brake Design and Safety, 3rd ed., ch. 7 (from memory).

    Examples
    --------
    >>> round(brake_force(1188.5, 0.39))
    3047
    """
    return torque / tyre_radius


def axle_brake_gain(
    piston_area: Number, friction: Number, effective_radius: Number, gear_ratio: Number
) -> Number:
    """Braking torque at both wheels of an axle, for each unit of line pressure.

    Parameters
    ----------
    piston_area : float
        Area of the pistons on one side of one disc [m**2].
    friction : float
        Friction of the pads [-].
    effective_radius : float
        Radius at which the pads act on average [m].
    gear_ratio : float
        Ratio between brake and wheel, see `torque_at_wheel` [-].

    Returns
    -------
    float
        Torque at both wheels over pressure [m**3].

    References
    ----------
    .. [1] Two discs of two faces each; Limpert, Brake Design and Safety, 3rd ed., ch. 5 (from
       memory).

    Examples
    --------
    >>> round(axle_brake_gain(3.6191e-3, 0.4, 0.13, 1.0) * 3.158e6)
    2377
    """
    return 4.0 * friction * piston_area * effective_radius * gear_ratio


def deceleration_reached(
    pedal_force: Number,
    pedal_ratio: Number,
    booster_gain: Number,
    master_cylinder_bore: Number,
    front_gain: Number,
    rear_gain: Number,
    tyre_radius: Number,
    mass: Number,
) -> Number:
    """Deceleration that the brakes of both axles give at a pedal force.

    Parameters
    ----------
    pedal_force : float
        Force of the foot on the pedal [N].
    pedal_ratio : float
        Travel of the pedal over travel of the push rod [-].
    booster_gain : float
        Force behind the booster over force before it, 1 without a booster [-].
    master_cylinder_bore : float
        Bore of the master cylinder [m].
    front_gain : float
        Torque over pressure at the front axle, see `axle_brake_gain` [m**3].
    rear_gain : float
        Torque over pressure at the rear axle [m**3].
    tyre_radius : float
        Static loaded radius of the tyres, alike front and rear [m].
    mass : float
        Mass of the vehicle, loaded [kg].

    Returns
    -------
    float
        Deceleration [m/s**2].

    Notes
    -----
    Both axles at the same pressure and no wheel locked. The figure may be more than the grip
    allows: hold it against `brake_balance.front_adhesion_used`. Pads hot or wet brake less.

    References
    ----------
    .. [1] Limpert, Brake Design and Safety, 3rd ed., ch. 5 and 7 (from memory).

    Examples
    --------
    >>> a = deceleration_reached(400.0, 4.0, 5.0, 0.0254, 7.5e-4, 3.2e-4, 0.39, 2500.0)
    >>> round(a, 2)
    17.33
    """
    pressure = line_pressure(pedal_force, pedal_ratio, booster_gain, master_cylinder_bore)
    return brake_force(pressure * (front_gain + rear_gain), tyre_radius) / mass


def pedal_force_needed(
    deceleration: Number,
    pedal_ratio: Number,
    booster_gain: Number,
    master_cylinder_bore: Number,
    front_gain: Number,
    rear_gain: Number,
    tyre_radius: Number,
    mass: Number,
) -> Number:
    """Pedal force that a deceleration takes.

    Parameters
    ----------
    deceleration : float
        Deceleration wanted [m/s**2].
    pedal_ratio : float
        Travel of the pedal over travel of the push rod [-].
    booster_gain : float
        Force behind the booster over force before it, 1 without a booster [-].
    master_cylinder_bore : float
        Bore of the master cylinder [m].
    front_gain : float
        Torque over pressure at the front axle, see `axle_brake_gain` [m**3].
    rear_gain : float
        Torque over pressure at the rear axle [m**3].
    tyre_radius : float
        Static loaded radius of the tyres, alike front and rear [m].
    mass : float
        Mass of the vehicle, loaded [kg].

    Returns
    -------
    float
        Force of the foot on the pedal [N].

    References
    ----------
    .. [1] `deceleration_reached` solved for the pedal force.

    Examples
    --------
    >>> round(pedal_force_needed(6.43, 4.0, 5.0, 0.0254, 7.5e-4, 3.2e-4, 0.39, 2500.0))
    148
    """
    pressure = brake_torque_needed(mass, deceleration, tyre_radius) / (front_gain + rear_gain)
    return pressure * piston_area(master_cylinder_bore, 1.0) / (pedal_ratio * booster_gain)


def brake_torque_needed(mass: Number, deceleration: Number, tyre_radius: Number) -> Number:
    """Braking torque of all wheels together that a deceleration takes.

    Parameters
    ----------
    mass : float
        Mass of the vehicle [kg].
    deceleration : float
        Deceleration wanted [m/s**2].
    tyre_radius : float
        Static loaded radius of the tyres [m].

    Returns
    -------
    float
        Braking torque at the wheels [N*m].

    Notes
    -----
    It grows with the radius: a taller tyre weakens the brakes in proportion.

    References
    ----------
    .. [1] Limpert, Brake Design and Safety, 3rd ed., ch. 7 (from memory).

    Examples
    --------
    >>> round(brake_torque_needed(2500.0, 0.8 * 9.80665, 0.39))
    7649
    """
    return mass * deceleration * tyre_radius


def kinetic_energy(mass: Number, speed: Number) -> Number:
    """Energy that a stop turns into heat.

    Parameters
    ----------
    mass : float
        Mass of the vehicle [kg].
    speed : float
        Speed at the start [m/s].

    Returns
    -------
    float
        Kinetic energy [J].

    Notes
    -----
    Turning parts are left out; they add a few per cent in a high gear.

    References
    ----------
    .. [1] Limpert, Brake Design and Safety, 3rd ed., ch. 3 (from memory).

    Examples
    --------
    >>> round(kinetic_energy(2500.0, 100.0 / 3.6) / 1e3, 1)
    964.5
    """
    return mass * speed**2 / 2.0


def rotor_temperature_rise(
    energy: Number, share: Number, rotor_mass: Number, specific_heat: Number
) -> Number:
    """Rise of the mean rotor temperature in one stop.

    Parameters
    ----------
    energy : float
        Energy of the stop [J].
    share : float
        Share of it that the rotors take [-].
    rotor_mass : float
        Mass of the rotors that take it, both of the axle [kg].
    specific_heat : float
        Specific heat of the rotors [J/(kg*K)].

    Returns
    -------
    float
        Rise of temperature [K].

    Notes
    -----
    One short stop: no heat leaves the rotor meanwhile. The rubbed surface gets hotter.

    References
    ----------
    .. [1] Limpert, Brake Design and Safety, 3rd ed., ch. 3 (from memory).

    Examples
    --------
    >>> round(rotor_temperature_rise(964506.0, 0.7, 20.0, IRON_SPECIFIC_HEAT.value), 1)
    73.4
    """
    return energy * share / (rotor_mass * specific_heat)
