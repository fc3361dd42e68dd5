"""What the steering links bear: pushed along until they fold, or across by a rock until bent.

A straight link bears what its diameter, wall and length allow; the strength of its alloy hardly
matters to folding once it is slender, but it does to bending.
"""

from configurator.formulas import rods
from configurator.formulas.constants import STANDARD_GRAVITY
from configurator.formulas.sections import tube_inner_diameter
from configurator.plugin import Practice, computed, figure, limit, part, practice, vehicle

knock = Practice(
    "knock on a steering link",
    "Push across the middle of a link, as from a rock, as a share of the load on a front wheel.",
    18.0,
    "common practice, no source",
    unit="%",
    at_least=0.0,
    at_most=100.0,
)
reserve = Practice(
    "safety factor of a steering link",
    "How many times the load of a wheel steered against a rut a link must bear.",
    2.0,
    "common practice, no source",
    at_least=1.0,
    at_most=6.0,
)


@figure(
    "track rod buckling load",
    unit="N",
    resolution=500.0,
    rounding="down",
    source="Budynas & Nisbett, Shigley, 10th ed., 4-12 and 4-13 (sections from memory)",
)
def tie_rod_buckling_load(
    outer_diameter: float = part("track rod", "outer diameter"),
    wall: float = part("track rod", "wall"),
    elastic_modulus: float = part("track rod", "elastic modulus"),
    yield_strength: float = part("track rod", "yield strength"),
    length: float = computed("track rod length needed"),
):
    """Push along the track rod at which it buckles."""
    return rods.tube_buckling_load(outer_diameter, wall, length, elastic_modulus, yield_strength)


@figure(
    "drag link buckling load",
    unit="N",
    resolution=500.0,
    rounding="down",
    source="Budynas & Nisbett, Shigley, 10th ed., 4-12 and 4-13 (sections from memory)",
)
def drag_link_buckling_load(
    outer_diameter: float = part("drag link", "outer diameter"),
    wall: float = part("drag link", "wall"),
    elastic_modulus: float = part("drag link", "elastic modulus"),
    yield_strength: float = part("drag link", "yield strength"),
    length: float = computed("drag link length needed"),
):
    """Push along the drag link at which it buckles."""
    return rods.tube_buckling_load(outer_diameter, wall, length, elastic_modulus, yield_strength)


@limit(
    "the track rod does not buckle",
    quantity="track rod buckling, safety factor",
    unit="",
    concerns="strength",
    at_least=practice("safety factor of a steering link"),
    because="a track rod that folds lets the front wheels steer themselves",
    source="Euler and Johnson; reserve by common practice, no source",
)
def tie_rod_reserve(
    bears: float = computed("track rod buckling load"),
    load: float = computed("steering link load"),
):
    return bears / load


@limit(
    "the drag link does not buckle",
    quantity="drag link buckling, safety factor",
    unit="",
    concerns="strength",
    at_least=practice("safety factor of a steering link"),
    because="a drag link that folds leaves the vehicle without steering",
    source="Euler and Johnson; reserve by common practice, no source",
)
def drag_link_reserve(
    bears: float = computed("drag link buckling load"),
    load: float = computed("drag link load"),
):
    return bears / load


@figure(
    "knock on a steering link",
    unit="N",
    resolution=50.0,
    rounding="up",
    meaning="Push across the middle of a steering link that it must bear without staying bent.",
    source="common practice, no source: a share of the load on a front wheel",
    states=("fully laden",),
)
def knock_on_link(
    axle_load: float = vehicle("permitted front axle load"),
    share: float = practice("knock on a steering link"),
):
    return share * axle_load * STANDARD_GRAVITY.beside(axle_load) / 2


@figure(
    "track rod bending load",
    unit="N",
    resolution=50.0,
    rounding="down",
    source="beam between two joints, loaded in the middle; Budynas & Nisbett, Shigley, table A-9",
)
def tie_rod_bending_load(
    outer_diameter: float = part("track rod", "outer diameter"),
    wall: float = part("track rod", "wall"),
    yield_strength: float = part("track rod", "yield strength"),
    length: float = computed("track rod length needed"),
):
    """Push across the middle of the track rod at which it stays bent."""
    return bending_load(outer_diameter, wall, yield_strength, length)


@figure(
    "drag link bending load",
    unit="N",
    resolution=50.0,
    rounding="down",
    source="beam between two joints, loaded in the middle; Budynas & Nisbett, Shigley, table A-9",
)
def drag_link_bending_load(
    outer_diameter: float = part("drag link", "outer diameter"),
    wall: float = part("drag link", "wall"),
    yield_strength: float = part("drag link", "yield strength"),
    length: float = computed("drag link length needed"),
):
    """Push across the middle of the drag link at which it stays bent."""
    return bending_load(outer_diameter, wall, yield_strength, length)


def bending_load(outer_diameter: float, wall: float, yield_strength: float, length: float) -> float:
    """Push across the middle of a straight link at which it stays bent [N]."""
    inner_diameter = tube_inner_diameter(outer_diameter, wall)
    moment = rods.rod_yield_moment(outer_diameter, inner_diameter, yield_strength)
    return rods.midspan_load_at_yield(moment, length)


@limit(
    "the track rod bears a knock",
    quantity="track rod, knock that bends it",
    unit="N",
    concerns="strength",
    at_least=computed("knock on a steering link"),
    because="a track rod that a rock has bent sets the front wheels askew, and folds at the next",
    source="beam theory; the knock is common practice, no source",
)
def tie_rod_bears_knock(bears: float = computed("track rod bending load")):
    return bears


@limit(
    "the drag link bears a knock",
    quantity="drag link, knock that bends it",
    unit="N",
    concerns="strength",
    at_least=computed("knock on a steering link"),
    because="a drag link that a rock has bent holds the steering off centre, and folds at the next",
    source="beam theory; the knock is common practice, no source",
)
def drag_link_bears_knock(bears: float = computed("drag link bending load")):
    return bears
