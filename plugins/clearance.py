"""Room beneath the axles: under the differentials and, with hub reductions, under the hub boxes.

Guards protect what hangs lowest, and hang lower themselves. Whoever asks for room under an axle
means the lowest thing there, whichever that is.
"""

from configurator.formulas import clearance
from configurator.plugin import NOT_KNOWN, computed, figure, part, vehicle


@figure(
    "{axle} axle height",
    unit="mm",
    resolution=1.0,
    rounding="down",
    meaning="Height of the {axle} axle line: the tyre's radius and the drop of the hub reduction.",
    source="geometry",
)
def axle_height(
    radius: float = computed("{axle} static radius"),
    drop: float = part("{axle} hub reductions", "drop"),
):
    return radius + drop


@figure(
    "{axle} differential lift",
    unit="mm",
    meaning="How much the {axle} springs raise the differential: all of the lift where it hangs on "
    "the body, nothing where it sits in a solid axle.",
    source="geometry",
)
def differential_lift(
    suspension: str = vehicle("{axle} suspension"),
    lift: float | None = computed("{axle} spring lift"),
):
    if suspension != "independent":
        return 0.0
    return NOT_KNOWN if lift is None else lift


@figure(
    "{axle} lift over the differential",
    unit="mm",
    meaning="How much further the body stands above the {axle} differential than it did: what "
    "bends the propshaft's joints.",
    source="geometry",
)
def lift_over_differential(
    suspension: str = vehicle("{axle} suspension"),
    lift: float | None = computed("{axle} spring lift"),
):
    if suspension == "independent":
        return 0.0
    return NOT_KNOWN if lift is None else lift


@figure(
    "{axle} depth below the axle line",
    unit="mm",
    meaning="From the {axle} axle line down to the lowest point of the differential or its guard.",
    source="geometry",
)
def depth_below_axle_line(
    housing: float = part("{axle} axle", "housing radius"),
    guard: float = part("{axle} diff guard", "hangs below"),
):
    return housing + guard


@figure(
    "clearance under {axle} differential",
    unit="mm",
    resolution=5.0,
    rounding="down",
    meaning="From the ground to the lowest point of the {axle} differential or its guard.",
    source="49 CFR 523.2 (2015 edition), axle clearance",
)
def clearance_under_differential(
    height: float = computed("{axle} axle height"),
    lift: float = computed("{axle} differential lift"),
    depth: float = computed("{axle} depth below the axle line"),
):
    return clearance.differential_clearance(height + lift, 0.0, depth, 0.0)


@figure(
    "{axle} depth below the wheel centre",
    unit="mm",
    meaning="From the {axle} wheel centre down to the lowest point of the hub box or its guard.",
    source="geometry",
)
def depth_below_wheel_centre(
    box: float = part("{axle} hub reductions", "depth below wheel centre"),
    guard: float = part("{axle} hub reduction guards", "hangs below"),
):
    return box + guard


@figure(
    "clearance under {axle} hub reduction",
    unit="mm",
    resolution=5.0,
    rounding="down",
    meaning="From the ground to the lowest point of the {axle} hub boxes or guards.",
    source="geometry",
)
def clearance_under_hub_box(
    radius: float = computed("{axle} static radius"),
    depth: float = computed("{axle} depth below the wheel centre"),
):
    return clearance.hub_box_clearance(radius, depth)


# What hangs lowest is settled for axle, hubs and guards first, so that tyres are looked at once.
@figure(
    "{axle} lowest point below the wheel centre",
    unit="mm",
    resolution=1.0,
    rounding="up",
    meaning="From the {axle} wheel centre down to the lowest thing there: differential, hub "
    "reductions or their guards; below 0 where all of it lies above.",
    source="geometry",
)
def lowest_point(
    drop: float = part("{axle} hub reductions", "drop"),
    lift: float = computed("{axle} differential lift"),
    depth: float = computed("{axle} depth below the axle line"),
    box: float | None = computed("{axle} depth below the wheel centre"),
):
    differential = depth - drop - lift
    return differential if box is None else max(differential, box)


@figure(
    "clearance under {axle} axle",
    unit="mm",
    resolution=5.0,
    rounding="down",
    meaning="From the ground to the lowest thing under the {axle} axle: differential, hub "
    "reductions or their guards.",
    source="49 CFR 523.2 (2015 edition), axle clearance: the lowest point of the axle",
    least_of=("clearance under {axle} differential", "clearance under {axle} hub reduction"),
)
def clearance_under_axle(
    radius: float = computed("{axle} static radius"),
    lowest: float = computed("{axle} lowest point below the wheel centre"),
):
    return radius - lowest
