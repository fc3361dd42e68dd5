"""Guards: steel under what must not be struck. Some cost clearance, all cost mass."""

from configurator.plugin import (
    AXLES,
    Attribute,
    Family,
    Measure,
    Position,
    fit,
    limit,
    part,
    vehicle,
)

hangs_below = Attribute(
    "hangs below",
    "How far it stands below what it guards.",
    unit="mm",
    tolerance="3 mm",
    at_least=0.0,
    at_most=100.0,
    when_empty=0.0,
    example="8",
)

differential_guards = Family(
    "diff_guards",
    "Differential guards",
    system="Body and protection",
    positions=tuple(Position(f"{axle} diff guard", f"{axle} axle") for axle in AXLES),
    optional=True,
    attributes=(
        Attribute(
            "ring gears",
            "Codes of the ring gears whose housings it is shaped for.",
            kind="codes",
            example="RG200 RG205",
        ),
        hangs_below,
    ),
    meaning="Under the housing of the differential.",
    moves=(),
)

hub_guards = Family(
    "hub_reduction_guards",
    "Hub reduction guards",
    system="Body and protection",
    positions=tuple(Position(f"{axle} hub reduction guards", f"{axle} axle") for axle in AXLES),
    pieces=2,
    optional=True,
    attributes=(
        Attribute(
            "box depth",
            "Depth of the hub box that it is shaped for, wheel centre to lowest point.",
            unit="mm",
            tolerance="2 mm",
            at_least=30.0,
            at_most=300.0,
            example="118",
        ),
        hangs_below,
    ),
    meaning="Under the boxes of hub reductions.",
    moves=(),
)

link_guards = Family(
    "link_guards",
    "Link bracket guards",
    system="Body and protection",
    positions=tuple(Position(f"{axle} link guards", f"{axle} axle") for axle in AXLES),
    pieces=2,
    optional=True,
    attributes=(
        Attribute(
            "mounts",
            "Codes of the axle brackets it covers.",
            kind="text",
            example="five-link rear",
        ),
    ),
    meaning="Over the lower link brackets and shock absorber mounts.",
    moves=(),
)

sill_guards = Family(
    "sill_guards",
    "Sill guards",
    system="Body and protection",
    positions=(Position("sill guards", "middle", sprung=True),),
    pieces=2,
    optional=True,
    attributes=(
        Attribute(
            "length",
            "Of the straight part that takes the load.",
            unit="mm",
            tolerance="3 mm",
            at_least=500.0,
            at_most=3000.0,
            example="1450",
        ),
        Attribute(
            "hangs below",
            "How far it stands below the lower edge of the sill.",
            unit="mm",
            tolerance="3 mm",
            at_least=0.0,
            at_most=200.0,
            when_empty=0.0,
            example="35",
        ),
        Attribute(
            "takes a step",
            "Whether a step can be bolted on as well.",
            kind="yes/no",
            when_empty=True,
            example="no",
        ),
        Attribute(
            "bodies",
            "Codes of the bodies that it is made for.",
            kind="codes",
            required=False,
            example="wagon pickup",
        ),
    ),
    meaning="Along the sills, held on the frame.",
    moves=(),
)

sill_length = Measure(
    "sill length",
    "Straight length between the arches, where a sill guard can sit.",
    "tape along the sill",
    moves_with=(),
    unit="mm",
    tolerance="4 mm",
    at_least=600.0,
    at_most=3500.0,
)


@fit(
    "the {axle} diff guard fits the housing",
    because="a guard that does not lie close is torn off",
    source="geometry",
)
def guard_fits(
    shaped_for: frozenset[str] = part("{axle} diff guard", "ring gears"),
    ring_gear: str = part("{axle} axle", "ring gear"),
):
    return ring_gear in shaped_for


@fit(
    "the {axle} hub reduction guards fit the boxes",
    because="there is nothing to guard without a box, and a guard fits one shape only",
    source="geometry",
)
def hub_guard_fits(
    shaped_for: float = part("{axle} hub reduction guards", "box depth"),
    depth: float | None = part("{axle} hub reductions", "depth below wheel centre"),
):
    return depth is not None and abs(shaped_for - depth) <= 0.0015


@fit(
    "the {axle} link guards fit the brackets",
    because="brackets sit elsewhere on another axle",
    source="geometry",
)
def link_guard_fits(
    covers: str = part("{axle} link guards", "mounts"), axle: str = part("{axle} axle", "mounts")
):
    return covers == axle


@limit(
    "the sill guards go between the arches",
    quantity="sill guards, length",
    unit="mm",
    concerns="contact",
    at_most=vehicle("sill length"),
    because="a guard that reaches into the arch meets the tyre",
    source="geometry",
)
def sill_guard_length(length: float = part("sill guards", "length")):
    return length


@fit(
    "steps and sill guards go together",
    because="both are held at the same place on the frame",
    source="geometry",
)
def steps_and_guards(
    step: bool = part("steps", "present"), takes: bool = part("sill guards", "takes a step")
):
    return takes or not step


@fit(
    "the sill guards are made for the body",
    because="brackets sit elsewhere on another frame",
    source="maker's fitting instructions",
)
def sill_guards_fit_body(
    bodies: frozenset[str] = part("sill guards", "bodies"), body: str = vehicle("body")
):
    return body in bodies
