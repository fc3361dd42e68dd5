"""Diff locks: both wheels of an axle turn, whatever grip each has.

A lock sits in the place of the differential, so ring gear and half-shaft splines must match; it
goes in with the gears and is set up with them.
"""

from configurator.plugin import (
    AXLES,
    Attribute,
    Family,
    Position,
    Practice,
    figure,
    fit,
    limit,
    part,
    practice,
    vehicle,
)

lockers = Family(
    "diff_locks",
    "Diff locks",
    system="Axles and driveline",
    positions=tuple(Position(f"{axle} diff lock", f"{axle} axle") for axle in AXLES),
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
            "permitted axle load",
            "Load of the axle up to which its maker permits it, all torque through one wheel.",
            unit="kg",
            at_least=300.0,
            at_most=6000.0,
            example="1800",
        ),
    ),
    meaning="Make an axle pull with both wheels.",
    moves=(),
)


compressors = Family(
    "compressors",
    "Compressors",
    system="Axles and driveline",
    positions=(Position("compressor", "front body", sprung=True),),
    optional=True,
    attributes=(
        Attribute(
            "pressure",
            "Pressure at which it switches off.",
            unit="bar",
            at_least=2.0,
            at_most=20.0,
            example="8.5",
        ),
        Attribute(
            "delivers",
            "Air that it delivers at 2 bar, for people who let tyres down and up.",
            unit="litre/min",
            at_least=5.0,
            at_most=500.0,
            required=False,
            example="60",
        ),
    ),
    meaning="Air for differential locks and tyres.",
    moves=(),
)

locking_pressure = Practice(
    "pressure that locks",
    "Air pressure that a differential lock needs to engage.",
    7.0,
    "common practice, no source: 6 to 7 bar",
    unit="bar",
    at_least=1.0,
    at_most=15.0,
)


@fit(
    "the {axle} diff lock has air",
    because="an air lock without a compressor is an open differential",
    source="makers' fitting instructions",
)
def locker_has_air(
    actuation: str = part("{axle} diff lock", "actuation"),
    pressure: float | None = part("compressor", "pressure"),
    needs: float = practice("pressure that locks"),
):
    return actuation != "air" or (pressure is not None and pressure >= needs)


@fit(
    "the {axle} diff lock fits the axle",
    because="carrier bearings and ring gear bolts differ from axle to axle",
    source="geometry",
)
def locker_fits_axle(
    locker: str = part("{axle} diff lock", "ring gear"),
    axle: str = part("{axle} axle", "ring gear"),
):
    return locker == axle


@fit(
    "the {axle} half-shafts fit the locker",
    because="the locker brings its own side gears",
    source="geometry",
)
def half_shafts_fit_locker(
    locker: str = part("{axle} diff lock", "side gear spline"),
    shaft: str = part("{axle} half-shafts", "inner spline"),
):
    return locker == shaft


@limit(
    "the {axle} diff lock bears the axle load",
    quantity="{axle} diff lock, rated axle load",
    unit="kg",
    concerns="rating",
    at_least=vehicle("permitted {axle} axle load"),
    because="with one wheel hanging all that the other grips goes through one side of the lock",
    source="axle load permitted by the maker",
    states=("fully laden",),
)
def locker_bears(permitted: float = part("{axle} diff lock", "permitted axle load")):
    return permitted


@figure(
    "axles with a diff lock",
    unit="",
    meaning="How many of the two axles have a differential lock.",
    source="count",
)
def axles_that_lock(
    front: bool = part("front diff lock", "present"), rear: bool = part("rear diff lock", "present")
):
    return float(front) + float(rear)
