"""A trailer without brakes: the vehicle's own must stop it as well, and hold it down a pass.

A heavier trailer brakes itself as it runs up; what its drums bear is not known here.
"""

from configurator.formulas import brakes as braking
from configurator.plugin import Practice, computed, condition, figure, limit, practice, vehicle

unbraked = Practice(
    "heaviest trailer without brakes",
    "Up to which a trailer may be built without brakes of its own; one that has them is counted "
    "alike, since the job does not say.",
    750.0,
    "UN Regulation No. 13, 5.2.2.1, for category O1 (from memory); elsewhere it is less",
    unit="kg",
    at_least=0.0,
    at_most=2000.0,
)
required_with_trailer = Practice(
    "deceleration with a trailer without brakes",
    "Deceleration that the vehicle's brakes must reach with such a trailer, both fully laden.",
    5.4,
    "UN Regulation No. 13-H, annex 3, 2.1.3 (from memory)",
    unit="m/s2",
    at_least=2.0,
    at_most=8.0,
)


@figure(
    "trailer without brakes",
    unit="kg",
    meaning="Mass of the trailer where it may have no brakes of its own, otherwise 0.",
    source="as the job says; UN Regulation No. 13, 5.2.2.1 (from memory)",
    not_in={"load": "as the job says"},
)
def unbraked_trailer(
    trailer: float = condition("trailer"),
    heaviest: float = practice("heaviest trailer without brakes"),
):
    return trailer if trailer <= heaviest else 0.0 * trailer


@figure(
    "mass that the vehicle's brakes stop",
    unit="kg",
    meaning="Permitted mass, and that of a trailer which may have no brakes of its own.",
    source="sum",
    states=("fully laden",),
)
def mass_to_stop(
    mass: float = vehicle("permitted mass"), trailer: float = computed("trailer without brakes")
):
    return mass + trailer


@limit(
    "the brakes stop vehicle and trailer without brakes",
    quantity="braking with a trailer without brakes",
    unit="m/s2",
    concerns="law",
    at_least=practice("deceleration with a trailer without brakes"),
    because="a trailer without brakes pushes on: the vehicle's brakes stop both",
    source="UN Regulation No. 13-H, annex 3, 2.1.3 (from memory)",
    states=("fully laden",),
)
def brakes_stop_both(
    torque: float = computed("brake torque"),
    tyre_diameter: float = computed("tyre diameter"),
    mass: float = computed("mass that the vehicle's brakes stop"),
    trailer: float = computed("trailer without brakes"),
):
    return braking.brake_force(torque, tyre_diameter / 2) / mass if trailer else None
