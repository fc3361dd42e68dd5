"""Wheels: they must go on the hub, over the brake or hub box, under the tyre, and carry the load.

All wheels are alike, the spare too, so that any of them fits any hub of the vehicle.
"""

from configurator.formulas import wheels as wheel
from configurator.plugin import (
    Attribute,
    Family,
    Moves,
    Position,
    Practice,
    computed,
    cross_check,
    each,
    figure,
    fit,
    limit,
    part,
    practice,
    vehicle,
)

wheels = Family(
    "wheels",
    "Wheels",
    system="Wheels and tyres",
    positions=(Position("wheels", "wheels"),),
    pieces="wheels carried",
    attributes=(
        Attribute(
            "rim diameter",
            "Nominal, at the bead seats.",
            unit="in",
            at_least=12.0,
            at_most=24.0,
            example="17",
        ),
        Attribute(
            "rim width",
            "Nominal, between the flanges.",
            unit="in",
            tolerance="1 mm",
            at_least=4.0,
            at_most=14.0,
            example="8",
        ),
        Attribute(
            "offset",
            "From the rim's centreline to the mounting face, positive when the face lies outboard.",
            unit="mm",
            tolerance="1 mm",
            at_least=-120.0,
            at_most=150.0,
            example="10",
        ),
        Attribute(
            "PCD",
            "Diameter of the circle through the stud holes.",
            unit="mm",
            at_least=90.0,
            at_most=260.0,
            example="139.7",
        ),
        Attribute("studs", "Number of stud holes.", kind="whole", at_least=4, at_most=10),
        Attribute(
            "centre bore",
            "Inside diameter of the hole in the middle.",
            unit="mm",
            at_least=50.0,
            at_most=230.0,
            example="108",
        ),
        Attribute(
            "barrel diameter",
            "Largest circle about the wheel centre that is free inside the barrel.",
            unit="mm",
            tolerance="1 mm",
            at_least=250.0,
            at_most=560.0,
            example="382",
        ),
        Attribute(
            "pad thickness",
            "From the mounting face to the seat of the nut, where the stud passes.",
            unit="mm",
            tolerance="0.5 mm",
            at_least=2.0,
            at_most=60.0,
            example="14",
        ),
        Attribute(
            "load rating",
            "Load that the maker permits on one wheel.",
            unit="kg",
            at_least=300.0,
            at_most=3000.0,
            example="1150",
        ),
        Attribute(
            "nut seat",
            "Shape of the seat for the nuts.",
            kind="text",
            choices=("60 degree cone", "ball", "flat"),
            example="60 degree cone",
        ),
        Attribute(
            "spoke room",
            "From the mounting face outboard to the inside of the spokes, where a caliper turns.",
            unit="mm",
            tolerance="1 mm",
            at_least=-80.0,
            at_most=120.0,
            required=False,
            example="34",
        ),
    ),
    meaning="Between hub and tyre: PCD, offset and room inside.",
    moves=(
        Moves(
            "wheel centre",
            ("offset",),
            {
                "{axle} arch room": "further out or in, no higher",
                "rear room ahead and behind": "rear wheels are not steered",
            },
        ),
    ),
)

barrel_air = Practice(
    "gap in the barrel",
    "Air between the barrel and what turns or sits inside it, balance weights and mud included.",
    3.0,
    "common practice, no source",
    unit="mm",
    at_least=0.0,
    at_most=20.0,
    for_error=0.5,
)

spoke_air = Practice(
    "gap at the spokes",
    "Air between the spokes and the caliper, balance weights included.",
    3.0,
    "common practice, no source",
    unit="mm",
    at_least=0.0,
    at_most=20.0,
)


@figure(
    "{axle} PCD",
    unit="mm",
    meaning="PCD that the {axle} wheels find: that of the hub reduction, if any.",
    source="ISO 3911 for the term (title from memory)",
)
def bolt_circle(
    axle: float = part("{axle} axle", "PCD"),
    hub: float | None = part("{axle} hub reductions", "PCD"),
):
    return hub or axle


@figure(
    "{axle} studs",
    unit="",
    meaning="Number of studs that the {axle} wheels find.",
    source="count",
)
def studs(
    axle: int = part("{axle} axle", "studs"),
    hub: int | None = part("{axle} hub reductions", "studs"),
):
    return hub or axle


@figure(
    "{axle} hub register",
    unit="mm",
    meaning="Diameter of the collar that the {axle} wheel is centred on.",
    source="measured at the hub",
)
def hub_register(
    axle: float = part("{axle} axle", "hub register"),
    hub: float | None = part("{axle} hub reductions", "hub register"),
):
    return hub or axle


@fit(
    "the wheel's PCD fits the {axle} hub",
    because="studs that are forced into the wrong circle break",
    source="geometry",
)
def bolt_circle_fits(wheel: float = part("wheels", "PCD"), hub: float = computed("{axle} PCD")):
    return abs(wheel - hub) <= 0.00015  # drawings round to a tenth of a millimetre


@fit(
    "the wheel has as many holes as the {axle} hub has studs",
    because="every stud carries its share",
    source="geometry",
)
def studs_fit(wheel: int = part("wheels", "studs"), hub: int = computed("{axle} studs")):
    return wheel == hub


@limit(
    "the wheel's centre bore goes over the {axle} hub",
    quantity="centre bore on the {axle} hub",
    unit="mm",
    concerns="fit",
    at_least=computed("{axle} hub register"),
    because="a wheel that does not go over the collar does not lie flat on the hub face",
    source="geometry",
)
def centre_bore(bore: float = part("wheels", "centre bore")):
    return bore


@limit(
    "the wheels carry the permitted {axle} axle load",
    quantity="wheels, load rating for the {axle} axle",
    unit="kg",
    concerns="plate",
    at_least=vehicle("permitted {axle} axle load"),
    because="each wheel carries half of the heaviest axle",
    source="SAE J2530: rated for at least half the load of the heaviest axle",
    states=("fully laden",),
)
def wheels_carry(rating: float = part("wheels", "load rating")):
    return 2 * rating


@limit(
    "the {axle} hub reduction fits inside the wheel",
    quantity="gap between {axle} hub reduction and wheel",
    unit="mm",
    concerns="contact",
    at_least=practice("gap in the barrel"),
    because="the box stands still while the barrel turns round it",
    source="geometry; gap by common practice, no source",
)
def hub_box_in_barrel(
    barrel: float = part("wheels", "barrel diameter"),
    box: float = part("{axle} hub reductions", "barrel room needed"),
):
    return wheel.barrel_gap(barrel, box)


@cross_check(
    "the mounting face lies inside the rim",
    do="check offset and rim width, their signs and units",
    family="wheels",
)
def face_in_rim(offset: float = each("offset"), width: float = each("rim width")):
    return abs(offset) <= width / 2


@cross_check("the barrel is smaller than the rim", do="check both diameters", family="wheels")
def barrel_in_rim(barrel: float = each("barrel diameter"), rim: float = each("rim diameter")):
    return barrel < rim


@limit(
    "the {axle} caliper clears the spokes",
    quantity="gap of the {axle} caliper to the spokes",
    concerns="contact",
    unit="mm",
    at_least=practice("gap at the spokes"),
    because="the wheel turns past the caliper, and a hard corner bends both",
    source="geometry; gap by common practice, no source",
)
def gap_at_spokes(
    room: float = part("wheels", "spoke room"),
    caliper: float = part("{axle} brakes", "stands outboard"),
):
    # A hub reduction moves brake and wheel face outboard together.
    return room - caliper
