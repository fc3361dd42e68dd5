"""Labour: what is done in the workshop, in an order that works, each job once.

Welding comes before the gears go in, bleeding after the brakes, alignment after steering and ride
height, calibration and road test last. Times are those of one vehicle of ordinary size with
nothing seized: common practice, no source; a shop puts in its own.
"""

from configurator.plugin import computed, operation, part

# Axles, gears, half-shafts, hubs ---------------------------------------------------------------


@operation("take out the {axle} axle gears", hours=2.5, station="axle bay")
def take_out_gears(
    gears: bool = part("{axle} gears", "changed"),
    axle: bool = part("{axle} axle", "changed"),
    reinforced: bool = part("{axle} reinforcement", "changed"),
    welded: bool = part("{axle} reinforcement", "welded"),
):
    return gears or axle or (reinforced and welded)


@operation(
    "weld the {axle} truss",
    hours=5.0,
    station="welding bay",
    after=("take out the {axle} axle gears",),
    uses={"welding wire and gas": 1.0, "primer and paint": 1.0},
)
def weld_truss(
    changed: bool = part("{axle} reinforcement", "changed"),
    welded: bool = part("{axle} reinforcement", "welded"),
):
    return changed and welded


@operation(
    "clamp on the {axle} gussets",
    hours=1.2,
    station="axle bay",
    after=("exchange the {axle} axle assembly",),
)
def clamp_gussets(
    changed: bool = part("{axle} reinforcement", "changed"),
    present: bool = part("{axle} reinforcement", "present"),
    welded: bool = part("{axle} reinforcement", "welded"),
):
    return changed and present and not welded


@operation(
    "set up the {axle} axle gears",
    hours=3.5,
    station="axle bay",
    after=("take out the {axle} axle gears", "weld the {axle} truss"),
    uses={"gear oil": 2.5, "seals and shims for an axle": 1.0},
)
def set_up_gears(
    gears: bool = part("{axle} gears", "changed"),
    axle: bool = part("{axle} axle", "changed"),
    reinforced: bool = part("{axle} reinforcement", "changed"),
    welded: bool = part("{axle} reinforcement", "welded"),
):
    return gears or axle or (reinforced and welded)


@operation(
    "exchange the {axle} axle assembly",
    hours=6.0,
    station="axle bay",
    after=("set up the {axle} axle gears",),
)
def exchange_axle(changed: bool = part("{axle} axle", "changed")):
    return changed


@operation(
    "cut and deburr the {axle} half-shafts",
    hours=0.5,
    station="machine shop",
    uses={"turning of a hardened shaft": 2.0},
)
def cut_half_shafts(
    needed: float = computed("{axle} half-shaft length needed"),
    longest: float = part("{axle} half-shafts", "longest length"),
    shortest: float = part("{axle} half-shafts", "shortest length"),
):
    # One that may be cut, and is longer than this vehicle needs it.
    return shortest < longest and needed < longest


@operation(
    "fit the {axle} half-shafts",
    hours=1.5,
    station="axle bay",
    after=(
        "set up the {axle} axle gears",
        "exchange the {axle} axle assembly",
        "cut and deburr the {axle} half-shafts",
    ),
)
def fit_half_shafts(changed: bool = part("{axle} half-shafts", "changed")):
    return changed


@operation(
    "fit the {axle} hub reductions",
    hours=7.0,
    station="axle bay",
    after=("fit the {axle} half-shafts", "exchange the {axle} axle assembly"),
    uses={"gear oil": 1.4, "thread locker": 1.0},
)
def fit_hubs(
    changed: bool = part("{axle} hubs", "changed"), present: bool = part("{axle} hubs", "present")
):
    return changed and present


@operation("take off the {axle} hub reductions", hours=4.0, station="axle bay")
def take_off_hubs(
    changed: bool = part("{axle} hubs", "changed"), present: bool = part("{axle} hubs", "present")
):
    return changed and not present


# Brakes ----------------------------------------------------------------------------------------


@operation(
    "fit the {axle} brakes",
    hours=2.0,
    station="axle bay",
    after=("fit the {axle} hub reductions", "exchange the {axle} axle assembly"),
    uses={"brake cleaner": 1.0},
)
def fit_brakes(changed: bool = part("{axle} brakes", "changed")):
    return changed


@operation("exchange the master cylinder", hours=1.2, station="lift")
def exchange_master_cylinder(changed: bool = part("master cylinder", "changed")):
    return changed


@operation(
    "bleed the brakes",
    hours=0.8,
    station="lift",
    after=("fit the front brakes", "fit the rear brakes", "exchange the master cylinder"),
    uses={"brake fluid": 1.5},
)
def bleed_brakes(
    front: bool = part("front brakes", "changed"),
    rear: bool = part("rear brakes", "changed"),
    master: bool = part("master cylinder", "changed"),
):
    return front or rear or master


@operation(
    "bed in and measure the brakes",
    hours=0.8,
    station="brake tester",
    after=("bleed the brakes", "fit the wheels"),
)
def measure_brakes(
    front: bool = part("front brakes", "changed"),
    rear: bool = part("rear brakes", "changed"),
    master: bool = part("master cylinder", "changed"),
):
    return front or rear or master


# Springs, shock absorbers, driveshafts, steering -----------------------------------------------


@operation(
    "let down the {axle} axle",
    hours=1.0,
    station="lift",
    after=("exchange the {axle} axle assembly",),
)
def let_down_axle(
    springs: bool = part("{axle} springs", "changed"),
    shocks: bool = part("{axle} shocks", "changed"),
):
    return springs or shocks


@operation(
    "exchange the {axle} springs",
    hours=1.2,
    station="lift",
    after=("let down the {axle} axle",),
)
def exchange_springs(changed: bool = part("{axle} springs", "changed")):
    return changed


@operation(
    "exchange the {axle} shocks",
    hours=0.6,
    station="lift",
    after=("let down the {axle} axle", "exchange the {axle} springs"),
)
def exchange_shocks(changed: bool = part("{axle} shocks", "changed")):
    return changed


@operation(
    "exchange the {axle} driveshaft",
    hours=0.8,
    station="lift",
    after=("exchange the {axle} axle assembly",),
    uses={"grease": 0.1},
)
def exchange_driveshaft(changed: bool = part("{axle} driveshaft", "changed")):
    return changed


@operation(
    "fit the tie rod",
    hours=0.7,
    station="lift",
    after=("exchange the front axle assembly", "fit the front hub reductions"),
    uses={"split pins": 2.0},
)
def fit_tie_rod(changed: bool = part("tie rod", "changed")):
    return changed


@operation(
    "fit the drag link and centre the steering wheel",
    hours=0.9,
    station="lift",
    after=("exchange the front axle assembly", "exchange the front springs"),
    uses={"split pins": 2.0},
)
def fit_drag_link(changed: bool = part("drag link", "changed")):
    return changed


@operation(
    "bolt the steps on or off",
    hours=1.5,
    station="lift",
    uses={"cavity wax": 0.5},
)
def fit_steps(changed: bool = part("steps", "changed")):
    return changed


# Wheels, alignment, calibration ----------------------------------------------------------------


@operation(
    "mount and balance the tyres",
    hours=1.6,
    station="tyre bench",
    uses={"balance weights": 10.0, "tyre valves": 5.0},
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
    ),
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
        "fit the tie rod",
        "fit the drag link and centre the steering wheel",
        "exchange the front springs",
        "exchange the rear springs",
    ),
)
def align(
    tie_rod: bool = part("tie rod", "changed"),
    springs: bool = part("front springs", "changed"),
    axle: bool = part("front axle", "changed"),
    hubs: bool = part("front hubs", "changed"),
):
    return tie_rod or springs or axle or hubs


@operation(
    "aim the headlamps",
    hours=0.3,
    station="alignment bay",
    after=("fit the wheels", "exchange the front springs", "exchange the rear springs"),
)
def aim_headlamps(
    front: bool = part("front springs", "changed"),
    rear: bool = part("rear springs", "changed"),
    tyres: bool = part("tyres", "changed"),
):
    return front or rear or tyres


@operation(
    "fit and set the speedometer calibration",
    hours=0.9,
    station="road",
    after=("fit the wheels", "set toe and caster", "aim the headlamps"),
)
def calibrate_speedometer(changed: bool = part("speedometer calibration", "changed")):
    return changed


@operation(
    "drive and check for noise, pull and leaks",
    hours=1.0,
    station="road",
    after=(
        "bed in and measure the brakes",
        "set toe and caster",
        "aim the headlamps",
        "fit and set the speedometer calibration",
    ),
)
def road_test(
    tyres: bool = part("tyres", "changed"),
    hubs: bool = part("front hubs", "changed"),
    gears: bool = part("front gears", "changed"),
    springs: bool = part("front springs", "changed"),
):
    return tyres or hubs or gears or springs


@operation(
    "re-torque the wheel fasteners after 100 km",
    hours=0.3,
    station="lift",
    after=("drive and check for noise, pull and leaks",),
)
def retorque(
    tyres: bool = part("tyres", "changed"),
    wheels: bool = part("wheels", "changed"),
    nuts: bool = part("wheel nuts", "changed"),
):
    return tyres or wheels or nuts
