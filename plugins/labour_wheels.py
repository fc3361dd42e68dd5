"""Work that closes a job: wheels on, alignment, headlamps, calibration, road test, re-torque."""

from configurator.plugin import operation, part


@operation(
    "mount and balance the tyres",
    hours=1.6,
    station="tyre bench",
    uses={"balance weights": 10.0, "tyre valves": 5.0},
    system="Wheels and tyres",
)
def mount_tyres(tyres: bool = part("tyres", "changed"), wheels: bool = part("wheels", "changed")):
    return tyres or wheels


@operation(
    "fit the wheels",
    hours=0.5,
    station="lift",
    after=(
        "mount and balance the tyres",
        "fit the front brakes",
        "fit the rear brakes",
        "fit the front hub reductions",
        "fit the rear hub reductions",
        "fit the front half-shafts",
        "fit the rear half-shafts",
        "cut and seal the front arches",
        "cut and seal the rear arches",
    ),
    system="Wheels and tyres",
)
def fit_wheels(
    tyres: bool = part("tyres", "changed"),
    wheels: bool = part("wheels", "changed"),
    nuts: bool = part("wheel nuts", "changed"),
):
    return tyres or wheels or nuts


@operation(
    "set toe and caster",
    hours=1.2,
    station="alignment bay",
    after=(
        "fit the wheels",
        "fit the track rod",
        "fit the drag link and centre the steering wheel",
        "exchange the front springs",
        "exchange the rear springs",
    ),
    check=True,
    system="Setting up and checks",
)
def align(
    tie_rod: bool = part("track rod", "changed"),
    springs: bool = part("front springs", "changed"),
    axle: bool = part("front axle", "changed"),
    hubs: bool = part("front hub reductions", "changed"),
):
    return tie_rod or springs or axle or hubs


@operation(
    "aim the headlamps",
    hours=0.3,
    station="alignment bay",
    after=("fit the wheels", "exchange the front springs", "exchange the rear springs"),
    check=True,
    system="Setting up and checks",
)
def aim_headlamps(
    front: bool = part("front springs", "changed"), rear: bool = part("rear springs", "changed")
):
    # Tyres and hubs raise both ends alike and leave the aim as it was.
    return front or rear


@operation(
    "fit and set the speedometer calibration",
    hours=0.9,
    station="road",
    after=("fit the wheels", "set toe and caster", "aim the headlamps"),
    check=True,
    system="Setting up and checks",
)
def calibrate_speedometer(changed: bool = part("speedometer calibration", "changed")):
    return changed


@operation(
    "drive and check for pull and vibration",
    hours=0.5,
    station="road",
    after=(
        "bed in and measure the brakes",
        "set toe and caster",
        "aim the headlamps",
        "fit and set the speedometer calibration",
    ),
    check=True,
    system="Setting up and checks",
)
def road_test(tyres: bool = part("tyres", "changed"), wheels: bool = part("wheels", "changed")):
    return tyres or wheels


@operation(
    "drive and look for what touches or binds",
    hours=0.5,
    station="road",
    after=("set toe and caster", "aim the headlamps", "drive and check for pull and vibration"),
    check=True,
    system="Setting up and checks",
)
def travel_test(
    tie_rod: bool = part("track rod", "changed"), springs: bool = part("front springs", "changed")
):
    return tie_rod or springs


@operation(
    "drive and listen to the {axle} crown wheel and pinion",
    hours=0.5,
    station="road",
    after=("set up the {axle} crown wheel and pinion", "drive and check for pull and vibration"),
    check=True,
    system="Setting up and checks",
)
def gear_test(
    gears: bool = part("{axle} crown wheel and pinion", "changed"),
    locker: bool = part("{axle} diff lock", "changed"),
):
    return gears or locker


@operation(
    "re-torque the wheel fasteners after 100 km",
    hours=0.3,
    station="lift",
    after=("drive and check for pull and vibration",),
    check=True,
    system="Setting up and checks",
)
def retorque(
    tyres: bool = part("tyres", "changed"),
    wheels: bool = part("wheels", "changed"),
    nuts: bool = part("wheel nuts", "changed"),
):
    return tyres or wheels or nuts
