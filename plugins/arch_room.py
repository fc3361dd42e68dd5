"""Room for the tyre in its arch: above it on the bump stop, ahead and behind it when it turns.

A hub reduction holds the wheel centre lower, which gives room above but none ahead and behind;
arch trimming gives both. A wheel goes highest with the other side hanging, and higher still on a
shorter stop or where longer shocks let that side hang lower: a taller stop or a strap makes up for
it. (That a taller stop gives room for a taller tyre besides is not counted: too much would have to
be looked at together.) What reaches furthest ahead is not the tread but its outer edge, on the way
to full lock.
"""

from configurator.formulas import clearance, steering, suspension_travel
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

above = Measure(
    "{axle} arch room",
    "From the middle of the {axle} wheels up to the arch with this side of the axle on its bump "
    "stop and the other hanging as low as it goes.",
    "tape, this side jacked up until its stop is pressed flat, the other hanging, wheel off",
    moves_with=(),
    of="wheel centre",
    unit="mm",
    tolerance="4 mm",
    at_least=250.0,
    at_most=900.0,
    taken_with=(
        "{axle} bump stops: pressed height",
        "{axle} arch trimming: room gained",
        "{axle} hub reductions: drop",
    ),
)
around = Measure(
    "{axle} room ahead and behind",
    "From the middle of the {axle} wheels, straight ahead, to the nearest edge of bumper, sill or "
    "firewall, at the height of the hub and, in front, wherever the tyre passes up to full lock.",
    "tape along the vehicle, as it stands; the smaller of ahead and behind",
    moves_with=("lock",),
    of="wheel centre",
    unit="mm",
    tolerance="4 mm",
    at_least=250.0,
    at_most=900.0,
    taken_with=("{axle} arch trimming: room gained",),
)
gap = Practice(
    "gap between tyre and arch",
    "Air that must be left for mud, chains and a tyre that grows with speed.",
    10.0,
    "common practice, no source",
    unit="mm",
    at_least=0.0,
    at_most=60.0,
    for_error=0.5,
)
rise_kept = Practice(
    "wheel rise in twist",
    "How much higher a wheel may go on its stop, the other side hanging, than when the room in its "
    "arch was measured; no more than the gap between tyre and arch.",
    10.0,
    "common practice, no source: the gap between tyre and arch that is kept besides",
    unit="mm",
    at_least=0.0,
    at_most=30.0,
)


@figure(
    "{axle} wheel rise in twist",
    unit="mm",
    meaning="How much higher a {axle} wheel goes than it did, its side on the stop and the other "
    "hanging: on a shorter stop, or with shocks that let the other hang lower; below 0 on a taller "
    "stop.",
    source="geometry: the axle is a bar that turns about the stop; one that hangs less low is not "
    "counted",
    states=("cross-axle twist",),
    not_in={
        "full bump": "a wheel goes higher in twist",
        "full droop": "a wheel that hangs has room above",
        "load": "the axle meets its stop at the same place under any load",
    },
)
def wheel_rise_in_twist(
    pressed: float = part("{axle} bump stops", "pressed height"),
    full_droop: float = computed("{axle} full droop"),
    pressed_before: float = fitted("{axle} bump stops", "pressed height"),
    full_droop_before: float = computed("{axle} full droop", before=True),
    track: float = computed("{axle} track", before=True),
    spacing: float = vehicle("{axle} spring spacing"),
    suspension: str = vehicle("{axle} suspension"),
):
    shorter = pressed_before - pressed
    if suspension == "independent":
        return shorter
    deeper = max(full_droop - full_droop_before, 0.0 * full_droop)
    # The other side hangs where it did, so a stop moves the wheel outboard of it by more.
    return shorter + suspension_travel.wheel_rise_in_twist(shorter + deeper, track, spacing)


@limit(
    "the {axle} wheels go hardly higher in twist than they did",
    quantity="rise of the {axle} wheels in twist",
    unit="mm",
    concerns="contact",
    at_most=practice("wheel rise in twist"),
    because="shocks that let one side hang lower push the wheel of the other into its arch; a "
    "taller stop or a strap keeps it out",
    source="geometry; amount by common practice, no source: what the gap to the arch leaves",
    states=("full bump", "cross-axle twist"),
)
def rise_in_twist(rise: float = computed("{axle} wheel rise in twist")):
    return rise


@figure(
    "{axle} arch room",
    unit="mm",
    meaning="From the {axle} wheel centre up to the arch, this side on its stop and the other "
    "hanging.",
    source="geometry",
    regardless={
        "{axle} bump stops": "another rule keeps the wheels from going higher; that a taller stop "
        "gives room for a taller tyre besides is not counted"
    },
)
def room_above(
    room: float = vehicle("{axle} arch room"),
    drop: float = part("{axle} hub reductions", "drop"),
    drop_before: float = fitted("{axle} hub reductions", "drop"),
    cut: float = part("{axle} arch trimming", "room gained"),
    cut_before: float = fitted("{axle} arch trimming", "room gained"),
):
    return room + (drop - drop_before) + (cut - cut_before)


@limit(
    "the tyres clear the {axle} arches at full bump",
    quantity="gap between {axle} tyres and arches at full bump",
    unit="mm",
    concerns="contact",
    at_least=practice("gap between tyre and arch"),
    because="a tyre taller by d needs d/2 more room above the wheel centre",
    source="geometry; gap by common practice, no source",
    states=("full bump", "cross-axle twist"),
)
def gap_above(
    room: float = computed("{axle} arch room"), diameter: float = computed("tyre diameter")
):
    return clearance.arch_gap(room, 0.0, diameter / 2)


@figure(
    "front tyre reach to full lock",
    unit="mm",
    resolution=5.0,
    rounding="up",
    meaning="How far ahead of the front hub the tyre reaches, at most, on its way to full lock; as "
    "far behind on the other lock.",
    source="geometry: the outer edge of the tyre turned about the steering axis",
    states=("full lock left", "full lock right"),
)
def front_reach(
    diameter: float = computed("tyre diameter"),
    edge: float = computed("front tyre outer edge"),
    lock: float = vehicle("inner wheel lock"),
):
    return steering.tyre_sweep_ahead(diameter / 2, edge, lock)


@limit(
    "the tyres clear the front arches ahead and behind",
    quantity="gap ahead of and behind the front tyres to full lock",
    unit="mm",
    concerns="contact",
    at_least=practice("gap between tyre and arch"),
    because="a wide tyre that stands further out swings further ahead and behind as it is steered; "
    "a hub reduction lowers the wheel, it does not move sill and bumper away",
    source="geometry; gap by common practice, no source",
    states=("full lock left", "full lock right"),
)
def front_gap_around(
    room: float = vehicle("front room ahead and behind"),
    cut: float = part("front arch trimming", "room gained"),
    cut_before: float = fitted("front arch trimming", "room gained"),
    reach: float = computed("front tyre reach to full lock"),
):
    return clearance.arch_gap(room + (cut - cut_before), 0.0, reach)


@limit(
    "the tyres clear the rear arches ahead and behind",
    quantity="gap ahead of and behind the rear tyres",
    unit="mm",
    concerns="contact",
    at_least=practice("gap between tyre and arch"),
    because="a hub reduction lowers the wheel, it does not move sill and bumper away",
    source="geometry; gap by common practice, no source",
    states=("ride height",),
    not_in={"lock": "rear wheels are not steered"},
)
def rear_gap_around(
    room: float = vehicle("rear room ahead and behind"),
    cut: float = part("rear arch trimming", "room gained"),
    cut_before: float = fitted("rear arch trimming", "room gained"),
    diameter: float = computed("tyre diameter"),
):
    return clearance.arch_gap(room + (cut - cut_before), 0.0, diameter / 2)
