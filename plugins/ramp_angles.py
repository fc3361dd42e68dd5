"""Ramp angles: what slope the vehicle drives on to, off from, and over.

They hold for the hard points that were measured on the vehicle. A tow bar or winch that is fitted
later has to be measured anew.
"""

from configurator.formulas import clearance
from configurator.plugin import Measure, computed, figure, vehicle

front_point_away = Measure(
    "front hard point distance",
    "From the front wheel centre forward to the point that a steep ramp meets first.",
    "plumb line and tape along the ground",
    moves_with=(),
    unit="mm",
    at_least=300.0,
    at_most=2000.0,
)
front_point_up = Measure(
    "front hard point height",
    "Height of that point above the ground, the vehicle as it stands.",
    "tape",
    moves_with=("load",),
    of="body",
    unit="mm",
    at_least=100.0,
    at_most=1500.0,
    taken_with=("tyres", "front springs", "front hub reductions: drop"),
)
rear_point_away = Measure(
    "rear hard point distance",
    "From the rear wheel centre back to the point that meets the ground first.",
    "plumb line and tape along the ground",
    moves_with=(),
    unit="mm",
    at_least=300.0,
    at_most=3000.0,
)
rear_point_up = Measure(
    "rear hard point height",
    "Height of that point above the ground, the vehicle as it stands.",
    "tape",
    moves_with=("load",),
    of="body",
    unit="mm",
    at_least=100.0,
    at_most=1500.0,
    taken_with=("tyres", "rear springs", "rear hub reductions: drop"),
)


@figure(
    "approach angle",
    unit="deg",
    resolution=0.1,
    rounding="down",
    meaning="Steepest ramp that the front wheels meet before the body does; no slope that can "
    "be climbed.",
    source="49 CFR 523.2 (2015 edition), approach angle; ISO 612:1978",
    states=("ride height",),
    not_in={"load": "of the load it was measured with"},
)
def approach_angle(
    away: float = vehicle("front hard point distance"),
    up: float = vehicle("front hard point height"),
    rise: float = computed("front body rise"),
    radius: float = computed("front static radius"),
):
    return _ramp(away, up + rise, radius)


@figure(
    "departure angle",
    unit="deg",
    resolution=0.1,
    rounding="down",
    meaning="Steepest ramp that the rear wheels leave before the body touches it; not a slope that "
    "can be climbed.",
    source="49 CFR 523.2 (2015 edition), departure angle; ISO 612:1978",
    states=("ride height",),
    not_in={"load": "of the load it was measured with"},
)
def departure_angle(
    away: float = vehicle("rear hard point distance"),
    up: float = vehicle("rear hard point height"),
    rise: float = computed("rear body rise"),
    radius: float = computed("rear static radius"),
):
    return _ramp(away, up + rise, radius)


@figure(
    "breakover angle",
    unit="deg",
    resolution=0.1,
    rounding="down",
    meaning="Sharpest crest that the vehicle drives over, its lowest point midway.",
    source="49 CFR 523.2 (2015 edition), breakover angle; ISO 612:1978",
)
def breakover_angle(
    wheelbase: float = vehicle("wheelbase"),
    height: float = computed("running clearance"),
    radius: float = computed("rear static radius"),
):
    return clearance.breakover_angle(wheelbase / 2, wheelbase / 2, height, radius)


def _ramp(away: float, up: float, radius: float) -> float | None:
    # A tyre that reaches past the hard point meets every ramp first: there is no such angle.
    if away**2 + (up - radius) ** 2 <= radius**2:
        return None
    return clearance.ramp_angle(away, up, radius)
