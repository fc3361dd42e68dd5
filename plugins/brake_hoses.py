"""Brake hoses: long enough for an axle that hangs as far as its shocks or straps let it, or twists.

A hub reduction holds the brake lower and further out than the axle line: a hose that ends at the
caliper must follow, one that ends at the axle tube need not. How much of it a hose loses hangs on
its direction: all of a drop where it hangs down, hardly any where it lies level. A bracket that
moves the body end down gives length back.
"""

from configurator.formulas import suspension_travel
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
    fit,
    fitted,
    limit,
    part,
    practice,
    vehicle,
)

brake_hoses = Family(
    "brake_hoses",
    "Brake hoses",
    system="Brakes",
    positions=tuple(Position(f"{axle} brake hoses") for axle in AXLES),
    attributes=(
        Attribute(
            "length",
            "Between the fittings, laid straight.",
            unit="mm",
            tolerance="3 mm",
            at_least=100.0,
            at_most=1200.0,
            example="420",
        ),
        Attribute(
            "fitting",
            "Thread of the fittings.",
            kind="text",
            example="M10x1",
        ),
    ),
    meaning="Sold as a set for an axle.",
    moves=(),
)

hose_brackets = Family(
    "hose_brackets",
    "Brake hose brackets",
    system="Brakes",
    positions=tuple(Position(f"{axle} brake hose brackets", sprung=True) for axle in AXLES),
    optional=True,
    attributes=(
        Attribute(
            "moved down",
            "How far below the old place it holds the body end of the hoses.",
            unit="mm",
            tolerance="1 mm",
            at_least=0.0,
            at_most=150.0,
            when_empty=0.0,
            example="40",
        ),
    ),
    meaning="Hold the body end of the brake hoses lower; sold as a set for an axle.",
    moves=(Moves("brake hose end", ("moved down",)),),
)

fitting = Measure(
    "brake hose fitting",
    "Thread of the fittings of the brake lines.",
    "thread gauge on a line nut",
    kind="text",
)
reach = Measure(
    "{axle} brake hose reach",
    "Between the fittings that a {axle} brake hose joins, measured along its way at ride height; "
    "in front with the wheels at the lock where it is longest.",
    "lay a cord along the hose, the vehicle standing level; in front at both locks, the longer",
    moves_with=("travel", "lock", "load"),
    of="brake hose end",
    unit="mm",
    tolerance="5 mm",
    at_least=50.0,
    at_most=900.0,
    taken_with=(
        "{axle} springs",
        "{axle} hub reductions: drop",
        "{axle} hub reductions: added width",
        "{axle} axle: hub-face distance",
        "{axle} brake hose brackets: moved down",
    ),
)
end = Measure(
    "{axle} brake hose end",
    "What the {axle} brake hoses end at on the axle: what a hub reduction moves, or what it leaves "
    "where it is.",
    "follow the hose",
    kind="text",
    choices=("caliper", "axle tube"),
)
fall = Measure(
    "{axle} brake hose fall",
    "How far the axle end of a {axle} brake hose lies below its body end at ride height.",
    "tape, upright, between the fittings",
    moves_with=("travel", "load"),
    of="brake hose end",
    unit="mm",
    at_least=-300.0,
    at_most=700.0,
    taken_with=(
        "{axle} springs",
        "{axle} hub reductions: drop",
        "{axle} hub reductions: added width",
        "{axle} axle: hub-face distance",
        "{axle} brake hose brackets: moved down",
    ),
    tolerance="5 mm",
)
outreach = Measure(
    "rear brake hose outreach",
    "How far the axle end of a rear brake hose lies outboard of its body end.",
    "tape, across the vehicle, between plumb lines from the fittings",
    moves_with=(),
    of="brake hose end",
    unit="mm",
    at_least=-300.0,
    at_most=700.0,
    taken_with=(
        "rear springs",
        "rear hub reductions: drop",
        "rear hub reductions: added width",
        "rear axle: hub-face distance",
        "rear brake hose brackets: moved down",
    ),
    tolerance="5 mm",
)
slack = Practice(
    "slack of a brake hose",
    "Length that must be left over at full droop and full lock.",
    20.0,
    "common practice, no source",
    unit="mm",
    at_least=0.0,
    at_most=100.0,
    for_error=0.5,
)


@fit(
    "the {axle} brake hoses fit the lines",
    because="threads that nearly match leak or strip under full pressure",
    source="geometry",
)
def hoses_fit(
    fitting: str = part("{axle} brake hoses", "fitting"),
    fitting_there: str = vehicle("brake hose fitting"),
):
    return fitting == fitting_there


NOT_THERE = {
    "full bump": "a hose is slack there",
    "load": "the axle hangs as low under any load",
}
COUNTED_FROM_RIDE_HEIGHT = "counted from the ride height as it was measured"


@figure(
    "{axle} brake hose end down",
    unit="mm",
    resolution=5.0,
    rounding="up",
    meaning="How far hub reduction and bracket hold the ends of a {axle} brake hose further apart, "
    "downwards.",
    source="geometry",
)
def end_down(
    drop: float = part("{axle} hub reductions", "drop"),
    drop_before: float = fitted("{axle} hub reductions", "drop"),
    bracket: float = part("{axle} brake hose brackets", "moved down"),
    bracket_before: float = fitted("{axle} brake hose brackets", "moved down"),
    ends_at: str = vehicle("{axle} brake hose end"),
):
    lower = drop - drop_before if ends_at == "caliper" else 0.0
    return lower - (bracket - bracket_before)


@figure(
    "{axle} brake hose end outboard",
    unit="mm",
    meaning="How much further outboard a hub reduction or a wider axle holds the axle end of a "
    "{axle} brake hose.",
    source="geometry",
)
def end_outboard(
    further_out: float = computed("{axle} wheel face outboard"),
    ends_at: str = vehicle("{axle} brake hose end"),
):
    return further_out if ends_at == "caliper" else 0.0


@figure(
    "{axle} brake hose end drop",
    unit="mm",
    meaning="How far below ride height suspension travel takes the axle end of a {axle} brake hose "
    "at most: with the wheel where it ends at the caliper, with the middle of the axle otherwise.",
    source="geometry",
    states=("full droop", "cross-axle twist"),
    not_in=NOT_THERE,
    regardless={"{axle} springs": COUNTED_FROM_RIDE_HEIGHT},
)
def end_drop(
    full_droop: float = computed("{axle} full droop"),
    of_the_wheel: float = computed("{axle} wheel drop"),
    ends_at: str = vehicle("{axle} brake hose end"),
):
    return of_the_wheel if ends_at == "caliper" else full_droop


@figure(
    "front brake hose length needed",
    unit="mm",
    resolution=5.0,
    rounding="up",
    meaning="Way between the fittings of a front brake hose with the wheel hanging, at full lock.",
    source="geometry; what moves outboard counted as along the hose, since the lock turns it",
    states=("full droop", "cross-axle twist", "lock"),
    not_in=NOT_THERE,
    regardless={"front springs": COUNTED_FROM_RIDE_HEIGHT},
)
def front_hose_needed(
    travel: float = computed("front brake hose end drop"),
    down: float = computed("front brake hose end down"),
    out: float = computed("front brake hose end outboard"),
    reach: float = vehicle("front brake hose reach"),
    fall: float = vehicle("front brake hose fall"),
):
    level = max(reach**2 - fall**2, 0.0 * reach**2) ** 0.5
    return suspension_travel.hose_reach(reach, fall, level, travel + down, abs(out))


@figure(
    "rear brake hose length needed",
    unit="mm",
    resolution=5.0,
    rounding="up",
    meaning="Way between the fittings of a rear brake hose with the wheel hanging.",
    source="geometry",
    states=("full droop", "cross-axle twist"),
    not_in={**NOT_THERE, "lock": "rear wheels are not steered"},
    regardless={"rear springs": COUNTED_FROM_RIDE_HEIGHT},
)
def rear_hose_needed(
    travel: float = computed("rear brake hose end drop"),
    down: float = computed("rear brake hose end down"),
    out: float = computed("rear brake hose end outboard"),
    reach: float = vehicle("rear brake hose reach"),
    fall: float = vehicle("rear brake hose fall"),
    outreach: float = vehicle("rear brake hose outreach"),
):
    return suspension_travel.hose_reach(reach, fall, outreach, travel + down, out)


@limit(
    "the {axle} brake hoses reach with the wheel hanging",
    quantity="{axle} brake hoses, slack with the wheel hanging",
    unit="mm",
    concerns="contact",
    at_least=practice("slack of a brake hose"),
    because="a hose that is pulled tight tears, and the brakes are gone",
    source="geometry; slack by common practice, no source",
)
def hose_slack(
    length: float = part("{axle} brake hoses", "length"),
    needed: float = computed("{axle} brake hose length needed"),
):
    return length - needed
