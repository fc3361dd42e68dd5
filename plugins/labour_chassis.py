"""Work on springs, shock absorbers, Panhard rods, propshafts and steering, the vehicle on the lift.

The axle is let down once, whatever is exchanged meanwhile.
"""

from configurator.plugin import operation, part


@operation(
    "let down the {axle} axle",
    hours=1.0,
    station="lift",
    phase="chassis",
    system="Suspension",
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
    phase="chassis",
    after=("let down the {axle} axle",),
    system="Suspension",
)
def exchange_springs(changed: bool = part("{axle} springs", "changed")):
    return changed


@operation(
    "exchange the {axle} shocks",
    hours=0.6,
    station="lift",
    phase="chassis",
    after=(
        "let down the {axle} axle",
        "exchange the {axle} springs",
    ),
    system="Suspension",
)
def exchange_shocks(changed: bool = part("{axle} shocks", "changed")):
    return changed


@operation(
    "fit the {axle} bump stops",
    hours=0.4,
    station="lift",
    phase="chassis",
    after=(
        "let down the {axle} axle",
        "exchange the {axle} springs",
    ),
    system="Suspension",
)
def fit_bump_stops(changed: bool = part("{axle} bump stops", "changed")):
    return changed


@operation(
    "bolt on the {axle} limit straps",
    hours=0.7,
    station="lift",
    phase="chassis",
    after=("exchange the {axle} shocks",),
    system="Suspension",
)
def fit_limit_straps(
    changed: bool = part("{axle} limit straps", "changed"),
    present: bool = part("{axle} limit straps", "present"),
):
    return changed and present


@operation(
    "exchange the {axle} Panhard rod",
    hours=0.8,
    station="lift",
    phase="chassis",
    after=("exchange the {axle} springs",),
    system="Suspension",
)
def fit_locating_link(changed: bool = part("{axle} Panhard rod", "changed")):
    return changed


@operation(
    "fit the {axle} Panhard rod brace",
    hours=1.6,
    station="lift",
    phase="chassis",
    after=("exchange the {axle} Panhard rod",),
    uses={"primer and paint": 0.3},
    system="Suspension",
)
def fit_locating_brace(
    changed: bool = part("{axle} Panhard rod brace", "changed"),
    present: bool = part("{axle} Panhard rod brace", "present"),
):
    return changed and present


@operation(
    "exchange the {axle} propshaft",
    hours=0.8,
    station="lift",
    phase="chassis",
    uses={"grease": 0.1},
    system="Axles and driveline",
)
def exchange_driveshaft(changed: bool = part("{axle} propshaft", "changed")):
    return changed


@operation(
    "fit the track rod",
    hours=0.7,
    station="lift",
    phase="steering",
    uses={"split pins": 2.0},
    system="Steering",
)
def fit_tie_rod(changed: bool = part("track rod", "changed")):
    return changed


@operation(
    "fit the drag link and centre the steering wheel",
    hours=0.9,
    station="lift",
    phase="steering",
    uses={"split pins": 2.0},
    system="Steering",
)
def fit_drag_link(changed: bool = part("drag link", "changed")):
    return changed


@operation(
    "fit the steering damper",
    hours=0.5,
    station="lift",
    phase="steering",
    after=("fit the track rod",),
    system="Steering",
)
def fit_steering_damper(
    changed: bool = part("steering damper", "changed"),
    present: bool = part("steering damper", "present"),
):
    return changed and present


@operation(
    "fit the {axle} axle angle correction",
    hours=1.5,
    station="lift",
    system="Suspension",
    after=("let down the {axle} axle", "exchange the {axle} springs"),
)
def fit_axle_angle_correction(
    changed: bool = part("{axle} axle angle correction", "changed"),
    present: bool = part("{axle} axle angle correction", "present"),
):
    return changed and present


@operation(
    "exchange the drop arm",
    hours=0.9,
    station="lift",
    system="Steering",
    after=("exchange the front springs",),
)
def exchange_drop_arm(changed: bool = part("drop arm", "changed")):
    return changed


@operation(
    "fit the {axle} brake hose brackets",
    hours=0.4,
    station="lift",
    system="Brakes",
    after=("exchange the {axle} shocks",),
)
def fit_hose_brackets(changed: bool = part("{axle} brake hose brackets", "changed")):
    return changed
