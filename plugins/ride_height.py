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
    moves_with=("load",),
    of="body",
    unit="mm",
    tolerance="4 mm",
    at_least=200.0,
    at_most=1200.0,
    taken_with=(
        "tyres",
        "front springs",
        "rear springs",
        "front hub reductions: drop",
        "rear hub reductions: drop",
    ),
)
underside = Measure(
    "body underside height",
    "From the ground to the lowest point of frame and body, axles and wheels left out.",
    "tape, midway between the axles, the vehicle as it stands",
    moves_with=("load",),
    of="body",
    unit="mm",
    tolerance="4 mm",
    at_least=100.0,
    at_most=800.0,
    taken_with=(
        "tyres",
        "front springs",
        "rear springs",
        "front hub reductions: drop",
        "rear hub reductions: drop",
    ),
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
    "{axle} rise on springs and hub reductions",
    unit="mm",
    meaning="How much higher the body stands above the {axle} wheel centres than it did.",
    source="geometry",
)
def rise_on_springs_and_hubs(
    drop: float = part("{axle} hub reductions", "drop"),
    before: float = fitted("{axle} hub reductions", "drop"),
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
    rise: float = computed("{axle} rise on springs and hub reductions"),
):
    return clearance.body_rise(before, radius, 0.0, rise)


@figure(
    "rise on tyres",
    unit="mm",
    meaning="How much higher the middle of the body stands on its tyres than it did.",
    source="geometry",
)
def rise_on_tyres(
    front: float = computed("front static radius"),
    rear: float = computed("rear static radius"),
    front_before: float = computed("front static radius", before=True),
    rear_before: float = computed("rear static radius", before=True),
):
    return (front - front_before + rear - rear_before) / 2


@figure(
    "rise on hub reductions",
    unit="mm",
    meaning="How much higher the middle of the body stands for the drop of its hub reductions.",
    source="geometry",
)
def rise_on_hubs(
    front: float = part("front hub reductions", "drop"),
    rear: float = part("rear hub reductions", "drop"),
    front_before: float = fitted("front hub reductions", "drop"),
    rear_before: float = fitted("rear hub reductions", "drop"),
):
    return (front - front_before + rear - rear_before) / 2


@figure(
    "rise on springs",
    unit="mm",
    meaning="How much higher the middle of the body stands above the axles than it did.",
    source="geometry",
)
def rise_on_springs(
    front: float = computed("front spring lift"), rear: float = computed("rear spring lift")
):
    return (front + rear) / 2


# What tyres, hub reductions and springs raise is added step by step: pairs of springs, front and
# rear, are then looked at once for all hub reductions, and both once for all tyres.
@figure(
    "rise on hub reductions and springs",
    unit="mm",
    meaning="How much higher the middle of the body stands above the wheel centres than it did.",
    source="geometry",
)
def rise_on_hubs_and_springs(
    hubs: float = computed("rise on hub reductions"), springs: float = computed("rise on springs")
):
    return hubs + springs


@figure(
    "body rise",
    unit="mm",
    resolution=1.0,
    rounding="up",
    meaning="How much higher the middle of the body stands than it did.",
    source="geometry",
)
def rise_between_axles(
    tyres: float = computed("rise on tyres"),
    above: float = computed("rise on hub reductions and springs"),
):
    return tyres + above


@figure(
    "tilt on hub reductions",
    unit="mm",
    meaning="How much more the drop of the hub reductions raises the front than the rear.",
    source="geometry",
)
def tilt_on_hubs(
    front: float = part("front hub reductions", "drop"),
    rear: float = part("rear hub reductions", "drop"),
    front_before: float = fitted("front hub reductions", "drop"),
    rear_before: float = fitted("rear hub reductions", "drop"),
):
    return front - front_before - (rear - rear_before)


@figure(
    "tilt on springs",
    unit="mm",
    meaning="How much more the springs raise the front than the rear.",
    source="geometry",
)
def tilt_on_springs(
    front: float = computed("front spring lift"), rear: float = computed("rear spring lift")
):
    return front - rear


@limit(
    "the vehicle stays level",
    quantity="rise of one end over the other",
    unit="mm",
    concerns="comfort",
    at_most=practice("change of rake"),
    because="one end that stands high dazzles others and moves caster and brake balance",
    source="common practice, no source",
)
def uneven_rise(
    hubs: float = computed("tilt on hub reductions"), springs: float = computed("tilt on springs")
):
    return abs(hubs + springs)


@figure(
    "running clearance",
    unit="mm",
    resolution=1.0,
    rounding="down",
    meaning="From the ground to the lowest point of frame and body, midway between the axles.",
    source="49 CFR 523.2 (2015 edition), running clearance",
    states=("ride height",),
    not_in={"load": "of the load it was measured with"},
)
def running_clearance(
    tyres: float = computed("rise on tyres"),
    above: float = computed("rise on hub reductions and springs"),
    before: float = vehicle("body underside height"),
):
    return before + tyres + above


@figure(
    "door sill height",
    unit="mm",
    resolution=1.0,
    rounding="up",
    meaning="From the ground to the door sill.",
    source="geometry",
    states=("ride height",),
    not_in={"load": "of the load it was measured with"},
)
def door_sill_height(
    rise: float = computed("body rise"), before: float = vehicle("door sill height")
):
    return before + rise
