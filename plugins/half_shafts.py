"""Half-shafts: from the differential to the wheel or to the hub reduction.

What they must bear is the smaller of what the engine gives and what the tyre grips, and a hub
reduction cuts the second: its ratio lies behind them. It also makes them turn faster.
"""

from configurator.formulas import driveshafts, shafts, torque, tyres
from configurator.formulas.constants import STANDARD_GRAVITY
from configurator.plugin import (
    AXLES,
    NOT_KNOWN,
    Attribute,
    Family,
    Measure,
    Position,
    Practice,
    computed,
    condition,
    cross_check,
    each,
    figure,
    fit,
    limit,
    part,
    practice,
    vehicle,
)

half_shafts = Family(
    "half_shafts",
    "Half-shafts",
    system="Axles and driveline",
    positions=tuple(Position(f"{axle} half-shafts", f"{axle} axle") for axle in AXLES),
    attributes=(
        Attribute(
            "inner spline",
            "Code of the spline at the differential.",
            kind="text",
            example="S30",
        ),
        Attribute(
            "outer spline",
            "Code of the spline at the wheel.",
            kind="text",
            example="S27",
        ),
        Attribute(
            "shortest length",
            "Shortest that the longer of the pair may be cut to; its length where it may not be.",
            unit="mm",
            tolerance="2 mm",
            at_least=200.0,
            at_most=1500.0,
            example="840",
        ),
        Attribute(
            "longest length",
            "Length of the longer of the pair as delivered.",
            unit="mm",
            tolerance="2 mm",
            at_least=200.0,
            at_most=1500.0,
            example="890",
        ),
        Attribute(
            "root diameter",
            "Smallest diameter that carries torque: at the root of the spline or in the waist.",
            unit="mm",
            at_least=15.0,
            at_most=80.0,
            example="33.3",
        ),
        Attribute(
            "yield strength",
            "Of the steel as heat-treated.",
            unit="MPa",
            tolerance="5 %",
            at_least=200.0,
            at_most=2500.0,
            example="1090",
        ),
        Attribute(
            "permitted speed",
            "Highest speed that shafts and joints may run.",
            unit="rpm",
            at_least=300.0,
            at_most=6000.0,
            example="1900",
        ),
        Attribute(
            "joint lift room",
            "How much the body may be lifted on its springs before its joints run out of angle, of "
            "an independent suspension; where it is empty, as far as those that were measured.",
            unit="mm",
            at_least=0.0,
            at_most=200.0,
            required=False,
            example="55",
        ),
        Attribute(
            "steel",
            "Steel and heat treatment, for people.",
            kind="text",
            required=False,
            example="4340 OQT 1000",
        ),
    ),
    meaning="Sold in pairs, left and right; the mass is that of the pair.",
    moves=(),
)

joint_room = Measure(
    "{axle} joint lift room",
    "How much the body may be lifted on its springs before the {axle} half-shaft joints run out of "
    "angle; of an independent suspension, in a solid axle they do not bend with the springs.",
    "joint maker's largest running angle, times the length of the half-shaft",
    moves_with=(),
    of="axle against the body",
    unit="mm",
    tolerance="3 mm",
    at_least=0.0,
    at_most=200.0,
    taken_with=("{axle} springs", "{axle} half-shafts"),
)
joint_droop_room = Measure(
    "{axle} joint droop room",
    "How much lower the {axle} wheels may hang than they do before the half-shaft joints bind; of "
    "an independent suspension.",
    "wheels off the ground, absorbers unbolted below: let the arm down, turning the shaft by hand, "
    "until the joint begins to bind; less 10 mm",
    moves_with=(),
    of="axle against the body",
    unit="mm",
    tolerance="3 mm",
    at_least=0.0,
    at_most=200.0,
    taken_with=("{axle} half-shafts", "{axle} shocks: open length", "{axle} limit straps: length"),
)
grip = Practice(
    "grip that loads the drive",
    "Coefficient of friction with which a tyre can load shafts and gears at worst.",
    1.0,
    "common practice, no source",
    at_least=0.3,
    at_most=2.0,
)
share = Practice(
    "share of the axle load on one wheel",
    "With the other wheel of the axle hanging or on loose ground.",
    0.8,
    "common practice, no source",
    at_least=0.5,
    at_most=1.0,
)
length_slack = Practice(
    "slack of a half-shaft",
    "By how much a half-shaft may miss its length: the spline takes it up.",
    3.0,
    "common practice, no source",
    unit="mm",
    at_least=0.0,
    at_most=20.0,
    for_error=0.5,
)


@figure(
    "{axle} grip torque",
    unit="N*m",
    resolution=50.0,
    rounding="up",
    meaning="Torque in the {axle} axle, ahead of hub reductions, at which both loaded tyres spin.",
    source="Gillespie, Fundamentals of Vehicle Dynamics, ch. 2",
    states=("fully laden",),
)
def grip_torque(
    diameter: float = computed("tyre diameter"),
    hub: float = part("{axle} hub reductions", "ratio"),
    axle_load: float = vehicle("permitted {axle} axle load"),
    friction: float = practice("grip that loads the drive"),
    asked: float = condition("road grip"),
):
    # The job's own grip counts where it is more than the workshop reckons with.
    friction = max(friction, asked)
    load = axle_load * STANDARD_GRAVITY.beside(axle_load)
    wheels = torque.grip_limited_wheel_torque(friction, load, diameter / 2)
    return torque.torque_ahead_of_hub(wheels, hub)


@figure(
    "{axle} half-shaft torque",
    unit="N*m",
    resolution=50.0,
    rounding="up",
    meaning="Largest torque in one {axle} half-shaft, the differential locked or one wheel wedged.",
    source="Gillespie, Fundamentals of Vehicle Dynamics, ch. 2; the smaller limit counts",
)
def half_shaft_torque(
    ratio: float = part("{axle} crown wheel and pinion", "ratio"),
    grip: float = computed("{axle} grip torque"),
    driveshafts: float = computed("propshaft torque"),
    loaded_side: float = practice("share of the axle load on one wheel"),
):
    ring_gear = torque.ring_gear_torque(driveshafts, 1.0, ratio, 1.0)
    engine = torque.half_shaft_torque(ring_gear, 1.0)
    return torque.counted_torque(engine, grip * loaded_side)


@figure(
    "{axle} half-shaft capacity",
    unit="N*m",
    resolution=10.0,
    rounding="down",
    meaning="Torque at which a {axle} half-shaft begins to yield, notches left out.",
    source="Budynas & Nisbett, Shigley's Mechanical Engineering Design, 10th ed., 3-12 and 5-5",
)
def half_shaft_capacity(
    root: float = part("{axle} half-shafts", "root diameter"),
    strength: float = part("{axle} half-shafts", "yield strength"),
):
    return shafts.torque_capacity(root, strength)


@limit(
    "the {axle} half-shafts bear their torque",
    quantity="{axle} half-shafts, torque at yield",
    unit="N*m",
    concerns="rating",
    at_least=computed("{axle} half-shaft torque"),
    because="grip and not the engine breaks shafts in low range; a hub reduction behind them helps",
    source="Budynas & Nisbett, Shigley's Mechanical Engineering Design, 10th ed., 3-12 and 5-5",
)
def half_shafts_bear(capacity: float = computed("{axle} half-shaft capacity")):
    return capacity


@figure(
    "{axle} half-shaft speed",
    unit="rpm",
    resolution=10.0,
    rounding="up",
    meaning="Speed of the {axle} half-shafts at the vehicle's top speed.",
    source="Gillespie, Fundamentals of Vehicle Dynamics, ch. 2",
)
def half_shaft_speed(
    circumference: float = computed("rolling circumference"),
    hub: float = part("{axle} hub reductions", "ratio"),
    top_speed: float = vehicle("top speed"),
):
    return driveshafts.shaft_speed(top_speed, tyres.effective_rolling_radius(circumference), hub)


@limit(
    "the {axle} half-shafts may turn that fast",
    quantity="{axle} half-shafts, speed at top speed",
    unit="rpm",
    concerns="rating",
    at_most=part("{axle} half-shafts", "permitted speed"),
    because="a hub reduction speeds up all that lies before it, and joints heat up with speed",
    source="permitted speed stated by the maker",
)
def half_shafts_fast_enough(speed: float = computed("{axle} half-shaft speed")):
    return speed


@fit(
    "the {axle} half-shafts fit the differential",
    because="splines with another count of teeth do not go in",
    source="ISO 4156 for splines (title from memory)",
)
def inner_spline_fits(
    shaft: str = part("{axle} half-shafts", "inner spline"),
    axle: str = part("{axle} axle", "side gear spline"),
):
    return shaft == axle


@fit(
    "the {axle} half-shafts fit the wheel end",
    because="a hub reduction has a spline of its own",
    source="ISO 4156 for splines (title from memory)",
)
def outer_spline_fits(
    shaft: str = part("{axle} half-shafts", "outer spline"),
    axle: str = part("{axle} axle", "outer spline"),
    hub: str | None = part("{axle} hub reductions", "input spline"),
):
    return shaft == (hub or axle)


@figure(
    "{axle} half-shaft length needed",
    unit="mm",
    meaning="Length of the longer {axle} half-shaft; some hub reductions need a shorter stub.",
    source="measured at the axle; hub's drawing",
)
def length_needed(
    axle: float = part("{axle} axle", "shaft length"),
    shortened: float = part("{axle} hub reductions", "shaft shortened by"),
):
    return axle - shortened


@limit(
    "the {axle} half-shafts are long enough",
    quantity="{axle} half-shafts, longest length",
    unit="mm",
    concerns="contact",
    at_least=computed("{axle} half-shaft length needed"),
    because="a spline that is only half in strips",
    source="geometry; slack by common practice, no source",
)
def long_enough(
    longest: float = part("{axle} half-shafts", "longest length"),
    slack: float = practice("slack of a half-shaft"),
):
    return longest + slack


@limit(
    "the {axle} half-shafts can be cut short enough",
    quantity="{axle} half-shafts, shortest length",
    unit="mm",
    concerns="contact",
    at_most=computed("{axle} half-shaft length needed"),
    because="a shaft that is too long pushes the joint off its bearing",
    source="geometry; slack by common practice, no source",
)
def short_enough(
    shortest: float = part("{axle} half-shafts", "shortest length"),
    slack: float = practice("slack of a half-shaft"),
):
    return shortest - slack


@figure(
    "{axle} joint lift room",
    unit="mm",
    meaning="How much the body may be lifted before the {axle} half-shaft joints run out of angle.",
    source="maker of the joints; else as measured on the joints that were there",
    regardless={
        "{axle} half-shafts": "joints whose list gives no room bend as far as the measured",
        "{axle} springs": "counted from the ride height as it was measured",
    },
)
def joint_lift_room(
    own: float | None = part("{axle} half-shafts", "joint lift room"),
    there: float | None = vehicle("{axle} joint lift room"),
):
    if own is not None:
        return own
    return NOT_KNOWN if there is None else there


@limit(
    "the {axle} half-shaft joints take the lift",
    quantity="{axle} half-shaft joints, differential lift",
    unit="mm",
    concerns="rating",
    at_most=computed("{axle} joint lift room"),
    because="an independent suspension's differential goes up with the body, the wheels do not",
    source="geometry; largest running angle stated by the maker of the joints",
)
def joints_take_lift(lift: float = computed("{axle} differential lift")):
    return lift or None


@limit(
    "the {axle} half-shaft joints turn freely at full droop",
    quantity="{axle} half-shaft joints, how much lower the wheels hang",
    unit="mm",
    concerns="contact",
    at_most=vehicle("{axle} joint droop room"),
    because="longer shock absorbers let an independent suspension hang until its joints bind; the "
    "first wheel that is driven so breaks one",
    source="geometry",
    states=("full droop",),
    not_in={"load": "the wheels hang as low under any load"},
)
def joints_free_at_droop(
    full_droop: float | None = computed("{axle} full droop"),
    before: float | None = computed("{axle} full droop", before=True),
    suspension: str = vehicle("{axle} suspension"),
):
    if suspension != "independent":
        return None
    if full_droop is None or before is None:
        return NOT_KNOWN
    return full_droop - before if full_droop > before else None


@cross_check(
    "a half-shaft is no longer at its shortest than at its longest",
    do="exchange them",
    family="half_shafts",
)
def lengths_in_order(
    shortest: float = each("shortest length"), longest: float = each("longest length")
):
    return shortest <= longest
