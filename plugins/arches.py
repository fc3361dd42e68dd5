"""Arch trimming and arch extensions: room for a larger tyre, and cover for its tread."""

from configurator.plugin import (
    AXLES,
    Attribute,
    Family,
    Measure,
    Position,
    Practice,
    computed,
    figure,
    limit,
    part,
    practice,
    vehicle,
)

arch_work = Family(
    "arch_trimming",
    "Arch trimming",
    system="Body and protection",
    positions=tuple(
        Position(f"{axle} arch trimming", f"{axle} body", sprung=True) for axle in AXLES
    ),
    optional=True,
    attributes=(
        Attribute(
            "room gained",
            "How much further up and out to front and rear the arch is free for the tyre.",
            unit="mm",
            tolerance="3 mm",
            at_least=0.0,
            at_most=150.0,
            when_empty=0.0,
            example="25",
        ),
    ),
    meaning="Edges folded, liners cut, seams moved; sold as a kit for an axle.",
    moves=(),
)

coverage_strips = Family(
    "arch_extensions",
    "Arch extensions",
    system="Body and protection",
    positions=tuple(
        Position(f"{axle} arch extensions", f"{axle} body", sprung=True) for axle in AXLES
    ),
    pieces=2,
    optional=True,
    attributes=(
        Attribute(
            "stands out",
            "How far it stands out from the arch.",
            unit="mm",
            tolerance="2 mm",
            at_least=0.0,
            at_most=200.0,
            when_empty=0.0,
            example="40",
        ),
    ),
    meaning="Along the edge of the arch, over the tread.",
    moves=(),
)

body_width = Measure(
    "{axle} width over arches",
    "Between the outer edges of the {axle} arches.",
    "straight edges upright at both sides, tape between them",
    moves_with=(),
    unit="mm",
    tolerance="4 mm",
    at_least=1000.0,
    at_most=2600.0,
)
beyond_arch = Practice(
    "tread beyond the arch",
    "How far a tyre may stand out of its arch before it throws stones at the windows behind.",
    25.0,
    "common practice, no source; local rules mostly ask for less",
    unit="mm",
    at_least=0.0,
    at_most=150.0,
)


@figure(
    "{axle} tyre beyond the arch",
    unit="mm",
    resolution=1.0,
    rounding="up",
    meaning="How far the {axle} tyres stand out of the arch and its strip; covered below 0.",
    source="geometry",
)
def tyre_beyond_arch(
    over_tyres: float = computed("{axle} width over tyres"),
    over_arches: float = vehicle("{axle} width over arches"),
    strip: float = part("{axle} arch extensions", "stands out"),
):
    return (over_tyres - over_arches) / 2 - strip


@limit(
    "the {axle} tyres are covered",
    quantity="{axle} tyres, overhang beyond the arch",
    unit="mm",
    concerns="comfort",
    at_most=practice("tread beyond the arch"),
    because="what the tread throws hits the car behind and the own windows",
    source="common practice, no source; local rules mostly ask for less",
)
def tyre_covered(beyond: float = computed("{axle} tyre beyond the arch")):
    return beyond
