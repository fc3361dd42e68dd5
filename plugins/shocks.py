"""Shock absorbers: long enough for the droop, short enough for the bump, strong enough to damp.

The axle meets its bump stop at the same place whatever the springs; a lift only moves the ride
height away from it. So a lift needs a longer shock absorber, and that one, being longer when closed
too, may need a taller bump stop. A hub reduction changes none of this.
"""

from configurator.formulas import dampers
from configurator.plugin import (
    AXLES,
    NOT_KNOWN,
    Attribute,
    Family,
    Measure,
    Moves,
    Position,
    Practice,
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

shocks = Family(
    "shocks",
    "Shock absorbers",
    system="Suspension",
    positions=tuple(Position(f"{axle} shocks", f"{axle} axle", sprung=True) for axle in AXLES),
    pieces=2,
    attributes=(
        Attribute(
            "open length",
            "Between the mounts, fully drawn out.",
            unit="mm",
            tolerance="3 mm",
            at_least=200.0,
            at_most=1200.0,
            example="590",
        ),
        Attribute(
            "closed length",
            "Between the mounts, fully pushed in.",
            unit="mm",
            tolerance="3 mm",
            at_least=150.0,
            at_most=900.0,
            example="365",
        ),
        Attribute(
            "body diameter",
            "Largest diameter, dust tube and reservoir clamp included.",
            unit="mm",
            tolerance="1 mm",
            at_least=20.0,
            at_most=150.0,
            example="62",
        ),
        Attribute(
            "upper mount", "How it is held above.", kind="text", choices=("eye", "stem", "fork")
        ),
        Attribute(
            "lower mount", "How it is held below.", kind="text", choices=("eye", "stem", "fork")
        ),
        Attribute(
            "damping",
            "Damping coefficient at 0.3 m/s, mean of bump and rebound.",
            unit="N s/m",
            tolerance="10 %",
            at_least=200.0,
            at_most=20000.0,
            example="2600",
        ),
    ),
    meaning="Damp the springs and, drawn out, end the droop.",
    moves=(
        Moves(
            "axle against the body",
            ("open length",),
            {
                "{axle} joint lift room": "another rule looks at joints that hang",
                "{axle} Panhard rod slope": "how far it pulls the axle sideways in travel is what "
                "it was; at ride height a lift is counted",
                "{axle} room above the axle tube": "an axle that hangs has room above",
            },
        ),
        Moves("propshaft end", ("open length",)),
        Moves("brake hose end", ("open length",)),
        Moves("wheel-speed sensor", ("open length",)),
        Moves(
            "wheel centre",
            ("open length",),
            {
                "": "measured through the whole travel; how much higher the other wheel goes in "
                "twist is a rule of its own",
            },
        ),
    ),
)

upper_mount = Measure(
    "{axle} shock upper mount",
    "How the {axle} shock absorbers are held above.",
    "look at the vehicle",
    kind="text",
    choices=("eye", "stem", "fork"),
)
lower_mount = Measure(
    "{axle} shock lower mount",
    "How the {axle} shock absorbers are held below.",
    "look at the vehicle",
    kind="text",
    choices=("eye", "stem", "fork"),
)
length = Measure(
    "{axle} shock length at ride height",
    "Between the mounts of a {axle} shock absorber, the vehicle standing level.",
    "tape, eye to eye or shoulder to shoulder",
    moves_with=("travel", "load"),
    of="axle against the body",
    unit="mm",
    tolerance="3 mm",
    at_least=150.0,
    at_most=1200.0,
    taken_with=("{axle} springs",),
)
bump = Measure(
    "{axle} bump travel",
    "How far the {axle} axle moves up from ride height until its stop is pressed flat.",
    "gap at the stop plus two thirds of the stop's height",
    moves_with=("load",),
    of="axle against the body",
    unit="mm",
    tolerance="3 mm",
    at_least=20.0,
    at_most=400.0,
    taken_with=("{axle} springs", "{axle} bump stops: pressed height"),
)
ratio = Measure(
    "{axle} shock motion ratio",
    "Travel of the {axle} shock absorber for each unit of travel of the axle.",
    "1 for an upright shock absorber on the axle, the cosine of its lean otherwise",
    at_least=0.3,
    at_most=1.2,
    default=1.0,
    usual=(0.8, 1.0),
    tolerance="2 %",
)
room = Measure(
    "{axle} shock room",
    "Largest body diameter that goes in at the {axle} mounts through the whole travel.",
    "smallest gap to frame, spring and brake hose, twice, from the middle of the shock absorber",
    moves_with=(),
    unit="mm",
    tolerance="2 mm",
    at_least=20.0,
    at_most=200.0,
)
spare_stroke = Practice(
    "shock absorber stroke kept in reserve",
    "Stroke that must be left when the axle is on its bump stop.",
    5.0,
    "common practice, no source",
    unit="mm",
    at_least=0.0,
    at_most=50.0,
    for_error=0.5,
)
droop_kept = Practice(
    "droop kept",
    "Travel below ride height that an axle needs to keep its wheel on the ground.",
    75.0,
    "common practice, no source",
    unit="mm",
    at_least=0.0,
    at_most=300.0,
    for_error=0.5,
)


@figure(
    "{axle} full droop",
    unit="mm",
    meaning="How far the {axle} axle hangs below the ride height that was measured, at most: where "
    "the shock absorber is drawn out or the limit strap is tight.",
    source="geometry",
    states=("full droop",),
    not_in={
        "full bump": "another figure",
        "cross-axle twist": "the side that hangs does so as far as at full droop",
        "load": "the axle hangs as low under any load",
    },
    regardless={"{axle} springs": "counted from the ride height as it was measured"},
)
def full_droop(
    open_length: float = part("{axle} shocks", "open length"),
    strap: float | None = part("{axle} limit straps", "length"),
    length: float = vehicle("{axle} shock length at ride height"),
    motion_ratio: float = vehicle("{axle} shock motion ratio"),
    anchors: float | None = vehicle("{axle} strap length at ride height"),
):
    drawn_out = dampers.wheel_travel(dampers.usable_droop(open_length, length), motion_ratio)
    if strap is None or anchors is None:
        return drawn_out
    return min(drawn_out, strap - anchors)


@figure(
    "{axle} droop",
    unit="mm",
    resolution=1.0,
    rounding="down",
    meaning="How far the {axle} axle can hang below its ride height.",
    source="geometry",
    states=("full droop",),
    not_in={
        "full bump": "another figure",
        "cross-axle twist": "the side that hangs does so as far as at full droop",
        "load": "from where it stands under the load it was measured with",
    },
)
def droop(
    full_droop: float = computed("{axle} full droop"),
    lift: float = computed("{axle} spring lift"),
    strap: float | None = part("{axle} limit straps", "length"),
    anchors: float | None = vehicle("{axle} strap length at ride height"),
):
    # What a strap takes of the droop is not known before its place is measured; what must reach
    # with the axle hanging is judged without it until then.
    if strap is not None and anchors is None:
        return NOT_KNOWN
    return full_droop - lift


@limit(
    "the {axle} shocks do not top out before droop",
    quantity="{axle} shocks, droop",
    unit="mm",
    concerns="contact",
    at_least=practice("droop kept"),
    because="a shock absorber that ends the droop is torn at its mounts and lifts the wheel",
    source="geometry; droop kept is common practice, no source",
)
def droop_left(droop: float = computed("{axle} droop")):
    return droop


@limit(
    "the {axle} shocks do not bottom before the bump stop",
    quantity="{axle} shocks, stroke left on the bump stop",
    unit="mm",
    concerns="contact",
    at_least=practice("shock absorber stroke kept in reserve"),
    because="a shock absorber that is solid before the stop takes the whole blow",
    source="geometry",
    states=("full bump",),
    not_in={
        "full droop": "another rule looks there",
        "cross-axle twist": "an absorber beside its stop is pushed in no further than at full bump",
        "load": "the axle meets its stop at the same place under any load",
    },
    regardless={"{axle} springs": "the axle meets its stop where it always did"},
)
def stroke_at_bump(
    closed_length: float = part("{axle} shocks", "closed length"),
    pressed: float = part("{axle} bump stops", "pressed height"),
    pressed_before: float = fitted("{axle} bump stops", "pressed height"),
    length: float = vehicle("{axle} shock length at ride height"),
    bump: float = vehicle("{axle} bump travel"),
    motion_ratio: float = vehicle("{axle} shock motion ratio"),
):
    at_stop = (bump - (pressed - pressed_before)) * motion_ratio
    return dampers.usable_bump(length, closed_length, 0.0) - at_stop


@fit(
    "the {axle} shocks fit their mounts",
    because="an eye does not go on a stem",
    source="geometry",
)
def shock_fits_mounts(
    upper: str = part("{axle} shocks", "upper mount"),
    lower: str = part("{axle} shocks", "lower mount"),
    upper_there: str = vehicle("{axle} shock upper mount"),
    lower_there: str = vehicle("{axle} shock lower mount"),
):
    return (upper, lower) == (upper_there, lower_there)


@limit(
    "the {axle} shocks have room beside them",
    quantity="{axle} shocks, body diameter",
    unit="mm",
    concerns="contact",
    at_most=vehicle("{axle} shock room"),
    because="a body that rubs on frame or spring is worn through",
    source="geometry",
)
def shock_diameter(diameter: float = part("{axle} shocks", "body diameter")):
    return diameter


@cross_check(
    "the {axle} shock absorbers stand between closed and open at ride height",
    do="measure the length at ride height again, and both lengths of the absorber",
)
def length_between(
    length: float = vehicle("{axle} shock length at ride height"),
    closed: float = fitted("{axle} shocks", "closed length"),
    open_length: float = fitted("{axle} shocks", "open length"),
):
    return closed < length < open_length


@cross_check("a shock absorber is shorter closed than open", do="exchange them", family="shocks")
def shorter_closed(closed: float = each("closed length"), opened: float = each("open length")):
    return closed < opened
