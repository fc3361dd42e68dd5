"""Headlamps: how high they end up, which the law bounds on both sides.

They sit on the body, so whatever raises the body raises them; ahead of the front axle, so a body
that rises more at one end than at the other tips them up or down as well.
"""

from configurator.plugin import (
    Measure,
    computed,
    cross_check,
    figure,
    vehicle,
)

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
