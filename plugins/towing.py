"""Trailer and roof: what the hitch and the roof may carry, on top of what is fitted.

A trailer loads the rear axle behind it and lifts the front one; a load on the roof raises the
centre of gravity. Both are asked of the job: without one, nothing here applies.
"""

from configurator.formulas import mass as masses
from configurator.formulas import stability
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

trailer = Condition(
    "trailer",
    "Mass of the trailer as it is pulled; 0 for none.",
    unit="kg",
    default="0 kg",
    at_least=0.0,
    at_most=6000.0,
)
nose_weight = Condition(
    "nose weight",
    "Load that the trailer puts on the ball.",
    unit="kg",
    default="0 kg",
    at_least=0.0,
    at_most=500.0,
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
permitted_trailer = Measure(
    "permitted trailer mass",
    "Mass of a braked trailer that the vehicle may pull.",
    "from the vehicle's papers",
    unit="kg",
    at_least=0.0,
    at_most=6000.0,
)
permitted_train = Measure(
    "permitted train mass",
    "Permitted mass of vehicle and trailer together.",
    "from the vehicle's plate or papers",
    unit="kg",
    at_least=500.0,
    at_most=18000.0,
)
permitted_nose = Measure(
    "permitted nose weight",
    "Load that the ball may carry.",
    "from the plate of the hitch; the smaller of vehicle and hitch",
    unit="kg",
    at_least=0.0,
    at_most=500.0,
)
ball_behind = Measure(
    "ball behind rear axle",
    "From the rear wheel centre back to the ball of the hitch.",
    "plumb line and tape along the ground",
    unit="mm",
    moves_with=(),
    tolerance="10 mm",
    at_least=200.0,
    at_most=3000.0,
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
    "the trailer is not too heavy",
    quantity="trailer mass",
    concerns="plate",
    unit="kg",
    at_most=vehicle("permitted trailer mass"),
    because="what the hitch, the brakes and the clutch were approved for ends there",
    source="vehicle's papers",
)
def trailer_permitted(trailer: float = condition("trailer")):
    return trailer or None


@limit(
    "the ball carries the nose of the trailer",
    quantity="nose weight",
    concerns="plate",
    unit="kg",
    at_most=vehicle("permitted nose weight"),
    because="a hitch that is overloaded tears out on the first hump",
    source="plate of the hitch",
)
def nose_permitted(nose: float = condition("nose weight")):
    return nose or None


@limit(
    "vehicle and trailer keep their permitted mass",
    quantity="mass of vehicle and trailer",
    concerns="plate",
    unit="kg",
    at_most=vehicle("permitted train mass"),
    because="what is bolted on cannot be pulled any more",
    source="vehicle's plate",
)
def train_permitted(own: float = computed("vehicle mass"), trailer: float = condition("trailer")):
    return own + trailer if trailer else None


@figure(
    "rear axle load with a trailer",
    unit="kg",
    resolution=0.1,
    rounding="up",
    meaning="What the rear axle carries with the trailer's nose on the ball.",
    source="moments about the front axle",
    states=("ride height",),
    not_in={
        "load": "with the load on board on the scale; what the axle may still take is its limit"
    },
)
def rear_load_towing(
    rear: float = computed("rear axle load"),
    nose: float = condition("nose weight"),
    behind: float = vehicle("ball behind rear axle"),
    wheelbase: float = vehicle("wheelbase"),
):
    return rear + masses.rear_axle_mass_change(nose, wheelbase, wheelbase + behind)


@limit(
    "the rear axle carries the nose of the trailer",
    quantity="rear axle load with a trailer",
    concerns="plate",
    unit="kg",
    at_most=vehicle("permitted rear axle load"),
    because="behind the axle the nose weighs more on it than on the ball",
    source="vehicle's plate; moments about the axles",
)
def rear_axle_carries_nose(
    load: float = computed("rear axle load with a trailer"),
    nose: float = condition("nose weight"),
):
    return load if nose else None


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
