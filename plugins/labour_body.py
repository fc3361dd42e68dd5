"""Work on the body: arches, strips, steps, guards, the carrier of the spare."""

from configurator.plugin import operation, part

# Room gained in an arch from which on it is cut, and from which on seams move [m].
CUT_ARCHES = 0.020
MOVE_SEAMS = 0.040


@operation(
    "fold the {axle} arch edges",
    hours=2.0,
    station="body shop",
    phase="arches",
    system="Body and protection",
)
def fold_arches(
    changed: bool = part("{axle} arch trimming", "changed"),
    room: float = part("{axle} arch trimming", "room gained"),
):
    return changed and 0.0 < room < CUT_ARCHES


@operation(
    "cut and seal the {axle} arches",
    hours=7.0,
    station="body shop",
    phase="arches",
    uses={"cavity wax": 1.0, "primer and paint": 1.5, "seam sealer": 2.0},
    system="Body and protection",
)
def cut_arches(
    changed: bool = part("{axle} arch trimming", "changed"),
    room: float = part("{axle} arch trimming", "room gained"),
):
    return changed and room >= CUT_ARCHES


@operation(
    "move the seams of the {axle} arches",
    hours=8.0,
    station="body shop",
    phase="arches",
    uses={"welding wire and gas": 1.0},
    system="Body and protection",
)
def move_seams(
    changed: bool = part("{axle} arch trimming", "changed"),
    room: float = part("{axle} arch trimming", "room gained"),
):
    return changed and room >= MOVE_SEAMS


@operation(
    "fit the {axle} arch extensions",
    hours=0.8,
    station="body shop",
    phase="body",
    uses={"cavity wax": 0.2},
    system="Body and protection",
)
def fit_strips(
    changed: bool = part("{axle} arch extensions", "changed"),
    present: bool = part("{axle} arch extensions", "present"),
):
    return changed and present


@operation(
    "bolt on the steps",
    hours=1.5,
    station="lift",
    phase="body",
    uses={"cavity wax": 0.5},
    system="Body and protection",
)
def fit_steps(changed: bool = part("steps", "changed"), present: bool = part("steps", "present")):
    return changed and present


@operation(
    "take off the steps",
    hours=0.8,
    station="lift",
    phase="body",
    uses={"cavity wax": 0.5},
    system="Body and protection",
)
def take_off_steps(
    changed: bool = part("steps", "changed"), present: bool = part("steps", "present")
):
    return changed and not present


@operation(
    "bolt on the sill guards",
    hours=2.2,
    station="lift",
    phase="body",
    uses={"cavity wax": 0.5},
    system="Body and protection",
)
def fit_sill_guards(
    changed: bool = part("sill guards", "changed"), present: bool = part("sill guards", "present")
):
    return changed and present


@operation(
    "bolt on the {axle} diff guard",
    hours=0.5,
    station="lift",
    phase="guards",
    system="Body and protection",
)
def fit_differential_guard(
    changed: bool = part("{axle} diff guard", "changed"),
    present: bool = part("{axle} diff guard", "present"),
):
    return changed and present


@operation(
    "bolt on the {axle} hub reduction guards",
    hours=0.4,
    station="lift",
    phase="guards",
    system="Body and protection",
)
def fit_hub_guards(
    changed: bool = part("{axle} hub reduction guards", "changed"),
    present: bool = part("{axle} hub reduction guards", "present"),
):
    return changed and present


@operation(
    "fit the {axle} link guards",
    hours=1.0,
    station="lift",
    phase="guards",
    system="Body and protection",
)
def fit_link_guards(
    changed: bool = part("{axle} link guards", "changed"),
    present: bool = part("{axle} link guards", "present"),
):
    return changed and present


@operation(
    "bolt on the spare carrier",
    hours=1.8,
    station="body shop",
    phase="body",
    system="Wheels and tyres",
)
def fit_spare_carrier(
    changed: bool = part("spare carrier", "changed"),
    present: bool = part("spare carrier", "present"),
):
    return changed and present
