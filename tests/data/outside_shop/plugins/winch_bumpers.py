"""Winch bumpers: what they cost in approach and in air, and whether they hold a recovery.

The file of an invented shop. It touches nothing of Fitwright's own: the mass goes into the axle
loads by the place it sits at, the approach angle is built on the one that is there already.
"""

from configurator.formulas.constants import STANDARD_GRAVITY
from configurator.plugin import (
    Attribute,
    Family,
    Measure,
    Position,
    Practice,
    caution,
    computed,
    figure,
    limit,
    operation,
    part,
    practice,
    vehicle,
)

INTERFACE = (1, 0)

winch_bumpers = Family(
    "winch_bumpers",
    "Winch bumpers",
    positions=(Position("winch bumper", "front body", sprung=True),),
    attributes=(
        Attribute(
            "approach angle",
            "Steepest ramp it clears on a vehicle as the works built it, at its own height.",
            unit="deg",
            at_least=10.0,
            at_most=80.0,
            example="36",
        ),
        Attribute(
            "recovery rating",
            "Pull that its recovery points are rated for, straight ahead.",
            unit="kN",
            at_least=5.0,
            at_most=500.0,
            example="90",
        ),
        Attribute(
            "cooling opening",
            "Free area for the air, a winch in its place.",
            unit="cm^2",
            at_least=100.0,
            at_most=8000.0,
            example="1500",
        ),
    ),
    optional=True,
    meaning="Carry a winch and the points to be pulled out by.",
)

opening_now = Measure(
    "cooling opening as it stands",
    "Free area in front of the radiator.",
    "tape: width times height of each opening, bars taken off",
    unit="cm^2",
    at_least=100.0,
    at_most=8000.0,
)

air_kept = Practice(
    "share of the cooling opening kept",
    "So much of the opening must be left with a bumper fitted.",
    80.0,
    "common practice, no source",
    unit="%",
    at_least=40.0,
    at_most=100.0,
)
pull_reserve = Practice(
    "recovery rating over the permitted weight",
    "So many times the weight the recovery points should be rated for.",
    2.0,
    "common practice, no source",
    at_least=1.0,
    at_most=5.0,
)


@figure(
    "approach angle with the winch bumper",
    unit="deg",
    resolution=0.1,
    rounding="down",
    meaning="Steepest ramp that the front wheels meet before the bumper does; approximate.",
    source="geometry; taken to grow with lift and tyres as the angle at the old hard point does",
)
def approach_with_bumper(
    own: float = part("winch bumper", "approach angle"),
    now: float = computed("approach angle"),
    before: float = computed("approach angle", before=True),
):
    return own + (now - before)


@figure(
    "cooling opening needed",
    unit="cm^2",
    resolution=1.0,
    rounding="up",
    meaning="Opening that must be left with a bumper fitted.",
    source="common practice, no source",
)
def opening_needed(
    opening: float = vehicle("cooling opening as it stands"),
    share: float = practice("share of the cooling opening kept"),
):
    return opening * share


@limit(
    "the winch bumper lets the air through",
    unit="cm^2",
    at_least=computed("cooling opening needed"),
    because="an engine that crawls in heat has no wind but its fan's",
    source="common practice, no source",
)
def air_comes_through(opening: float = part("winch bumper", "cooling opening")):
    return opening


@limit(
    "the recovery points hold the vehicle",
    unit="",
    at_least=practice("recovery rating over the permitted weight"),
    because="a vehicle stuck to its axles takes twice its weight to come out",
    source="common practice, no source",
)
def recovery_points_hold(
    rating: float = part("winch bumper", "recovery rating"),
    mass: float = vehicle("permitted mass"),
):
    return rating / (mass * STANDARD_GRAVITY.beside(mass))


@operation("fit the winch bumper", hours=5.0, station="body shop", uses={"thread locker": 1.0})
def fit_the_bumper(
    changed: bool = part("winch bumper", "changed"),
    present: bool = part("winch bumper", "present"),
):
    return changed and present


@caution(
    "a winch bumper was fitted",
    says="A stiff bumper changes what a crash does, to those inside and to those outside.",
    inspect="Airbag sensors and crush cans; every bolt again after the first pull.",
    approve="whoever approves changes to the vehicle's front where you are",
)
def bumper_fitted(
    changed: bool = part("winch bumper", "changed"),
    present: bool = part("winch bumper", "present"),
):
    return changed and present
