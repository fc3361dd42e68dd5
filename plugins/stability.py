"""Standing upright: where the centre of gravity ends up and what slope tips the vehicle.

Everything that lifts the body lifts the mass above the springs; hub drop and taller tyres lift
the axles too; heavier axles and wheels pull the centre down. The vehicle is taken as rigid: on
its springs it tips earlier. No star rating follows from any of it.
"""

from configurator.formulas import clearance, mass, stability
from configurator.plugin import Measure, Practice, computed, figure, limit, part, practice, vehicle

MEASURED_WITH = (
    "tyres",
    "front springs",
    "rear springs",
    "front hub reductions",
    "rear hub reductions",
)
cg_height = Measure(
    "centre of gravity height",
    "Height of the centre of gravity above the ground, people and cargo on board.",
    "lift one axle on a crane, springs blocked, and weigh the other; or the maker's data",
    moves_with=("load",),
    of="body",
    unit="mm",
    tolerance="3 %",
    at_least=300.0,
    at_most=2000.0,
    taken_with=(
        "tyres",
        "front springs",
        "rear springs",
        "front hub reductions: drop",
        "rear hub reductions: drop",
    ),
)
AS_WEIGHED = {
    "lightly laden": "less load, and lower",
    "fully laden": "nobody knows how high the rest of the load will lie; a load on the roof has a "
    "rule of its own",
}
least_factor = Practice(
    "static stability factor at least",
    "Half the track over the height of the centre of gravity.",
    0.85,
    "common practice, no source",
    at_least=0.5,
    at_most=1.5,
)


@figure(
    "sprung centre of gravity height",
    unit="mm",
    meaning="Of what sits on the springs, as the vehicle stands before the change.",
    source="moments about the ground",
    states=("ride height",),
    not_in={"load": "of the load it was measured with"},
    regardless=dict.fromkeys(MEASURED_WITH, "as the vehicle stands before the change"),
)
def sprung_cg_height(
    cg_height: float = vehicle("centre of gravity height"),
    laden: float = vehicle("laden mass"),
    front_unsprung: float = vehicle("front unsprung mass"),
    rear_unsprung: float = vehicle("rear unsprung mass"),
    front_height: float = computed("front axle height", before=True),
    rear_height: float = computed("rear axle height", before=True),
):
    moment = laden * cg_height - front_unsprung * front_height - rear_unsprung * rear_height
    return moment / (laden - front_unsprung - rear_unsprung)


@figure(
    "axle moment",
    unit="kg*m",
    resolution=1.0,
    rounding="up",
    meaning="Masses below the springs times their heights.",
    source="moments about the ground",
)
def axle_moment(
    front_unsprung: float = computed("front mass below the springs"),
    rear_unsprung: float = computed("rear mass below the springs"),
    front_height: float = computed("front axle height"),
    rear_height: float = computed("rear axle height"),
):
    return front_unsprung * front_height + rear_unsprung * rear_height


@figure(
    "mass below the springs",
    unit="kg",
    meaning="Of both axles.",
    source="sum",
)
def mass_below(
    front: float = computed("front mass below the springs"),
    rear: float = computed("rear mass below the springs"),
):
    return front + rear


@figure(
    "centre of gravity height",
    unit="mm",
    resolution=1.0,
    rounding="up",
    meaning="Above the ground, people and cargo on board, with everything fitted.",
    source="49 CFR 575 and 68 FR 59249 for the term; moments about the ground",
    states=("ride height",),
    not_in=AS_WEIGHED,
)
def centre_of_gravity(
    vehicle_mass: float = computed("vehicle mass"),
    below: float = computed("mass below the springs"),
    axle_moment: float = computed("axle moment"),
    sprung_height: float = computed("sprung centre of gravity height"),
    rise: float = computed("body rise"),
):
    above = (vehicle_mass - below) * (sprung_height + rise)
    return (above + axle_moment) / vehicle_mass


# Not from the tracks: they are rounded up, and a wider vehicle stands better than this one does.
@figure(
    "mean track",
    unit="mm",
    meaning="Mean of front and rear track, not rounded.",
    source="definition",
)
def mean_track(
    front: float = computed("front hub-face distance"),
    rear: float = computed("rear hub-face distance"),
    offset: float = part("wheels", "offset"),
):
    return clearance.track((front + rear) / 2, offset)


@figure(
    "static stability factor",
    unit="",
    resolution=0.01,
    rounding="down",
    meaning="Half the track over the height of the centre of gravity.",
    source="NHTSA, 68 FR 59249",
)
def static_stability_factor(
    track: float = computed("mean track"), height: float = computed("centre of gravity height")
):
    return stability.static_stability_factor(track, height)


@limit(
    "the vehicle stands upright on a side slope",
    quantity="static stability factor",
    unit="",
    concerns="rating",
    at_least=practice("static stability factor at least"),
    because="a tall, narrow vehicle tips over on slopes and in swerves",
    source="NHTSA, 68 FR 59249, for the factor; the bound is common practice, no source",
)
def upright(factor: float = computed("static stability factor")):
    return factor


@figure(
    "side slope that tips it",
    unit="deg",
    resolution=0.1,
    rounding="down",
    meaning="Of the vehicle taken as rigid; on its springs it tips earlier.",
    source="Gillespie, Fundamentals of Vehicle Dynamics, ch. 9 (chapter from memory)",
)
def side_slope(
    track: float = computed("mean track"), height: float = computed("centre of gravity height")
):
    return stability.side_tip_angle(track, height)


@figure(
    "centre of gravity behind front axle",
    unit="mm",
    resolution=1.0,
    meaning="From the axle loads with everything fitted.",
    source="moments about the axles",
    states=("ride height",),
    not_in=AS_WEIGHED,
)
def behind_front_axle(
    front: float = computed("front axle load"),
    rear: float = computed("rear axle load"),
    wheelbase: float = vehicle("wheelbase"),
):
    return mass.cg_behind_front_axle(front, rear, wheelbase)


@figure(
    "uphill slope that tips it",
    unit="deg",
    resolution=0.1,
    rounding="down",
    meaning="Facing uphill, standing still, taken as rigid.",
    source="geometry",
)
def uphill_slope(
    behind_front: float = computed("centre of gravity behind front axle"),
    height: float = computed("centre of gravity height"),
    wheelbase: float = vehicle("wheelbase"),
):
    return stability.uphill_tip_angle(wheelbase - behind_front, height)


@figure(
    "downhill slope that tips it",
    unit="deg",
    resolution=0.1,
    rounding="down",
    meaning="Facing downhill, standing still, taken as rigid; braking tips it earlier.",
    source="geometry",
)
def downhill_slope(
    behind_front: float = computed("centre of gravity behind front axle"),
    height: float = computed("centre of gravity height"),
):
    return stability.downhill_tip_angle(behind_front, height)
