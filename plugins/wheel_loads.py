"""Wheel bearings and studs: what offset, radius and load do to what holds the wheel.

A wheel of less offset stands further out and bends bearing and studs more; a taller one takes the
side force on a longer lever. A hub reduction brings bearings of its own.
"""

import re

from configurator.formulas import fasteners, wheel_loads
from configurator.formulas.constants import INCH, STANDARD_GRAVITY
from configurator.plugin import Practice, computed, figure, limit, part, practice, vehicle

side_force = Practice(
    "side force on a wheel",
    "Side force over load with which bearing and studs are judged, in a bend or against a rut.",
    0.7,
    "SAE J328 (2021), dynamic cornering fatigue",
    at_least=0.2,
    at_most=1.5,
)
shock = Practice(
    "shock on the wheel studs",
    "Load in a blow over load at rest.",
    2.0,
    "SAE J328 (2021), table 1: load factor of front wheels of cast aluminium",
    at_least=1.0,
    at_most=4.0,
)
clamping = Practice(
    "clamping reserve of the wheel studs",
    "Preload of a stud over the pull of a blow: below 1 the wheel lifts off its face.",
    1.5,
    "common practice, no source: studs lose a third of their preload before they are tightened "
    "again",
    at_least=1.0,
    at_most=4.0,
)
# A stud that is not read is taken as thick: the same torque pulls it least.
THICKEST = 16.0  # mm
INCH_IN_MM = 25.4


@figure(
    "{axle} bearing behind the wheel face",
    unit="mm",
    meaning="From the {axle} wheel's mounting face inboard to the middle between its bearings.",
    source="measured at the hub; drawing of the hub reduction",
)
def bearing_behind(
    axle: float = part("{axle} axle", "bearing behind hub face"),
    hub: float = part("{axle} hub reductions", "bearing behind hub face"),
    fitted_hub: bool = part("{axle} hub reductions", "present"),
):
    return hub if fitted_hub else axle


@figure(
    "{axle} wheel moment",
    unit="N*m",
    resolution=50.0,
    rounding="up",
    meaning="With which a {axle} wheel bends its bearings at the permitted axle load.",
    source="SAE J328 (2021), M = W (u R + d)",
    states=("fully laden",),
)
def wheel_moment(
    behind: float = computed("{axle} bearing behind the wheel face"),
    offset: float = part("wheels", "offset"),
    tyre_diameter: float = computed("tyre diameter"),
    axle_load: float = vehicle("permitted {axle} axle load"),
    side: float = practice("side force on a wheel"),
):
    load = axle_load * STANDARD_GRAVITY.beside(axle_load) / 2
    return wheel_loads.cornering_moment(load, behind - offset, tyre_diameter / 2, side)


@figure(
    "{axle} wheel moment permitted",
    unit="N*m",
    meaning="That the {axle} wheel bearings bear: of the hub reduction, else of the axle.",
    source="stated by the maker",
)
def moment_permitted(
    axle: float = part("{axle} axle", "permitted wheel moment"),
    hub: float = part("{axle} hub reductions", "permitted wheel moment"),
    fitted_hub: bool = part("{axle} hub reductions", "present"),
):
    return hub if fitted_hub else axle


@limit(
    "the {axle} wheel bearings bear the wheels",
    quantity="{axle} wheel moment permitted",
    concerns="rating",
    unit="N*m",
    at_least=computed("{axle} wheel moment"),
    because="a wheel that stands further out pries its bearing apart, and then it comes off",
    source="moment permitted by the maker; SAE J328 (2021) for the moment",
)
def bearings_bear(permitted: float = computed("{axle} wheel moment permitted")):
    return permitted


@figure(
    "{axle} wheel face moment",
    unit="N*m",
    resolution=50.0,
    rounding="up",
    meaning="With which a {axle} wheel pries at its mounting face at the permitted axle load.",
    source="SAE J328 (2021), M = W (u R + d)",
    states=("fully laden",),
)
def face_moment(
    offset: float = part("wheels", "offset"),
    tyre_diameter: float = computed("tyre diameter"),
    axle_load: float = vehicle("permitted {axle} axle load"),
    side: float = practice("side force on a wheel"),
):
    load = axle_load * STANDARD_GRAVITY.beside(axle_load) / 2
    return wheel_loads.cornering_moment(load, offset, tyre_diameter / 2, side)


@figure(
    "stud preload",
    unit="kN",
    resolution=0.5,
    rounding="down",
    meaning="With which the tightening torque of the nuts pulls at a stud.",
    source="Budynas & Nisbett, Shigley, 10th ed., eq. 8-27, nut factor 0.20 (from memory)",
)
def stud_preload(
    torque: float = part("wheel nuts", "tightening torque"),
    thread: str = part("wheel nuts", "thread"),
):
    diameter = nominal_diameter(thread) / INCH_IN_MM * INCH.beside(torque)
    return fasteners.preload_from_torque(torque, diameter, fasteners.DRY_NUT_FACTOR.value)


def nominal_diameter(thread: str) -> float:
    """Nominal diameter of a thread as it is written, M14x1.5 or 9/16-18 [mm]."""
    if metric := re.match(r"M(\d+(?:\.\d+)?)", thread):
        return float(metric[1])
    if inch := re.match(r"(\d+)/(\d+)", thread):
        return INCH_IN_MM * int(inch[1]) / int(inch[2])
    return THICKEST


@limit(
    "the {axle} wheels stay clamped in a blow",
    quantity="{axle} stud clamping, safety factor",
    concerns="strength",
    unit="",
    at_least=practice("clamping reserve of the wheel studs"),
    because="a wheel that lifts off its face works its nuts loose and breaks its studs",
    source="Budynas & Nisbett, Shigley, 10th ed., ch. 8 (chapter from memory); SAE J328 (2021)",
)
def stays_clamped(
    preload: float = computed("stud preload"),
    moment: float = computed("{axle} wheel face moment"),
    bolt_circle: float = computed("{axle} PCD"),
    studs: int = computed("{axle} studs"),
    shock: float = practice("shock on the wheel studs"),
):
    return preload / (shock * wheel_loads.stud_load(moment, bolt_circle, studs))
