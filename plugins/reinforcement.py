"""Housing reinforcement: trusses and gussets that keep an axle housing straight.

Springs push down inside the wheels; the further out the wheels stand, the longer the lever. Side
force at the ground bends the housing by the height of its tube above it, which a taller tyre raises
and a hub reduction more so. Welding warps: it is done with the gears out.
"""

from configurator.formulas import housing, sections
from configurator.formulas.constants import STANDARD_GRAVITY
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

reinforcement = Family(
    "reinforcement",
    "Housing reinforcement",
    system="Axles and driveline",
    positions=tuple(Position(f"{axle} reinforcement", f"{axle} axle") for axle in AXLES),
    optional=True,
    attributes=(
        Attribute(
            "tube diameter",
            "Outside diameter of the axle tube it is cut for.",
            unit="mm",
            at_least=40.0,
            at_most=160.0,
            example="76.2",
        ),
        Attribute(
            "added section modulus",
            "What it adds to the section modulus of the tube beside the differential.",
            unit="cm3",
            at_least=0.0,
            at_most=200.0,
            when_empty=0.0,
            example="14",
        ),
        Attribute(
            "stands up",
            "How far it stands above the tube: what it takes from the bump travel's room.",
            unit="mm",
            tolerance="2 mm",
            at_least=0.0,
            at_most=200.0,
            example="45",
        ),
        Attribute(
            "welded",
            "Whether it is welded on; otherwise it is clamped.",
            kind="yes/no",
            when_empty=False,
            example="yes",
        ),
    ),
    meaning="Steel along the axle tubes.",
    moves=(
        Moves(
            "axle against the body",
            ("stands up",),
            {"": "no more than what is above it"},
        ),
    ),
)

room = Measure(
    "{axle} room above the axle tube",
    "From the {axle} axle tube up to frame, sump or exhaust with the axle on its bump stops.",
    "block the axle up to its stops, springs out, and measure",
    moves_with=(),
    of="axle against the body",
    unit="mm",
    tolerance="3 mm",
    at_least=0.0,
    at_most=300.0,
    taken_with=("{axle} bump stops: pressed height", "{axle} axle: tube diameter"),
)
spring_spacing = Measure(
    "{axle} spring spacing",
    "Between the middles of the {axle} springs, across the vehicle.",
    "tape along the axle",
    moves_with=(),
    unit="mm",
    tolerance="4 mm",
    at_least=400.0,
    at_most=1600.0,
)
dynamic_factor = Practice(
    "dynamic factor on the housing",
    "How much more the axle is loaded on rough ground than standing still.",
    2.5,
    "common practice, no source: 2 to 3",
    at_least=1.0,
    at_most=6.0,
)
side_force = Practice(
    "side force on a tyre",
    "Share of the wheel load that pushes a tyre sideways while the springs are pressed in.",
    15.0,
    "common practice, no source",
    unit="%",
    at_least=0.0,
    at_most=100.0,
)
tube_strength = Practice(
    "yield strength of axle tubes",
    "Of the steel that axle tubes are drawn from.",
    350.0,
    "SAE 1020 cold drawn, 352 MPa: Mott, Machine Elements in Mechanical Design, appendix 3",
    unit="MPa",
    at_least=150.0,
    at_most=1200.0,
)
gap_above = Practice(
    "gap above the axle",
    "Air that must be left between the axle and what is above it, on the bump stops.",
    10.0,
    "common practice, no source",
    unit="mm",
    at_least=0.0,
    at_most=60.0,
    for_error=0.5,
)


@fit(
    "the {axle} reinforcement fits the tube",
    because="a gap under a truss is filled with weld, and weld that is thick enough warps the tube",
    source="geometry",
)
def reinforcement_fits_tube(
    cut_for: float = part("{axle} reinforcement", "tube diameter"),
    tube: float = part("{axle} axle", "tube diameter"),
):
    return abs(cut_for - tube) <= 0.0006  # what a shop grinds off


@fit(
    "the {axle} reinforcement goes on a solid axle",
    because="an independent suspension has no tubes to stiffen",
    source="geometry",
)
def reinforcement_needs_tubes(
    there: bool = part("{axle} reinforcement", "present"),
    suspension: str = vehicle("{axle} suspension"),
):
    return suspension == "solid axle" or not there


@figure(
    "{axle} tube rise at full bump",
    unit="mm",
    meaning="How much nearer the {axle} axle tube comes to what is above it than it did: on a "
    "shorter stop, or by half of what the tube is thicker; a taller stop is not counted.",
    source="geometry",
    states=("full bump",),
)
def tube_rise(
    pressed: float = part("{axle} bump stops", "pressed height"),
    pressed_before: float = fitted("{axle} bump stops", "pressed height"),
    diameter: float = part("{axle} axle", "tube diameter"),
    diameter_before: float = fitted("{axle} axle", "tube diameter"),
):
    return max(pressed_before - pressed + (diameter - diameter_before) / 2, 0.0 * pressed)


@limit(
    "the {axle} reinforcement has room above it",
    quantity="gap above the {axle} reinforcement at full bump",
    unit="mm",
    concerns="contact",
    at_least=practice("gap above the axle"),
    because="a truss that hits the sump at full bump goes through it",
    source="geometry",
    states=("full bump",),
)
def room_above(
    room: float = vehicle("{axle} room above the axle tube"),
    stands_up: float = part("{axle} reinforcement", "stands up"),
    nearer: float = computed("{axle} tube rise at full bump"),
):
    return room - nearer - stands_up


@figure(
    "{axle} housing section modulus",
    unit="cm3",
    resolution=0.5,
    rounding="down",
    source="Budynas & Nisbett, Shigley, 10th ed.; what the reinforcement adds is its maker's word",
)
def section_modulus(
    diameter: float = part("{axle} axle", "tube diameter"),
    wall: float = part("{axle} axle", "tube wall"),
    added: float = part("{axle} reinforcement", "added section modulus"),
):
    """Section modulus of the {axle} housing beside the differential."""
    tube = sections.tube_section_modulus(diameter, max(diameter - 2 * wall, 0.0))
    return housing.reinforced_section_modulus(tube, added)


@figure(
    "{axle} tube height",
    unit="mm",
    resolution=20.0,
    rounding="up",
    meaning="Height of the {axle} axle tube above the ground, the tyres unloaded: the lever of a "
    "push at the ground.",
    source="geometry: the tube stands the drop of a hub reduction above the wheel centre",
)
def tube_height(
    tyre_diameter: float = computed("tyre diameter"),
    drop: float = part("{axle} hub reductions", "drop"),
):
    return tyre_diameter / 2 + drop


@figure(
    "{axle} housing bending moment",
    unit="N*m",
    resolution=50.0,
    rounding="up",
    source="simply supported at the wheels; side force by common practice, no source",
    states=("fully laden",),
)
def bending_moment(
    track: float = computed("{axle} track"),
    height: float = computed("{axle} tube height"),
    spacing: float = vehicle("{axle} spring spacing"),
    axle_load: float = vehicle("permitted {axle} axle load"),
    side_share: float = practice("side force on a tyre"),
    suspension: str = vehicle("{axle} suspension"),
):
    """Standing on level ground, between the springs, with a side push at one tyre."""
    if suspension == "independent":
        return None
    wheel_load = axle_load * STANDARD_GRAVITY.beside(axle_load) / 2
    standing = housing.bending_moment(wheel_load, (track - spacing) / 2)
    # A push at the ground bends the tube by the height at which it stands, drop of a hub included.
    return standing + side_share * wheel_load * height


@figure(
    "{axle} housing reserve",
    unit="",
    resolution=0.02,
    rounding="down",
    source="Budynas & Nisbett, Shigley, 10th ed.; dynamic factor by common practice, no source",
)
def housing_reserve(
    moment: float = computed("{axle} housing bending moment"),
    modulus: float = computed("{axle} housing section modulus"),
    strength: float = practice("yield strength of axle tubes"),
    dynamic_factor: float = practice("dynamic factor on the housing"),
):
    """How many times the load of rough ground the {axle} housing bears before it stays bent."""
    stress = housing.bending_stress(moment, modulus)
    return housing.yield_reserve(strength, stress, dynamic_factor)


@limit(
    "the {axle} housing stays straight",
    quantity="{axle} axle housing bending, safety factor",
    unit="",
    concerns="strength",
    at_least=1.0,
    because="wheels further out and taller tyres bend the housing more than it was made for",
    source="beam theory; dynamic factor by common practice, no source",
)
def housing_stays_straight(reserve: float = computed("{axle} housing reserve")):
    return reserve
