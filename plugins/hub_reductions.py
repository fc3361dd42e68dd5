"""Geared hub reductions: a gear box in each wheel that holds the axle above the wheel centre.

The axle goes up by the drop without any change of joint angles, springs or bump stops, and the
wheels turn slower by the ratio. What that reaches: wheels and nuts (another hub face), brakes
(another mount), half-shafts (another spline, a shorter stub), and the other axle, which must turn
its wheels at the same overall ratio.
"""

from configurator.formulas import torque
from configurator.plugin import (
    AXLES,
    Attribute,
    Family,
    Moves,
    Position,
    Practice,
    caution,
    computed,
    figure,
    fit,
    limit,
    part,
    practice,
)

BOXES_PER_AXLE = 2

hubs = Family(
    "hub_reductions",
    "Geared hub reductions",
    system="Axles and driveline",
    positions=tuple(Position(f"{axle} hub reductions", f"{axle} axle") for axle in AXLES),
    pieces=2,
    optional=True,
    attributes=(
        Attribute(
            "drop",
            "From the axle line down to the wheel centre.",
            unit="mm",
            tolerance="0.5 mm (ISO 2768-1:1989, medium, up to 400 mm, from memory)",
            at_least=0.0,
            at_most=250.0,
            when_empty=0.0,
            example="100",
        ),
        Attribute(
            "ratio",
            "Turns of the half-shaft for one turn of the wheel.",
            at_least=0.5,
            at_most=4.0,
            when_empty=1.0,
            example="1.25",
        ),
        Attribute(
            "added width",
            "How much further outboard the wheel mounting face comes on this side.",
            unit="mm",
            tolerance="0.5 mm (ISO 2768-1:1989, medium, up to 400 mm, from memory)",
            at_least=-50.0,
            at_most=200.0,
            when_empty=0.0,
            example="62",
        ),
        Attribute(
            "PCD",
            "Diameter of the circle through the studs.",
            unit="mm",
            at_least=90.0,
            at_most=260.0,
            example="139.7",
        ),
        Attribute("studs", "Studs in each hub.", kind="whole", at_least=4, at_most=10),
        Attribute("stud thread", "Diameter and pitch.", kind="text", example="M14x1.5"),
        Attribute(
            "stud length",
            "How far the studs stand out of the hub face.",
            unit="mm",
            at_least=10.0,
            at_most=120.0,
            example="42",
        ),
        Attribute(
            "hub register",
            "Diameter of the collar that centres the wheel.",
            unit="mm",
            at_least=50.0,
            at_most=230.0,
            example="112",
        ),
        Attribute(
            "depth below wheel centre",
            "From the wheel centre to the lowest point of the box.",
            unit="mm",
            tolerance="1 mm",
            at_least=30.0,
            at_most=300.0,
            example="118",
        ),
        Attribute(
            "barrel room needed",
            "Circle about the wheel centre that encloses what sits inside the wheel.",
            unit="mm",
            tolerance="1 mm",
            at_least=200.0,
            at_most=560.0,
            example="372",
        ),
        Attribute(
            "fits flange",
            "Codes of the hub flanges it bolts to.",
            kind="codes",
            example="K8F K8R",
        ),
        Attribute(
            "input spline",
            "Code of the spline that drives it.",
            kind="text",
            example="S30",
        ),
        Attribute(
            "shaft shortened by",
            "How much shorter the half-shaft must be.",
            unit="mm",
            at_least=-100.0,
            at_most=300.0,
            when_empty=0.0,
            example="46",
        ),
        Attribute(
            "torque rating",
            "Largest torque at the wheel that its gears and bearings bear.",
            unit="N*m",
            at_least=500.0,
            at_most=60000.0,
            example="7500",
        ),
        Attribute(
            "brake mount",
            "Code of the brake mount it carries.",
            kind="text",
            example="H60",
        ),
        Attribute(
            "teeth",
            "Straight-cut gears are loud, helical ones push sideways.",
            kind="text",
            choices=("straight", "helical"),
            example="helical",
        ),
        Attribute(
            "oil",
            "Filling of one box.",
            unit="litre",
            at_least=0.05,
            at_most=5.0,
            required=False,
            when_empty=0.0,
            example="0.6",
        ),
        Attribute(
            "bearing behind hub face",
            "From the wheel mounting face inboard to the middle between its wheel bearings.",
            unit="mm",
            at_least=0.0,
            at_most=200.0,
            required=False,
            when_empty=0.0,
            example="62",
        ),
        Attribute(
            "permitted wheel moment",
            "Bending moment of the wheel that its bearings bear.",
            unit="N*m",
            at_least=300.0,
            at_most=20000.0,
            required=False,
            when_empty=0.0,
            example="3600",
        ),
        Attribute(
            "sensor counts",
            "What a wheel-speed sensor counts in it; nothing where it has no place for one.",
            kind="text",
            choices=("wheel", "half-shaft", "nothing"),
            required=False,
            when_empty="wheel",
            example="wheel",
        ),
    ),
    meaning="Raise the axle above the wheel centre and gear the wheels down.",
    moves=(
        Moves(
            "wheel centre",
            ("drop", "added width"),
            {"rear room ahead and behind": "lowered, a wheel that is not steered is no nearer"},
        ),
        Moves("brake hose end", ("drop", "added width")),
        Moves("wheel-speed sensor", ("drop", "added width")),
        Moves("body", ("drop",)),
        Moves("steering arm", (), {"": "it sits on the knuckle, inboard of the hub reduction"}),
    ),
)

usual_oil = Practice(
    "oil of a hub box",
    "Filling of one box where the list does not say.",
    0.7,
    "common practice, no source",
    unit="litre",
    at_least=0.05,
    at_most=5.0,
)


@fit(
    "the {axle} hub reduction bolts to the axle",
    because="the box takes the place of the spindle and carries the whole wheel",
    source="geometry",
)
def hub_bolts_on(
    flange: str = part("{axle} axle", "hub flange"),
    fits: frozenset[str] = part("{axle} hub reductions", "fits flange"),
):
    return flange in fits


@figure(
    "hub reductions changed",
    unit="",
    meaning="1 where hub reductions are fitted, exchanged or taken off, otherwise 0.",
    source="count",
)
def hub_reductions_changed(
    front: bool = part("front hub reductions", "changed"),
    rear: bool = part("rear hub reductions", "changed"),
):
    return float(front or rear)


@figure(
    "{axle} hub oil",
    unit="litre",
    resolution=0.1,
    rounding="up",
    meaning="Filling of both boxes of the {axle} hub reductions.",
    source="maker's filling; else common practice, no source",
)
def hub_oil(
    filling: float | None = part("{axle} hub reductions", "oil"),
    usual: float = practice("oil of a hub box"),
):
    return BOXES_PER_AXLE * (usual if filling is None else filling)


@figure(
    "{axle} hub reduction torque",
    unit="N*m",
    resolution=50.0,
    rounding="up",
    meaning="Largest torque that a {axle} wheel asks of its hub reduction.",
    source="half-shaft torque times the ratio of the hub reduction",
)
def hub_torque(
    shaft_torque: float = computed("{axle} half-shaft torque"),
    ratio: float = part("{axle} hub reductions", "ratio"),
):
    return torque.geared_torque(shaft_torque, ratio, 1.0)


@limit(
    "the {axle} hub reduction bears the wheel torque",
    quantity="{axle} hub reductions, torque rating",
    unit="N*m",
    concerns="rating",
    at_least=computed("{axle} hub reduction torque"),
    because="teeth that are loaded beyond their rating pit and break off",
    source="rating stated by the maker",
)
def hub_gears_bear(rating: float = part("{axle} hub reductions", "torque rating")):
    return rating


@caution(
    "straight-cut gears are loud",
    says="The hub reductions have straight-cut gears. They whine, at cruise more than below it; "
    "how loud has not been worked out: no figure is known.",
    inspect="Let the customer hear a vehicle with them before they are ordered.",
)
def straight_cut(
    front: str | None = part("front hub reductions", "teeth"),
    rear: str | None = part("rear hub reductions", "teeth"),
    front_changed: bool = part("front hub reductions", "changed"),
    rear_changed: bool = part("rear hub reductions", "changed"),
):
    return (front_changed and front == "straight") or (rear_changed and rear == "straight")
