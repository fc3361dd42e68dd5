"""Ride: how fast body and wheels bounce, and whether the shock absorbers calm them.

A quarter of the vehicle at a time: spring, shock absorber, tyre, and the masses above and below.
"""

from configurator.formulas import dampers, springs, tyres
from configurator.formulas.constants import STANDARD_GRAVITY
from configurator.plugin import (
    Measure,
    Practice,
    computed,
    condition,
    each,
    figure,
    limit,
    part,
    practice,
    total,
    vehicle,
)

WHEELS_PER_AXLE = 2
WHEELS_ON_THE_GROUND = 4

unsprung_mass = Measure(
    "{axle} unsprung mass",
    "Mass of the {axle} axle with its wheels, brakes and half of springs, shocks and links.",
    "axle on the scale with the body on stands, springs out; else maker's data",
    moves_with=(),
    unit="kg",
    tolerance="4 %",
    at_least=50.0,
    at_most=1500.0,
)
slowest = Practice(
    "slowest ride frequency",
    "A body that bounces slower than this wallows.",
    0.9,
    "common practice, no source: 1.0 to 1.5 Hz for comfort",
    unit="Hz",
    at_least=0.3,
    at_most=2.0,
)
fastest = Practice(
    "fastest ride frequency",
    "A body that bounces faster than this shakes its people.",
    1.75,
    "common practice, no source: 1.0 to 1.5 Hz for comfort, more for load on leaf springs",
    unit="Hz",
    at_least=1.0,
    at_most=4.0,
)
weakest_damping = Practice(
    "weakest damping ratio",
    "Below it the body swings on after every bump.",
    0.2,
    "common practice, no source: 0.25 to 0.4 for comfort",
    at_least=0.05,
    at_most=1.0,
)
strongest_damping = Practice(
    "strongest damping ratio",
    "Above it the shock absorbers are harder than the springs.",
    0.48,
    "common practice, no source: 0.25 to 0.4 for comfort",
    at_least=0.1,
    at_most=2.0,
)


@figure(
    "{axle} ride frequency",
    unit="Hz",
    resolution=0.01,
    meaning="How often in a second the body bounces above the {axle} axle, tyres left out.",
    source="Gillespie, Fundamentals of Vehicle Dynamics, ch. 5 (chapter from memory)",
    states=("ride height",),
    not_in={"load": "of the load it was measured with"},
)
def ride_frequency(
    rate: float = part("{axle} springs", "rate"),
    load: float = vehicle("{axle} spring load"),
    motion_ratio: float = vehicle("{axle} spring motion ratio"),
):
    wheel_rate = springs.wheel_rate(rate, motion_ratio)
    return springs.ride_frequency(wheel_rate, sprung_mass(load, motion_ratio))


def sprung_mass(load: float, motion_ratio: float) -> float:
    """Mass above one wheel, from the load on its spring [kg]."""
    return load * motion_ratio / STANDARD_GRAVITY.beside(load)


@limit(
    "the {axle} springs are not too hard",
    quantity="{axle} ride frequency",
    unit="Hz",
    concerns="comfort",
    at_most=practice("fastest ride frequency"),
    because="springs for a load that is not there lift the wheels off the ground",
    source="common practice, no source",
)
def not_too_hard(frequency: float = computed("{axle} ride frequency")):
    return frequency


@limit(
    "the {axle} springs are not too soft",
    quantity="{axle} ride frequency",
    unit="Hz",
    concerns="comfort",
    at_least=practice("slowest ride frequency"),
    because="a body that wallows leans far on a side slope",
    source="common practice, no source",
)
def not_too_soft(frequency: float = computed("{axle} ride frequency")):
    return frequency


@figure(
    "{axle} damping ratio",
    unit="",
    resolution=0.01,
    meaning="Damping above the {axle} axle as a share of what stops it from swinging at all.",
    source="Dixon, The Shock Absorber Handbook, 2nd ed., ch. 2 (chapter from memory)",
    states=("ride height",),
    not_in={"load": "of the load it was measured with"},
)
def damping_ratio(
    rate: float = part("{axle} springs", "rate"),
    damping: float = part("{axle} shocks", "damping"),
    load: float = vehicle("{axle} spring load"),
    spring_ratio: float = vehicle("{axle} spring motion ratio"),
    shock_ratio: float = vehicle("{axle} shock motion ratio"),
):
    return dampers.damping_ratio(
        dampers.wheel_damping(damping, shock_ratio),
        springs.wheel_rate(rate, spring_ratio),
        sprung_mass(load, spring_ratio),
    )


@limit(
    "the {axle} shocks calm the springs",
    quantity="{axle} damping ratio",
    unit="",
    concerns="comfort",
    at_least=practice("weakest damping ratio"),
    because="stiffer springs need stronger shock absorbers",
    source="common practice, no source",
)
def damped_enough(damping_ratio: float = computed("{axle} damping ratio")):
    return damping_ratio


@limit(
    "the {axle} shocks are not too hard for the springs",
    quantity="{axle} damping ratio",
    unit="",
    concerns="comfort",
    at_most=practice("strongest damping ratio"),
    because="a shock absorber that is too strong holds the wheel up after a bump",
    source="common practice, no source",
)
def damped_too_much(damping_ratio: float = computed("{axle} damping ratio")):
    return damping_ratio


def at_axle(axle: str, place: str, sprung: bool, pieces: float) -> float:
    """Share of a position's pieces that an axle carries below its springs."""
    if place == "wheels":
        # A spare is not on the axle, and a set of nuts is one piece for all four wheels.
        return WHEELS_PER_AXLE / max(pieces, WHEELS_ON_THE_GROUND)
    return 1.0 if place == f"{axle} axle" and not sprung else 0.0


@total(
    "front mass below the springs",
    unit="kg",
    start=vehicle("front unsprung mass"),
    meaning="Mass of the front axle with wheels, brakes and all else that moves with it.",
    source="sum; springs and shock absorbers counted as sprung",
)
def front_unsprung(
    mass: float = each("mass"),
    pieces: float = each("pieces"),
    place: str = each("place"),
    sprung: bool = each("sprung"),
):
    return mass * pieces * at_axle("front", place, sprung, pieces)


@total(
    "rear mass below the springs",
    unit="kg",
    start=vehicle("rear unsprung mass"),
    meaning="Mass of the rear axle with wheels, brakes and all else that moves with it.",
    source="sum; springs and shock absorbers counted as sprung",
)
def rear_unsprung(
    mass: float = each("mass"),
    pieces: float = each("pieces"),
    place: str = each("place"),
    sprung: bool = each("sprung"),
):
    return mass * pieces * at_axle("rear", place, sprung, pieces)


@figure(
    "tyre stiffness",
    unit="N/mm",
    resolution=1.0,
    meaning="Vertical stiffness of one tyre at its pressure.",
    source="Rhyne, Tire Science and Technology 33(3), 2005",
)
def tyre_stiffness(
    diameter: float = part("tyres", "overall diameter"),
    section_width: float = part("tyres", "section width"),
    pressure: float = condition("tyre pressure"),
):
    return tyres.vertical_stiffness(pressure, section_width, diameter)


@figure(
    "{axle} wheel hop",
    unit="Hz",
    resolution=0.1,
    meaning="How often in a second the {axle} wheels bounce between road and body.",
    source="Gillespie, Fundamentals of Vehicle Dynamics, ch. 5 (chapter from memory)",
)
def wheel_hop(
    rate: float = part("{axle} springs", "rate"),
    stiffness: float = computed("tyre stiffness"),
    unsprung: float = computed("{axle} mass below the springs"),
    motion_ratio: float = vehicle("{axle} spring motion ratio"),
):
    wheel_rate = springs.wheel_rate(rate, motion_ratio)
    return springs.wheel_hop_frequency(wheel_rate, stiffness, unsprung / WHEELS_PER_AXLE)
