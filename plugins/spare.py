"""The spare wheel: alike to the others, so its carrier must take its size and weight."""

from configurator.plugin import (
    Attribute,
    Family,
    Measure,
    Position,
    computed,
    figure,
    fit,
    limit,
    part,
    vehicle,
)

carriers = Family(
    "spare_carriers",
    "Spare wheel carriers",
    system="Wheels and tyres",
    positions=(Position("spare carrier", "rear body", sprung=True),),
    optional=True,
    attributes=(
        Attribute(
            "largest tyre",
            "Overall diameter of the largest tyre that goes on it.",
            unit="mm",
            tolerance="3 mm",
            at_least=500.0,
            at_most=1300.0,
            example="960",
        ),
        Attribute(
            "permitted mass",
            "Mass of wheel and tyre that the maker permits.",
            unit="kg",
            at_least=15.0,
            at_most=200.0,
            example="60",
        ),
        Attribute(
            "bodies",
            "Codes of the bodies that it is made for.",
            kind="codes",
            required=False,
            example="wagon pickup",
        ),
        Attribute(
            "on the roof",
            "Whether the wheel lies on the roof with it.",
            kind="yes/no",
            required=False,
            when_empty=False,
            example="no",
        ),
    ),
    meaning="Carry a spare that is too large or too heavy for where it hung.",
    moves=(),
)

largest = Measure(
    "largest spare",
    "Overall diameter of the largest tyre that goes where the spare is carried.",
    "tape: twice the distance from the carrier's middle to the nearest part",
    moves_with=(),
    unit="mm",
    tolerance="3 mm",
    at_least=400.0,
    at_most=1300.0,
)
heaviest = Measure(
    "heaviest spare",
    "Mass of wheel and tyre that the place of the spare may carry.",
    "maker's data; else the mass of the factory spare and a quarter more",
    moves_with=(),
    unit="kg",
    at_least=10.0,
    at_most=200.0,
)


@figure(
    "largest tyre as a spare",
    unit="mm",
    meaning="Overall diameter of the largest tyre that the spare's carrier takes.",
    source="maker of the carrier; else measured",
)
def largest_spare(
    carrier: float | None = part("spare carrier", "largest tyre"),
    there: float = vehicle("largest spare"),
):
    return carrier or there


@limit(
    "the spare goes where it is carried",
    quantity="spare wheel, diameter",
    unit="mm",
    concerns="contact",
    at_most=computed("largest tyre as a spare"),
    because="a spare that stays at home is no spare",
    source="geometry",
)
def spare_fits(
    diameter: float = computed("tyre diameter"), carried: int = vehicle("wheels carried")
):
    return diameter if carried > 4 else None


@figure(
    "heaviest wheel as a spare",
    unit="kg",
    meaning="Mass of wheel and tyre that the spare's carrier may hold.",
    source="maker of the carrier; else maker of the vehicle",
)
def heaviest_spare(
    carrier: float | None = part("spare carrier", "permitted mass"),
    there: float = vehicle("heaviest spare"),
):
    return carrier or there


@figure(
    "tyre mass", unit="kg", resolution=1.0, rounding="up", meaning="Of one tyre.", source="maker"
)
def tyre_mass(mass: float = part("tyres", "mass")):
    return mass


@figure(
    "wheel mass", unit="kg", resolution=1.0, rounding="up", meaning="Of one wheel.", source="maker"
)
def wheel_mass(mass: float = part("wheels", "mass")):
    return mass


@limit(
    "the spare is not too heavy for its carrier",
    quantity="spare wheel, mass",
    unit="kg",
    concerns="plate",
    at_most=computed("heaviest wheel as a spare"),
    because="on rough ground a spare pulls at its carrier with several times its weight",
    source="permitted mass stated by the maker",
)
def spare_weight(
    tyre: float = computed("tyre mass"),
    wheel: float = computed("wheel mass"),
    carried: int = vehicle("wheels carried"),
):
    return tyre + wheel if carried > 4 else None


@fit(
    "the spare carrier is made for the body",
    because="a bed mount needs a bed, a swing-out carrier a rear door and its pillar",
    source="maker's fitting instructions",
)
def carrier_fits_body(
    bodies: frozenset[str] = part("spare carrier", "bodies"), body: str = vehicle("body")
):
    return body in bodies


@figure(
    "spare on the roof",
    unit="kg",
    resolution=1.0,
    rounding="up",
    meaning="Mass of carrier, wheel and tyre where the spare lies on the roof, otherwise 0.",
    source="sum",
)
def spare_on_roof(
    on_roof: bool = part("spare carrier", "on the roof"),
    carrier: float = part("spare carrier", "mass"),
    tyre: float = computed("tyre mass"),
    wheel: float = computed("wheel mass"),
):
    return carrier + tyre + wheel if on_roof else 0.0 * tyre
