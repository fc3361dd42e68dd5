"""Springs: how high the vehicle stands on its axles and how hard they are.

A list gives rate and free length; the lift follows from the load that the spring carries on this
very vehicle. A lift reaches far: shock absorbers, propshaft angles, Panhard rods, stability. A
coil that is only as long as the lift asks for lies loose once a longer absorber lets the axle hang.
"""

from configurator.formulas import suspension_travel
from configurator.formulas.constants import STANDARD_GRAVITY
from configurator.plugin import (
    AXLES,
    Attribute,
    Family,
    Measure,
    Moves,
    Position,
    Practice,
    caution,
    computed,
    cross_check,
    each,
    figure,
    fit,
    fitted,
    limit,
    part,
    practice,
    vehicle,
)

SPRINGS_PER_AXLE = 2

springs = Family(
    "springs",
    "Springs",
    system="Suspension",
    positions=tuple(Position(f"{axle} springs", f"{axle} axle", sprung=True) for axle in AXLES),
    pieces=2,
    attributes=(
        Attribute(
            "seat",
            "Kind and size of the spring seat it goes on: coil inner diameter or leaf width in mm.",
            kind="text",
            example="coil 120",
        ),
        Attribute(
            "rate",
            "Force for each unit of travel, about the load it is meant to carry.",
            unit="N/mm",
            tolerance="5 %",
            at_least=5.0,
            at_most=250.0,
            example="28",
        ),
        Attribute(
            "free length",
            "Unloaded length of a coil; unloaded arch height of a leaf.",
            unit="mm",
            tolerance="1 %",
            at_least=50.0,
            at_most=900.0,
            example="470",
        ),
        Attribute(
            "solid length",
            "Length with the coils touching; height of a leaf that is bent flat and on its stop.",
            unit="mm",
            tolerance="3 mm",
            at_least=-150.0,
            at_most=500.0,
            example="160",
        ),
        Attribute(
            "permitted load",
            "Static load that the maker permits.",
            unit="N",
            at_least=500.0,
            at_most=50000.0,
            example="6500",
        ),
    ),
    meaning="Carry the body; their length under load sets the ride height.",
    moves=(
        Moves(
            "axle against the body",
            ("rate", "free length"),
            {
                "{axle} room above the axle tube": "the axle meets its stop where it always did",
                "{axle} joint droop room": "absorbers or straps hold a wheel that hangs",
            },
        ),
        Moves("body", ("rate", "free length")),
        Moves("propshaft end", ("rate", "free length")),
        Moves(
            "steering arm",
            ("rate", "free length"),
            {"track rod length": "it moves with its axle"},
        ),
        Moves("caster", ("rate", "free length")),
        Moves(
            "brake hose end",
            ("rate", "free length"),
            {"": "at full droop shock absorbers or straps hold the axle, not the springs"},
        ),
        Moves(
            "wheel-speed sensor",
            ("rate", "free length"),
            {"": "counted at full droop"},
        ),
    ),
)

seat = Measure(
    "{axle} spring seat",
    "Kind and size of the {axle} spring seats.",
    "read off the axle: inner diameter of the coil, or width of the leaf",
    kind="text",
)
load = Measure(
    "{axle} spring load",
    "Static load on one {axle} spring itself as the vehicle is used; more than at the wheel where "
    "the spring moves less than the wheel.",
    "half of what the {axle} axle weighs on the scale, less half of its unsprung mass, times g, "
    "divided by the motion ratio of the spring",
    moves_with=("load",),
    unit="N",
    tolerance="3 %",
    at_least=500.0,
    at_most=50000.0,
)
motion_ratio = Measure(
    "{axle} spring motion ratio",
    "Travel of the {axle} spring for each unit of travel of the axle.",
    "1 where the spring stands on the axle; else move the axle 100 mm and measure",
    at_least=0.3,
    at_most=1.2,
    default=1.0,
    usual=(0.7, 1.0),
    tolerance="2 %",
)
air_between_coils = Practice(
    "travel kept in a spring",
    "Travel that a spring must have left when the axle is on its bump stop.",
    4.0,
    "common practice, no source",
    unit="mm",
    at_least=0.0,
    at_most=30.0,
    for_error=0.5,
)


seat_kept = Practice(
    "coil kept in its seat",
    "By how much a coil must still be pressed together with the axle at full droop.",
    0.0,
    "geometry; a shop that wants its coils pressed at droop writes more",
    unit="mm",
    at_least=0.0,
    at_most=50.0,
)
sag_worth_saying = Practice(
    "sag worth saying",
    "From which on it is said that the body stands lower for the mass of what is fitted.",
    10.0,
    "common practice, no source",
    unit="mm",
    at_least=0.0,
    at_most=100.0,
)
STANDING = {"load": "of the load it was measured with"}


@figure(
    "{axle} spring lift",
    unit="mm",
    resolution=5.0,
    meaning="How much further the springs hold the body above the {axle} axle than they did; "
    "springs of one list differ by a few millimetres.",
    source="Hooke's law under the measured spring load",
    states=("ride height",),
    not_in=STANDING,
)
def spring_lift(
    rate: float = part("{axle} springs", "rate"),
    free_length: float = part("{axle} springs", "free length"),
    rate_before: float = fitted("{axle} springs", "rate"),
    free_length_before: float = fitted("{axle} springs", "free length"),
    load: float = vehicle("{axle} spring load"),
    motion_ratio: float = vehicle("{axle} spring motion ratio"),
):
    standing = suspension_travel.spring_length(free_length, load, rate)
    stood = suspension_travel.spring_length(free_length_before, load, rate_before)
    return (standing - stood) / motion_ratio


@fit(
    "the {axle} spring fits its seat",
    because="a coil that is not held by its seat walks out of it",
    source="geometry",
)
def spring_fits_seat(
    seat: str = part("{axle} springs", "seat"),
    seat_there: str = vehicle("{axle} spring seat"),
):
    return seat == seat_there


@limit(
    "the {axle} springs carry the permitted axle load",
    quantity="{axle} springs, load at the permitted axle load",
    unit="N",
    concerns="plate",
    at_most=part("{axle} springs", "permitted load"),
    because="an overloaded spring settles, stands on its stop and breaks; the vehicle's plate "
    "promises that it may be loaded so far",
    source="maker's permitted load; the permitted axle load is on the plate",
    states=("fully laden",),
    not_in={"lightly laden": "less load"},
)
def spring_load(
    load: float = vehicle("{axle} spring load"),
    carried: float = vehicle("laden {axle} axle load"),
    permitted: float = vehicle("permitted {axle} axle load"),
    motion_ratio: float = vehicle("{axle} spring motion ratio"),
):
    # Where more of it lies below the springs than before, the springs carry less: not counted.
    more = max(permitted - carried, 0.0)
    at_wheel = more * STANDARD_GRAVITY.beside(more) / SPRINGS_PER_AXLE
    return load + suspension_travel.load_on_spring(at_wheel, motion_ratio)


@limit(
    "the {axle} springs do not go solid before the bump stop",
    quantity="{axle} springs, travel left on the bump stop",
    unit="mm",
    concerns="contact",
    at_least=practice("travel kept in a spring"),
    because="a spring with its coils together is a hard stop, and breaks",
    source="geometry; travel kept is common practice, no source",
    states=("full bump",),
    not_in={
        "load": "the seats come as near on the stop under any load",
        "cross-axle twist": "a spring beside its stop is pressed no further than at full bump",
        "full droop": "another rule looks there",
    },
    regardless={"{axle} springs": "the axle meets its stop where it always did"},
)
def travel_left(
    solid_length: float = part("{axle} springs", "solid length"),
    pressed: float = part("{axle} bump stops", "pressed height"),
    pressed_before: float = fitted("{axle} bump stops", "pressed height"),
    rate: float = fitted("{axle} springs", "rate"),
    free_length: float = fitted("{axle} springs", "free length"),
    load: float = vehicle("{axle} spring load"),
    bump: float = vehicle("{axle} bump travel"),
    motion_ratio: float = vehicle("{axle} spring motion ratio"),
):
    # The axle meets its stop where it always did, unless the stop is taller.
    standing = suspension_travel.spring_length(free_length, load, rate)
    return standing - (bump - (pressed - pressed_before)) * motion_ratio - solid_length


@limit(
    "the {axle} springs stay in their seats at full droop",
    quantity="{axle} springs, press left at full droop",
    unit="mm",
    concerns="contact",
    at_least=practice("coil kept in its seat"),
    because="a coil that is shorter than the room between its seats falls out or stands askew when "
    "the axle comes back",
    source="geometry",
    states=("full droop",),
    not_in={
        "load": "the axle hangs as low under any load",
        "full bump": "another rule looks there",
        "cross-axle twist": "the side that hangs does so as far as at full droop",
    },
)
def pressed_at_droop(
    seat: str = part("{axle} springs", "seat"),
    free_length: float = part("{axle} springs", "free length"),
    full_droop: float = computed("{axle} full droop"),
    rate_before: float = fitted("{axle} springs", "rate"),
    free_length_before: float = fitted("{axle} springs", "free length"),
    load: float = vehicle("{axle} spring load"),
    motion_ratio: float = vehicle("{axle} spring motion ratio"),
):
    if seat.startswith("leaf"):
        return None  # bolted at the axle and both eyes: it cannot come loose
    stood = suspension_travel.spring_length(free_length_before, load, rate_before)
    return free_length - suspension_travel.seat_gap(stood, full_droop, motion_ratio)


@figure(
    "{axle} spring load",
    unit="N",
    resolution=10.0,
    rounding="up",
    meaning="Static load on one {axle} spring with everything fitted, load carried on board.",
    source="axle load less what is below the springs; at the spring, which may move less than the "
    "wheel",
    states=("ride height",),
    not_in={"load": "with the load carried that the job states"},
)
def spring_load_when_finished(
    load: float = vehicle("{axle} spring load"),
    carried: float = computed("{axle} axle load"),
    carried_before: float = computed("{axle} axle load", before=True),
    below: float = computed("{axle} mass below the springs"),
    below_before: float = computed("{axle} mass below the springs", before=True),
    motion_ratio: float = vehicle("{axle} spring motion ratio"),
):
    added = (carried - carried_before) - (below - below_before)
    at_wheel = added * STANDARD_GRAVITY.beside(added) / SPRINGS_PER_AXLE
    return load + suspension_travel.load_on_spring(at_wheel, motion_ratio)


@figure(
    "{axle} sag under what is fitted",
    unit="mm",
    resolution=1.0,
    rounding="up",
    meaning="How much lower the body stands at the {axle} axle for the mass of what is fitted: "
    "heights, lifts and clearances of the body are worked out without it.",
    source="Hooke's law",
    states=("ride height",),
    not_in={"load": "beside what the load does to it"},
)
def sag(
    load: float = computed("{axle} spring load"),
    before: float = vehicle("{axle} spring load"),
    rate: float = part("{axle} springs", "rate"),
    motion_ratio: float = vehicle("{axle} spring motion ratio"),
):
    return suspension_travel.sag(load - before, rate, motion_ratio)


@caution(
    "the body sags under what is fitted",
    says="Heights, lifts and clearances of the body are those of the springs under the old load. "
    "For the mass of what is fitted it stands lower: by {front sag under what is fitted} in front "
    "and {rear sag under what is fitted} behind.",
    inspect="Measure sill, underside and headlamps of the finished vehicle; firmer springs or "
    "spacers give the height back.",
)
def body_sags(
    front: float = computed("front sag under what is fitted"),
    rear: float = computed("rear sag under what is fitted"),
    worth_saying: float = practice("sag worth saying"),
):
    return max(front, rear) >= worth_saying


# By how much load on a spring and load on its axle may differ: springs are weighed less exactly
# than axles; common practice, no source.
SPRING_AGAINST_AXLE = 0.15


@cross_check(
    "the {axle} spring load agrees with the {axle} axle load",
    do="take it again: half of the axle load, less half of the unsprung mass, times g, over the "
    "motion ratio",
)
def load_agrees(
    load: float = vehicle("{axle} spring load"),
    axle_load: float = vehicle("laden {axle} axle load"),
    below: float = vehicle("{axle} unsprung mass"),
    ratio: float | None = vehicle("{axle} spring motion ratio"),
):
    at_wheel = (axle_load - below) / SPRINGS_PER_AXLE * STANDARD_GRAVITY.beside(axle_load)
    worked_out = at_wheel / (1.0 if ratio is None else ratio)
    return abs(load - worked_out) <= SPRING_AGAINST_AXLE * worked_out


@cross_check(
    "the {axle} springs stand free under their load",
    do="check rate, free length and solid length of the spring, and its load",
)
def stands_free(
    load: float = vehicle("{axle} spring load"),
    rate: float = fitted("{axle} springs", "rate"),
    free_length: float = fitted("{axle} springs", "free length"),
    solid_length: float = fitted("{axle} springs", "solid length"),
):
    return free_length - load / rate > solid_length


@cross_check(
    "a spring is longer free than solid", do="exchange them, or check them", family="springs"
)
def shorter_solid(free: float = each("free length"), solid: float = each("solid length")):
    return solid < free
