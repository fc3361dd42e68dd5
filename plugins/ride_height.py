"""How high the body stands: what tyres, hub drop and springs raise together.

The springs stand on the axle, so a hub reduction raises the body too, with no change of joint
angles. Someone has to climb in, and the vehicle should stay level.
"""

from configurator.formulas import clearance
from configurator.plugin import (
    Measure,
    Practice,
    computed,
    figure,
    fitted,
    limit,
    part,
    practice,
    vehicle,
)

sill = Measure(
    "door sill height",
    "From the ground to the door sill, the vehicle as it stands.",
    "tape, at the middle of the front door",
    unit="mm",
    at_least=200.0,
    at_most=1200.0,
)
underside = Measure(
    "body underside height",
    "From the ground to the lowest point of frame and body, axles and wheels left out.",
    "tape, midway between the axles, the vehicle as it stands",
    unit="mm",
    at_least=100.0,
    at_most=800.0,
)
rake = Practice(
    "change of rake",
    "By how much one end may rise more than the other before headlamps, caster and brakes notice.",
    45.0,
    "common practice, no source",
    unit="mm",
    at_least=0.0,
    at_most=200.0,
)


@figure(
    "{axle} rise on springs and hubs",
    unit="mm",
    meaning="How much higher the body stands above the {axle} wheel centres than it did.",
    source="geometry",
)
def rise_on_springs_and_hubs(
    drop: float = part("{axle} hubs", "drop"),
    before: float = fitted("{axle} hubs", "drop"),
    lift: float = computed("{axle} spring lift"),
):
    return clearance.body_rise(0.0, 0.0, drop - before, lift)


@figure(
    "{axle} body rise",
    unit="mm",
    meaning="How much higher the body stands at the {axle} axle than it did.",
    source="geometry",
)
def body_rise(
    radius: float = computed("{axle} static radius"),
    before: float = computed("{axle} static radius", before=True),
    rise: float = computed("{axle} rise on springs and hubs"),
):
    return clearance.body_rise(before, radius, 0.0, rise)


@figure(
    "body rise",
    unit="mm",
    resolution=1.0,
    rounding="up",
    meaning="How much higher the middle of the body stands than it did.",
    source="geometry",
)
def rise_between_axles(
    front: float = computed("front body rise"), rear: float = computed("rear body rise")
):
    return (front + rear) / 2


@limit(
    "the vehicle stays level",
    unit="mm",
    at_most=practice("change of rake"),
    because="one end that stands high dazzles others and moves caster and brake balance",
    source="common practice, no source",
)
def uneven_rise(
    front: float = computed("front rise on springs and hubs"),
    rear: float = computed("rear rise on springs and hubs"),
):
    return abs(front - rear)


@figure(
    "running clearance",
    unit="mm",
    resolution=1.0,
    rounding="down",
    meaning="From the ground to the lowest point of frame and body, midway between the axles.",
    source="49 CFR 523.2 (2015 edition), running clearance",
)
def running_clearance(
    front: float = computed("front body rise"),
    rear: float = computed("rear body rise"),
    before: float = vehicle("body underside height"),
):
    return before + (front + rear) / 2


@figure(
    "door sill height",
    unit="mm",
    resolution=1.0,
    rounding="up",
    meaning="From the ground to the door sill.",
    source="geometry",
)
def door_sill_height(
    rise: float = computed("body rise"), before: float = vehicle("door sill height")
):
    return before + rise
