"""The drag link after a lift: how long it must be, and whether bumps steer the wheels.

A lift tilts the drag link, so it must be longer. It also swings on an arc as the axle moves, and so
does the Panhard rod: unless both lie alike, every bump steers. A drop arm brings the drag link
back to where it was.
"""

from configurator.formulas import steering, suspension_travel
from configurator.plugin import (
    NOT_KNOWN,
    Attribute,
    Family,
    Measure,
    Moves,
    Position,
    Practice,
    computed,
    figure,
    fit,
    fitted,
    limit,
    part,
    practice,
    vehicle,
)

drop_arms = Family(
    "drop_arms",
    "Drop arms",
    system="Steering",
    positions=(Position("drop arm", "front body", sprung=True),),
    optional=True,
    attributes=(
        Attribute(
            "lowers",
            "How far below the old one it holds the drag link's joint at the steering gear.",
            unit="mm",
            tolerance="1 mm",
            at_least=-50.0,
            at_most=150.0,
            when_empty=0.0,
            example="40",
        ),
        Attribute(
            "joint taper",
            "Code of the taper that it is reamed to.",
            kind="text",
            example="T16",
        ),
        Attribute(
            "shaft spline",
            "Code of the spline of the steering gear's shaft.",
            kind="text",
            example="G36",
        ),
    ),
    meaning="Arm of the steering gear that brings the drag link level again after a lift.",
    moves=(Moves("steering arm", ("lowers",), {"track rod length": "from knuckle to knuckle"}),),
)

drag_link_length = Measure(
    "drag link length",
    "Between the joints of the drag link, wheels straight and steering gear in its middle.",
    "tape, joint middle to joint middle",
    moves_with=(),
    of="steering arm",
    unit="mm",
    tolerance="3 mm",
    at_least=200.0,
    at_most=1500.0,
    taken_with=("front axle: hub-face distance", "front springs", "drop arm: lowers"),
)
drag_link_slope = Measure(
    "drag link slope",
    "Slope of a drag link that runs across the vehicle at ride height, the axle end lower; it "
    "hangs from the same side of the frame as the Panhard rod.",
    "angle gauge on the link, vehicle level",
    moves_with=("travel", "load"),
    of="steering arm",
    unit="deg",
    at_least=-15.0,
    at_most=30.0,
    taken_with=("front springs", "drop arm: lowers"),
    tolerance="0.5 deg",
)
gear_shaft = Measure(
    "steering gear spline",
    "Code of the spline of the steering gear's shaft.",
    "count the teeth, calliper over them",
    kind="text",
)
bump_looked_at = Practice(
    "bump that steers",
    "How far the front axle moves up in a bump over which the steering must stay straight.",
    50.0,
    "common practice, no source",
    unit="mm",
    at_least=10.0,
    at_most=150.0,
)
most_bump_steer = Practice(
    "bump steer",
    "By how much the front wheels may steer by themselves over such a bump.",
    1.5,
    "common practice, no source",
    unit="deg",
    at_least=0.1,
    at_most=5.0,
)
STANDING = {
    "travel": "set at ride height, wheels straight",
    "load": "set under the load it was measured with",
}


@figure(
    "drag link drop",
    unit="mm",
    meaning="How far the axle end of the drag link lies below its end at the steering gear.",
    source="geometry: a lift raises the steering gear, a drop arm lowers the link on it",
    states=("ride height",),
    not_in=STANDING,
    regardless={"front axle": "a wider axle leaves the slope of its links as it was"},
)
def drag_link_drop(
    lift: float = computed("front lift over the differential"),
    lowers: float = part("drop arm", "lowers"),
    lowers_before: float = fitted("drop arm", "lowers"),
    length: float = vehicle("drag link length"),
    slope: float = vehicle("drag link slope"),
):
    return steering.link_drop(length, slope) + lift - (lowers - lowers_before)


@figure(
    "drag link length needed",
    unit="mm",
    resolution=5.0,
    rounding="up",
    source="geometry",
    states=("ride height",),
    not_in=STANDING,
)
def drag_link_length_needed(
    length: float = vehicle("drag link length"),
    slope: float = vehicle("drag link slope"),
    drop: float = computed("drag link drop"),
    faces: float = part("front axle", "hub-face distance"),
    faces_before: float = fitted("front axle", "hub-face distance"),
):
    """Length between the joints; the knuckle moves out by half of what the axle is wider."""
    return steering.link_length(length, slope, (faces - faces_before) / 2, drop)


@figure(
    "bump steer",
    unit="deg",
    resolution=0.1,
    rounding="up",
    meaning="How far the front wheels steer by themselves as the axle moves up over a bump: the "
    "drag link and the Panhard rod swing on different arcs.",
    source="geometry, both links across the vehicle; an axle without a Panhard rod taken as "
    "moving straight up",
    states=("ride height", "full bump"),
    not_in={
        "full droop": "an axle that hangs carries nothing to steer",
        "cross-axle twist": "at walking pace; the driver holds against it",
        "load": "from where it stands under the load it was measured with",
    },
    regardless={"front axle": "a wider axle leaves the slope of its links as it was"},
)
def bump_steer(
    drop: float = computed("drag link drop"),
    length: float = vehicle("drag link length"),
    lift: float = computed("front spring lift"),
    locating_length: float | None = vehicle("front Panhard rod length"),
    locating_slope: float | None = vehicle("front Panhard rod slope"),
    arm: float = vehicle("steering arm length"),
    bump: float = practice("bump that steers"),
    suspension: str = vehicle("front suspension"),
    has_locating: bool = fitted("front Panhard rod", "present"),
):
    if suspension == "independent":
        return None
    if has_locating and (locating_length is None or locating_slope is None):
        return NOT_KNOWN
    swing = suspension_travel.link_swing(length, drop, bump)
    if locating_length is not None and locating_slope is not None:
        across = steering.link_drop(locating_length, locating_slope) + lift
        swing = swing - suspension_travel.link_swing(locating_length, across, bump)
    return abs(steering.bump_steer(swing, arm))


@limit(
    "the front wheels do not steer over bumps",
    quantity="bump steer",
    unit="deg",
    concerns="comfort",
    at_most=practice("bump steer"),
    because="a lift tilts the drag link more than the Panhard rod: every bump turns the steering "
    "wheel or the vehicle",
    source="geometry; amount by common practice, no source",
)
def steers_straight(angle: float = computed("bump steer")):
    return angle


@fit(
    "the drop arm fits the steering gear",
    because="an arm on a spline that nearly matches turns on its shaft, and the steering is gone",
    source="geometry",
)
def drop_arm_spline(
    spline: str = part("drop arm", "shaft spline"), shaft: str = vehicle("steering gear spline")
):
    return spline == shaft


@fit(
    "the drop arm takes the drag link's joint",
    because="a joint in the wrong taper works loose",
    source="geometry",
)
def drop_arm_taper(
    arm: str = part("drop arm", "joint taper"), taper: str = part("drag link", "joint taper")
):
    return arm == taper


@fit(
    "the drag link reaches from steering gear to arm",
    because="the steering gear must stand in its middle with the wheels straight",
    source="geometry",
)
def drag_link_reaches(
    shortest: float = part("drag link", "shortest length"),
    longest: float = part("drag link", "longest length"),
    needed: float = computed("drag link length needed"),
):
    return shortest <= needed <= longest


@fit(
    "the drag link joints fit the steering arms",
    because="a joint in the wrong taper works loose",
    source="geometry",
)
def drag_link_taper(
    taper: str = part("drag link", "joint taper"), arms: str = vehicle("steering joint taper")
):
    return taper == arms
