"""Work on the brakes: whatever is unbolted is work, bled where a line was opened, and measured."""

from configurator.plugin import computed, figure, operation, part


@operation(
    "fit the {axle} brakes",
    hours=2.0,
    station="axle bay",
    phase="brakes",
    uses={"brake cleaner": 1.0},
    system="Brakes",
)
def fit_brakes(changed: bool = part("{axle} brakes", "changed")):
    return changed


@operation(
    "exchange the master cylinder", hours=1.2, station="lift", phase="hydraulics", system="Brakes"
)
def exchange_master_cylinder(changed: bool = part("master cylinder", "changed")):
    return changed


@operation(
    "fit and bleed the {axle} brake hoses",
    hours=0.9,
    station="lift",
    phase="brakes",
    after=("fit the {axle} brakes",),
    uses={"brake cleaner": 0.5, "brake fluid": 0.5},
    system="Brakes",
)
def fit_brake_hoses(changed: bool = part("{axle} brake hoses", "changed")):
    return changed


@figure(
    "{axle} wheel ends opened",
    unit="",
    meaning="1 where the {axle} brakes come off for what sits behind them, otherwise 0.",
    source="count",
)
def wheel_ends_opened(
    hubs: bool = part("{axle} hub reductions", "changed"),
    axle: bool = part("{axle} axle", "changed"),
    half_shafts: bool = part("{axle} half-shafts", "changed"),
):
    return float(hubs or axle or half_shafts)


@figure(
    "{axle} brakes worked on",
    unit="",
    meaning="1 where the {axle} brakes are changed, or unbolted and put back, otherwise 0.",
    source="count",
)
def brakes_worked_on(
    opened: float = computed("{axle} wheel ends opened"),
    brakes: bool = part("{axle} brakes", "changed"),
):
    return float(opened > 0 or brakes)


@operation(
    "unbolt the {axle} brakes and bolt them on again",
    hours=0.8,
    station="axle bay",
    phase="brakes",
    uses={"brake cleaner": 0.5, "thread locker": 0.5},
    system="Brakes",
)
def bolt_brakes_on_again(
    opened: float = computed("{axle} wheel ends opened"),
):
    return opened > 0


@operation(
    "bleed the {axle} brakes",
    hours=0.5,
    station="lift",
    phase="bleeding",
    system="Setting up and checks",
    uses={"brake fluid": 0.8},
    check=True,
)
def bleed_brakes(worked_on: float = computed("{axle} brakes worked on")):
    # A caliper that hangs on its hose lets air in at the smallest leak: always bled.
    return worked_on > 0


@operation(
    "set the parking brake and try it on a slope",
    hours=0.4,
    station="brake tester",
    phase="brake test",
    system="Setting up and checks",
    check=True,
)
def set_parking_brake(worked_on: float = computed("rear brakes worked on")):
    return worked_on > 0


@operation(
    "bed in and measure the {axle} brakes",
    hours=0.5,
    station="brake tester",
    phase="brake test",
    system="Setting up and checks",
    check=True,
)
def measure_brakes(worked_on: float = computed("{axle} brakes worked on")):
    return worked_on > 0


@operation(
    "bleed both circuits and measure all brakes",
    hours=1.3,
    station="brake tester",
    phase="brake test",
    system="Setting up and checks",
    uses={"brake fluid": 1.0},
    check=True,
)
def bleed_both_circuits(master: bool = part("master cylinder", "changed")):
    return master
