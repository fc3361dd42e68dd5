"""Cross-axle twist: one side of an axle on its stop, the other hanging.

An axle that is a bar turns about its stop, and a wheel stands outside of it: the wheel of the
hanging side, and what ends at it, hangs lower than at full droop. What is fitted bears that as it
stands; how much slack it had left nobody has measured. So it counts by how much lower an end hangs
than it did: with shocks that let it, on a shorter stop, or further out.
"""

from configurator.formulas import suspension_travel
from configurator.plugin import computed, figure, vehicle


@figure(
    "{axle} wheel drop in twist",
    unit="mm",
    resolution=10.0,
    rounding="up",
    meaning="How far below ride height the hanging {axle} wheel of a twisted axle goes: as full "
    "droop, and how much further below that than it went before.",
    source="geometry: the axle is a bar that turns about the stop; what ends at the wheel is "
    "counted as in the middle of the tyre, and that a taller stop takes travel away is not counted "
    "on",
    states=("cross-axle twist",),
    not_in={
        "full bump": "both sides stand on their stops there",
        "full droop": "both sides hang alike there",
        "load": "stops and shocks end the travel at the same places under any load",
    },
)
def wheel_drop_in_twist(
    bump: float = computed("{axle} axle drop at full bump"),
    droop: float = computed("{axle} full droop"),
    out: float = computed("{axle} wheel face outboard"),
    bump_before: float = computed("{axle} axle drop at full bump", before=True),
    droop_before: float = computed("{axle} full droop", before=True),
    track: float = computed("{axle} track", before=True),
    spacing: float = vehicle("{axle} spring spacing"),
    suspension: str = vehicle("{axle} suspension"),
):
    if suspension == "independent":
        return droop
    travel = droop - min(bump, bump_before)
    below = suspension_travel.wheel_rise_in_twist(travel, track + 2.0 * out, spacing)
    below_before = suspension_travel.wheel_rise_in_twist(droop_before - bump_before, track, spacing)
    return droop + max(below - below_before, 0.0 * below)


@figure(
    "{axle} wheel drop",
    unit="mm",
    meaning="How far below ride height a {axle} wheel goes at most, both sides hanging or only its "
    "own.",
    source="geometry: both sides of an independent suspension hang as far as one",
    states=("full droop", "cross-axle twist"),
    not_in={
        "full bump": "no wheel hangs there",
        "load": "stops and shocks end the travel at the same places under any load",
    },
)
def wheel_drop(
    droop: float = computed("{axle} full droop"),
    in_twist: float = computed("{axle} wheel drop in twist"),
    suspension: str = vehicle("{axle} suspension"),
):
    return droop if suspension == "independent" else in_twist
