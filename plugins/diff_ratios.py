"""Diff ratios (crown wheel and pinion): one set in each axle, of the same ratio."""

from configurator.formulas import torque
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

gears = Family(
    "diff_ratios",
    "Diff ratios (crown wheel and pinion)",
    system="Axles and driveline",
    positions=tuple(Position(f"{axle} crown wheel and pinion", f"{axle} axle") for axle in AXLES),
    attributes=(
        Attribute(
            "ratio",
            "Teeth of the ring gear over teeth of the pinion.",
            at_least=2.0,
            at_most=8.0,
            example="4.1",
        ),
        Attribute(
            "ring gear",
            "Code of the axles it goes in.",
            kind="text",
            example="RG215",
        ),
        Attribute(
            "torque rating",
            "Largest torque at the ring gear that the set bears.",
            unit="N*m",
            at_least=1000.0,
            at_most=100000.0,
            example="9500",
        ),
    ),
    meaning="Set the engine speed on the road and the pull at the crawl.",
    moves=(),
)


@fit(
    "the {axle} crown wheel and pinion fits the {axle} axle",
    because="ring gears differ in diameter, offset and bolts",
    source="geometry",
)
def gears_fit_axle(
    gear: str = part("{axle} crown wheel and pinion", "ring gear"),
    axle: str = part("{axle} axle", "ring gear"),
):
    return gear == axle


@figure(
    "{axle} ring gear torque",
    unit="N*m",
    resolution=50.0,
    rounding="up",
    meaning="Largest torque at the {axle} ring gear: centre locked, other axle without grip.",
    source="Gillespie, Fundamentals of Vehicle Dynamics, ch. 2; the smaller limit counts",
)
def ring_gear_torque(
    ratio: float = part("{axle} crown wheel and pinion", "ratio"),
    grip: float = computed("{axle} grip torque"),
    driveshafts: float = computed("propshaft torque"),
):
    engine = torque.ring_gear_torque(driveshafts, 1.0, ratio, 1.0)
    return torque.counted_torque(engine, grip)


@limit(
    "the {axle} crown wheel and pinion bears its torque",
    quantity="{axle} crown wheel and pinion, torque rating",
    unit="N*m",
    concerns="rating",
    at_least=computed("{axle} ring gear torque"),
    because="the torque ahead of a hub reduction is the wheel's torque over the hub's ratio",
    source="rating stated by the maker",
)
def gears_bear(rating: float = part("{axle} crown wheel and pinion", "torque rating")):
    return rating
