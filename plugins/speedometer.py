"""Speedometer: taller tyres make it read low, which the law forbids; shorter gears, high.

It is held against the speed that the wheels cover, with the pick-up at the gearbox or at a wheel.
"""

from configurator.formulas import speedometer
from configurator.plugin import (
    NOT_KNOWN,
    Attribute,
    Family,
    Measure,
    Position,
    Practice,
    caution,
    computed,
    figure,
    fit,
    fitted,
    limit,
    part,
    practice,
    vehicle,
)

calibrations = Family(
    "speedometer_calibration",
    "Speedometer calibration",
    system="Wheels and tyres",
    positions=(Position("speedometer calibration"),),
    optional=True,
    attributes=(
        Attribute(
            "lowers by",
            "By how much it can make the speedometer read lower.",
            unit="%",
            tolerance="0.2 %",
            at_least=0.0,
            at_most=80.0,
            when_empty=0.0,
            example="25",
        ),
        Attribute(
            "raises by",
            "By how much it can make the speedometer read higher.",
            unit="%",
            tolerance="0.2 %",
            at_least=0.0,
            at_most=100.0,
            when_empty=0.0,
            example="25",
        ),
        Attribute(
            "pick-up",
            "Where the signal that it corrects comes from.",
            kind="text",
            choices=("gearbox", "wheel"),
            example="gearbox",
        ),
    ),
    meaning="Correct what tyres and gears have done to the speed shown.",
    moves=(),
)

pick_up = Measure(
    "speedometer pick-up",
    "Where the road speed is picked up: behind the gearbox, or at a wheel.",
    "maker's data; a wheel speed sensor counts as a wheel",
    kind="text",
    choices=("gearbox", "wheel"),
    default="gearbox",
    usual=("wheel",),
)
reads_high = Measure(
    "speedometer reads high",
    "By how much the speedometer shows more than the true speed before anything is changed.",
    "against satellite positioning on a level road; makers set it a little high",
    unit="%",
    tolerance="0.5 %",
    at_least=-30.0,
    at_most=30.0,
    default=3.0,
    usual=(0.0, 6.0),
)
aim = Practice(
    "speedometer set high by",
    "How much a calibrated speedometer is set above the true speed, for worn tyres and pressure.",
    2.0,
    "common practice, no source",
    unit="%",
    at_least=0.0,
    at_most=8.0,
)
worth_saying = Practice(
    "speedometer error worth saying",
    "From which on the driver is told, lawful though it be.",
    5.0,
    "common practice, no source",
    unit="%",
    at_least=0.0,
    at_most=20.0,
)
check_speed = Practice(
    "speed of the speedometer check",
    "True speed at which the speedometer is held against the regulation.",
    120.0,
    "UN Regulation No. 39, fastest of its test speeds (from memory)",
    unit="km/h",
    at_least=40.0,
    at_most=160.0,
)


# Which of the two counts hangs on the vehicle alone. Each has a value only where it counts: so the
# rules that read it meet the values of one of them, not each of one with each of the other.
@figure(
    "distance per turn of the counted wheel",
    unit="mm",
    meaning="Way the vehicle covers while a sensor at the rear wheel counts a turn, if it does.",
    source="geometry",
)
def way_at_wheel(
    pick_up: str = vehicle("speedometer pick-up"),
    circumference: float = computed("rolling circumference"),
    hub: float = part("rear hub reductions", "ratio"),
    counts: str | None = part("rear hub reductions", "sensor counts"),
):
    if pick_up != "wheel":
        return None
    if counts is None and hub != 1.0:
        return NOT_KNOWN
    # A sensor that counts the half-shaft counts the turns before the hub reduction.
    return circumference / hub if counts == "half-shaft" else circumference


@figure(
    "distance per turn of the counted propshaft",
    unit="mm",
    meaning="Way the vehicle covers while the shaft at the gearbox turns once, if that is counted.",
    source="geometry",
)
def way_at_gearbox(
    pick_up: str = vehicle("speedometer pick-up"),
    way: float = computed("rear distance per propshaft turn"),
):
    return None if pick_up == "wheel" else way


@figure(
    "distance per turn at the speed pick-up",
    unit="mm",
    meaning="Way the vehicle covers while the wheel or shaft that the speedometer counts turns "
    "once.",
    source="geometry",
)
def way_at_pick_up(
    at_wheel: float | None = computed("distance per turn of the counted wheel"),
    at_gearbox: float | None = computed("distance per turn of the counted propshaft"),
):
    if at_wheel is None:
        return NOT_KNOWN if at_gearbox is None else at_gearbox
    return at_wheel


@figure(
    "speedometer error without calibration",
    unit="%",
    resolution=0.5,
    rounding="down",
    meaning="By how much the speedometer shows more than the true speed if it is left alone.",
    source="turns counted for the same way, before and after",
)
def uncalibrated_error(
    way: float = computed("distance per turn at the speed pick-up"),
    before: float = computed("distance per turn at the speed pick-up", before=True),
    high: float = vehicle("speedometer reads high"),
):
    return speedometer.shown_speed(1 + high, before, way, 1.0, 1.0) - 1


@figure(
    "speedometer error",
    unit="%",
    resolution=0.5,
    rounding="down",
    meaning="By how much the speedometer shows more than the true speed, set as well as it can be.",
    source="range of the calibration part stated by its maker",
)
def speedometer_error(
    error: float = computed("speedometer error without calibration"),
    lowers: float = part("speedometer calibration", "lowers by"),
    raises: float = part("speedometer calibration", "raises by"),
    aim: float = practice("speedometer set high by"),
):
    lowest = (1 + error) * (1 - lowers) - 1
    highest = (1 + error) * (1 + raises) - 1
    return min(max(aim, lowest), highest)


# What reads too high is judged by the error rounded up: rounded down, a tenth and 4 km/h would be
# a tenth and 5.
@figure(
    "speedometer error without calibration, at most",
    unit="%",
    resolution=0.5,
    rounding="up",
    meaning="The same, rounded up.",
    source="turns counted for the same way, before and after",
)
def uncalibrated_error_at_most(
    way: float = computed("distance per turn at the speed pick-up"),
    before: float = computed("distance per turn at the speed pick-up", before=True),
    high: float = vehicle("speedometer reads high"),
):
    return uncalibrated_error(way, before, high)


@figure(
    "speedometer error at most",
    unit="%",
    resolution=0.5,
    rounding="up",
    meaning="By how much, rounded up, the speedometer shows more than the true speed, set as well "
    "as it can be.",
    source="range of the calibration part stated by its maker",
)
def speedometer_error_at_most(
    error: float = computed("speedometer error without calibration, at most"),
    lowers: float = part("speedometer calibration", "lowers by"),
    raises: float = part("speedometer calibration", "raises by"),
    aim: float = practice("speedometer set high by"),
):
    return speedometer_error(error, lowers, raises, aim)


@figure(
    "highest lawful speed shown",
    unit="km/h",
    meaning="Most that the speedometer may show at the true speed of the check.",
    source="UN Regulation No. 39, 5.4 (5.3 in earlier issues)",
)
def highest_lawful(true_speed: float = practice("speed of the speedometer check")):
    return speedometer.largest_shown_speed(true_speed)


@figure(
    "true speed of the check",
    unit="km/h",
    meaning="At which the speedometer is held against the regulation.",
    source="workshop's practice",
)
def true_speed_of_the_check(true_speed: float = practice("speed of the speedometer check")):
    return true_speed


@figure(
    "speed shown",
    unit="km/h",
    resolution=1.0,
    rounding="nearest",
    meaning="What the speedometer shows at the true speed of the check.",
    source="UN Regulation No. 39, 5.4, for the speed",
)
def speed_shown(
    error: float = computed("speedometer error"),
    true_speed: float = practice("speed of the speedometer check"),
):
    return true_speed * (1 + error)


@limit(
    "the speedometer does not read low",
    quantity="speed shown by the speedometer",
    unit="km/h",
    concerns="law",
    at_least=practice("speed of the speedometer check"),
    because="whoever is shown less than the true speed drives too fast without knowing",
    source="UN Regulation No. 39, 5.4 (5.3 in earlier issues); local law may differ",
)
def reads_low(
    error: float = computed("speedometer error"),
    true_speed: float = practice("speed of the speedometer check"),
):
    return true_speed * (1 + error)


@limit(
    "the speedometer does not read too high",
    quantity="speed shown by the speedometer",
    unit="km/h",
    concerns="law",
    at_most=computed("highest lawful speed shown"),
    because="a tenth and 4 km/h above the true speed is the most that a speedometer may show",
    source="UN Regulation No. 39, 5.4 (5.3 in earlier issues); local law may differ",
)
def reads_too_high(
    error: float = computed("speedometer error at most"),
    true_speed: float = practice("speed of the speedometer check"),
):
    return true_speed * (1 + error)


@fit(
    "what corrects the speedometer now stays or is replaced",
    because="without the part that corrects it, the speedometer is as wrong as it was before",
    source="the error was measured with that part in place",
)
def correction_stays(
    now: bool = part("speedometer calibration", "present"),
    before: bool = fitted("speedometer calibration", "present"),
):
    return now or not before


@fit(
    "the calibration part fits the speed pick-up",
    because="a box for the gearbox's signal cannot read the wheel sensors",
    source="maker's fitting instructions",
)
def fits_pick_up(
    part_reads: str = part("speedometer calibration", "pick-up"),
    there: str = vehicle("speedometer pick-up"),
):
    return part_reads == there


@caution(
    "the speedometer reads high",
    says="It is left showing more than the true speed: {speed shown} at a true "
    "{true speed of the check}. That is lawful; the driver goes slower than shown and every "
    "distance on the counter is too long.",
    inspect="Hold it against satellite positioning; offer to have it set.",
)
def shows_too_much(
    error: float = computed("speedometer error"),
    worth: float = practice("speedometer error worth saying"),
):
    return error >= worth
