"""Steering links: what a wheel that is turned against rock asks of them, and whether they fit.

A rut wall pushes on the tyre ahead of the steering axis, at a lever that grows with the tyre;
turning a standing wheel grows with its width and scrub radius. The track rod carries one wheel, the
drag link turns both.
"""

from configurator.formulas import steering
from configurator.formulas.constants import STANDARD_GRAVITY
from configurator.plugin import (
    Attribute,
    Family,
    Measure,
    Position,
    Practice,
    computed,
    cross_check,
    each,
    figure,
    fit,
    fitted,
    part,
    practice,
    vehicle,
)

steering_links = Family(
    "steering_links",
    "Steering links",
    system="Steering",
    positions=(
        Position("track rod", "front axle"),
        Position("drag link", "front axle"),
    ),
    attributes=(
        Attribute(
            "outer diameter",
            "Of the rod or tube between its ends.",
            unit="mm",
            at_least=15.0,
            at_most=80.0,
            example="38.1",
        ),
        Attribute(
            "wall",
            "Wall of the tube; half the outer diameter for a solid rod.",
            unit="mm",
            tolerance="3 %",
            at_least=1.5,
            at_most=40.0,
            example="6.35",
        ),
        Attribute(
            "elastic modulus",
            "Young's modulus of its metal.",
            unit="GPa",
            at_least=60.0,
            at_most=215.0,
            example="205",
        ),
        Attribute(
            "yield strength",
            "Of its metal.",
            unit="MPa",
            tolerance="5 %",
            at_least=150.0,
            at_most=1800.0,
            example="480",
        ),
        Attribute(
            "shortest length",
            "Between the joints, screwed in.",
            unit="mm",
            tolerance="2 mm",
            at_least=200.0,
            at_most=2000.0,
            example="1150",
        ),
        Attribute(
            "longest length",
            "Between the joints, screwed out as far as the threads may go.",
            unit="mm",
            tolerance="2 mm",
            at_least=200.0,
            at_most=2000.0,
            example="1230",
        ),
        Attribute(
            "joint taper",
            "Code of the taper of its joints.",
            kind="text",
            example="T16",
        ),
    ),
    meaning="Pass the driver's hands on to the wheels.",
    moves=(),
)

taper = Measure(
    "steering joint taper",
    "Code of the taper that the steering arms are reamed to.",
    "taper gauge in the arm, joint taken out",
    kind="text",
)
tie_rod_length = Measure(
    "track rod length",
    "Between the joints of the track rod, toe set.",
    "tape, joint middle to joint middle",
    moves_with=(),
    of="steering arm",
    unit="mm",
    tolerance="3 mm",
    at_least=400.0,
    at_most=2000.0,
    taken_with=("front axle: hub-face distance",),
)
arm_length = Measure(
    "steering arm length",
    "From the steering axis to the track rod and drag link, square to them.",
    "from the joint to the line through the kingpin bearings",
    moves_with=(),
    of="steering arm",
    unit="mm",
    tolerance="2 mm",
    at_least=80.0,
    at_most=350.0,
    taken_with=("front axle: mounts",),
)
friction = Practice(
    "friction of a tyre that is turned",
    "Between the front tyres and dry ground.",
    0.7,
    "common practice for dry concrete, no source",
    at_least=0.3,
    at_most=1.2,
)
rut_depth = Practice(
    "depth of a rut",
    "Depth of the rut or height of the rock that a wheel is steered against.",
    150.0,
    "common practice, no source",
    unit="mm",
    at_least=0.0,
    at_most=300.0,
)


@figure(
    "rut lever",
    unit="mm",
    resolution=2.0,
    rounding="up",
    source="geometry: where a wall as high as the rut is deep touches the tread",
)
def rut_lever(
    tyre_diameter: float = computed("tyre diameter"),
    depth: float = practice("depth of a rut"),
):
    """How far ahead of the wheel centre the wall of a rut pushes on the tyre."""
    return max(depth * (tyre_diameter - depth), 0.0) ** 0.5


@figure(
    "steering torque",
    unit="N*m",
    resolution=10.0,
    rounding="up",
    source="common practice, no source: turning at a standstill plus the push of the rut wall",
    states=("fully laden",),
)
def steering_torque(
    lever: float = computed("rut lever"),
    scrub_radius: float = computed("scrub radius"),
    tread_width: float = part("tyres", "section width"),
    axle_load: float = vehicle("permitted front axle load"),
    friction: float = practice("friction of a tyre that is turned"),
):
    """Torque about one steering axis with the wheel steered against the wall of a rut."""
    wheel_load = axle_load * STANDARD_GRAVITY.beside(axle_load) / 2
    turning = steering.standstill_steering_torque(
        wheel_load, friction, tread_width, abs(scrub_radius)
    )
    return turning + friction * wheel_load * lever


@figure(
    "steering link load",
    unit="N",
    resolution=500.0,
    rounding="up",
    source="torque over steering arm",
)
def link_load(
    torque: float = computed("steering torque"), arm: float = vehicle("steering arm length")
):
    """Push along the track rod with the far wheel steered against the wall of a rut."""
    return steering.link_force(torque, arm)


@figure(
    "drag link load",
    unit="N",
    source="equilibrium: the drag link turns its own wheel and, through the track rod, the other",
)
def drag_link_load(of_one: float = computed("steering link load")):
    """Push along the drag link with both wheels steered against the walls of their ruts."""
    return steering.WHEELS_STEERED * of_one


@figure("track rod length needed", unit="mm", source="geometry")
def tie_rod_length_needed(
    length: float = vehicle("track rod length"),
    faces: float = part("front axle", "hub-face distance"),
    faces_before: float = fitted("front axle", "hub-face distance"),
):
    """Length between the joints; a wider axle needs a longer track rod."""
    return length + faces - faces_before


@fit(
    "the track rod reaches from arm to arm",
    because="toe cannot be set with a rod that is too short or too long",
    source="geometry",
)
def tie_rod_reaches(
    shortest: float = part("track rod", "shortest length"),
    longest: float = part("track rod", "longest length"),
    needed: float = computed("track rod length needed"),
):
    return shortest <= needed <= longest


@fit(
    "the track rod joints fit the steering arms",
    because="a joint in the wrong taper works loose",
    source="geometry",
)
def tie_rod_taper(
    taper: str = part("track rod", "joint taper"), arms: str = vehicle("steering joint taper")
):
    return taper == arms


@cross_check(
    "a steering link is no longer at its shortest than at its longest",
    do="exchange them",
    family="steering_links",
)
def lengths_in_order(
    shortest: float = each("shortest length"), longest: float = each("longest length")
):
    return shortest <= longest
