"""Room for the tyre in its arch: above it at full bump, ahead and behind it when it turns.

A hub reduction holds the wheel centre lower, which gives room above but none ahead and behind;
arch work gives both, and a taller bump stop room above.
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

above = Measure(
    "{axle} arch room",
    "From the middle of the {axle} wheels up to the arch with the axle on its bump stop.",
    "tape, the axle jacked up to its stop, wheel off",
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
    "From the middle of the {axle} wheels to the nearest edge of bumper, sill or firewall, at the "
    "height of the hub and, in front, where the tyre passes at full lock.",
    "tape, the vehicle as it stands; the smaller of ahead and behind",
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


@figure(
    "{axle} arch room",
    unit="mm",
    meaning="From the {axle} wheel centre up to the arch at full bump.",
    source="geometry",
)
def room_above(
    room: float = vehicle("{axle} arch room"),
    drop: float = part("{axle} hub reductions", "drop"),
    drop_before: float = fitted("{axle} hub reductions", "drop"),
    cut: float = part("{axle} arch trimming", "room gained"),
    cut_before: float = fitted("{axle} arch trimming", "room gained"),
    pressed: float = part("{axle} bump stops", "pressed height"),
    pressed_before: float = fitted("{axle} bump stops", "pressed height"),
):
    # A taller stop holds the axle lower when it is pressed flat.
    return room + (drop - drop_before) + (cut - cut_before) + (pressed - pressed_before)


@limit(
    "the tyres clear the {axle} arches at full bump",
    quantity="gap between {axle} tyres and arches at full bump",
    unit="mm",
    concerns="contact",
    at_least=practice("gap between tyre and arch"),
    because="a tyre taller by d needs d/2 more room above the wheel centre",
    source="geometry; gap by common practice, no source",
)
def gap_above(
    room: float = computed("{axle} arch room"), diameter: float = computed("tyre diameter")
):
    return clearance.arch_gap(room, 0.0, diameter / 2)


@limit(
    "the tyres clear the {axle} arches ahead and behind",
    quantity="gap ahead of and behind the {axle} tyres",
    unit="mm",
    concerns="contact",
    at_least=practice("gap between tyre and arch"),
    because="a hub reduction lowers the wheel, it does not move sill and bumper away",
    source="geometry; gap by common practice, no source",
)
def gap_around(
    room: float = vehicle("{axle} room ahead and behind"),
    cut: float = part("{axle} arch trimming", "room gained"),
    cut_before: float = fitted("{axle} arch trimming", "room gained"),
    diameter: float = computed("tyre diameter"),
):
    return clearance.arch_gap(room + (cut - cut_before), 0.0, diameter / 2)
