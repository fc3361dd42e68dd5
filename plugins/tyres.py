"""Tyres: how tall they stand, how far they roll in one turn, what they carry and how fast.

All wheels of a vehicle wear the same tyre, the spare too: two sizes on one vehicle strain the
centre differential, and a spare of another size is no spare.
"""

from configurator.formulas import mass, tyre_sizes
from configurator.formulas import tyres as tyre
from configurator.formulas.constants import STANDARD_GRAVITY
from configurator.plugin import (
    Attribute,
    Condition,
    Family,
    Measure,
    Moves,
    Position,
    condition,
    cross_check,
    each,
    figure,
    fit,
    fitted,
    limit,
    part,
    vehicle,
)

tyres = Family(
    "tyres",
    "Tyres",
    system="Wheels and tyres",
    positions=(Position("tyres", "wheels"),),
    pieces="wheels carried",
    attributes=(
        Attribute(
            "size",
            "Size designation as moulded on the tyre; for people, the measured values count.",
            kind="text",
            required=False,
            example="LT285/70R17",
        ),
        Attribute(
            "overall diameter",
            "New, inflated, not loaded: largest circumference over pi.",
            unit="mm",
            tolerance="1 %",
            at_least=500.0,
            at_most=1300.0,
            example="830.8",
        ),
        Attribute(
            "section width",
            "On the measuring rim, without lettering.",
            unit="mm",
            tolerance="2 %",
            at_least=120.0,
            at_most=500.0,
            example="285",
        ),
        Attribute(
            "measuring rim width",
            "Width of the rim on which the section width was measured.",
            unit="in",
            at_least=4.0,
            at_most=14.0,
            example="8.5",
        ),
        Attribute(
            "narrowest rim",
            "Narrowest rim that the maker permits.",
            unit="in",
            at_least=4.0,
            at_most=14.0,
            example="7.5",
        ),
        Attribute(
            "widest rim",
            "Widest rim that the maker permits.",
            unit="in",
            at_least=4.0,
            at_most=14.0,
            example="9",
        ),
        Attribute(
            "rim diameter",
            "Nominal diameter of the rim it goes on, the last number of the size.",
            unit="in",
            at_least=12.0,
            at_most=24.0,
            example="17",
        ),
        Attribute(
            "load index",
            "For a single tyre, as moulded: 121 of 121/118R.",
            kind="whole",
            at_least=60,
            at_most=279,
            example="121",
        ),
        Attribute(
            "speed symbol",
            "Letter behind the load index.",
            kind="text",
            choices=tuple(tyre_sizes.SPEED_SYMBOLS),
            example="R",
        ),
        Attribute(
            "service",
            "Passenger or light truck: LT or C in the size is light truck.",
            kind="text",
            choices=("passenger", "light truck"),
            example="light truck",
        ),
        Attribute(
            "load index pressure",
            "Inflation at which the load index holds, as moulded beside the largest load; 2.5 bar "
            "for passenger tyres where the column is empty.",
            unit="bar",
            at_least=1.5,
            at_most=8.0,
            required=False,
            example="5.5",
        ),
        Attribute(
            "rolling circumference",
            "Measured by the maker in one turn under load; worked out from the diameter where the "
            "column is empty.",
            unit="mm",
            tolerance="2 %",
            at_least=1500.0,
            at_most=4000.0,
            required=False,
            example="2534",
        ),
    ),
    meaning="Carry everything and set gearing, clearance and what the speedometer shows.",
    moves=(Moves("body", ("overall diameter",)),),
)

pressure = Condition(
    "tyre pressure",
    "Inflation on the road, cold, above the air outside.",
    unit="bar",
    default="2.4 bar",
    at_least=1.0,
    at_most=6.0,
)
stands_on = Measure(
    "{axle} static radius",
    "From the ground to the middle of the {axle} wheels, on the tyres that are fitted. Need not be "
    "given: it is estimated then. Other tyres are taken to be off their estimate by as much.",
    "steel rule, level floor, tyres at the pressure of the job, loaded as weighed; mean of left "
    "and right",
    moves_with=("load",),
    unit="mm",
    tolerance="2 mm",
    at_least=200.0,
    at_most=650.0,
    taken_with=("tyres",),
)


@figure(
    "tyre diameter",
    unit="mm",
    resolution=5.0,
    rounding="up",
    meaning="Overall diameter, not loaded; new tyres of one size differ by more than the step.",
    source="size designation, or the maker's measured value",
)
def tyre_diameter(diameter: float = part("tyres", "overall diameter")):
    return diameter


@figure(
    "section width on the rim",
    unit="mm",
    resolution=5.0,
    rounding="up",
    meaning="Width of the tyre on the chosen rim; a wider rim spreads it.",
    source="UN Regulation No. 30, 6.1.1.1",
)
def section_width_on_rim(
    section_width: float = part("tyres", "section width"),
    measured_on: float = part("tyres", "measuring rim width"),
    rim_width: float = part("wheels", "rim width"),
):
    return tyre.section_width_on_rim(section_width, rim_width, measured_on)


@figure(
    "rolling circumference",
    unit="mm",
    resolution=1.0,
    meaning="Way the vehicle covers in one turn of the wheels.",
    source="maker's measured value; else 3.05 times the diameter, ETRTO Standards Manual",
)
def rolling_circumference(
    diameter: float = part("tyres", "overall diameter"),
    measured: float | None = part("tyres", "rolling circumference"),
):
    return measured or tyre.rolling_circumference(diameter)


@figure(
    "{axle} static radius",
    unit="mm",
    tolerance="5 mm",
    resolution=2.0,
    rounding="down",
    meaning="Height of the {axle} wheel centres above the ground, under the load as weighed.",
    source="as measured; else Rhyne, Tire Science and Technology 33(3), 2005, within some 3 %",
    states=("ride height",),
    not_in={"load": "of the load it was measured with"},
)
def static_radius(
    diameter: float = part("tyres", "overall diameter"),
    section_width: float = part("tyres", "section width"),
    axle_load: float = vehicle("laden {axle} axle load"),
    inflation: float = condition("tyre pressure"),
    diameter_before: float | None = fitted("tyres", "overall diameter"),
    section_width_before: float | None = fitted("tyres", "section width"),
    measured: float | None = vehicle("{axle} static radius"),
):
    wheel_load = axle_load * STANDARD_GRAVITY.beside(axle_load) / 2
    estimated = _estimated_radius(diameter, section_width, wheel_load, inflation)
    if measured is None or diameter_before is None or section_width_before is None:
        return estimated
    # What the estimate is off by on this vehicle stays: the body rises by the difference between
    # two estimates, and what is as it was stands exactly as measured.
    before = _estimated_radius(diameter_before, section_width_before, wheel_load, inflation)
    return measured + (estimated - before)


def _estimated_radius(diameter, section_width, wheel_load, inflation):
    stiffness = tyre.vertical_stiffness(inflation, section_width, diameter)
    return tyre.static_loaded_radius(diameter, wheel_load, stiffness)


@fit(
    "the tyre goes on the rim",
    because="a bead that is too small tears and one that is too large comes off",
    source="ISO 4000-1, ISO 4000-2",
)
def bead_fits(
    bead: float = part("tyres", "rim diameter"), rim: float = part("wheels", "rim diameter")
):
    return bead == rim


@limit(
    "the rim is wide enough for the tyre",
    quantity="rim width",
    unit="in",
    concerns="fit",
    at_least=part("tyres", "narrowest rim"),
    because="on a rim that is too narrow the tyre rolls off its bead when let down",
    source="range of rims permitted by the tyre's maker; ISO 4000-1",
)
def rim_wide_enough(rim_width: float = part("wheels", "rim width")):
    return rim_width


@limit(
    "the rim is narrow enough for the tyre",
    quantity="rim width",
    unit="in",
    concerns="fit",
    at_most=part("tyres", "widest rim"),
    because="on a rim that is too wide the flange lies open to the rocks",
    source="range of rims permitted by the tyre's maker; ISO 4000-1",
)
def rim_narrow_enough(rim_width: float = part("wheels", "rim width")):
    return rim_width


@limit(
    "the tyres carry the permitted {axle} axle load",
    quantity="tyres, load rating for the {axle} axle",
    unit="kg",
    concerns="plate",
    at_least=vehicle("permitted {axle} axle load"),
    because="an overloaded tyre runs hot and bursts; a passenger tyre counts a tenth less on a 4x4",
    source="49 CFR 571.110 (2015 edition), S4.2.2.1 and S4.2.2.2; UN Regulation No. 54, annex 4",
    states=("fully laden",),
)
def tyres_carry(
    load_index: int = part("tyres", "load index"), service: str = part("tyres", "service")
):
    derating = (
        mass.PASSENGER_TYRE_DERATING if service == "passenger" else mass.LIGHT_TRUCK_TYRE_DERATING
    )
    return mass.axle_tyre_capacity(tyre_sizes.capacity(load_index), 2, derating.value)


@limit(
    "the tyres may run the vehicle's top speed",
    quantity="tyres, speed rating",
    unit="km/h",
    concerns="rating",
    at_least=vehicle("top speed"),
    because="beyond its rated speed a tyre heats up until the tread comes off",
    source="speed symbols of UN Regulation No. 54 and ISO 4000-1",
)
def tyres_fast_enough(symbol: str = part("tyres", "speed symbol")):
    return tyre_sizes.rated_speed(symbol)


@cross_check(
    "the tyre is taller than its rim", do="check both diameters and their units", family="tyres"
)
def taller_than_rim(overall: float = each("overall diameter"), rim: float = each("rim diameter")):
    return overall > rim


@cross_check("the narrowest rim is no wider than the widest", do="exchange them", family="tyres")
def rims_in_order(narrowest: float = each("narrowest rim"), widest: float = each("widest rim")):
    return narrowest <= widest


# Loaded tyres roll 2.9 to 3.14 diameters in one turn: 3.05 by the ETRTO Standards Manual (from
# memory), pi where nothing gives.
@cross_check(
    "the rolling circumference agrees with the diameter",
    do="check both and their units",
    family="tyres",
)
def rolls_as_tall(
    circumference: float = each("rolling circumference"),
    diameter: float = each("overall diameter"),
):
    return 2.9 <= circumference / diameter <= 3.15
