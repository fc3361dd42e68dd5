"""Propshafts: how long they must be in every state of the suspension, and how fast they may turn.

A lift lets the axle hang lower against the gearbox, and longer shocks lower still: splines come
apart at full droop or bottom on the stops, not at ride height. A hub reduction leaves both as they
were but makes the shaft turn faster.
"""

from configurator.formulas import driveshafts as shaft
from configurator.formulas import tyres
from configurator.plugin import (
    AXLES,
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
    limit,
    part,
    practice,
    vehicle,
)

driveshafts = Family(
    "propshafts",
    "Propshafts",
    system="Axles and driveline",
    positions=tuple(Position(f"{axle} propshaft", "middle", sprung=True) for axle in AXLES),
    attributes=(
        Attribute(
            "joint",
            "Kind of the joint at the gearbox end.",
            kind="text",
            choices=("cardan", "double cardan"),
            example="double cardan",
        ),
        Attribute(
            "permitted angle",
            "Largest angle that its joints may run at for long, at ride height.",
            unit="deg",
            at_least=1.0,
            at_most=45.0,
            example="16",
        ),
        Attribute(
            "largest angle at the gearbox",
            "Angle at which its joint at the gearbox binds; it may come near it in full bump and "
            "droop, not run there for long.",
            unit="deg",
            at_least=5.0,
            at_most=60.0,
            example="30",
        ),
        Attribute(
            "largest angle at the axle",
            "Angle at which its joint at the axle binds.",
            unit="deg",
            at_least=5.0,
            at_most=60.0,
            example="28",
        ),
        Attribute(
            "flange",
            "Code of the flanges it bolts to.",
            kind="text",
            example="F95",
        ),
        Attribute(
            "tube diameter",
            "Outside diameter of its tube.",
            unit="mm",
            at_least=30.0,
            at_most=150.0,
            example="63.5",
        ),
        Attribute(
            "tube wall",
            "Wall of its tube.",
            unit="mm",
            tolerance="3 %",
            at_least=1.0,
            at_most=10.0,
            example="2.1",
        ),
        Attribute(
            "shortest length",
            "Between the joints, pushed in.",
            unit="mm",
            tolerance="2 mm",
            at_least=200.0,
            at_most=2500.0,
            example="830",
        ),
        Attribute(
            "longest length",
            "Between the joints, drawn out as far as the splines may go.",
            unit="mm",
            tolerance="2 mm",
            at_least=200.0,
            at_most=2500.0,
            example="920",
        ),
        Attribute(
            "torque rating",
            "Largest torque that its joints bear.",
            unit="N*m",
            at_least=300.0,
            at_most=30000.0,
            example="4200",
        ),
    ),
    meaning="Join the gearbox to the axles.",
    moves=(),
)

flange = Measure(
    "{axle} propshaft flange",
    "Code of the flanges of gearbox and {axle} axle.",
    "bolt spacing and pilot, callipers",
    kind="text",
)
length = Measure(
    "{axle} propshaft length",
    "Between the joints of the {axle} propshaft at ride height.",
    "tape, joint middle to joint middle",
    moves_with=("travel", "load"),
    of="propshaft end",
    unit="mm",
    tolerance="3 mm",
    at_least=200.0,
    at_most=2500.0,
    taken_with=("{axle} springs", "{axle} axle: mounts"),
)
angle = Measure(
    "{axle} propshaft slope",
    "Slope of the {axle} propshaft at ride height, the axle end lower.",
    "angle gauge on the tube, vehicle level",
    moves_with=("travel", "load"),
    of="propshaft end",
    unit="deg",
    tolerance="0.5 deg",
    at_least=-10.0,
    at_most=35.0,
    taken_with=("{axle} springs", "{axle} axle: mounts"),
)
slip_kept = Practice(
    "slip kept in a propshaft",
    "Length that the splines must still be able to give at full bump and full droop; axles on "
    "links also move along the vehicle.",
    5.0,
    "common practice, no source",
    unit="mm",
    at_least=0.0,
    at_most=100.0,
    for_error=0.5,
)
critical_share = Practice(
    "share of the critical speed",
    "Share of its critical speed that a propshaft may run at.",
    75.0,
    "common practice, no source; some makers stay at 65 to 70 %",
    unit="%",
    at_least=30.0,
    at_most=95.0,
)
elastic_modulus = Practice(
    "elastic modulus of propshaft tubes",
    "Young's modulus of steel.",
    206.0,
    "carbon steel, EN 1993-1-1, 3.2.6 gives 210 GPa; 206 is usual for shafts (from memory)",
    unit="GPa",
    at_least=60.0,
    at_most=215.0,
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


@figure(
    "{axle} propshaft length",
    unit="mm",
    resolution=2.0,
    rounding="up",
    source="geometry, the axle moving straight down",
    states=("ride height",),
    not_in=FOR_LONG,
)
def driveshaft_length(
    lift: float = computed("{axle} lift over the differential"),
    length: float = vehicle("{axle} propshaft length"),
    slope: float = vehicle("{axle} propshaft slope"),
):
    """Length between the joints of the {axle} propshaft at ride height."""
    return shaft.length_after_drop(length, slope, lift)


@figure(
    "longest {axle} propshaft at {state}",
    unit="mm",
    resolution=1.0,
    rounding="up",
    source="geometry, the axle moving straight down",
    states=("full bump", "full droop"),
    not_in=BETWEEN,
    regardless={"{axle} springs": "counted from the ride height as it was measured"},
)
def longest_driveshaft(
    drop: float = computed("{axle} differential drop at {state}"),
    length: float = vehicle("{axle} propshaft length"),
    slope: float = vehicle("{axle} propshaft slope"),
):
    """Length between the joints of the {axle} propshaft, the axle at the end of its travel."""
    return shaft.length_after_drop(length, slope, drop)


@figure(
    "shortest {axle} propshaft at full bump",
    unit="mm",
    resolution=1.0,
    rounding="down",
    source="geometry, the axle moving straight up; a shaft is shortest where it lies level",
    states=("full bump",),
    not_in={
        "full droop": "a shaft that passes the level on the way to droop lies above it at bump",
        **BETWEEN,
    },
    regardless={"{axle} springs": "counted from the ride height as it was measured"},
)
def shortest_driveshaft(
    drop: float = computed("{axle} differential drop at full bump"),
    length: float = vehicle("{axle} propshaft length"),
    slope: float = vehicle("{axle} propshaft slope"),
):
    """Shortest length between the joints on the way from full droop to full bump."""
    return shaft.shortest_length(length, slope, drop)


@fit(
    "the {axle} propshaft bolts to its flanges",
    because="flanges are centred by a pilot and held by bolts that must both fit",
    source="geometry",
)
def driveshaft_fits_flanges(
    flange: str = part("{axle} propshaft", "flange"),
    flange_there: str = vehicle("{axle} propshaft flange"),
):
    return flange == flange_there


@limit(
    "the {axle} propshaft is long enough at {state}",
    quantity="{axle} propshaft, slip left to draw out at {state}",
    unit="mm",
    concerns="contact",
    at_least=practice("slip kept in a propshaft"),
    because="splines that are drawn out too far come apart",
    source="geometry; slip kept is common practice, no source",
    states=("full bump", "full droop"),
)
def slip_out(
    longest: float = part("{axle} propshaft", "longest length"),
    length: float = computed("longest {axle} propshaft at {state}"),
):
    return longest - length


@limit(
    "the {axle} propshaft is short enough at full bump",
    quantity="{axle} propshaft, slip left to push in",
    unit="mm",
    concerns="contact",
    at_least=practice("slip kept in a propshaft"),
    because="splines that bottom push the gearbox shaft through its bearing",
    source="geometry; slip kept is common practice, no source",
)
def slip_in(
    shortest: float = part("{axle} propshaft", "shortest length"),
    length: float = computed("shortest {axle} propshaft at full bump"),
):
    return length - shortest


@limit(
    "the {axle} propshaft bears its torque",
    quantity="{axle} propshaft, torque rating",
    unit="N*m",
    concerns="rating",
    at_least=computed("propshaft torque"),
    because="with the centre locked all of the engine can end up in one shaft",
    source="maker's rating",
)
def driveshaft_bears(rating: float = part("{axle} propshaft", "torque rating")):
    return rating


@figure(
    "{axle} propshaft speed",
    unit="rpm",
    resolution=20.0,
    rounding="up",
    source="Gillespie, Fundamentals of Vehicle Dynamics, ch. 2",
)
def driveshaft_speed(
    way: float = computed("{axle} distance per propshaft turn"),
    top_speed: float = vehicle("top speed"),
):
    """Speed at the vehicle's top speed; a hub reduction makes the shaft turn faster."""
    return shaft.shaft_speed(top_speed, tyres.effective_rolling_radius(way), 1.0)


@figure(
    "{axle} propshaft speed limit",
    unit="rpm",
    resolution=20.0,
    rounding="down",
    source="SAE AE-7, 3.1.1, for the term; simply supported tube; share by common practice",
)
def driveshaft_speed_limit(
    diameter: float = part("{axle} propshaft", "tube diameter"),
    wall: float = part("{axle} propshaft", "tube wall"),
    length: float = computed("{axle} propshaft length"),
    modulus: float = practice("elastic modulus of propshaft tubes"),
    share: float = practice("share of the critical speed"),
):
    """Speed up to which the tube does not begin to whirl, as long as a lift draws it out."""
    inner = max(diameter - 2 * wall, 0.0)
    critical = shaft.critical_speed(
        diameter, inner, length, modulus, shaft.STEEL_DENSITY.beside(length)
    )
    return shaft.operating_speed_limit(critical, share)


@limit(
    "the {axle} propshaft stays below its critical speed",
    quantity="{axle} propshaft, speed at top speed",
    unit="rpm",
    concerns="strength",
    at_most=computed("{axle} propshaft speed limit"),
    because="a tube that whirls bends, breaks and beats on the floor",
    source="beam theory; share of the critical speed is common practice, no source",
)
def driveshaft_speed_kept(speed: float = computed("{axle} propshaft speed")):
    return speed


@cross_check(
    "a propshaft is no longer at its shortest than at its longest",
    do="exchange them",
    family="propshafts",
)
def lengths_in_order(
    shortest: float = each("shortest length"), longest: float = each("longest length")
):
    return shortest <= longest
