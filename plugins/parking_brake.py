"""Parking brake: whether it holds the laden vehicle on a slope, and a trailer with it.

It sits in the rear brakes or behind the transfer box. A hub reduction that takes brakes without a
lever leaves a vehicle that cannot be parked; a taller tyre lets every parking brake slip earlier. A
brake behind the transfer box gains by the ratios behind it, and holds nothing once a wheel of its
axle hangs in the air.
"""

from configurator.formulas import descents
from configurator.plugin import (
    Measure,
    Practice,
    computed,
    condition,
    figure,
    limit,
    part,
    practice,
    vehicle,
)

BRAKES_PER_AXLE = 2

driveshaft_brake = Measure(
    "parking brake torque behind the transfer box",
    "Torque of a parking brake on the rear output of the transfer box, the lever pulled with the "
    "force that the regulation permits; 0 where the parking brake sits in the rear brakes.",
    "maker's data; else the pull at which a wheel begins to turn, on the tester",
    unit="N*m",
    tolerance="10 %",
    at_least=0.0,
    at_most=3000.0,
    default=0.0,
)
grade_alone = Practice(
    "grade that the parking brake must hold",
    "Fully laden, facing up and down.",
    20.0,
    "49 CFR 571.135 S7.12; UN Regulation No. 13-H, annex 3, 2.3.1 (both from memory)",
    unit="%",
    at_least=5.0,
    at_most=60.0,
)
grade_with_trailer = Practice(
    "grade that the parking brake must hold with a trailer",
    "Fully laden, the trailer's own brakes off.",
    12.0,
    "UN Regulation No. 13-H, annex 3, 2.3.2 (from memory)",
    unit="%",
    at_least=5.0,
    at_most=60.0,
)


@figure(
    "parking brake torque",
    unit="N*m",
    resolution=50.0,
    rounding="down",
    meaning="At the wheels, from the rear brakes or through the final drive and the hubs.",
    source="torque times ratio; torque of a brake times two",
)
def parking_brake_torque(
    each_brake: float = part("rear brakes", "parking brake torque"),
    behind_transfer_box: float = vehicle("parking brake torque behind the transfer box"),
    ratio: float = computed("rear overall drive ratio"),
):
    # A vehicle parked by its driveshaft has no cable to its rear brakes.
    if behind_transfer_box:
        return behind_transfer_box * ratio
    return BRAKES_PER_AXLE * each_brake


@figure(
    "grade that the parking brake holds",
    unit="%",
    resolution=0.5,
    rounding="down",
    meaning="Fully laden, on ground that grips, no wheel in the air.",
    source="Day, Braking of Road Vehicles, ch. 5 (chapter from memory); mechanics",
    states=("fully laden",),
)
def grade_held(
    torque: float = computed("parking brake torque"),
    tyre_diameter: float = computed("tyre diameter"),
    mass: float = vehicle("permitted mass"),
):
    return descents.grade_held(torque, tyre_diameter / 2, mass)


@limit(
    "the parking brake holds the laden vehicle",
    quantity="grade held by the parking brake",
    concerns="law",
    unit="%",
    at_least=practice("grade that the parking brake must hold"),
    because="a vehicle that rolls away kills who stands below it",
    source="49 CFR 571.135 S7.12; UN Regulation No. 13-H, annex 3, 2.3.1 (both from memory)",
)
def parking_brake_holds(grade: float = computed("grade that the parking brake holds")):
    return grade


@limit(
    "the parking brake holds vehicle and trailer",
    quantity="grade held by the parking brake with a trailer",
    concerns="law",
    unit="%",
    at_least=practice("grade that the parking brake must hold with a trailer"),
    because="a trailer pulls at the parked vehicle with all its mass",
    source="UN Regulation No. 13-H, annex 3, 2.3.2 (from memory)",
    states=("fully laden",),
)
def parking_brake_holds_trailer(
    torque: float = computed("parking brake torque"),
    tyre_diameter: float = computed("tyre diameter"),
    mass: float = vehicle("permitted mass"),
    trailer: float = condition("trailer"),
):
    return descents.grade_held(torque, tyre_diameter / 2, mass + trailer) if trailer else None
