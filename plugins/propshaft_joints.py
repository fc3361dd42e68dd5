"""Joints of propshafts: how far they bend in every state, and whether the shaft runs evenly.

A lift bends the joints; longer shocks bend them until they bind. Two single joints run evenly
only if both bend alike; a double cardan joint runs evenly by itself, so that the one joint at the
axle must be nearly straight: the pinion has to point at it. A hub reduction changes none of this.
"""

from configurator.formulas import cardan_joints, suspension_travel, tyres
from configurator.formulas import driveshafts as shaft
from configurator.plugin import (
    Measure,
    Practice,
    computed,
    condition,
    figure,
    fitted,
    limit,
    part,
    practice,
    vehicle,
)

gearbox_slope = Measure(
    "{axle} gearbox flange slope",
    "Slope of the gearbox shaft that the {axle} propshaft is bolted to, the same way round.",
    "angle gauge on the flange, vehicle level",
    moves_with=(),
    unit="deg",
    usual=(0.0, 4.0),
    tolerance="0.5 deg",
    at_least=-10.0,
    at_most=15.0,
    default=0.0,
)
pinion_slope = Measure(
    "{axle} pinion slope",
    "Slope of the pinion of the {axle} axle at ride height, the end towards the gearbox higher.",
    "angle gauge on the pinion flange, less 90 degrees, vehicle level",
    moves_with=("travel", "load"),
    of="propshaft end",
    unit="deg",
    at_least=-15.0,
    at_most=30.0,
    taken_with=("{axle} springs", "{axle} axle: mounts", "{axle} axle angle correction: pinion up"),
    tolerance="0.5 deg",
)

at_cruise = Measure(
    "{axle} propshaft at cruise",
    "Whether the {axle} propshaft turns at the cruising speed, or stands still behind hubs that "
    "are unlocked.",
    "owner's manual; wheels lifted and turned by hand",
    kind="text",
    choices=("turns", "stands still"),
    default="turns",
    usual=("stands still",),
)
angle_kept = Practice(
    "angle kept in a propshaft joint",
    "Angle that a joint must have left at full bump and full droop before it binds.",
    1.0,
    "common practice, no source",
    unit="deg",
    at_least=0.0,
    at_most=15.0,
)
residual_kept = Practice(
    "residual angle of a propshaft",
    "Angle of the one joint that would run as unevenly as the joints of a shaft may together, "
    "where the shaft turns slowly. 3 degrees make 400 rad/s2 at 3,650 rpm; above that it is less.",
    3.0,
    "about 400 rad/s2 in makers' angle tables (three speeds of one table agree within 2 %), at a "
    "shaft's speed on the motorway; no standard seen",
    unit="deg",
    at_least=0.5,
    at_most=10.0,
)

# Load and twist move an axle between full bump and full droop.
BETWEEN = {
    "cross-axle twist": "the differential moves less than at full bump and full droop",
    "load": "it moves less than at full bump and full droop",
}
# Angles and speeds that are driven for long.
FOR_LONG = {
    "travel": "driven for moments only; what it must bear there is another rule's",
    "load": "of the load it was measured with",
}


def angles(
    length: float,
    slope: float,
    gearbox: float,
    pinion: float,
    swing_arm: float,
    pinion_up: float,
    drop: float,
) -> tuple[float, float]:
    """Angles of the joints at the gearbox and at the axle, which turns as it drops [rad]."""
    slope_there = shaft.slope_after_drop(length, slope, drop)
    turned = pinion + suspension_travel.axle_turn(drop, swing_arm) + pinion_up
    return shaft.joint_angle(slope_there, gearbox), shaft.joint_angle(slope_there, turned)


@figure(
    "{axle} pinion turned up",
    unit="deg",
    meaning="How much further up the {axle} pinion points than it did, for arms, plates or wedges.",
    source="geometry: its slope was measured with what was there",
)
def pinion_turned_up(
    pinion_up: float = part("{axle} axle angle correction", "pinion up"),
    before: float = fitted("{axle} axle angle correction", "pinion up"),
):
    return pinion_up - before


@figure(
    "{axle} propshaft angle",
    unit="deg",
    resolution=0.5,
    rounding="up",
    source="geometry, seen from the side",
    states=("ride height",),
    not_in=FOR_LONG,
)
def driveshaft_angle(
    lift: float = computed("{axle} lift over the differential"),
    length: float = vehicle("{axle} propshaft length"),
    slope: float = vehicle("{axle} propshaft slope"),
    gearbox: float = vehicle("{axle} gearbox flange slope"),
):
    """Angle of the joint at the gearbox at ride height; a hub reduction does not change it."""
    return shaft.joint_angle(shaft.slope_after_drop(length, slope, lift), gearbox)


@figure(
    "{axle} propshaft angle at the axle",
    unit="deg",
    resolution=0.5,
    rounding="up",
    source="geometry, seen from the side; the axle turns about its side-view swing arm",
    states=("ride height",),
    not_in=FOR_LONG,
)
def driveshaft_angle_at_axle(
    lift: float = computed("{axle} lift over the differential"),
    pinion_up: float = computed("{axle} pinion turned up"),
    length: float = vehicle("{axle} propshaft length"),
    slope: float = vehicle("{axle} propshaft slope"),
    gearbox: float = vehicle("{axle} gearbox flange slope"),
    pinion: float = vehicle("{axle} pinion slope"),
    swing_arm: float = vehicle("{axle} side-view swing arm"),
):
    """Angle of the joint at the axle at ride height."""
    return angles(length, slope, gearbox, pinion, swing_arm, pinion_up, lift)[1]


@figure(
    "{axle} propshaft angle at {state}",
    unit="deg",
    resolution=0.5,
    rounding="up",
    source="geometry, seen from the side",
    states=("full bump", "full droop"),
    not_in=BETWEEN,
    regardless={"{axle} springs": "counted from the ride height as it was measured"},
)
def driveshaft_angle_in_travel(
    drop: float = computed("{axle} differential drop at {state}"),
    length: float = vehicle("{axle} propshaft length"),
    slope: float = vehicle("{axle} propshaft slope"),
    gearbox: float = vehicle("{axle} gearbox flange slope"),
):
    """Angle of the joint at the gearbox, the axle at the end of its travel."""
    return shaft.joint_angle(shaft.slope_after_drop(length, slope, drop), gearbox)


@figure(
    "{axle} propshaft angle at the axle at {state}",
    unit="deg",
    resolution=0.5,
    rounding="up",
    source="geometry, seen from the side; the axle turns about its side-view swing arm",
    states=("full bump", "full droop"),
    not_in=BETWEEN,
    regardless={"{axle} springs": "counted from the ride height as it was measured"},
)
def driveshaft_angle_at_axle_in_travel(
    drop: float = computed("{axle} differential drop at {state}"),
    pinion_up: float = computed("{axle} pinion turned up"),
    length: float = vehicle("{axle} propshaft length"),
    slope: float = vehicle("{axle} propshaft slope"),
    gearbox: float = vehicle("{axle} gearbox flange slope"),
    pinion: float = vehicle("{axle} pinion slope"),
    swing_arm: float = vehicle("{axle} side-view swing arm"),
):
    """Angle of the joint at the axle, the axle at the end of its travel."""
    return angles(length, slope, gearbox, pinion, swing_arm, pinion_up, drop)[1]


@limit(
    "the {axle} propshaft joints bear their angle",
    quantity="{axle} propshaft, joint angle",
    unit="deg",
    concerns="rating",
    at_most=part("{axle} propshaft", "permitted angle"),
    because="a lift bends the joints; bent too far they shake, bind and break",
    source="maker's permitted angle",
)
def driveshaft_angle_kept(angle: float = computed("{axle} propshaft angle")):
    return angle


@limit(
    "the {axle} propshaft joint at the axle bears its angle",
    quantity="{axle} propshaft, joint angle at the axle",
    unit="deg",
    concerns="rating",
    at_most=part("{axle} propshaft", "permitted angle"),
    because="an axle that turns as the body rises bends its joint as well",
    source="maker's permitted angle",
)
def driveshaft_angle_at_axle_kept(angle: float = computed("{axle} propshaft angle at the axle")):
    return angle


@limit(
    "the {axle} propshaft joint at the gearbox turns freely in travel",
    quantity="{axle} propshaft, angle left at the gearbox in travel",
    unit="deg",
    concerns="contact",
    at_least=practice("angle kept in a propshaft joint"),
    because="a joint that binds with the axle at the end of its travel breaks itself or its flange",
    source="geometry; largest angle stated by the maker of the shaft",
    states=("full bump", "full droop"),
)
def gearbox_joint_free(
    largest: float = part("{axle} propshaft", "largest angle at the gearbox"),
    at_bump: float = computed("{axle} propshaft angle at full bump"),
    at_droop: float = computed("{axle} propshaft angle at full droop"),
):
    return largest - max(at_bump, at_droop)


@limit(
    "the {axle} propshaft joint at the axle turns freely in travel",
    quantity="{axle} propshaft, angle left at the axle in travel",
    unit="deg",
    concerns="contact",
    at_least=practice("angle kept in a propshaft joint"),
    because="a joint that binds with the axle at the end of its travel breaks itself or its flange",
    source="geometry; largest angle stated by the maker of the shaft",
    states=("full bump", "full droop"),
)
def axle_joint_free(
    largest: float = part("{axle} propshaft", "largest angle at the axle"),
    at_bump: float = computed("{axle} propshaft angle at the axle at full bump"),
    at_droop: float = computed("{axle} propshaft angle at the axle at full droop"),
):
    return largest - max(at_bump, at_droop)


@figure(
    "{axle} residual joint angle",
    unit="deg",
    resolution=0.2,
    rounding="up",
    source="SAE AE-7, Universal Joint and Propshaft Design Manual (from memory); forks in phase",
    states=("ride height",),
    not_in=FOR_LONG,
)
def residual_joint_angle(
    joint: str = part("{axle} propshaft", "joint"),
    lift: float = computed("{axle} lift over the differential"),
    pinion_up: float = computed("{axle} pinion turned up"),
    length: float = vehicle("{axle} propshaft length"),
    slope: float = vehicle("{axle} propshaft slope"),
    gearbox: float = vehicle("{axle} gearbox flange slope"),
    pinion: float = vehicle("{axle} pinion slope"),
    swing_arm: float = vehicle("{axle} side-view swing arm"),
):
    """Angle of the single joint that would run as unevenly as the joints of the shaft do."""
    first, second = angles(length, slope, gearbox, pinion, swing_arm, pinion_up, lift)
    # A double cardan joint at the gearbox runs evenly at any angle; the one at the axle does not.
    return second if joint == "double cardan" else cardan_joints.residual_angle(first, second)


@figure(
    "uneven running of the {axle} propshaft",
    unit="rad/s**2",
    resolution=10.0,
    rounding="up",
    source="SAE AE-7, Universal Joint and Propshaft Design Manual (from memory)",
)
def uneven_running(
    angle: float = computed("{axle} residual joint angle"),
    way: float = computed("{axle} distance per propshaft turn"),
    cruising: float = condition("cruising speed"),
):
    """Angular acceleration that the joints put into the driveline at the cruising speed."""
    speed = shaft.shaft_speed(cruising, tyres.effective_rolling_radius(way), 1.0)
    return cardan_joints.torsional_excitation(speed, angle)


@figure(
    "{axle} residual joint angle permitted",
    unit="deg",
    resolution=0.1,
    rounding="down",
    meaning="Up to which the {axle} propshaft runs evenly enough at the cruising speed: the faster "
    "it turns, as behind short gears or hub reductions, the less.",
    source="makers' angle tables: about 400 rad/s2; no standard seen",
)
def residual_angle_permitted(
    way: float = computed("{axle} distance per propshaft turn"),
    cruising: float = condition("cruising speed"),
    most: float = practice("residual angle of a propshaft"),
):
    speed = shaft.shaft_speed(cruising, tyres.effective_rolling_radius(way), 1.0)
    limit = cardan_joints.EXCITATION_LIMIT.beside(speed)
    return min(cardan_joints.permitted_residual_angle(speed, limit), most)


@limit(
    "the {axle} propshaft runs evenly",
    quantity="{axle} propshaft, residual joint angle",
    unit="deg",
    concerns="strength",
    at_most=computed("{axle} residual joint angle permitted"),
    because="two single joints must bend alike, and a pinion must point at a double cardan joint; "
    "else the shaft speeds up and slows down twice a turn and shakes gears and bearings loose",
    source="SAE AE-7 (from memory); amount from makers' angle tables, no standard seen",
)
def driveshaft_runs_evenly(
    angle: float = computed("{axle} residual joint angle"),
    at_cruise: str = vehicle("{axle} propshaft at cruise"),
):
    return angle if at_cruise == "turns" else None
