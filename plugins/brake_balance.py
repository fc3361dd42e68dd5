"""Brake balance: the front wheels lock before the rear ones, yet the rear ones do their share.

The harder the stop and the higher the centre of gravity, the more load moves forward, and the more
of the braking has to be done in front.
"""

from configurator.formulas import brake_balance
from configurator.plugin import Practice, computed, figure, limit, practice, vehicle

front_share_spread = Practice(
    "front share above the ideal",
    "How much more than the ideal share the front brakes may do before the rear ones idle.",
    18.0,
    "common practice, no source",
    unit="%",
    at_least=2.0,
    at_most=40.0,
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


@figure(
    "front share of braking",
    unit="%",
    resolution=0.5,
    rounding="down",
    meaning="Share of the brake torque that the front axle gives.",
    source="definition",
)
def front_share(
    front: float = computed("front brake torque"), rear: float = computed("rear brake torque")
):
    return front / (front + rear)


@figure(
    "ideal front share of braking",
    unit="%",
    meaning="Share at which both axles use the same grip in the hardest stop.",
    source="49 CFR 571.135 S7.4.4 (2015); Limpert, ch. 7 (chapter from memory)",
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
    quantity="front share of braking above the ideal",
    unit="%",
    concerns="rating",
    at_most=practice("front share above the ideal"),
    because="brakes that idle leave the work and the heat to the others",
    source="common practice, no source",
)
def rear_does_its_share(
    share: float = computed("front share of braking"),
    ideal: float = computed("ideal front share of braking"),
):
    return share - ideal


@figure(
    "ideal front share of braking when finished",
    unit="%",
    resolution=0.1,
    rounding="up",
    meaning="The same for the finished vehicle: its axle loads, its centre of gravity.",
    source="49 CFR 571.135 S7.4.4 (2015); Limpert, ch. 7 (chapter from memory)",
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
