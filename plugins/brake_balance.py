"""Brake balance: the front wheels lock before the rear ones, yet the rear ones do their share.

The harder the stop and the higher the centre of gravity, the more load moves forward, and the more
of the braking has to be done in front.
"""

from configurator.formulas import brake_balance
from configurator.formulas import brakes as braking
from configurator.plugin import Measure, Practice, computed, figure, limit, part, practice, vehicle

light_load = Measure(
    "lightly laden {axle} axle load",
    "What the {axle} axle carries with driver and one helper, tank full, nothing else on board.",
    "that axle on the scale, vehicle level",
    unit="kg",
    tolerance="10 kg (OIML R 76-1:2006, class IIII in steps of 10 kg, from memory)",
    at_least=200.0,
    at_most=8000.0,
)
light_cg_height = Measure(
    "lightly laden centre of gravity height",
    "Height of the centre of gravity above the ground with driver and one helper.",
    "as for the laden vehicle; where only people and light things come on top, its height",
    unit="mm",
    tolerance="3 %",
    at_least=300.0,
    at_most=2000.0,
    taken_with=(
        "tyres",
        "front springs",
        "rear springs",
        "front hub reductions: drop",
        "rear hub reductions: drop",
    ),
)
hardest_stop = Practice(
    "hardest stop",
    "Deceleration up to which the front wheels must lock before the rear ones.",
    7.85,
    "49 CFR 571.135 S7.4.5 (2015): braking rates up to 0.80",
    unit="m/s2",
    at_least=3.0,
    at_most=10.0,
)


RAISES = (
    "tyres",
    "front springs",
    "rear springs",
    "front hub reductions",
    "rear hub reductions",
)
OTHER_LOADS = {"load": "light and full load have figures of their own"}
OTHER_LOADS_THAN_LIGHT = {"fully laden": "full load has a figure of its own"}


@figure(
    "{axle} brake torque for each bar",
    unit="N*m/bar",
    meaning="At both {axle} wheels, for each bar that reaches the {axle} brakes.",
    source="Limpert, Brake Design and Safety, 3rd ed., ch. 5 (chapter from memory)",
)
def brake_gain(
    piston_area: float = part("{axle} brakes", "piston area"),
    friction: float = part("{axle} brakes", "pad friction"),
    effective_radius: float = part("{axle} brakes", "effective radius"),
):
    return braking.axle_brake_gain(piston_area, friction, effective_radius, 1.0)


# Not from the torques: rounded both to the side that is safe for stopping, they would let a share
# pass that is too small.
@figure(
    "front share of braking",
    unit="%",
    meaning="Share of the brake torque that the front axle gives in a hard stop.",
    source="definition",
)
def front_share(
    front: float = computed("front brake torque for each bar"),
    rear: float = computed("rear brake torque for each bar"),
    valve: float = vehicle("rear line pressure share"),
):
    return front / (front + valve * rear)


@figure(
    "ideal front share of braking",
    unit="%",
    meaning="Share at which both axles use the same grip in the hardest stop.",
    source="49 CFR 571.135 S7.4.4 (2015); Limpert, ch. 7 (chapter from memory)",
    states=("ride height",),
    not_in=OTHER_LOADS,
    regardless=dict.fromkeys(RAISES, "the finished vehicle has a figure of its own"),
)
def ideal_share(
    wheelbase: float = vehicle("wheelbase"),
    front_load: float = vehicle("laden front axle load"),
    rear_load: float = vehicle("laden rear axle load"),
    cg_height: float = vehicle("centre of gravity height"),
    deceleration: float = practice("hardest stop"),
):
    cg_to_rear_axle = wheelbase * front_load / (front_load + rear_load)
    return brake_balance.ideal_front_share(wheelbase, cg_to_rear_axle, cg_height, deceleration)


@limit(
    "the front wheels lock before the rear ones",
    quantity="front share of braking",
    unit="%",
    concerns="law",
    at_least=computed("ideal front share of braking"),
    because="a rear axle that locks first spins the vehicle round",
    source="49 CFR 571.135 S7.4 (2015)",
)
def front_locks_first(share: float = computed("front share of braking")):
    return share


@limit(
    "the rear brakes do their share",
    quantity="braking rate beyond what the front wheels' grip asks",
    unit="",
    concerns="rating",
    at_least=0.0,
    because="brakes that idle leave the work and the heat to the others",
    source="UN Regulation No. 13-H, annex 5, 3.1 (from memory): z at least 0.1 + 0.7 (k - 0.2)",
    states=("fully laden",),
    not_in={"lightly laden": "a lightly laden rear axle asks less of its brakes"},
    regardless=dict.fromkeys(RAISES, "worst before anything raises the load"),
)
def rear_does_its_share(
    share: float = computed("front share of braking"),
    wheelbase: float = vehicle("wheelbase"),
    mass: float = vehicle("permitted mass"),
    rear_load: float = vehicle("permitted rear axle load"),
    cg_height: float = vehicle("centre of gravity height"),
):
    # Worst fully laden with all that the rear axle may carry, and before anything raises the load.
    to_rear_axle = wheelbase * (mass - rear_load) / mass
    return brake_balance.adhesion_utilisation_margin(share, wheelbase, to_rear_axle, cg_height)


@figure(
    "ideal front share of braking when finished",
    unit="%",
    resolution=0.1,
    rounding="up",
    meaning="The same for the finished vehicle: its axle loads, its centre of gravity.",
    source="49 CFR 571.135 S7.4.4 (2015); Limpert, ch. 7 (chapter from memory)",
    states=("ride height",),
    not_in=OTHER_LOADS,
)
def ideal_share_when_finished(
    wheelbase: float = vehicle("wheelbase"),
    front_load: float = computed("front axle load"),
    rear_load: float = computed("rear axle load"),
    cg_height: float = computed("centre of gravity height"),
    deceleration: float = practice("hardest stop"),
):
    cg_to_rear_axle = wheelbase * front_load / (front_load + rear_load)
    return brake_balance.ideal_front_share(wheelbase, cg_to_rear_axle, cg_height, deceleration)


@limit(
    "the front wheels lock before the rear ones when finished",
    quantity="front share of braking when finished",
    unit="%",
    concerns="law",
    at_least=computed("ideal front share of braking when finished"),
    because="a higher centre of gravity puts more load on the front wheels in a stop",
    source="49 CFR 571.135 S7.4 (2015)",
)
def front_locks_first_when_finished(share: float = computed("front share of braking")):
    return share


@figure(
    "{axle} axle load lightly laden",
    unit="kg",
    resolution=0.1,
    meaning="Of the finished vehicle with driver and one helper, nothing else on board.",
    source="moments about the axles; what is fitted weighs the same in every state",
    states=("lightly laden",),
    not_in=OTHER_LOADS_THAN_LIGHT,
)
def light_axle_load(
    finished: float = computed("{axle} axle load"),
    laden: float = vehicle("laden {axle} axle load"),
    light: float = vehicle("lightly laden {axle} axle load"),
):
    return light + (finished - laden)


@figure(
    "ideal front share of braking lightly laden",
    unit="%",
    resolution=0.1,
    rounding="up",
    meaning="Share at which both axles use the same grip in the hardest stop, finished, driver and "
    "one helper on board.",
    source="49 CFR 571.135 S7.4.2 and S7.4.4 (2015): lightly loaded vehicle weight",
    states=("lightly laden",),
    not_in=OTHER_LOADS_THAN_LIGHT,
)
def ideal_share_lightly_laden(
    wheelbase: float = vehicle("wheelbase"),
    front_load: float = computed("front axle load lightly laden"),
    rear_load: float = computed("rear axle load lightly laden"),
    cg_height: float = computed("centre of gravity height"),
    cg_before: float = vehicle("centre of gravity height"),
    cg_light: float = vehicle("lightly laden centre of gravity height"),
    deceleration: float = practice("hardest stop"),
):
    cg_to_rear_axle = wheelbase * front_load / (front_load + rear_load)
    height = cg_light + (cg_height - cg_before)
    return brake_balance.ideal_front_share(wheelbase, cg_to_rear_axle, height, deceleration)


@limit(
    "the front wheels lock before the rear ones lightly laden",
    quantity="front share of braking, lightly laden",
    concerns="law",
    unit="%",
    at_least=computed("ideal front share of braking lightly laden"),
    because="without a load the rear wheels stand lightly and lock first",
    source="49 CFR 571.135 S7.4.2 and S7.4.4 (2015); UN Regulation No. 13-H, annex 5",
    states=("lightly laden",),
)
def front_locks_first_lightly_laden(share: float = computed("front share of braking")):
    return share


@figure(
    "ideal front share of braking fully laden",
    unit="%",
    resolution=0.1,
    rounding="up",
    meaning="Share at which both axles use the same grip in the hardest stop, finished, at the "
    "permitted mass with all that the front axle may carry.",
    source="49 CFR 571.135 S7.4.2 and S7.4.4 (2015): gross vehicle weight rating",
    states=("fully laden",),
    not_in={"lightly laden": "light load has a figure of its own"},
)
def ideal_share_fully_laden(
    wheelbase: float = vehicle("wheelbase"),
    mass: float = vehicle("permitted mass"),
    front_load: float = vehicle("permitted front axle load"),
    cg_height: float = computed("centre of gravity height"),
    deceleration: float = practice("hardest stop"),
):
    cg_to_rear_axle = wheelbase * front_load / mass
    return brake_balance.ideal_front_share(wheelbase, cg_to_rear_axle, cg_height, deceleration)


@limit(
    "the front wheels lock before the rear ones fully laden",
    quantity="front share of braking, fully laden",
    concerns="law",
    unit="%",
    at_least=computed("ideal front share of braking fully laden"),
    because="a rear axle that locks first spins the vehicle round, laden as well",
    source="49 CFR 571.135 S7.4.2 and S7.4.4 (2015); UN Regulation No. 13-H, annex 5",
    states=("fully laden",),
)
def front_locks_first_fully_laden(share: float = computed("front share of braking")):
    return share
