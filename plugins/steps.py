"""Steps beside the sill: easier to climb in, less room above the rocks."""

from configurator.plugin import (
    Attribute,
    Family,
    Measure,
    Position,
    Practice,
    computed,
    figure,
    fit,
    limit,
    part,
    practice,
    vehicle,
)

steps = Family(
    "steps",
    "Steps",
    system="Body and protection",
    positions=(Position("steps", "middle", sprung=True),),
    pieces=2,
    optional=True,
    attributes=(
        Attribute(
            "tread below sill",
            "From the door sill down to the tread, the door open.",
            unit="mm",
            tolerance="3 mm",
            at_least=0.0,
            at_most=500.0,
            when_empty=0.0,
            example="180",
        ),
        Attribute(
            "hangs below sill",
            "From the lower edge of the sill to the lowest point as driven; 0 when folded away.",
            unit="mm",
            tolerance="3 mm",
            at_least=0.0,
            at_most=400.0,
            when_empty=0.0,
            example="60",
        ),
        Attribute(
            "permitted load",
            "Load that the maker permits on one step.",
            unit="kg",
            at_least=50.0,
            at_most=1000.0,
            example="200",
        ),
        Attribute(
            "bodies",
            "Codes of the bodies that it is made for.",
            kind="codes",
            required=False,
            example="wagon pickup",
        ),
    ),
    meaning="A tread between ground and door sill.",
    moves=(),
)

sill_height = Measure(
    "sill underside height",
    "From the ground to the lower edge of the sill.",
    "tape, midway between the axles, the vehicle as it stands",
    moves_with=("load",),
    of="body",
    unit="mm",
    tolerance="4 mm",
    at_least=150.0,
    at_most=1000.0,
    taken_with=(
        "tyres",
        "front springs",
        "rear springs",
        "front hub reductions: drop",
        "rear hub reductions: drop",
    ),
)
step_load = Practice(
    "load on a step",
    "Of a person with a rucksack who stamps in.",
    150.0,
    "common practice, no source",
    unit="kg",
    at_least=80.0,
    at_most=500.0,
)


@figure("entry height", unit="mm", resolution=5.0, rounding="up", source="geometry")
def entry_height(
    sill: float = computed("door sill height"), tread: float = part("steps", "tread below sill")
):
    """From the ground to the first thing a foot finds: the tread, or the sill without steps."""
    return sill - tread


@figure(
    "clearance beside the sill",
    unit="mm",
    resolution=1.0,
    rounding="down",
    source="geometry",
    states=("ride height",),
    not_in={"load": "of the load it was measured with"},
)
def clearance_beside_sill(
    rise: float = computed("body rise"),
    before: float = vehicle("sill underside height"),
    step: float = part("steps", "hangs below sill"),
    guard: float = part("sill guards", "hangs below"),
):
    """From the ground to the sill or to what hangs lowest beside it, as driven."""
    return before + rise - max(step, guard)


@limit(
    "the steps bear a person",
    quantity="steps, load rating",
    unit="kg",
    concerns="rating",
    at_least=practice("load on a step"),
    because="people jump on a step with what they carry",
    source="maker's permitted load; load by common practice, no source",
)
def steps_bear(load: float = part("steps", "permitted load")):
    return load


@fit(
    "the steps are made for the body",
    because="brackets sit elsewhere on another sill",
    source="maker's fitting instructions",
)
def steps_fit_body(bodies: frozenset[str] = part("steps", "bodies"), body: str = vehicle("body")):
    return body in bodies
