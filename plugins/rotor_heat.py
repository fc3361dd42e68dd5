"""Heat of a hard stop: what the rotors take before pads fade and fluid boils.

A trailer without brakes of its own is stopped by the vehicle's, and heats them.
"""

from configurator.formulas import brakes as braking
from configurator.plugin import (
    Condition,
    Practice,
    computed,
    condition,
    figure,
    limit,
    part,
    practice,
)

BRAKES_PER_AXLE = 2

hard_stop = Condition(
    "emergency-stop speed",
    "From which the brakes must stop the laden vehicle without fading.",
    unit="km/h",
    default="100 km/h",
    at_least=20.0,
    at_most=200.0,
)
rotor_heat = Practice(
    "rotor temperature rise in one stop",
    "Rise that leaves room for the next stop on a descent.",
    140.0,
    "common practice, no source",
    unit="kelvin",
    at_least=50.0,
    at_most=400.0,
)


@figure(
    "front rotor temperature rise",
    unit="kelvin",
    resolution=2.0,
    rounding="up",
    meaning="Of the front rotors in one hard stop of the laden vehicle.",
    source="Limpert, Brake Design and Safety, 3rd ed., ch. 3 (chapter from memory)",
    states=("fully laden",),
)
def front_rotor_rise(
    rotor_mass: float = part("front brakes", "rotor mass"),
    share: float = computed("front share of braking"),
    mass: float = computed("mass that the vehicle's brakes stop"),
    speed: float = condition("emergency-stop speed"),
):
    return rotor_rise(rotor_mass, share, mass, speed)


@figure(
    "rear rotor temperature rise",
    unit="kelvin",
    resolution=2.0,
    rounding="up",
    meaning="Of the rear rotors in one hard stop of the laden vehicle.",
    source="Limpert, Brake Design and Safety, 3rd ed., ch. 3 (chapter from memory)",
    states=("fully laden",),
)
def rear_rotor_rise(
    rotor_mass: float = part("rear brakes", "rotor mass"),
    front_share: float = computed("front share of braking"),
    mass: float = computed("mass that the vehicle's brakes stop"),
    speed: float = condition("emergency-stop speed"),
):
    return rotor_rise(rotor_mass, 1.0 - front_share, mass, speed)


def rotor_rise(rotor_mass: float, share: float, mass: float, speed: float) -> float:
    """Temperature rise of an axle's rotors [K]."""
    energy = braking.kinetic_energy(mass, speed)
    return braking.rotor_temperature_rise(
        energy, share, BRAKES_PER_AXLE * rotor_mass, braking.IRON_SPECIFIC_HEAT.beside(energy)
    )


@limit(
    "the {axle} rotors take the heat of a hard stop",
    quantity="{axle} rotors, temperature rise in an emergency stop",
    unit="kelvin",
    concerns="rating",
    at_most=practice("rotor temperature rise in one stop"),
    because="hot pads lose their grip and hot fluid boils",
    source="common practice, no source",
)
def rotor_heat_kept(rise: float = computed("{axle} rotor temperature rise")):
    return rise
