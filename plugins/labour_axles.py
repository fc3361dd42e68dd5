"""Work on the axles: welding before the gears go in, gears before the half-shafts and hubs.

Times, here and in the other lists of work, are those of one vehicle of ordinary size with nothing
seized: common practice, no source; a shop puts in its own.
"""

from configurator.plugin import computed, figure, operation, part


@figure(
    "{axle} housing welds",
    unit="",
    meaning="1 where something is welded to the {axle} housing, otherwise 0.",
    source="count",
)
def housing_welds(
    changed: bool = part("{axle} reinforcement", "changed"),
    welded: bool = part("{axle} reinforcement", "welded"),
):
    return float(changed and welded)


@figure(
    "{axle} half-shafts drawn",
    unit="",
    meaning="1 where the {axle} half-shafts come out for what sits behind them and the same ones "
    "go in again, with no other work on the wheel ends; otherwise 0.",
    source="count",
)
def half_shafts_drawn(
    opened: float = computed("{axle} wheel ends opened"),
    gears: bool = part("{axle} crown wheel and pinion", "changed"),
    locker: bool = part("{axle} diff lock", "changed"),
    welds: float = computed("{axle} housing welds"),
):
    return float((gears or locker or welds > 0) and opened == 0)


# Their time is in that of taking the gears out and setting them up.
@operation(
    "draw the {axle} half-shafts and hang the brakes aside",
    hours=0.0,
    station="axle bay",
    phase="taking apart",
    system="Axles and driveline",
)
def draw_half_shafts(drawn: float = computed("{axle} half-shafts drawn")):
    return drawn > 0


@operation(
    "put the {axle} half-shafts back and try the brakes",
    hours=0.0,
    station="axle bay",
    phase="half-shafts",
    after=("set up the {axle} crown wheel and pinion",),
    check=True,
    system="Axles and driveline",
)
def put_half_shafts_back(drawn: float = computed("{axle} half-shafts drawn")):
    return drawn > 0


@operation(
    "take out the {axle} crown wheel and pinion",
    hours=2.5,
    station="axle bay",
    phase="taking apart",
    after=("draw the {axle} half-shafts and hang the brakes aside",),
    system="Axles and driveline",
)
def take_out_gears(
    gears: bool = part("{axle} crown wheel and pinion", "changed"),
    axle: bool = part("{axle} axle", "changed"),
    locker: bool = part("{axle} diff lock", "changed"),
    welds: float = computed("{axle} housing welds"),
):
    return gears or axle or locker or welds > 0


@operation(
    "weld on the {axle} reinforcement",
    hours=5.0,
    station="welding bay",
    phase="welding",
    uses={"welding wire and gas": 1.0, "primer and paint": 1.0},
    system="Axles and driveline",
)
def weld_truss(welds: float = computed("{axle} housing welds")):
    return welds > 0


@operation(
    "build the {axle} diff lock in",
    hours=2.0,
    station="axle bay",
    phase="gears",
    uses={"air line, wiring and fittings": 1.0},
    system="Axles and driveline",
)
def build_in_locker(
    changed: bool = part("{axle} diff lock", "changed"),
    present: bool = part("{axle} diff lock", "present"),
):
    return changed and present


@operation(
    "set up the {axle} crown wheel and pinion",
    hours=3.5,
    station="axle bay",
    phase="gears",
    after=("build the {axle} diff lock in",),
    uses={"gear oil": 2.5, "seals and shims for an axle": 1.0},
    system="Axles and driveline",
)
def set_up_gears(
    gears: bool = part("{axle} crown wheel and pinion", "changed"),
    axle: bool = part("{axle} axle", "changed"),
    locker: bool = part("{axle} diff lock", "changed"),
    welds: float = computed("{axle} housing welds"),
):
    return gears or axle or locker or welds > 0


@operation(
    "fit the compressor", hours=1.5, station="lift", phase="body", system="Axles and driveline"
)
def fit_compressor(
    changed: bool = part("compressor", "changed"), present: bool = part("compressor", "present")
):
    return changed and present


@operation(
    "clamp on the {axle} reinforcement",
    hours=1.2,
    station="axle bay",
    phase="axles",
    after=("exchange the {axle} axle assembly",),
    system="Axles and driveline",
)
def clamp_gussets(
    changed: bool = part("{axle} reinforcement", "changed"),
    present: bool = part("{axle} reinforcement", "present"),
    welded: bool = part("{axle} reinforcement", "welded"),
):
    return changed and present and not welded


@operation(
    "exchange the {axle} axle assembly",
    hours=6.0,
    station="axle bay",
    phase="axles",
    system="Axles and driveline",
)
def exchange_axle(changed: bool = part("{axle} axle", "changed")):
    return changed


@operation(
    "cut and deburr the {axle} half-shafts",
    hours=0.5,
    station="machine shop",
    phase="bench",
    uses={"turning of a hardened shaft": 2.0},
    system="Axles and driveline",
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
    phase="half-shafts",
    system="Axles and driveline",
)
def fit_half_shafts(changed: bool = part("{axle} half-shafts", "changed")):
    return changed


@operation(
    "fit the {axle} hub reductions",
    hours=7.0,
    station="axle bay",
    phase="hubs",
    uses={"gear oil": computed("{axle} hub oil"), "thread locker": 1.0},
    system="Axles and driveline",
)
def fit_hubs(
    changed: bool = part("{axle} hub reductions", "changed"),
    present: bool = part("{axle} hub reductions", "present"),
):
    return changed and present


@operation(
    "take off the {axle} hub reductions",
    hours=4.0,
    station="axle bay",
    phase="taking apart",
    system="Axles and driveline",
)
def take_off_hubs(
    changed: bool = part("{axle} hub reductions", "changed"),
    present: bool = part("{axle} hub reductions", "present"),
):
    return changed and not present
