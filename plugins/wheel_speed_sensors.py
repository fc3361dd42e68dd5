"""Wheel-speed sensors: without them no anti-lock brakes, no stability control, no speedometer.

A hub reduction moves the sensor out and down with the wheel, so its lead must reach further; one
that has no place for it leaves the vehicle without anti-lock brakes. One that lets it count the
half-shaft shows a speed too high by its ratio, and must do so at both axles.
"""

from configurator.plugin import (
    AXLES,
    NOT_KNOWN,
    Attribute,
    Family,
    Measure,
    Position,
    caution,
    computed,
    fit,
    fitted,
    limit,
    operation,
    part,
    vehicle,
)

ENGINEER = "a licensed engineer or testing body, and the registration authority"

sensor_leads = Family(
    "sensor_leads",
    "Wheel-speed sensor leads",
    system="Brakes",
    positions=tuple(Position(f"{axle} sensor leads", f"{axle} axle") for axle in AXLES),
    pieces=2,
    optional=True,
    attributes=(
        Attribute(
            "plug",
            "Code of the plug at sensor and body.",
            kind="text",
            example="D2",
        ),
        Attribute(
            "lengthens by",
            "How much longer the lead becomes with it.",
            unit="mm",
            tolerance="3 mm",
            at_least=0.0,
            at_most=1000.0,
            when_empty=0.0,
            example="120",
        ),
    ),
    meaning="Lengthen the lead of a wheel-speed sensor, with brackets for the new way.",
    moves=(),
)

sensors = Measure(
    "wheel-speed sensors",
    "Whether each wheel has a speed sensor, for anti-lock brakes or stability control.",
    "look behind the wheels for a lead to each hub",
    kind="text",
    choices=("at each wheel", "none"),
)
sensor_plug = Measure(
    "wheel-speed sensor plug",
    "Code of the plug of the wheel-speed sensors.",
    "read off the plug",
    kind="text",
)
spare_lead = Measure(
    "{axle} sensor lead spare",
    "How much of the {axle} sensor lead is loose with the axle at full droop, wheels at full lock.",
    "axle hanging, wheels turned: pull the lead straight between its last clips",
    moves_with=(),
    of="wheel-speed sensor",
    unit="mm",
    tolerance="5 mm",
    at_least=0.0,
    at_most=500.0,
    taken_with=(
        "{axle} hub reductions: drop",
        "{axle} hub reductions: added width",
        "{axle} axle: hub-face distance",
        "{axle} sensor leads: lengthens by",
    ),
)


@fit(
    "the {axle} hub reduction keeps the wheel-speed sensor",
    because="without its sensors the vehicle has no anti-lock brakes",
    source="maker's fitting instructions",
)
def keeps_sensor(
    sensors: str = vehicle("wheel-speed sensors"),
    counts: str = part("{axle} hub reductions", "sensor counts"),
):
    return sensors == "none" or counts != "nothing"


@fit(
    "the sensors of both axles count alike",
    because="anti-lock brakes compare the wheels; a ratio between them looks like a locked wheel",
    source="geometry",
)
def sensors_count_alike(
    sensors: str = vehicle("wheel-speed sensors"),
    front: str = part("front hub reductions", "sensor counts"),
    rear: str = part("rear hub reductions", "sensor counts"),
):
    if sensors == "none" or "nothing" in (front, rear):
        return None
    return front == rear


@fit(
    "the {axle} sensor leads have the vehicle's plug",
    because="a lead that is twisted together corrodes and the anti-lock brakes go out",
    source="geometry",
)
def plug_fits(
    lead: str = part("{axle} sensor leads", "plug"),
    there: str = vehicle("wheel-speed sensor plug"),
):
    return lead == there


@limit(
    "the {axle} sensor leads reach with the wheel hanging",
    quantity="{axle} sensor lead left over with the wheel hanging",
    concerns="contact",
    unit="mm",
    at_least=0.0,
    because="a lead that is pulled tight tears, and the anti-lock brakes go out without a sound",
    source="geometry: the sensor moves out and down with the wheel, the wheel hangs lower",
)
def leads_reach(
    sensors: str = vehicle("wheel-speed sensors"),
    spare: float | None = vehicle("{axle} sensor lead spare"),
    longer: float = part("{axle} sensor leads", "lengthens by"),
    drop: float = part("{axle} hub reductions", "drop"),
    out: float = computed("{axle} wheel face outboard"),
    drop_before: float = fitted("{axle} hub reductions", "drop"),
    longer_before: float = fitted("{axle} sensor leads", "lengthens by"),
    hanging: float = computed("{axle} wheel drop"),
    droop_before: float = computed("{axle} full droop", before=True),
):
    if sensors == "none":
        return None
    if spare is None:
        return NOT_KNOWN
    # What is loose was measured at full droop; what moves back up or in is not counted on.
    down = _gained(drop - drop_before) + _gained(hanging - droop_before)
    return spare + longer - longer_before - (down**2 + _gained(out) ** 2) ** 0.5


def _gained(change):
    """Return a change where it is more, otherwise nothing."""
    return (change + abs(change)) / 2


@operation(
    "lay the {axle} sensor leads and try the sensors",
    hours=0.6,
    station="lift",
    phase="brakes",
    system="Brakes",
)
def lay_leads(
    changed: bool = part("{axle} sensor leads", "changed"),
    present: bool = part("{axle} sensor leads", "present"),
):
    return changed and present


@operation(
    "try the {axle} wheel-speed sensors and clear what they stored",
    hours=0.2,
    station="road",
    phase="calibration",
    check=True,
    system="Setting up and checks",
)
def try_sensors(
    opened: float = computed("{axle} wheel ends opened"),
    sensors: str | None = vehicle("wheel-speed sensors"),
):
    return sensors != "none" and opened > 0


@caution(
    "the wheel-speed sensors were moved",
    says="Anti-lock brakes and stability control work by them. A sensor that stands too far off, "
    "or a lead that rubs, takes both away without a sound.",
    inspect="Read all four on the move, from walking pace up; turn from lock to lock with the "
    "axles hanging, and with one side on its stop and the other hanging, and look at the leads; "
    "brake hard on loose ground.",
    approve=ENGINEER,
)
def sensors_moved(
    sensors: str | None = vehicle("wheel-speed sensors"),
    front_opened: float = computed("front wheel ends opened"),
    rear_opened: float = computed("rear wheel ends opened"),
    front_leads: bool = part("front sensor leads", "changed"),
    rear_leads: bool = part("rear sensor leads", "changed"),
):
    return sensors != "none" and (front_leads or rear_leads or front_opened + rear_opened > 0)
