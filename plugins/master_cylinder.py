"""Master cylinder: a small bore needs little force and a long pedal, a large one the reverse."""

from configurator.formulas import brake_hydraulics
from configurator.plugin import (
    Attribute,
    Family,
    Measure,
    Position,
    Practice,
    computed,
    figure,
    fit,
    limit,
    part,
    practice,
    vehicle,
)

BRAKES_PER_AXLE = 2
SIDES = 2

master_cylinders = Family(
    "master_cylinders",
    "Master cylinders",
    system="Brakes",
    positions=(Position("master cylinder", "front body", sprung=True),),
    attributes=(
        Attribute(
            "bore",
            "Bore of the cylinder.",
            unit="mm",
            tolerance="0.1 mm",
            at_least=12.0,
            at_most=45.0,
            example="25.4",
        ),
        Attribute(
            "stroke",
            "Whole stroke of both circuits together.",
            unit="mm",
            tolerance="2 mm",
            at_least=15.0,
            at_most=80.0,
            example="36",
        ),
        Attribute(
            "flange",
            "Bolts and spacing in mm with which it is held to the booster.",
            kind="text",
            example="2x81",
        ),
    ),
    meaning="Turns the force of the foot into pressure in the lines.",
    moves=(),
)

flange = Measure(
    "booster flange",
    "Bolts and spacing in mm with which the master cylinder is held.",
    "callipers across the studs of the booster",
    kind="text",
)
piston_travel = Practice(
    "travel of a brake piston",
    "Travel of each piston from rest to a hard stop: gap, pads, caliper and hoses that give way.",
    0.5,
    "common practice, no source",
    unit="mm",
    at_least=0.1,
    at_most=2.0,
)
pedal_travel = Practice(
    "share of the pedal travel used",
    "Share of the master cylinder's stroke that a hard stop may take.",
    75.0,
    "common practice, no source: leave room for worn pads and hot fluid",
    unit="%",
    at_least=30.0,
    at_most=95.0,
)


@fit(
    "the master cylinder bolts to the booster",
    because="studs that do not match hold nothing",
    source="geometry",
)
def master_cylinder_fits(
    flange: str = part("master cylinder", "flange"), flange_there: str = vehicle("booster flange")
):
    return flange == flange_there


@figure(
    "{axle} brake piston area",
    unit="cm2",
    meaning="Of all pistons of the {axle} axle that move, both sides of each disc.",
    source="a sliding caliper moves as much fluid as one with pistons on both sides",
)
def axle_piston_area(piston_area: float = part("{axle} brakes", "piston area")):
    return BRAKES_PER_AXLE * SIDES * piston_area


@figure(
    "pedal travel used",
    unit="%",
    resolution=0.5,
    rounding="up",
    meaning="Share of the master cylinder's stroke that a hard stop takes.",
    source="volume of the pistons over area of the bore",
)
def pedal_travel_used(
    front: float = computed("front brake piston area"),
    rear: float = computed("rear brake piston area"),
    bore: float = part("master cylinder", "bore"),
    stroke: float = part("master cylinder", "stroke"),
    travel: float = practice("travel of a brake piston"),
):
    taken = brake_hydraulics.master_cylinder_stroke(front + rear, travel, bore)
    return brake_hydraulics.pedal_travel_share(taken, stroke)


@limit(
    "the pedal stays off the floor",
    quantity="brake pedal travel used",
    unit="%",
    concerns="rating",
    at_most=practice("share of the pedal travel used"),
    because="larger calipers take more fluid for each millimetre of pad",
    source="common practice, no source",
)
def pedal_off_the_floor(used: float = computed("pedal travel used")):
    return used
