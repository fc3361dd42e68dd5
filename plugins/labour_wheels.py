"""Work that closes a job: wheels on, alignment, headlamps, calibration, road test, re-torque."""

from configurator.plugin import computed, operation, part


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
):
    return track_rod or drag_link or springs or axle or hubs


# Each of these is asked of one position alone: toe stays as it was, and the search need not tie the
# linkage to the axle's mounts.
@operation(
    "measure the caster and set it",
    hours=0.4,
    station="alignment bay",
    phase="alignment",
    check=True,
    system="Setting up and checks",
)
def set_caster(changed: bool = part("front axle angle correction", "changed")):
    return changed


@operation(
    "centre the front axle under the frame",
    hours=0.3,
    station="alignment bay",
    phase="alignment",
    check=True,
    system="Setting up and checks",
)
def centre_axle(changed: bool = part("front Panhard rod", "changed")):
    return changed


@operation(
    "centre the steering wheel",
    hours=0.3,
    station="alignment bay",
    phase="alignment",
    check=True,
    system="Setting up and checks",
)
def centre_steering_wheel(changed: bool = part("drop arm", "changed")):
    return changed


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
