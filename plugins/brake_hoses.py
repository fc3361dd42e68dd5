"""Brake hoses: long enough for an axle that hangs as far as its shocks or straps let it."""

from configurator.plugin import (
    AXLES,
    Attribute,
    Family,
    Measure,
    Position,
    Practice,
    computed,
    fit,
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
)

fitting = Measure(
    "brake hose fitting",
    "Thread of the fittings of the brake lines.",
    "thread gauge on a line nut",
    kind="text",
)
reach = Measure(
    "{axle} brake hose reach",
    "Between the fittings that a {axle} brake hose joins, measured along its way at ride height.",
    "lay a cord along the hose, the vehicle standing level",
    moves_with=("travel", "lock"),
    of="brake hose end",
    unit="mm",
    tolerance="5 mm",
    at_least=50.0,
    at_most=900.0,
    taken_with=(
        "{axle} springs",
        "{axle} hub reductions: drop",
        "{axle} hub reductions: added width",
    ),
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


@limit(
    "the {axle} brake hoses reach at full droop",
    quantity="{axle} brake hoses, slack at full droop",
    unit="mm",
    concerns="contact",
    at_least=practice("slack of a brake hose"),
    because="a hose that is pulled tight tears, and the brakes are gone",
    source="geometry; slack by common practice, no source",
    regardless={"{axle} springs": "the droop is counted from the same ride height"},
)
def hose_slack(
    length: float = part("{axle} brake hoses", "length"),
    full_droop: float = computed("{axle} full droop"),
    reach: float = vehicle("{axle} brake hose reach"),
):
    return length - (reach + full_droop)
