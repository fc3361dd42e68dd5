"""Bump stops and limit straps: where the travel of an axle ends.

A taller stop keeps a longer shock absorber from bottoming and a larger tyre out of the arch; it
takes bump travel, which a lift gives back. A strap takes droop, which spares propshafts and hoses.
"""

from configurator.plugin import (
    AXLES,
    Attribute,
    Family,
    Measure,
    Moves,
    Position,
    Practice,
    computed,
    figure,
    fitted,
    limit,
    part,
    practice,
    vehicle,
)

bump_stops = Family(
    "bump_stops",
    "Bump stops",
    system="Suspension",
    positions=tuple(Position(f"{axle} bump stops", f"{axle} axle", sprung=True) for axle in AXLES),
    pieces=2,
    attributes=(
        Attribute(
            "pressed height",
            "Height of stop and spacer together, the stop pressed flat.",
            unit="mm",
            tolerance="3 mm",
            at_least=5.0,
            at_most=250.0,
            example="40",
        ),
    ),
    meaning="End the travel upwards, softly.",
    moves=(
        Moves(
            "axle against the body",
            ("pressed height",),
            {
                "{axle} joint lift room": "the joints are bent by a lift and by hanging lower",
                "{axle} joint droop room": "a wheel that hangs is away from its stop",
                "{axle} Panhard rod slope": "how far it pulls the axle sideways in travel is what "
                "it was; at ride height a lift is counted",
            },
        ),
        Moves("propshaft end", ("pressed height",)),
        Moves(
            "wheel centre",
            ("pressed height",),
            {
                "": "measured through the whole travel; how much higher a wheel goes in twist is a "
                "rule of its own",
            },
        ),
    ),
)

limit_straps = Family(
    "limit_straps",
    "Limit straps",
    system="Suspension",
    positions=tuple(
        Position(f"{axle} limit straps", f"{axle} axle", sprung=True) for axle in AXLES
    ),
    pieces=2,
    optional=True,
    attributes=(
        Attribute(
            "length",
            "Between its eyes, tight, stretch included.",
            unit="mm",
            tolerance="3 mm",
            at_least=100.0,
            at_most=1200.0,
            example="480",
        ),
    ),
    meaning="End the travel downwards before the shock absorbers do.",
    moves=(
        Moves(
            "axle against the body",
            ("length",),
            {
                "{axle} joint lift room": "another rule looks at joints that hang",
                "{axle} Panhard rod slope": "how far it pulls the axle sideways in travel is what "
                "it was; at ride height a lift is counted",
                "{axle} room above the axle tube": "an axle that hangs has room above",
            },
        ),
        Moves("propshaft end", ("length",)),
        Moves("brake hose end", ("length",)),
        Moves("wheel-speed sensor", ("length",)),
        Moves(
            "wheel centre",
            ("length",),
            {
                "": "measured through the whole travel; how much higher the other wheel goes in "
                "twist is a rule of its own",
            },
        ),
    ),
)

anchors = Measure(
    "{axle} strap length at ride height",
    "Between the places where a {axle} limit strap can be held on frame and axle.",
    "tape, the vehicle standing level",
    moves_with=("travel", "load"),
    of="axle against the body",
    unit="mm",
    tolerance="3 mm",
    at_least=50.0,
    at_most=1000.0,
    taken_with=("{axle} springs",),
)
bump_kept = Practice(
    "bump travel kept",
    "Travel upwards that an axle needs before it stands on its stops.",
    60.0,
    "common practice, no source",
    unit="mm",
    at_least=20.0,
    at_most=300.0,
)


@figure(
    "{axle} bump travel",
    unit="mm",
    resolution=1.0,
    rounding="down",
    meaning="How far the {axle} axle moves up from its ride height until its stop is pressed flat.",
    source="geometry",
    states=("full bump",),
    not_in={
        "load": "from where it stands under the load it was measured with; more load takes "
        "travel, which is what it is kept for"
    },
)
def bump_travel(
    pressed: float = part("{axle} bump stops", "pressed height"),
    pressed_before: float = fitted("{axle} bump stops", "pressed height"),
    lift: float = computed("{axle} spring lift"),
    bump: float = vehicle("{axle} bump travel"),
):
    return bump + lift - (pressed - pressed_before)


@limit(
    "the {axle} axle keeps its bump travel",
    quantity="{axle} bump travel",
    unit="mm",
    concerns="comfort",
    at_least=practice("bump travel kept"),
    because="an axle that rides on its stops is not sprung",
    source="common practice, no source",
)
def bump_travel_kept(travel: float = computed("{axle} bump travel")):
    return travel
