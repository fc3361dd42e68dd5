"""Trailer: what it may weigh, and what its nose and a load on the roof put on the vehicle.

A trailer loads the rear axle behind it and lifts the front one. Its nose and what lies on the roof
are load of the vehicle: they count against its permitted mass and axle loads, and its tyres carry
them. Both are asked of the job: without one, nothing here applies.
"""

from configurator.formulas import mass as masses
from configurator.formulas import places
from configurator.plugin import (
    NOT_KNOWN,
    Condition,
    Measure,
    Practice,
    computed,
    condition,
    figure,
    fitted,
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
    "Load that the trailer puts on the ball, on the scale; with a trailer it has to be given.",
    unit="kg",
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
roof_share = Practice(
    "share of a roof load on an axle",
    "Share of what lies on the roof that either axle may have to carry.",
    60.0,
    "common practice, no source: a load that lies a little ahead of or behind the middle",
    unit="%",
    at_least=50.0,
    at_most=100.0,
)
TOWING = {
    "load": "with the load on board on the scale; what the axles may still take is their limit"
}


@figure(
    "nose weight on the ball",
    unit="kg",
    meaning="Load that the trailer puts on the ball; not known of a trailer that nobody weighed.",
    source="as the job says",
    not_in={"load": "as the job says"},
)
def nose_on_the_ball(
    nose: float | None = condition("nose weight"), trailer: float = condition("trailer")
):
    if nose is None:
        return NOT_KNOWN if trailer else 0.0 * trailer
    return nose


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
def nose_permitted(nose: float = computed("nose weight on the ball")):
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
    "vehicle mass with hitch and roof",
    unit="kg",
    resolution=0.1,
    rounding="up",
    meaning="With everything fitted, people and cargo on board, the trailer's nose on the ball and "
    "the job's load on the roof.",
    source="sum",
    states=("ride height",),
    not_in=TOWING,
)
def mass_with_hitch_and_roof(
    own: float = computed("vehicle mass"),
    nose: float = computed("nose weight on the ball"),
    roof: float = condition("roof load"),
):
    return own + nose + roof


@limit(
    "the vehicle keeps its permitted mass with hitch and roof",
    quantity="vehicle mass with hitch and roof",
    concerns="plate",
    unit="kg",
    at_most=vehicle("permitted mass"),
    because="what stands on the ball and lies on the roof is load of the vehicle",
    source="vehicle's plate",
)
def mass_permitted_with_hitch_and_roof(
    mass: float = computed("vehicle mass with hitch and roof"),
    nose: float = computed("nose weight on the ball"),
    roof: float = condition("roof load"),
):
    return mass if nose + roof else None


@figure(
    "load still allowed with hitch and roof",
    unit="kg",
    meaning="What may still be taken on board with the trailer's nose on the ball and the job's "
    "load on the roof; the axle loads may allow less.",
    source="vehicle's plate",
    states=("ride height",),
    not_in=TOWING,
)
def load_still_allowed_with_hitch_and_roof(
    mass: float = computed("vehicle mass with hitch and roof"),
    nose: float = computed("nose weight on the ball"),
    roof: float = condition("roof load"),
    permitted: float = vehicle("permitted mass"),
):
    return permitted - mass if nose + roof else None


@figure(
    "front axle load from hitch and roof",
    unit="kg",
    meaning="What the job's roof load, and a spare that moves to the roof, add to the front axle; "
    "that a trailer's nose lifts it is not counted.",
    source="share of the roof load by common practice, no source",
    not_in=TOWING,
)
def front_from_hitch_and_roof(
    roof: float = condition("roof load"),
    share: float = practice("share of a roof load on an axle"),
    spare: float = computed("spare on the roof"),
    there_before: bool = fitted("spare carrier", "on the roof"),
    wheelbase: float = vehicle("wheelbase"),
):
    if there_before:
        return share * roof
    # In the axle loads a spare hangs behind the vehicle, where it lifts the front axle.
    behind = places.behind_front_axle("rear body", 1.0, wheelbase)
    return share * (roof + spare) - masses.front_axle_mass_change(spare, wheelbase, behind)


@figure(
    "rear axle load from hitch and roof",
    unit="kg",
    meaning="What the trailer's nose and the job's roof load add to the rear axle.",
    source="moments about the front axle; share of the roof load by common practice, no source",
    not_in=TOWING,
)
def rear_from_hitch_and_roof(
    nose: float = computed("nose weight on the ball"),
    behind: float | None = vehicle("ball behind rear axle"),
    wheelbase: float = vehicle("wheelbase"),
    roof: float = condition("roof load"),
    share: float = practice("share of a roof load on an axle"),
):
    if not nose:
        return share * roof
    if behind is None:
        return NOT_KNOWN
    return masses.rear_axle_mass_change(nose, wheelbase, wheelbase + behind) + share * roof


@figure(
    "{axle} axle load with hitch and roof",
    unit="kg",
    resolution=0.1,
    rounding="up",
    meaning="What the {axle} axle carries, everything fitted, the trailer's nose on the ball and "
    "the job's load on the roof.",
    source="sum",
    states=("ride height",),
    not_in=TOWING,
)
def load_with_hitch_and_roof(
    own: float = computed("{axle} axle load"),
    added: float = computed("{axle} axle load from hitch and roof"),
):
    return own + added


@limit(
    "the {axle} axle carries its share of hitch and roof",
    quantity="{axle} axle load with hitch and roof",
    concerns="plate",
    unit="kg",
    at_most=vehicle("permitted {axle} axle load"),
    because="behind the axle a nose weighs more on it than on the ball, and a roof load weighs on "
    "both",
    source="vehicle's plate; moments about the axles",
)
def axle_carries_hitch_and_roof(
    load: float = computed("{axle} axle load with hitch and roof"),
    added: float = computed("{axle} axle load from hitch and roof"),
):
    return load if added else None


@limit(
    "the {axle} tyres carry their share of hitch and roof",
    quantity="load left on the {axle} tyres with hitch and roof",
    concerns="plate",
    unit="kg",
    at_least=0.0,
    because="tyres that are soft enough for the vehicle alone run hot under what comes on top",
    source="ETRTO and Tire and Rim Association load formulas (from memory); moments",
    states=("ride height",),
    not_in=TOWING,
)
def tyres_carry_hitch_and_roof(
    left: float = computed("load left on the {axle} tyres"),
    added: float = computed("{axle} axle load from hitch and roof"),
):
    return left - added if added else None
