"""How an axle stands seen from the side: caster of the front wheels, and parts that correct it.

An axle on radius arms turns as a lift raises the body: the pinion goes up, the kingpins' upper ends
go forward. Less caster steers vaguely and no longer comes back by itself. Arms, plates and wedges
turn the axle back; whatever they give to caster they take from the pinion, and the other way round.
"""

from configurator.formulas import suspension_travel
from configurator.plugin import (
    AXLES,
    Attribute,
    Family,
    Measure,
    Moves,
    Position,
    Practice,
    computed,
    figure,
    fit,
    fitted,
    limit,
    part,
    practice,
    vehicle,
)

angle_correction = Family(
    "angle_correction",
    "Axle angle correction",
    system="Suspension",
    positions=tuple(Position(f"{axle} axle angle correction", f"{axle} axle") for axle in AXLES),
    optional=True,
    attributes=(
        Attribute(
            "kind",
            "Arms with other bushes, plates with other holes, or wedges under leaf springs.",
            kind="text",
            choices=("arms", "plates", "wedges"),
            example="plates",
        ),
        Attribute(
            "pinion up",
            "How far it turns the axle, the pinion's gearbox end up; in front that is as much less "
            "caster. Below 0 for the other way: caster back after a lift.",
            unit="deg",
            tolerance="0.3 deg",
            at_least=-12.0,
            at_most=12.0,
            when_empty=0.0,
            example="-3",
        ),
        Attribute(
            "fits mounts",
            "Codes of the axle mounts that it is made for.",
            kind="codes",
            example="radius-front five-link-front",
        ),
    ),
    meaning="Turns an axle about its own line: caster in front, pinion angle at both ends.",
    moves=(Moves("propshaft end", ("pinion up",)), Moves("caster", ("pinion up",))),
)

mount_kind = Measure(
    "{axle} axle angle mounts",
    "Code of the links or springs that hold the {axle} axle, for parts that turn it.",
    "look at the axle: where arms, plates or wedges would go",
    kind="text",
)
caster = Measure(
    "caster",
    "How far the steering axis leans back, seen from the side.",
    "alignment bench; else angle gauge on the knuckle's machined face, vehicle level",
    moves_with=("travel", "load"),
    of="caster",
    unit="deg",
    tolerance="0.3 deg",
    at_least=-5.0,
    at_most=15.0,
    taken_with=("front springs", "front axle angle correction: pinion up"),
)
least_caster = Practice(
    "least caster",
    "With less, a vehicle on large tyres does not come back to straight ahead by itself; leaves "
    "1 degree for a body that the parts tip forward.",
    2.0,
    "common practice, no source",
    unit="deg",
    at_least=-2.0,
    at_most=8.0,
)
most_caster = Practice(
    "most caster",
    "With more, the steering is heavy and a worn joint starts to shimmy.",
    8.0,
    "common practice, no source",
    unit="deg",
    at_least=3.0,
    at_most=15.0,
)


@figure(
    "caster",
    unit="deg",
    resolution=0.1,
    rounding="down",
    meaning="How far the steering axis leans back, the vehicle standing level.",
    source="geometry: the axle turns about its side-view swing arm; a tipped body left out",
    states=("ride height",),
    not_in={
        "travel": "an axle that moves on a rough road is not held straight by its caster",
        "load": "of the load it was measured with",
    },
)
def caster_after(
    lift: float = computed("front lift over the differential"),
    pinion_up: float = part("front axle angle correction", "pinion up"),
    pinion_up_before: float = fitted("front axle angle correction", "pinion up"),
    before: float = vehicle("caster"),
    swing_arm: float = vehicle("front side-view swing arm"),
    suspension: str = vehicle("front suspension"),
):
    if suspension == "independent":
        return None
    turned = suspension_travel.axle_turn(lift, swing_arm) + pinion_up - pinion_up_before
    return before - turned


@limit(
    "the front wheels keep enough caster",
    quantity="caster",
    unit="deg",
    concerns="comfort",
    at_least=practice("least caster"),
    because="a lift on radius arms tips the kingpins forward: the steering wanders and does not "
    "come back by itself",
    source="geometry; amount by common practice, no source",
)
def enough_caster(caster: float = computed("caster")):
    return caster


@limit(
    "the front wheels have not too much caster",
    quantity="caster",
    unit="deg",
    concerns="comfort",
    at_most=practice("most caster"),
    because="the steering grows heavy, and worn joints begin to shimmy",
    source="common practice, no source",
)
def not_too_much_caster(caster: float = computed("caster")):
    return caster


@fit(
    "the {axle} axle angle correction fits the axle's links or springs",
    because="arms, plates and wedges are made for one way of holding an axle",
    source="geometry",
)
def correction_fits(
    made_for: frozenset[str] = part("{axle} axle angle correction", "fits mounts"),
    there: str = vehicle("{axle} axle angle mounts"),
):
    return there in made_for
