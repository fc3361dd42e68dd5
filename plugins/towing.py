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
    each,
    figure,
    fitted,
    limit,
    practice,
    total,
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


@figure(
    "mass permitted beside hitch and roof",
    unit="kg",
    meaning="What the plate leaves for the vehicle itself, people and cargo on board; where the "
    "job asks for neither trailer nor roof load there is no such bound.",
    source="vehicle's plate",
    not_in=TOWING,
)
def mass_permitted_beside(
    permitted: float = vehicle("permitted mass"),
    nose: float = computed("nose weight on the ball"),
    roof: float = condition("roof load"),
):
    return permitted - nose - roof if nose + roof else None


# Sums of their own, not limits on the figures: the search counts them as it does the axle loads.
@total(
    "vehicle mass beside hitch and roof",
    unit="kg",
    concerns="plate",
    start=vehicle("laden mass"),
    at_most=computed("mass permitted beside hitch and roof"),
    meaning="Mass of the vehicle as it is used, people and cargo on board, with everything fitted; "
    "the trailer's nose and the roof load come on top.",
    because="what stands on the ball and lies on the roof is load of the vehicle",
    source="vehicle's plate",
    states=("ride height",),
    not_in=TOWING,
)
def mass_beside_hitch_and_roof(mass: float = each("mass"), pieces: float = each("pieces")):
    return mass * pieces


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
    "the front axle carries a spare that moves to the roof",
    quantity="front axle load with the spare on the roof",
    concerns="plate",
    unit="kg",
    at_most=vehicle("permitted front axle load"),
    because="behind the vehicle it lifted the front axle, on the roof it weighs on it",
    source="vehicle's plate; moments about the axles",
)
def front_axle_carries_spare(
    load: float = computed("front axle load with hitch and roof"),
    spare: float = computed("spare on the roof"),
    there_before: bool = fitted("spare carrier", "on the roof"),
):
    return load if spare and not there_before else None


@figure(
    "front axle load permitted beside hitch and roof",
    unit="kg",
    meaning="What the plate leaves of the front axle load for the vehicle itself.",
    source="vehicle's plate",
    not_in=TOWING,
)
def front_permitted_beside(
    permitted: float = vehicle("permitted front axle load"),
    roof: float = condition("roof load"),
    share: float = practice("share of a roof load on an axle"),
):
    return permitted - share * roof if roof else None


@figure(
    "rear axle load permitted beside hitch and roof",
    unit="kg",
    meaning="What the plate leaves of the rear axle load for the vehicle itself.",
    source="vehicle's plate; moments about the front axle",
    not_in=TOWING,
)
def rear_permitted_beside(
    permitted: float = vehicle("permitted rear axle load"),
    added: float = computed("rear axle load from hitch and roof"),
):
    return permitted - added if added else None


@total(
    "front axle load beside hitch and roof",
    unit="kg",
    concerns="plate",
    start=vehicle("laden front axle load"),
    at_most=computed("front axle load permitted beside hitch and roof"),
    meaning="What the front axle carries with everything fitted; its share of the roof load comes "
    "on top.",
    because="a roof load weighs on both axles",
    source="vehicle's plate; moments about the axles",
    states=("ride height",),
    not_in=TOWING,
)
def front_load_beside(
    mass: float = each("mass"),
    pieces: float = each("pieces"),
    place: str = each("place"),
    wheelbase: float = vehicle("wheelbase"),
):
    where = places.behind_front_axle(place, pieces, wheelbase)
    return masses.front_axle_mass_change(mass * pieces, wheelbase, where)


@total(
    "rear axle load beside hitch and roof",
    unit="kg",
    concerns="plate",
    start=vehicle("laden rear axle load"),
    at_most=computed("rear axle load permitted beside hitch and roof"),
    meaning="What the rear axle carries with everything fitted; the trailer's nose and a share of "
    "the roof load come on top.",
    because="behind the axle a nose weighs more on it than on the ball, and a roof load weighs on "
    "both",
    source="vehicle's plate; moments about the axles",
    states=("ride height",),
    not_in=TOWING,
)
def rear_load_beside(
    mass: float = each("mass"),
    pieces: float = each("pieces"),
    place: str = each("place"),
    wheelbase: float = vehicle("wheelbase"),
):
    where = places.behind_front_axle(place, pieces, wheelbase)
    return masses.rear_axle_mass_change(mass * pieces, wheelbase, where)
