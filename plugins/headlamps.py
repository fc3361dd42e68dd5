"""Headlamps: how high they end up, which the law bounds on both sides.

They sit on the body, so whatever raises the body raises them; ahead of the front axle, so a body
that rises more at one end than at the other tips them up or down as well.
"""

from configurator.formulas import headlamps
from configurator.plugin import (
    Measure,
    caution,
    computed,
    cross_check,
    figure,
    operation,
    part,
    vehicle,
)

# At 50 m a beam of 1 % that is raised by it reaches half a metre further.
RISE_WORTH_AIMING = 0.005  # m

lower_edge = Measure(
    "headlamp lower edge height",
    "From the ground to the lower edge of the part of a headlamp that lights up, dipped beam.",
    "tape, on level ground, tyres at their road pressure, laden as on the scale",
    moves_with=("load",),
    of="body",
    unit="mm",
    tolerance="3 mm",
    at_least=200.0,
    at_most=2000.0,
    taken_with=(
        "tyres",
        "front springs",
        "rear springs",
        "front hub reductions: drop",
        "rear hub reductions: drop",
    ),
)
upper_edge = Measure(
    "headlamp upper edge height",
    "From the ground to the upper edge of the part of a headlamp that lights up, dipped beam.",
    "tape, on level ground, tyres at their road pressure, laden as on the scale",
    moves_with=("load",),
    of="body",
    unit="mm",
    tolerance="3 mm",
    at_least=200.0,
    at_most=2000.0,
    taken_with=(
        "tyres",
        "front springs",
        "rear springs",
        "front hub reductions: drop",
        "rear hub reductions: drop",
    ),
)
ahead = Measure(
    "headlamps ahead of front axle",
    "From the front wheel centre forward to the glass of the headlamps.",
    "plumb line and tape along the ground",
    moves_with=(),
    unit="mm",
    at_least=-500.0,
    at_most=2000.0,
)


@figure(
    "headlamp rise",
    unit="mm",
    meaning="How much higher the headlamps stand than they did.",
    source="geometry: the body taken as rigid, tipped by what the axles raise it differently",
)
def headlamp_rise(
    front: float = computed("front body rise"),
    rear: float = computed("rear body rise"),
    ahead: float = vehicle("headlamps ahead of front axle"),
    wheelbase: float = vehicle("wheelbase"),
):
    return front + (front - rear) * ahead / wheelbase


@figure(
    "headlamp lower edge height",
    unit="mm",
    resolution=1.0,
    rounding="down",
    meaning="From the ground to the lower edge of the headlamps; local rules ask for enough.",
    source="geometry; UN Regulation No. 48, 6.2.4.2, bounds dipped beams so (clause from memory)",
    states=("ride height",),
    not_in={"load": "of the load it was measured with"},
)
def lower_edge_height(
    rise: float = computed("headlamp rise"), before: float = vehicle("headlamp lower edge height")
):
    return before + rise


@figure(
    "headlamp upper edge height",
    unit="mm",
    resolution=1.0,
    rounding="up",
    meaning="From the ground to the upper edge of the headlamps; local rules forbid too much.",
    source="geometry; UN Regulation No. 48, 6.2.4.2, bounds dipped beams so (clause from memory)",
    states=("ride height",),
    not_in={"load": "of the load it was measured with"},
)
def upper_edge_height(
    rise: float = computed("headlamp rise"), before: float = vehicle("headlamp upper edge height")
):
    return before + rise


@cross_check("the lower edge of the headlamps lies below the upper", do="measure both again")
def edges_in_order(
    lower: float = vehicle("headlamp lower edge height"),
    upper: float = vehicle("headlamp upper edge height"),
):
    return lower < upper


@figure(
    "headlamp fall at least",
    unit="%",
    meaning="Least that the dipped beams are set to point down, at their new height.",
    source="UN Regulation No. 48, 6.2.6.1.1 and 6.2.6.1.2 (from memory)",
)
def least_fall(height: float = computed("headlamp lower edge height")):
    return headlamps.least_inclination(height)


@figure(
    "headlamp fall at most",
    unit="%",
    meaning="Most that the dipped beams are set to point down, at their new height.",
    source="UN Regulation No. 48, 6.2.6.1.1 and 6.2.6.1.2 (from memory)",
)
def most_fall(height: float = computed("headlamp lower edge height")):
    return headlamps.most_inclination(height)


@figure(
    "tyre height changes",
    unit="",
    meaning="1 where the tyres are taller or smaller than they were, otherwise 0.",
    source="count",
)
def tyre_height_changes(
    diameter: float = computed("tyre diameter"),
    before: float = computed("tyre diameter", before=True),
):
    return 1.0 if diameter != before else 0.0


@operation(
    "aim the headlamps",
    hours=0.3,
    station="alignment bay",
    phase="alignment",
    check=True,
    system="Setting up and checks",
)
def aim_headlamps(
    front: bool = part("front springs", "changed"),
    tyres: float = computed("tyre height changes"),
    hubs: float = computed("hub reductions changed"),
    rear: bool = part("rear springs", "changed"),
):
    # Whatever raises a lamp changes how far ahead its beam meets the road.
    return front or rear or hubs > 0 or tyres > 0


@caution(
    "the headlamps stand at another height",
    says="A beam that was set for the old height dazzles or falls short. At the new one the law "
    "asks for a fall of {headlamp fall at least} to {headlamp fall at most}.",
    inspect="Set both on the tester, laden as the regulation says; where the lamp's plate gives "
    "another fall, ask which holds now; lamps that level themselves need their sensors set.",
    approve="the testing body, where lamps may not stand as high everywhere",
)
def headlamps_moved(rise: float = computed("headlamp rise")):
    return abs(rise) >= RISE_WORTH_AIMING
