"""Panhard rods: hold the axle under the middle of the vehicle.

A link that runs from frame to axle swings on an arc, so a lift pulls the axle to one side unless
the link is made longer. In front it also holds the axle against the push of the drag link, which
grows with tyre and scrub radius; a brace takes that from the bracket. Axles on leaf springs have
none.
"""

from math import cos, sin

from configurator.formulas import rods
from configurator.formulas.constants import STANDARD_GRAVITY
from configurator.plugin import (
    AXLES,
    Attribute,
    Family,
    Measure,
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

locating_links = Family(
    "panhard_rods",
    "Panhard rods",
    system="Suspension",
    positions=tuple(Position(f"{axle} Panhard rod", f"{axle} axle") for axle in AXLES),
    optional=True,
    attributes=(
        Attribute(
            "outer diameter",
            "Of the rod or tube between its ends.",
            unit="mm",
            at_least=15.0,
            at_most=80.0,
            example="35",
        ),
        Attribute(
            "wall",
            "Wall of the tube; half the outer diameter for a solid rod.",
            unit="mm",
            tolerance="3 %",
            at_least=1.5,
            at_most=40.0,
            example="5",
        ),
        Attribute(
            "yield strength",
            "Of its steel.",
            unit="MPa",
            tolerance="5 %",
            at_least=150.0,
            at_most=1800.0,
            example="480",
        ),
        Attribute(
            "shortest length",
            "Between the bushes, screwed in.",
            unit="mm",
            tolerance="2 mm",
            at_least=300.0,
            at_most=1500.0,
            example="880",
        ),
        Attribute(
            "longest length",
            "Between the bushes, screwed out; the same where it cannot be set.",
            unit="mm",
            tolerance="2 mm",
            at_least=300.0,
            at_most=1500.0,
            example="930",
        ),
    ),
    meaning="From frame to axle, across the vehicle.",
    moves=(),
)

locating_braces = Family(
    "panhard_rod_braces",
    "Panhard rod braces",
    system="Suspension",
    positions=tuple(Position(f"{axle} Panhard rod brace", f"{axle} axle") for axle in AXLES),
    optional=True,
    attributes=(
        Attribute(
            "added strength",
            "Side force that the bracket bears more with it.",
            unit="kN",
            at_least=0.0,
            at_most=100.0,
            when_empty=0.0,
            example="12",
        ),
    ),
    meaning="Ties the bracket of the link to the other side of the frame.",
    moves=(),
)

link_length = Measure(
    "{axle} Panhard rod length",
    "Between the bushes of the {axle} Panhard rod.",
    "tape, bush middle to bush middle",
    moves_with=(),
    unit="mm",
    tolerance="2 mm",
    at_least=300.0,
    at_most=1500.0,
    taken_with=("{axle} springs",),
)
link_slope = Measure(
    "{axle} Panhard rod slope",
    "Slope of the {axle} Panhard rod at ride height, the axle end lower.",
    "angle gauge on the link, vehicle level",
    moves_with=("travel", "load"),
    of="axle against the body",
    unit="deg",
    tolerance="0.5 deg",
    at_least=-15.0,
    at_most=30.0,
    default=0.0,
    usual=(0.0, 8.0),
    taken_with=("{axle} springs",),
)
bracket_strength = Measure(
    "{axle} Panhard rod bracket strength",
    "Side force that the bracket of the {axle} Panhard rod bears.",
    "maker's data; else plate thickness and welds reckoned by an engineer",
    moves_with=(),
    unit="kN",
    at_least=1.0,
    at_most=200.0,
)
side_acceleration = Practice(
    "side force on an axle",
    "Share of its load with which an axle is pushed sideways at worst.",
    80.0,
    "common practice, no source",
    unit="%",
    at_least=30.0,
    at_most=200.0,
)
link_reserve = Practice(
    "safety factor of a Panhard rod",
    "How many times its load a Panhard rod must bear.",
    1.5,
    "common practice, no source",
    at_least=1.0,
    at_most=5.0,
)
off_centre = Practice(
    "axle off centre",
    "How far an axle may stand beside the middle of the vehicle.",
    5.0,
    "common practice, no source",
    unit="mm",
    at_least=1.0,
    at_most=25.0,
)


@figure(
    "{axle} Panhard rod length needed",
    unit="mm",
    resolution=0.5,
    rounding="nearest",
    meaning="Length between the bushes with the {axle} axle under the middle of the vehicle.",
    source="geometry: the link swings on an arc",
    states=("ride height",),
    not_in={
        "travel": "an axle on such a link swings sideways as it always did; it is set level",
        "load": "set under the load it was measured with",
    },
)
def link_length_needed(
    lift: float = computed("{axle} spring lift"),
    length: float = vehicle("{axle} Panhard rod length"),
    slope: float = vehicle("{axle} Panhard rod slope"),
):
    along, down = length * cos(slope), length * sin(slope) + lift
    return (along**2 + down**2) ** 0.5


@limit(
    "the {axle} axle stands in the middle",
    quantity="{axle} axle, offset from the middle",
    unit="mm",
    concerns="comfort",
    at_most=practice("axle off centre"),
    because="a lift pulls the axle to one side, and the vehicle runs askew",
    source="geometry; common practice for what is allowed, no source",
)
def axle_off_centre(
    needed: float = computed("{axle} Panhard rod length needed"),
    shortest: float = part("{axle} Panhard rod", "shortest length"),
    longest: float = part("{axle} Panhard rod", "longest length"),
):
    return max(shortest - needed, needed - longest, 0.0)


def side_force(axle_load: float, share: float) -> float:
    """Side force on an axle [N]."""
    return share * axle_load * STANDARD_GRAVITY.beside(axle_load)


@figure(
    "front Panhard rod load",
    unit="kN",
    resolution=0.5,
    rounding="up",
    meaning="Push along the front Panhard rod: side force and the push of the drag link.",
    source="equilibrium; side force by common practice, no source",
    states=("fully laden",),
)
def front_load(
    steering: float = computed("drag link load"),
    axle_load: float = vehicle("permitted front axle load"),
    share: float = practice("side force on an axle"),
):
    return side_force(axle_load, share) + steering


@figure(
    "rear Panhard rod load",
    unit="kN",
    resolution=0.5,
    rounding="up",
    meaning="Push along the rear Panhard rod: side force on the axle.",
    source="equilibrium; side force by common practice, no source",
    states=("fully laden",),
)
def rear_load(
    axle_load: float = vehicle("permitted rear axle load"),
    share: float = practice("side force on an axle"),
):
    return side_force(axle_load, share)


@figure(
    "{axle} Panhard rod buckling load",
    unit="kN",
    resolution=0.1,
    rounding="down",
    meaning="Push at which the {axle} Panhard rod buckles.",
    source="Budynas & Nisbett, Shigley, 10th ed., 4-12 and 4-13 (sections from memory)",
)
def link_bears(
    outer_diameter: float = part("{axle} Panhard rod", "outer diameter"),
    wall: float = part("{axle} Panhard rod", "wall"),
    yield_strength: float = part("{axle} Panhard rod", "yield strength"),
    length: float = computed("{axle} Panhard rod length needed"),
    elastic_modulus: float = practice("elastic modulus of propshaft tubes"),
):
    return rods.tube_buckling_load(outer_diameter, wall, length, elastic_modulus, yield_strength)


@limit(
    "the {axle} Panhard rod does not buckle",
    quantity="{axle} Panhard rod buckling, safety factor",
    unit="",
    concerns="strength",
    at_least=practice("safety factor of a Panhard rod"),
    because="an axle that comes loose sideways steers the vehicle",
    source="Euler and Johnson; reserve by common practice, no source",
)
def link_holds(
    bears: float = computed("{axle} Panhard rod buckling load"),
    load: float = computed("{axle} Panhard rod load"),
):
    return bears / load


@limit(
    "the {axle} Panhard rod bracket holds",
    quantity="{axle} Panhard rod bracket, strength",
    unit="kN",
    concerns="strength",
    at_least=computed("{axle} Panhard rod load"),
    because="a bracket that was made for small tyres is torn off by large ones",
    source="equilibrium; side force by common practice, no source",
)
def bracket_holds(
    link: float = part("{axle} Panhard rod", "outer diameter"),
    bracket: float = vehicle("{axle} Panhard rod bracket strength"),
    brace: float = part("{axle} Panhard rod brace", "added strength"),
):
    # The link is read so that the rule does not apply to an axle without one.
    return bracket + brace


@fit(
    "the {axle} Panhard rod brace has a link to brace",
    because="axles on leaf springs have neither link nor bracket",
    source="geometry",
)
def brace_has_link(
    brace: bool = part("{axle} Panhard rod brace", "present"),
    link: bool = part("{axle} Panhard rod", "present"),
):
    return link or not brace


@fit(
    "the {axle} axle keeps its Panhard rod",
    because="an axle on coils without a link wanders sideways",
    source="geometry",
)
def link_kept(
    fitted_before: bool = fitted("{axle} Panhard rod", "present"),
    link: bool = part("{axle} Panhard rod", "present"),
):
    return link or not fitted_before


@cross_check(
    "a Panhard rod is no longer at its shortest than at its longest",
    do="exchange them",
    family="panhard_rods",
)
def lengths_in_order(
    shortest: float = each("shortest length"), longest: float = each("longest length")
):
    return shortest <= longest
