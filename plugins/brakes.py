"""Brakes: whether they go into the wheel, whether they bolt on, whether they stop the vehicle.

A taller tyre asks for brake torque in proportion to its radius; a larger caliper asks the master
cylinder for more fluid. Figures are for disc brakes; piston areas are those of one side.
"""

from configurator.formulas import brake_hydraulics
from configurator.formulas import brakes as braking
from configurator.formulas import wheels as wheel
from configurator.plugin import (
    AXLES,
    Attribute,
    Family,
    Measure,
    Moves,
    Position,
    Practice,
    computed,
    cross_check,
    each,
    figure,
    fit,
    limit,
    part,
    practice,
    vehicle,
)

BRAKES_PER_AXLE = 2

brakes = Family(
    "brakes",
    "Brakes",
    system="Brakes",
    positions=tuple(Position(f"{axle} brakes", f"{axle} axle") for axle in AXLES),
    pieces=2,
    attributes=(
        Attribute(
            "mount",
            "Code of the mount its bracket bolts to.",
            kind="text",
            example="B52",
        ),
        Attribute(
            "envelope radius",
            "From the wheel centre to the outermost point of rotor and caliper.",
            unit="mm",
            tolerance="1 mm",
            at_least=80.0,
            at_most=300.0,
            example="188",
        ),
        Attribute(
            "effective radius",
            "From the wheel centre to the middle of the pads.",
            unit="mm",
            tolerance="1 %",
            at_least=50.0,
            at_most=250.0,
            example="128",
        ),
        Attribute(
            "piston area",
            "Of all pistons on one side of a caliper.",
            unit="cm2",
            tolerance="1 %",
            at_least=3.0,
            at_most=120.0,
            example="36.2",
        ),
        Attribute(
            "pad friction",
            "Coefficient of friction of the pads, hot.",
            at_least=0.2,
            at_most=0.7,
            example="0.38",
            tolerance="5 %",
        ),
        Attribute(
            "rotor mass",
            "Mass of one rotor without its hat: what takes up the heat.",
            unit="kg",
            at_least=1.0,
            at_most=40.0,
            example="8.5",
        ),
        Attribute(
            "stands outboard",
            "How far the caliper stands outboard of the face that the wheel bolts to; negative "
            "where it ends inboard of it.",
            unit="mm",
            tolerance="1 mm",
            at_least=-80.0,
            at_most=80.0,
            required=False,
            example="24",
        ),
        Attribute(
            "parking brake torque",
            "Of one brake, the lever pulled with the force that the regulation permits; 0 where it "
            "has no parking brake.",
            unit="N*m",
            tolerance="10 %",
            at_least=0.0,
            at_most=5000.0,
            required=False,
            example="1400",
        ),
    ),
    meaning="Rotor, caliper, pads and bracket of one wheel.",
    moves=(Moves("brake hose end", (), {"": "a caution asks to try the hoses"}),),
)

pedal_force = Measure(
    "permitted pedal force",
    "Force on the brake pedal within which the brakes must reach their deceleration.",
    "from the regulation that the vehicle was approved to: 500 N for cars, 700 N for trucks",
    moves_with=(),
    unit="N",
    at_least=100.0,
    at_most=1000.0,
    default=500.0,
    usual=(500.0, 700.0),
)
pedal_ratio = Measure(
    "pedal ratio",
    "Travel of the brake pedal over travel of its push rod.",
    "measure both from the pivot of the pedal",
    at_least=1.0,
    at_most=10.0,
    tolerance="2 %",
)
booster_gain = Measure(
    "booster gain",
    "Force behind the brake booster over force before it; 1 without one.",
    "vehicle maker's data; or line pressure with and without vacuum, the pedal pressed with the "
    "permitted force: there many boosters help no further, and their gain is less",
    at_least=1.0,
    at_most=15.0,
    tolerance="5 %",
)
rear_pressure = Measure(
    "rear line pressure share",
    "Pressure that the valve lets through to the rear brakes in a hard stop, of that at the front.",
    "two gauges at the calipers, pedal pressed hard; 1 without a valve",
    unit="%",
    tolerance="2 %",
    at_least=10.0,
    at_most=100.0,
    default=100.0,
    usual=(40.0, 100.0),
)
required = Measure(
    "required deceleration",
    "Deceleration that the service brake must reach with the vehicle at its permitted mass.",
    "from the regulation that the vehicle was approved to",
    unit="m/s2",
    at_least=2.0,
    at_most=10.0,
    default=6.43,
    usual=(5.0, 6.43),
)
kept_deceleration = Practice(
    "share of the deceleration kept",
    "Share of the deceleration at the permitted pedal force that a change must leave.",
    92.0,
    "common practice, no source: keep brake torque in proportion to tyre radius",
    unit="%",
    at_least=50.0,
    at_most=100.0,
)


@fit(
    "the {axle} brake bolts to the hub or axle",
    because="a bracket needs the bolt pattern it was made for",
    source="geometry",
)
def brake_fits_mount(
    mount: str = part("{axle} brakes", "mount"),
    on_axle: str = part("{axle} axle", "brake mount"),
    on_hub: str | None = part("{axle} hub reductions", "brake mount"),
):
    # A geared hub covers the axle's own mount: only what the hub offers is left.
    return mount == (on_hub or on_axle)


@limit(
    "the {axle} brake fits inside the wheel",
    quantity="gap between {axle} brake and wheel",
    unit="mm",
    concerns="contact",
    at_least=practice("gap in the barrel"),
    because="a caliper that touches the barrel cuts through it",
    source="geometry; gap by common practice, no source",
)
def gap_in_wheel(
    barrel: float = part("wheels", "barrel diameter"),
    envelope: float = part("{axle} brakes", "envelope radius"),
):
    return wheel.barrel_gap(barrel, 2 * envelope)


@figure(
    "line pressure",
    unit="bar",
    resolution=0.1,
    rounding="down",
    meaning="In the front brake lines at the permitted pedal force.",
    source="Day, Braking of Road Vehicles; Pascal's law",
)
def line_pressure(
    bore: float = part("master cylinder", "bore"),
    force: float = vehicle("permitted pedal force"),
    pedal_ratio: float = vehicle("pedal ratio"),
    booster_gain: float = vehicle("booster gain"),
):
    return brake_hydraulics.line_pressure(force, pedal_ratio, booster_gain, bore)


@figure(
    "front brake torque",
    unit="N*m",
    resolution=50.0,
    rounding="down",
    meaning="At both front wheels, at the permitted pedal force.",
    source="Limpert, Brake Design and Safety, 3rd ed., ch. 5 (chapter from memory)",
)
def front_brake_torque(
    piston_area: float = part("front brakes", "piston area"),
    friction: float = part("front brakes", "pad friction"),
    effective_radius: float = part("front brakes", "effective radius"),
    pressure: float = computed("line pressure"),
):
    gain = braking.axle_brake_gain(piston_area, friction, effective_radius, 1.0)
    return gain * pressure


@figure(
    "rear brake torque",
    unit="N*m",
    resolution=50.0,
    rounding="down",
    meaning="At both rear wheels, at the permitted pedal force.",
    source="Limpert, Brake Design and Safety, 3rd ed., ch. 5 (chapter from memory)",
)
def rear_brake_torque(
    piston_area: float = part("rear brakes", "piston area"),
    friction: float = part("rear brakes", "pad friction"),
    effective_radius: float = part("rear brakes", "effective radius"),
    pressure: float = computed("line pressure"),
    valve: float = vehicle("rear line pressure share"),
):
    gain = braking.axle_brake_gain(piston_area, friction, effective_radius, 1.0)
    return gain * pressure * valve


@figure(
    "brake torque",
    unit="N*m",
    resolution=100.0,
    rounding="down",
    meaning="At all four wheels, at the permitted pedal force.",
    source="sum over the axles",
)
def brake_torque(
    front: float = computed("front brake torque"), rear: float = computed("rear brake torque")
):
    return front + rear


@figure(
    "deceleration at the permitted pedal force",
    unit="m/s2",
    resolution=0.02,
    rounding="down",
    meaning="Of the vehicle at its permitted mass, on ground that grips; brakes warm and dry.",
    source="Day, Braking of Road Vehicles; force is torque over tyre radius",
    states=("fully laden",),
)
def deceleration(
    torque: float = computed("brake torque"),
    tyre_diameter: float = computed("tyre diameter"),
    mass: float = vehicle("permitted mass"),
):
    return braking.brake_force(torque, tyre_diameter / 2) / mass


@limit(
    "the brakes stop the laden vehicle within the permitted pedal force",
    quantity="braking at the permitted pedal force",
    unit="m/s2",
    concerns="law",
    at_least=vehicle("required deceleration"),
    because="a taller tyre takes away brake force in proportion to its radius",
    source="49 CFR 571.135 S7.5 (2015): 0.10 V + 0.0060 V² is 6.43 m/s² once the brakes act",
)
def deceleration_reached(
    deceleration: float = computed("deceleration at the permitted pedal force"),
):
    return deceleration


@limit(
    "the brakes stop about as well as before the change",
    quantity="braking compared with before the change",
    unit="%",
    concerns="change",
    at_least=practice("share of the deceleration kept"),
    because="the driver's foot knows the brakes as they were",
    source="common practice, no source: keep brake torque in proportion to tyre radius",
)
def deceleration_kept(
    after: float = computed("deceleration at the permitted pedal force"),
    before: float = computed("deceleration at the permitted pedal force", before=True, exact=True),
):
    return after / before


@cross_check("the pads lie inside the brake's envelope", do="check both radii", family="brakes")
def pads_inside(
    effective: float = each("effective radius"), envelope: float = each("envelope radius")
):
    return effective < envelope
