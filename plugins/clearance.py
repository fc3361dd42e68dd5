"""Room beneath the axles: under the differentials and, with hub reductions, under the hub boxes."""

from configurator.formulas import clearance
from configurator.plugin import computed, figure, part, vehicle


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
    "{axle} differential lift",
    unit="mm",
    meaning="How much the {axle} springs raise the differential: all of the lift where it hangs on "
    "the body, nothing where it sits in a solid axle.",
    source="geometry",
)
def differential_lift(
    suspension: str = vehicle("{axle} suspension"),
    lift: float = computed("{axle} spring lift"),
):
    return lift if suspension == "independent" else 0.0


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
    lift: float = computed("{axle} differential lift"),
    housing: float = part("{axle} axle", "housing radius"),
):
    return clearance.differential_clearance(height + lift, 0.0, housing, 0.0)


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
