"""Steering damper: takes the kick out of heavy tyres and a large scrub radius."""

from configurator.formulas import steering
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

steering_dampers = Family(
    "steering_dampers",
    "Steering dampers",
    system="Steering",
    positions=(Position("steering damper", "front axle"),),
    optional=True,
    attributes=(
        Attribute(
            "force",
            "Damping force at 0.3 m/s.",
            unit="N",
            tolerance="10 %",
            at_least=50.0,
            at_most=5000.0,
            when_empty=0.0,
            example="600",
        ),
        Attribute(
            "stroke",
            "Whole stroke.",
            unit="mm",
            tolerance="2 mm",
            at_least=50.0,
            at_most=500.0,
            example="240",
        ),
        Attribute(
            "mount",
            "How its ends are held.",
            kind="text",
            choices=("eye and stem", "two eyes", "clamp"),
            example="eye and stem",
        ),
    ),
    meaning="Sits across the track rod; some assist as well.",
    moves=(),
)

mount = Measure(
    "steering damper mount",
    "How the ends of a steering damper are held.",
    "look at track rod and frame; clamp where there is no mount",
    kind="text",
    choices=("eye and stem", "two eyes", "clamp"),
)
stroke = Measure(
    "steering damper stroke needed",
    "Travel of the track rod from lock to lock.",
    "mark the rod at both locks and measure",
    moves_with=(),
    unit="mm",
    tolerance="3 mm",
    at_least=50.0,
    at_most=400.0,
    taken_with=("front axle: mounts",),
)
enough = Measure(
    "steering damping as it stands",
    "Damping force that keeps the steering quiet on the tyres that are fitted.",
    "force of the damper that is there; 0 without one",
    moves_with=(),
    unit="N",
    at_least=0.0,
    at_most=3000.0,
    default=0.0,
    usual=(0.0, 600.0),
)
kick = Practice(
    "damping of the added steering load",
    "Damping force for each newton that kerbs and ruts load the links more than before.",
    30.0,
    "common practice, no source",
    unit="%",
    at_least=0.0,
    at_most=200.0,
)

unnoticed = Practice(
    "added steering load that is not noticed",
    "Load on the links, beyond that of the vehicle as it stands, that asks for no more damping.",
    500.0,
    "common practice, no source",
    unit="N",
    at_least=0.0,
    at_most=2000.0,
)


@figure(
    "steering damping needed",
    unit="N",
    resolution=50.0,
    rounding="up",
    meaning="Damping force that keeps the wheel quiet in the driver's hands.",
    source="common practice, no source: grows with the load that ruts put on the links",
)
def damping_needed(
    torque: float = computed("steering torque"),
    arm: float = vehicle("steering arm length"),
    before: float = computed("steering link load", before=True, exact=True),
    enough: float = vehicle("steering damping as it stands"),
    share: float = practice("damping of the added steering load"),
    unnoticed: float = practice("added steering load that is not noticed"),
):
    # The load as it stands is not rounded: rounded up like the new one it could hide what is added.
    # What nobody notices is more than a step of the torque: parts that stay need no more damping.
    added = steering.link_force(torque, arm) - before
    return enough + share * (max(added, unnoticed) - unnoticed)


@limit(
    "the steering is damped",
    quantity="steering damper, force",
    unit="N",
    concerns="change",
    at_least=computed("steering damping needed"),
    because="heavy tyres further out kick the wheel out of the driver's hands",
    source="common practice, no source",
)
def steering_damped(force: float = part("steering damper", "force")):
    return force


@limit(
    "the steering damper reaches from lock to lock",
    quantity="steering damper, stroke",
    unit="mm",
    concerns="contact",
    at_least=vehicle("steering damper stroke needed"),
    because="a damper that ends before the lock stops takes their place and breaks",
    source="geometry",
)
def damper_reaches(stroke: float = part("steering damper", "stroke")):
    return stroke


@fit(
    "the steering damper fits its mounts",
    because="a damper that turns on its clamp hits the guard at full lock",
    source="geometry",
)
def damper_fits(
    mount: str = part("steering damper", "mount"),
    mount_there: str = vehicle("steering damper mount"),
):
    return mount in (mount_there, "clamp")
