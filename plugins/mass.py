"""Mass: what everything fitted weighs, on which axle, and what may still be carried.

The vehicle is weighed as it is used, people and cargo on board. Each part then adds what it
weighs more than the one it replaces.
"""

from configurator.formulas import mass as masses
from configurator.formulas import places
from configurator.plugin import (
    NOT_KNOWN,
    Condition,
    Measure,
    caution,
    computed,
    condition,
    cross_check,
    each,
    figure,
    total,
    vehicle,
)

wheelbase = Measure(
    "wheelbase",
    "Between the wheel centres of the two axles.",
    "tape or plumb lines, wheels straight ahead",
    moves_with=(),
    unit="mm",
    tolerance="4 mm",
    at_least=1500.0,
    at_most=6000.0,
)
laden_mass = Measure(
    "laden mass",
    "Mass of the vehicle as it is used, people and cargo on board.",
    "on the scale",
    moves_with=("load",),
    unit="kg",
    tolerance="14 kg",
    at_least=500.0,
    at_most=12000.0,
)
axle_load = Measure(
    "laden {axle} axle load",
    "What the {axle} axle carries, its own mass included, people and cargo on board.",
    "that axle on the scale, vehicle level",
    moves_with=("load",),
    unit="kg",
    tolerance="10 kg (OIML R 76-1:2006, class IIII in steps of 10 kg, from memory)",
    at_least=200.0,
    at_most=8000.0,
)
permitted_mass = Measure(
    "permitted mass",
    "Permitted total mass.",
    "from the vehicle's plate or papers",
    moves_with=(),
    unit="kg",
    at_least=500.0,
    at_most=12000.0,
)
permitted_axle_load = Measure(
    "permitted {axle} axle load",
    "Permitted load of the {axle} axle.",
    "from the vehicle's plate or papers",
    moves_with=(),
    unit="kg",
    at_least=200.0,
    at_most=8000.0,
)
payload = Measure(
    "payload",
    "Permitted total mass less the mass of the vehicle without people and cargo.",
    "weigh the vehicle empty, tank full, and take it from the permitted mass",
    moves_with=("load",),
    unit="kg",
    tolerance="14 kg",
    at_least=-500.0,
    at_most=6000.0,
)
people_and_cargo = Condition(
    "load carried",
    "Mass that the vehicle must be able to take on board.",
    unit="kg",
    default="0 kg",
    at_least=0.0,
    at_most=6000.0,
)


# A truck scale shows steps of 10 to 20 kg, and a vehicle is driven on to it twice: common practice,
# no source.
SCALE = 40.0  # kg
# Above what was on the scale, the plate's limits say how much more may come.
AS_WEIGHED = {
    "lightly laden": "less load",
    "fully laden": "at the permitted loads by definition; payload left says how far that is",
}


@total(
    "vehicle mass",
    unit="kg",
    concerns="plate",
    start=vehicle("laden mass"),
    at_most=vehicle("permitted mass"),
    meaning="Mass of the vehicle as it is used, people and cargo on board, with everything fitted.",
    because="nobody may drive a vehicle above its permitted mass",
    source="vehicle's plate",
    states=("ride height",),
    not_in=AS_WEIGHED,
)
def vehicle_mass(mass: float = each("mass"), pieces: float = each("pieces")):
    return mass * pieces


@total(
    "payload left",
    unit="kg",
    concerns="plate",
    start=vehicle("payload"),
    at_least=condition("load carried"),
    meaning="Mass that may still be taken on board with everything fitted.",
    because="what is bolted on cannot be carried any more",
    source="vehicle's plate",
    states=("ride height",),
    not_in={"load": "says how much more load it bears"},
)
def payload_left(mass: float = each("mass"), pieces: float = each("pieces")):
    return -mass * pieces


@total(
    "front axle load",
    unit="kg",
    concerns="plate",
    start=vehicle("laden front axle load"),
    at_most=vehicle("permitted front axle load"),
    meaning="What the front axle carries, people and cargo on board, with everything fitted.",
    because="nobody may drive a vehicle above its permitted axle loads",
    source="vehicle's plate; moments about the axles",
    states=("ride height",),
    not_in=AS_WEIGHED,
)
def front_axle_load(
    mass: float = each("mass"),
    pieces: float = each("pieces"),
    place: str = each("place"),
    wheelbase: float = vehicle("wheelbase"),
):
    where = places.behind_front_axle(place, pieces, wheelbase)
    return masses.front_axle_mass_change(mass * pieces, wheelbase, where)


@total(
    "rear axle load",
    unit="kg",
    concerns="plate",
    start=vehicle("laden rear axle load"),
    at_most=vehicle("permitted rear axle load"),
    meaning="What the rear axle carries, people and cargo on board, with everything fitted.",
    because="nobody may drive a vehicle above its permitted axle loads",
    source="vehicle's plate; moments about the axles",
    states=("ride height",),
    not_in=AS_WEIGHED,
)
def rear_axle_load(
    mass: float = each("mass"),
    pieces: float = each("pieces"),
    place: str = each("place"),
    wheelbase: float = vehicle("wheelbase"),
):
    where = places.behind_front_axle(place, pieces, wheelbase)
    return masses.rear_axle_mass_change(mass * pieces, wheelbase, where)


@figure(
    "load still allowed",
    unit="kg",
    meaning="What may still be taken on board beside what was on board on the scale, with "
    "everything fitted; the axle loads may allow less.",
    source="vehicle's plate",
    states=("ride height",),
    not_in=AS_WEIGHED,
)
def load_still_allowed(
    mass: float = computed("vehicle mass"), permitted: float = vehicle("permitted mass")
):
    return permitted - mass


@figure(
    "mass that the plate permits",
    unit="kg",
    meaning="Permitted total mass; nothing that is fitted raises it.",
    source="vehicle's plate",
    not_in={"load": "stands on the plate whatever is loaded"},
)
def mass_permitted_by_plate(permitted: float = vehicle("permitted mass")):
    return permitted


@figure(
    "load on board on the scale",
    unit="kg",
    resolution=1.0,
    rounding="down",
    meaning="People and cargo that were on board as the vehicle was weighed.",
    source="laden mass less the mass without people and cargo",
    not_in={"load": "what was on board"},
)
def on_board_on_the_scale(
    laden: float = vehicle("laden mass"),
    permitted: float = vehicle("permitted mass"),
    payload: float = vehicle("payload"),
):
    return laden - (permitted - payload)


@figure(
    "load that the job carries",
    unit="kg",
    meaning="As the job says.",
    source="as the job says",
    not_in={"load": "as the job says"},
)
def load_of_the_job(carried: float = condition("load carried")):
    return carried


@caution(
    "the vehicle was weighed with less on board than it is to carry",
    says="On the scale {load on board on the scale} were on board; the job carries {load that the "
    "job carries}. Axle loads, tyres at their pressure and ride height are those of the scale: "
    "nobody knows on which axle the rest will lie.",
    inspect="Load the finished vehicle as it will be used and weigh each axle; set the tyre "
    "pressure for those loads.",
)
def weighed_with_less(
    on_board: float | None = computed("load on board on the scale"),
    carried: float = computed("load that the job carries"),
):
    if not carried:
        return False
    return NOT_KNOWN if on_board is None else carried - on_board > SCALE


@cross_check(
    "the axle loads add up to the laden mass", do="weigh again: each axle, and the whole vehicle"
)
def loads_add_up(
    front: float = vehicle("laden front axle load"),
    rear: float = vehicle("laden rear axle load"),
    mass: float = vehicle("laden mass"),
):
    return abs(front + rear - mass) <= SCALE


@cross_check(
    "the vehicle as weighed is within its permitted mass",
    do="check the plate and the scale; above it, the vehicle may not be driven as it is",
)
def mass_permitted(
    mass: float = vehicle("laden mass"), permitted: float = vehicle("permitted mass")
):
    return mass <= permitted


@cross_check(
    "the {axle} axle as weighed is within its permitted load",
    do="check the plate and the scale; above it, the vehicle may not be driven as it is",
)
def load_permitted(
    load: float = vehicle("laden {axle} axle load"),
    permitted: float = vehicle("permitted {axle} axle load"),
):
    return load <= permitted


@cross_check(
    "both permitted axle loads together reach the permitted mass", do="read the plate again"
)
def plate_adds_up(
    front: float = vehicle("permitted front axle load"),
    rear: float = vehicle("permitted rear axle load"),
    mass: float = vehicle("permitted mass"),
):
    return front + rear >= mass


@cross_check(
    "empty, the vehicle is not heavier than laden",
    do="payload is the permitted mass less the mass without people and cargo: take it again",
)
def payload_agrees(
    payload: float = vehicle("payload"),
    permitted: float = vehicle("permitted mass"),
    laden: float = vehicle("laden mass"),
):
    return permitted - payload <= laden + SCALE
