"""Axle assemblies: housing, hub faces, ring gear. Mostly the ones that are on the vehicle.

Another assembly is chosen for a wider stance, a stronger ring gear or a slimmer housing; it brings
other splines, hub faces and mounts with it.
"""

from configurator.plugin import (
    AXLES,
    Attribute,
    Family,
    Measure,
    Moves,
    Position,
    cross_check,
    each,
    fit,
    limit,
    part,
    vehicle,
)

axles = Family(
    "axles",
    "Axle assemblies",
    system="Axles and driveline",
    positions=tuple(Position(f"{axle} axle", f"{axle} axle") for axle in AXLES),
    attributes=(
        Attribute(
            "housing radius",
            "From the axle line to the lowest point of the housing; with independent suspension "
            "from the wheel centre, at ride height.",
            unit="mm",
            tolerance="2 mm",
            at_least=60.0,
            at_most=300.0,
            example="138",
        ),
        Attribute(
            "hub-face distance",
            "From wheel mounting face to wheel mounting face.",
            unit="mm",
            tolerance="2 mm",
            at_least=900.0,
            at_most=2500.0,
            example="1615",
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
        Attribute("stud thread", "Diameter and pitch.", kind="text", example="M12x1.5"),
        Attribute(
            "stud length",
            "How far the studs stand out of the hub face.",
            unit="mm",
            at_least=10.0,
            at_most=120.0,
            example="38",
        ),
        Attribute(
            "hub register",
            "Diameter of the collar that centres the wheel.",
            unit="mm",
            at_least=50.0,
            at_most=230.0,
            example="108",
        ),
        Attribute(
            "ring gear",
            "Code of the gear sets that go in.",
            kind="text",
            example="RG215",
        ),
        Attribute(
            "side gear spline",
            "Code of the spline in the differential's side gears.",
            kind="text",
            example="S30",
        ),
        Attribute(
            "outer spline",
            "Code of the spline at the wheel end, without a hub reduction.",
            kind="text",
            example="S27",
        ),
        Attribute(
            "shaft length",
            "Length of the longer half-shaft that goes in, without a hub reduction.",
            unit="mm",
            tolerance="1 mm",
            at_least=300.0,
            at_most=1400.0,
            example="890",
        ),
        Attribute(
            "hub flange",
            "Code of the flange that a hub reduction bolts to.",
            kind="text",
            example="K8F",
        ),
        Attribute(
            "brake mount",
            "Code of the brake mount, without a hub reduction.",
            kind="text",
            example="B52",
        ),
        Attribute(
            "mounts",
            "Code of the link, spring and shock brackets, of where the pinion stands and, "
            "in front, of knuckles and their arms: the same code, the same places.",
            kind="text",
            example="five-link wide",
        ),
        Attribute(
            "permitted load",
            "Load that the maker of the assembly permits.",
            unit="kg",
            at_least=300.0,
            at_most=6000.0,
            example="1900",
        ),
        Attribute(
            "tube diameter",
            "Outside diameter of the tubes.",
            unit="mm",
            at_least=40.0,
            at_most=160.0,
            required=False,
            example="76.2",
        ),
        Attribute(
            "tube wall",
            "Wall of the tubes.",
            unit="mm",
            tolerance="3 %",
            at_least=2.0,
            at_most=25.0,
            required=False,
            example="7",
        ),
        Attribute(
            "kingpin inclination",
            "Seen from the front; of a steered axle.",
            unit="deg",
            tolerance="0.5 deg",
            at_least=0.0,
            at_most=20.0,
            required=False,
            example="9",
        ),
        Attribute(
            "kingpin to hub face",
            "From the steering axis, at the height of the axle line, to the wheel mounting face; "
            "of a steered axle.",
            unit="mm",
            tolerance="1 mm",
            at_least=-50.0,
            at_most=300.0,
            required=False,
            example="95",
        ),
        Attribute(
            "bearing behind hub face",
            "From the wheel mounting face inboard to the middle between the wheel bearings.",
            unit="mm",
            at_least=0.0,
            at_most=200.0,
            required=False,
            example="58",
        ),
        Attribute(
            "permitted wheel moment",
            "Bending moment of a wheel that the wheel bearings bear.",
            unit="N*m",
            at_least=300.0,
            at_most=20000.0,
            required=False,
            example="3100",
        ),
    ),
    meaning="The housing decides how much room is left beneath it; the hub face what bolts on.",
    moves=(
        Moves(
            "wheel centre",
            ("hub-face distance", "kingpin to hub face"),
            {
                "{axle} arch room": "further out or in, no higher",
                "rear room ahead and behind": "rear wheels are not steered",
            },
        ),
        Moves(
            "axle against the body",
            ("tube diameter",),
            {"": "held by brackets of the axle, for whose place its code of mounts stands"},
        ),
        Moves("steering arm", ("hub-face distance", "mounts")),
        Moves("brake hose end", ("hub-face distance",)),
        Moves("wheel-speed sensor", ("hub-face distance",)),
        Moves("propshaft end", ("mounts",)),
    ),
)

mounts = Measure(
    "{axle} axle mounts",
    "Code of brackets, pinion and, in front, knuckles that the {axle} axle must have.",
    "read off the axle that is there",
    kind="text",
)


@fit(
    "the {axle} axle takes the vehicle's links and springs",
    because="brackets in the wrong place mean cutting and welding, which this list does not cover",
    source="geometry",
)
def axle_takes_links(
    there: str = vehicle("{axle} axle mounts"), axle: str = part("{axle} axle", "mounts")
):
    return axle == there


@limit(
    "the {axle} axle carries its permitted load",
    quantity="{axle} axle, load rating",
    unit="kg",
    concerns="plate",
    at_least=vehicle("permitted {axle} axle load"),
    because="the plate on the vehicle promises what the weakest part of the axle can carry",
    source="permitted load stated by the maker of the assembly",
    states=("fully laden",),
)
def axle_carries(load: float = part("{axle} axle", "permitted load")):
    return load


@cross_check(
    "the wall of an axle tube is less than half of its diameter",
    do="check both and their units",
    family="axles",
)
def wall_in_tube(diameter: float = each("tube diameter"), wall: float = each("tube wall")):
    return 2 * wall < diameter
