"""Tyre pressure: a tyre carries its load index at one pressure only, and less below it.

Judged at the pressure of the job with the load as used, everything fitted; and worked out for the
permitted axle load: the pressure to set before the vehicle is loaded fully.
"""

from configurator.formulas import mass as masses
from configurator.formulas import places, tyre_load, tyre_sizes
from configurator.plugin import (
    NOT_KNOWN,
    caution,
    computed,
    condition,
    each,
    figure,
    part,
    practice,
    total,
    vehicle,
)

TYRES_PER_AXLE = 2
BESIDE = {"load": "with the load on board on the scale"}
AS_WEIGHED = {
    "lightly laden": "less load",
    "fully laden": "the pressure to set for it is a figure and a caution of its own",
}


def _class_of(service: str):
    """Exponent and derating of a class of tyre."""
    if service == "passenger":
        return tyre_load.PASSENGER_EXPONENT.value, masses.PASSENGER_TYRE_DERATING.value
    return tyre_load.LIGHT_TRUCK_EXPONENT.value, masses.LIGHT_TRUCK_TYRE_DERATING.value


@figure(
    "pressure of the load index",
    unit="bar",
    meaning="Inflation at which the tyres carry what their load index says.",
    source="moulded beside the largest load; passenger tyres: ETRTO, 250 kPa (from memory)",
)
def reference_pressure(
    service: str = part("tyres", "service"),
    moulded: float | None = part("tyres", "load index pressure"),
):
    if moulded is None and service == "passenger":
        return tyre_load.PASSENGER_REFERENCE.value
    return NOT_KNOWN if moulded is None else moulded


@figure(
    "load of an axle's tyres at the job's pressure",
    unit="kg",
    resolution=1.0,
    rounding="down",
    meaning="What the two tyres of an axle carry at the pressure of the job.",
    source="ETRTO and Tire and Rim Association load formulas (from memory); 49 CFR 571.110 (2015)",
)
def load_at_pressure(
    load_index: int = part("tyres", "load index"),
    service: str = part("tyres", "service"),
    reference: float = computed("pressure of the load index"),
    inflation: float = condition("tyre pressure"),
):
    exponent, derating = _class_of(service)
    capacity = masses.axle_tyre_capacity(tyre_sizes.capacity(load_index), TYRES_PER_AXLE, derating)
    return tyre_load.load_at_pressure(capacity, inflation, reference, exponent)


@figure(
    "{axle} tyre load reserve",
    unit="kg",
    meaning="What the {axle} tyres carry at the pressure of the job beyond the load as weighed.",
    source="difference",
    states=("ride height",),
    not_in=AS_WEIGHED,
)
def reserve_as_weighed(
    carried: float = computed("load of an axle's tyres at the job's pressure"),
    load: float = vehicle("laden {axle} axle load"),
):
    return carried - load


@total(
    "load left on the front tyres",
    concerns="plate",
    unit="kg",
    start=computed("front tyre load reserve", before=True, exact=True),
    at_least=0.0,
    meaning="What the front tyres carry at the pressure of the job beyond the load of their axle, "
    "people and cargo on board, with everything fitted.",
    because="a tyre that is run too soft for its load runs hot and bursts",
    source="ETRTO and Tire and Rim Association load formulas (from memory); 49 CFR 571.110 (2015)",
    states=("ride height",),
    not_in=AS_WEIGHED,
)
def load_left_in_front(
    mass: float = each("mass"),
    pieces: float = each("pieces"),
    place: str = each("place"),
    load_index: int | None = each("load index"),
    service: str | None = each("service"),
    moulded: float | None = each("load index pressure"),
    wheelbase: float = vehicle("wheelbase"),
    inflation: float = condition("tyre pressure"),
):
    where = places.behind_front_axle(place, pieces, wheelbase)
    load = masses.front_axle_mass_change(mass * pieces, wheelbase, where)
    return _less(load, load_index, service, moulded, inflation)


@total(
    "load left on the rear tyres",
    concerns="plate",
    unit="kg",
    start=computed("rear tyre load reserve", before=True, exact=True),
    at_least=0.0,
    meaning="What the rear tyres carry at the pressure of the job beyond the load of their axle, "
    "people and cargo on board, with everything fitted.",
    because="a tyre that is run too soft for its load runs hot and bursts",
    source="ETRTO and Tire and Rim Association load formulas (from memory); 49 CFR 571.110 (2015)",
    states=("ride height",),
    not_in=AS_WEIGHED,
)
def load_left_behind(
    mass: float = each("mass"),
    pieces: float = each("pieces"),
    place: str = each("place"),
    load_index: int | None = each("load index"),
    service: str | None = each("service"),
    moulded: float | None = each("load index pressure"),
    wheelbase: float = vehicle("wheelbase"),
    inflation: float = condition("tyre pressure"),
):
    where = places.behind_front_axle(place, pieces, wheelbase)
    load = masses.rear_axle_mass_change(mass * pieces, wheelbase, where)
    return _less(load, load_index, service, moulded, inflation)


@figure(
    "front tyre load needed for hitch and roof",
    unit="kg",
    meaning="What the front tyres must have left for their share of the roof load.",
    source="share of the roof load by common practice, no source",
    not_in=BESIDE,
)
def front_needed(
    roof: float = condition("roof load"),
    share: float = practice("share of a roof load on an axle"),
):
    return share * roof if roof else None


@figure(
    "rear tyre load needed for hitch and roof",
    unit="kg",
    meaning="What the rear tyres must have left for the trailer's nose and their share of the roof "
    "load.",
    source="moments about the front axle",
    not_in=BESIDE,
)
def rear_needed(added: float = computed("rear axle load from hitch and roof")):
    return added or None


@total(
    "load left on the front tyres for hitch and roof",
    concerns="plate",
    unit="kg",
    start=computed("front tyre load reserve", before=True, exact=True),
    at_least=computed("front tyre load needed for hitch and roof"),
    meaning="What the front tyres carry at the pressure of the job beyond the load of their axle, "
    "people and cargo on board, with everything fitted.",
    because="tyres that are soft enough for the vehicle alone run hot under what comes on top",
    source="ETRTO and Tire and Rim Association load formulas (from memory); moments",
    states=("ride height",),
    not_in=AS_WEIGHED,
)
def load_left_in_front_for_roof(
    mass: float = each("mass"),
    pieces: float = each("pieces"),
    place: str = each("place"),
    load_index: int | None = each("load index"),
    service: str | None = each("service"),
    moulded: float | None = each("load index pressure"),
    wheelbase: float = vehicle("wheelbase"),
    inflation: float = condition("tyre pressure"),
):
    about_tyres = (load_index, service, moulded)
    return load_left_in_front(mass, pieces, place, *about_tyres, wheelbase, inflation)


@total(
    "load left on the rear tyres for hitch and roof",
    concerns="plate",
    unit="kg",
    start=computed("rear tyre load reserve", before=True, exact=True),
    at_least=computed("rear tyre load needed for hitch and roof"),
    meaning="What the rear tyres carry at the pressure of the job beyond the load of their axle, "
    "people and cargo on board, with everything fitted.",
    because="tyres that are soft enough for the vehicle alone run hot under what comes on top",
    source="ETRTO and Tire and Rim Association load formulas (from memory); moments",
    states=("ride height",),
    not_in=AS_WEIGHED,
)
def load_left_behind_for_hitch_and_roof(
    mass: float = each("mass"),
    pieces: float = each("pieces"),
    place: str = each("place"),
    load_index: int | None = each("load index"),
    service: str | None = each("service"),
    moulded: float | None = each("load index pressure"),
    wheelbase: float = vehicle("wheelbase"),
    inflation: float = condition("tyre pressure"),
):
    about_tyres = (load_index, service, moulded)
    return load_left_behind(mass, pieces, place, *about_tyres, wheelbase, inflation)


def _less(load, load_index, service, moulded, inflation):
    """Return what a position leaves of the tyres' load; the tyres add what they carry."""
    if load_index is None or service is None:
        return -load
    reference = reference_pressure(service, moulded)
    if reference is NOT_KNOWN:
        return NOT_KNOWN
    return load_at_pressure(load_index, service, reference, inflation) - load


@figure(
    "{axle} tyre pressure fully laden",
    unit="bar",
    resolution=0.1,
    rounding="up",
    meaning="Inflation, cold, at which the {axle} tyres carry the permitted axle load: to be set "
    "before the vehicle is loaded so.",
    source="ETRTO and Tire and Rim Association load formulas (from memory); 49 CFR 571.110 (2015)",
    states=("fully laden",),
)
def pressure_fully_laden(
    load_index: int = part("tyres", "load index"),
    service: str = part("tyres", "service"),
    reference: float = computed("pressure of the load index"),
    axle_load: float = vehicle("permitted {axle} axle load"),
):
    exponent, derating = _class_of(service)
    capacity = masses.axle_tyre_capacity(tyre_sizes.capacity(load_index), TYRES_PER_AXLE, derating)
    return tyre_load.pressure_for_load(axle_load, capacity, reference, exponent)


@caution(
    "set the tyre pressure for the load",
    says="The tyres carry the permitted axle loads only at {front tyre pressure fully laden} in "
    "front and {rear tyre pressure fully laden} behind, cold. At the job's pressure they carry "
    "{load of an axle's tyres at the job's pressure} an axle.",
    inspect="Put these pressures on the plate in the cab; set them before loading, not after.",
)
def pressure_for_load(
    changed: bool = part("tyres", "changed"),
    front: float = computed("front tyre pressure fully laden"),
    rear: float = computed("rear tyre pressure fully laden"),
    inflation: float = condition("tyre pressure"),
):
    return changed and max(front, rear) > inflation
