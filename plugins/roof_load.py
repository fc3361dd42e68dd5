"""Roof: what it may carry, and how a load so high tips the vehicle sideways and forwards.

A load on the roof raises the centre of gravity; what it weighs on the axles is counted with the
trailer's nose.
"""

from configurator.formulas import brake_balance, stability
from configurator.plugin import (
    Condition,
    Measure,
    Practice,
    computed,
    condition,
    figure,
    limit,
    practice,
    vehicle,
)

roof_load = Condition(
    "roof load",
    "Carried on the roof, the rack included, beyond what was on board when the vehicle was "
    "weighed; 0 for none.",
    unit="kg",
    default="0 kg",
    at_least=0.0,
    at_most=500.0,
)
permitted_roof = Measure(
    "permitted roof load",
    "Load that the roof may carry, the rack included.",
    "from the vehicle's handbook",
    unit="kg",
    at_least=0.0,
    at_most=500.0,
)
above_roof = Practice(
    "middle of a roof load above the roof",
    "How high the middle of what lies on the roof stands above it.",
    200.0,
    "common practice, no source",
    unit="mm",
    at_least=0.0,
    at_most=1000.0,
)


@limit(
    "the roof carries its load",
    quantity="roof load",
    concerns="plate",
    unit="kg",
    at_most=vehicle("permitted roof load"),
    because="a roof that folds comes down on those below it",
    source="vehicle's handbook",
)
def roof_permitted(
    load: float = condition("roof load"), spare: float = computed("spare on the roof")
):
    return load + spare or None


@figure(
    "centre of gravity height with the roof load",
    unit="mm",
    resolution=1.0,
    rounding="up",
    meaning="Above the ground, with everything fitted and what the roof carries.",
    source="moments about the ground",
    states=("ride height",),
    not_in={"load": "the load on the roof comes on top of what was on board on the scale"},
)
def cg_with_roof_load(
    height: float = computed("centre of gravity height"),
    own: float = computed("vehicle mass"),
    roof: float = vehicle("roof height"),
    rise: float = computed("body rise"),
    above: float = practice("middle of a roof load above the roof"),
    load: float = condition("roof load"),
    spare: float = computed("spare on the roof"),
):
    # The spare is in the mass already, counted as if it lay at the height of the others.
    top = roof + rise + above
    return (own * height + load * top + spare * (top - height)) / (own + load)


@limit(
    "the vehicle stands upright with the roof load",
    quantity="static stability factor with the roof load",
    concerns="strength",
    unit="",
    at_least=practice("static stability factor at least"),
    because="what lies on the roof tips the vehicle first",
    source="NHTSA, 68 FR 59249, for the factor; the bound is common practice, no source",
)
def upright_with_roof_load(
    track: float = computed("mean track"),
    height: float = computed("centre of gravity height with the roof load"),
    load: float = condition("roof load"),
    spare: float = computed("spare on the roof"),
):
    return stability.static_stability_factor(track, height) if load + spare else None


@figure(
    "side slope that tips it with the roof load",
    unit="deg",
    resolution=0.1,
    rounding="down",
    meaning="Of the vehicle taken as rigid, the roof loaded; on its springs it tips earlier.",
    source="Gillespie, Fundamentals of Vehicle Dynamics, ch. 9 (chapter from memory)",
)
def side_slope_with_roof_load(
    track: float = computed("mean track"),
    height: float = computed("centre of gravity height with the roof load"),
    load: float = condition("roof load"),
    spare: float = computed("spare on the roof"),
):
    return stability.side_tip_angle(track, height) if load + spare else None


@figure(
    "ideal front share of braking with the roof load",
    unit="%",
    resolution=0.1,
    rounding="up",
    meaning="Share at which both axles use the same grip in the hardest stop, at the permitted "
    "mass with all that the front axle may carry, the roof loaded.",
    source="49 CFR 571.135 S7.4.2 and S7.4.4 (2015): gross vehicle weight rating",
    states=("fully laden",),
    not_in={"lightly laden": "a load on the roof is a load"},
)
def ideal_share_with_roof_load(
    wheelbase: float = vehicle("wheelbase"),
    mass: float = vehicle("permitted mass"),
    front_load: float = vehicle("permitted front axle load"),
    cg_height: float = computed("centre of gravity height with the roof load"),
    deceleration: float = practice("hardest stop"),
):
    cg_to_rear_axle = wheelbase * front_load / mass
    return brake_balance.ideal_front_share(wheelbase, cg_to_rear_axle, cg_height, deceleration)


@limit(
    "the front wheels lock before the rear ones with the roof load",
    quantity="front share of braking, with the roof load",
    concerns="law",
    unit="%",
    at_least=computed("ideal front share of braking with the roof load"),
    because="what lies on the roof tips the vehicle on to its front wheels: the rear ones lock "
    "sooner",
    source="49 CFR 571.135 S7.4.2 and S7.4.4 (2015); UN Regulation No. 13-H, annex 5",
    states=("fully laden",),
)
def front_locks_first_with_roof_load(
    share: float = computed("front share of braking"),
    load: float = condition("roof load"),
    spare: float = computed("spare on the roof"),
):
    return share if load + spare else None
