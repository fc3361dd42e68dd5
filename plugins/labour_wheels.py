"""Work that closes a job: wheels on, alignment, headlamps, calibration, road test, re-torque."""

from configurator.plugin import computed, figure, operation, part


@operation(
    "mount and balance the tyres",
    hours=1.6,
    station="tyre bench",
    phase="bench",
    uses={"balance weights": 10.0, "tyre valves": 5.0},
    system="Wheels and tyres",
)
def mount_tyres(tyres: bool = part("tyres", "changed"), wheels: bool = part("wheels", "changed")):
    return tyres or wheels


@operation(
    "fit the wheels",
    hours=0.5,
    station="lift",
    phase="wheels",
    system="Wheels and tyres",
)
def fit_wheels(
    tyres: bool = part("tyres", "changed"),
    wheels: bool = part("wheels", "changed"),
    nuts: bool = part("wheel nuts", "changed"),
):
    return tyres or wheels or nuts


# What moves the front axle or the steering without being a link of it: looked at by itself, so that
# the alignment asks one number.
@figure(
    "front axle set anew",
    unit="",
    meaning="1 where parts that turn the front axle or centre it and its steering are exchanged, "
    "otherwise 0.",
    source="count",
)
def front_axle_set_anew(
    correction: bool = part("front axle angle correction", "changed"),
    panhard_rod: bool = part("front Panhard rod", "changed"),
    drop_arm: bool = part("drop arm", "changed"),
):
    return float(correction or panhard_rod or drop_arm)


@operation(
    "set toe and caster",
    hours=1.2,
    station="alignment bay",
    phase="alignment",
    check=True,
    system="Setting up and checks",
)
def align(
    track_rod: bool = part("track rod", "changed"),
    drag_link: bool = part("drag link", "changed"),
    springs: bool = part("front springs", "changed"),
    axle: bool = part("front axle", "changed"),
    hubs: bool = part("front hub reductions", "changed"),
    set_anew: float = computed("front axle set anew"),
):
    return track_rod or drag_link or springs or axle or hubs or set_anew > 0


@operation(
    "fit and set the speedometer calibration",
    hours=0.9,
    station="road",
    phase="calibration",
    check=True,
    system="Setting up and checks",
)
def calibrate_speedometer(changed: bool = part("speedometer calibration", "changed")):
    return changed


@operation(
    "drive and check for pull and vibration",
    hours=0.5,
    station="road",
    phase="road",
    check=True,
    system="Setting up and checks",
)
def road_test(
    tyres: bool = part("tyres", "changed"),
    wheels: bool = part("wheels", "changed"),
    hubs: float = computed("hub reductions changed"),
):
    return tyres or wheels or hubs > 0


@operation(
    "drive and look for what touches or binds",
    hours=0.5,
    station="road",
    phase="road",
    after=("drive and check for pull and vibration",),
    check=True,
    system="Setting up and checks",
)
def travel_test(
    track_rod: bool = part("track rod", "changed"),
    front_springs: bool = part("front springs", "changed"),
    rear_springs: bool = part("rear springs", "changed"),
):
    return track_rod or front_springs or rear_springs


@operation(
    "drive and listen to the {axle} crown wheel and pinion",
    hours=0.5,
    station="road",
    phase="road",
    after=("drive and check for pull and vibration",),
    check=True,
    system="Setting up and checks",
)
def gear_test(
    gears: bool = part("{axle} crown wheel and pinion", "changed"),
    axle: bool = part("{axle} axle", "changed"),
    lock: bool = part("{axle} diff lock", "changed"),
):
    return gears or axle or lock


@operation(
    "re-torque the wheel fasteners after 100 km",
    hours=0.3,
    station="lift",
    phase="after the first drive",
    check=True,
    system="Setting up and checks",
)
def retorque(
    tyres: bool = part("tyres", "changed"),
    wheels: bool = part("wheels", "changed"),
    nuts: bool = part("wheel nuts", "changed"),
):
    return tyres or wheels or nuts
