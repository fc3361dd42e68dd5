"""Room beneath: under axles, hub boxes and body, and what that makes of the climb into the seat."""

from configurator.formulas import clearance
from configurator.plugin import Measure, computed, figure, part, vehicle

arch_room = Measure(
    "{axle} arch room",
    "From the {axle} hub centre up to the arch with the axle on its bump stop.",
    "tape, the axle jacked up to its stop, wheel off",
    unit="mm",
    at_least=250.0,
    at_most=900.0,
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
    "tape, the vehicle as it stands",
    unit="mm",
    at_least=100.0,
    at_most=800.0,
)


@figure(
    "{axle} axle height",
    unit="mm",
    resolution=1.0,
    rounding="down",
    meaning="Height of the {axle} axle line: the tyre's radius and the drop of the hub.",
    source="geometry",
)
def axle_height(
    radius: float = computed("{axle} static radius"), drop: float = part("{axle} hubs", "drop")
):
    return radius + drop


@figure(
    "{axle} arch room",
    unit="mm",
    meaning="From the {axle} wheel centre up to the arch at full bump; hub reductions lower it.",
    source="geometry",
)
def room_in_arch(
    room: float = vehicle("{axle} arch room"), drop: float = part("{axle} hubs", "drop")
):
    return room + drop


@figure(
    "clearance under {axle} axle",
    unit="mm",
    resolution=1.0,
    rounding="down",
    meaning="From the ground to the lowest point of the {axle} differential.",
    source="49 CFR 523.2 (2015 edition), axle clearance",
)
def clearance_under_axle(
    height: float = computed("{axle} axle height"),
    housing: float = part("{axle} axle", "housing radius"),
):
    return clearance.differential_clearance(height, 0.0, housing, 0.0)


@figure(
    "clearance under {axle} hub box",
    unit="mm",
    resolution=1.0,
    rounding="down",
    meaning="From the ground to the lowest point of the {axle} hub boxes.",
    source="geometry",
)
def clearance_under_hub_box(
    radius: float = computed("{axle} static radius"),
    depth: float = part("{axle} hubs", "depth below wheel centre"),
):
    return clearance.hub_box_clearance(radius, depth)


@figure(
    "{axle} body rise",
    unit="mm",
    meaning="How much higher the body stands above the {axle} axle than it did.",
    source="geometry",
)
def body_rise(
    height: float = computed("{axle} axle height"),
    before: float = computed("{axle} axle height", before=True),
    lift: float = computed("{axle} spring lift"),
):
    return clearance.body_rise(before, height, 0.0, lift)


@figure(
    "body rise",
    unit="mm",
    resolution=1.0,
    rounding="nearest",
    meaning="How much higher the middle of the body stands than it did.",
    source="geometry",
)
def rise_between_axles(
    front: float = computed("front body rise"), rear: float = computed("rear body rise")
):
    return (front + rear) / 2


@figure(
    "running clearance",
    unit="mm",
    meaning="From the ground to the lowest point of frame and body, midway between the axles.",
    source="49 CFR 523.2 (2015 edition), running clearance",
)
def running_clearance(
    rise: float = computed("body rise"), before: float = vehicle("body underside height")
):
    return before + rise


@figure(
    "door sill height",
    unit="mm",
    meaning="From the ground to the door sill.",
    source="geometry",
)
def door_sill_height(
    rise: float = computed("body rise"), before: float = vehicle("door sill height")
):
    return before + rise
