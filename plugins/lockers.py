"""Differential locks: both wheels of an axle turn, whatever grip each has.

A lock sits in the place of the differential, so ring gear and half-shaft splines must match; it
goes in with the gears and is set up with them.
"""

from configurator.plugin import (
    AXLES,
    Attribute,
    Family,
    Position,
    computed,
    figure,
    fit,
    limit,
    part,
)

lockers = Family(
    "lockers",
    "Differential locks",
    positions=tuple(Position(f"{axle} locker", f"{axle} axle") for axle in AXLES),
    optional=True,
    attributes=(
        Attribute(
            "ring gear",
            "Code of the gear sets that bolt to it.",
            kind="text",
            example="RG215",
        ),
        Attribute(
            "side gear spline",
            "Code of the spline in its side gears.",
            kind="text",
            example="S30",
        ),
        Attribute(
            "actuation",
            "How it is locked.",
            kind="text",
            choices=("air", "electric", "cable", "automatic"),
            example="air",
        ),
        Attribute(
            "torque rating",
            "Largest torque at the ring gear that it bears, all of it through one wheel.",
            unit="N*m",
            at_least=1000.0,
            at_most=100000.0,
            example="9000",
        ),
    ),
    meaning="Make an axle pull with both wheels.",
)


@fit(
    "the {axle} locker fits the axle",
    because="carrier bearings and ring gear bolts differ from axle to axle",
    source="geometry",
)
def locker_fits_axle(
    locker: str = part("{axle} locker", "ring gear"), axle: str = part("{axle} axle", "ring gear")
):
    return locker == axle


@fit(
    "the {axle} half-shafts fit the locker",
    because="the locker brings its own side gears",
    source="geometry",
)
def half_shafts_fit_locker(
    locker: str = part("{axle} locker", "side gear spline"),
    shaft: str = part("{axle} half-shafts", "inner spline"),
):
    return locker == shaft


@limit(
    "the {axle} locker bears its torque",
    unit="N*m",
    at_least=computed("{axle} ring gear torque"),
    because="with one wheel hanging all of the torque goes through one side of the lock",
    source="rating stated by the maker",
)
def locker_bears(rating: float = part("{axle} locker", "torque rating")):
    return rating


@figure(
    "axles that lock",
    unit="",
    meaning="How many of the two axles have a differential lock.",
    source="count",
)
def axles_that_lock(
    front: bool = part("front locker", "present"), rear: bool = part("rear locker", "present")
):
    return float(front) + float(rear)
