"""Pull: what the crawler gear gives, what the ground takes, and the grade that it climbs."""

from configurator.formulas import traction, tyres
from configurator.formulas.constants import STANDARD_GRAVITY
from configurator.plugin import Condition, Practice, computed, condition, figure, practice, vehicle

grip = Condition(
    "road grip",
    "Coefficient of friction between tyre and ground: 0.8 dry rock, 0.6 gravel, 0.4 wet grass. "
    "What loads shafts and gears is the workshop's practice, or this where it is more.",
    default="0.6",
    at_least=0.1,
    at_most=1.2,
)
efficiency = Practice(
    "efficiency of the driveline",
    "Share of the engine's torque that reaches the wheels in low range.",
    0.85,
    "common practice, no source",
    at_least=0.5,
    at_most=1.0,
)
rolling_resistance = Practice(
    "rolling resistance off the road",
    "Share of the weight that it takes to roll on gravel and soft ground.",
    0.04,
    "Gillespie, Fundamentals of Vehicle Dynamics, ch. 4 (from memory)",
    at_least=0.005,
    at_most=0.4,
)


@figure(
    "tractive force",
    unit="kN",
    resolution=0.1,
    rounding="down",
    meaning="Pull in the lowest gear and low range, all wheels driven: what the engine gives or "
    "the ground takes, whichever is less.",
    source="Gillespie, Fundamentals of Vehicle Dynamics, ch. 2",
    states=("ride height",),
    not_in={"load": "of the mass as it is used"},
)
def tractive_force(
    way: float = computed("rear distance per propshaft turn"),
    driveshaft_torque: float = computed("propshaft torque"),
    mass: float = vehicle("laden mass"),
    friction: float = condition("road grip"),
    efficiency: float = practice("efficiency of the driveline"),
):
    radius = tyres.effective_rolling_radius(way)
    given = traction.engine_limited_force(driveshaft_torque, 1.0, efficiency, radius)
    taken = traction.grip_limited_force(friction, mass * STANDARD_GRAVITY.beside(mass))
    return traction.tractive_force(given, taken)


@figure(
    "grade",
    unit="%",
    resolution=1.0,
    rounding="down",
    meaning="Steepest slope that it climbs in the lowest gear and low range, the job's trailer "
    "behind it, rise over run.",
    source="Gillespie, Fundamentals of Vehicle Dynamics, ch. 2; Mannering & Washburn, ch. 2",
    states=("ride height",),
    not_in={"load": "of the mass as it is used"},
)
def grade(
    way: float = computed("rear distance per propshaft turn"),
    driveshaft_torque: float = computed("propshaft torque"),
    mass: float = vehicle("laden mass"),
    trailer: float = condition("trailer"),
    friction: float = condition("road grip"),
    efficiency: float = practice("efficiency of the driveline"),
    resistance: float = practice("rolling resistance off the road"),
):
    radius = tyres.effective_rolling_radius(way)
    given = traction.engine_limited_force(driveshaft_torque, 1.0, efficiency, radius)
    engine_angle = traction.engine_limited_grade_angle(given, mass + trailer, resistance)
    # Only what stands on driven wheels grips.
    driven = mass / (mass + trailer)
    grip_angle = traction.grip_limited_grade_angle(friction * driven, resistance)
    return traction.grade(traction.grade_angle(engine_angle, grip_angle))
