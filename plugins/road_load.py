"""Road load: whether the engine still holds the cruising speed in top gear, and what it drinks.

A taller tyre without shorter gears takes the engine below the speed at which it pulls; a gearing
that is calm on the level may not hold its speed up the first motorway hill, laden.
"""

from configurator.formulas import descents, road_load, traction
from configurator.plugin import (
    Measure,
    Practice,
    computed,
    condition,
    figure,
    limit,
    practice,
    vehicle,
)

engine_power = Measure(
    "engine power",
    "Largest power of the engine.",
    "from the vehicle's papers",
    unit="kW",
    at_least=20.0,
    at_most=500.0,
)
speed_of_power = Measure(
    "speed of largest power",
    "Engine speed at which it has its largest power.",
    "from the vehicle's papers",
    unit="rpm",
    at_least=1500.0,
    at_most=9000.0,
)
fuel = Measure(
    "fuel",
    "What the engine burns.",
    "from the vehicle's papers",
    kind="text",
    choices=("diesel", "petrol"),
)
drag_coefficient = Measure(
    "drag coefficient",
    "Of the vehicle as it stands; a roof rack adds a tenth and more.",
    "maker's data; boxy bodies 0.40 to 0.50 (common practice, no source)",
    at_least=0.2,
    at_most=1.0,
)
frontal_area = Measure(
    "frontal area",
    "Of the vehicle seen from ahead, tyres included.",
    "maker's data; else width times height times 0.85 (common practice, no source)",
    unit="m2",
    tolerance="3 %",
    at_least=1.0,
    at_most=8.0,
)
cruise_efficiency = Practice(
    "efficiency of the driveline at cruise",
    "Share of the engine's power that reaches the wheels in top gear.",
    0.90,
    "common practice, no source",
    at_least=0.6,
    at_most=1.0,
)
cruise_grade = Practice(
    "grade held at cruise",
    "Grade that the laden vehicle must climb in top gear at its cruising speed.",
    1.0,
    "common practice, no source: a motorway's false flat",
    unit="%",
    at_least=0.0,
    at_most=10.0,
)


@figure(
    "power at cruise",
    unit="kW",
    resolution=0.1,
    rounding="up",
    meaning="At the crankshaft, fully laden and with the job's trailer, on the level, without "
    "wind; what the air does to a trailer left out.",
    source="Gillespie, Fundamentals of Vehicle Dynamics, ch. 4 (chapter from memory)",
    states=("fully laden",),
)
def power_at_cruise(
    coefficient: float = vehicle("drag coefficient"),
    area: float = vehicle("frontal area"),
    mass: float = vehicle("permitted mass"),
    trailer: float = condition("trailer"),
    speed: float = condition("cruising speed"),
    resistance: float = practice("rolling resistance on the road"),
    efficiency: float = practice("efficiency of the driveline at cruise"),
):
    air = road_load.air_drag(road_load.AIR_DENSITY.beside(speed), coefficient, area, speed)
    return (air + road_load.rolling_force(mass + trailer, resistance)) * speed / efficiency


@figure(
    "power in top gear",
    unit="kW",
    resolution=0.5,
    rounding="down",
    meaning="That the engine gives at the cruising speed in top gear, its foot to the floor.",
    source="Genta, Motor Vehicle Dynamics, 1997, ch. 4 (from memory); no more than its torque",
)
def power_in_top_gear(
    engine_speed: float = computed("engine speed at cruise"),
    largest: float = vehicle("engine power"),
    speed_of_largest: float = vehicle("speed of largest power"),
    torque: float = vehicle("engine torque"),
    fuel: str = vehicle("fuel"),
):
    first = road_load.DIESEL_CURVE if fuel == "diesel" else road_load.PETROL_CURVE
    power = road_load.full_load_power(engine_speed, largest, speed_of_largest, first.value)
    return min(power, torque * engine_speed)


@figure(
    "grade at cruise",
    unit="%",
    resolution=0.1,
    rounding="down",
    meaning="Steepest grade on which the engine holds the cruising speed in top gear, fully laden "
    "and with the job's trailer, what the air does to that left out; below 0 it does not hold it "
    "on the level.",
    source="Gillespie, Fundamentals of Vehicle Dynamics, ch. 2 and 4 (chapters from memory)",
    states=("fully laden",),
)
def grade_at_cruise(
    given: float = computed("power in top gear"),
    coefficient: float = vehicle("drag coefficient"),
    area: float = vehicle("frontal area"),
    mass: float = vehicle("permitted mass"),
    trailer: float = condition("trailer"),
    speed: float = condition("cruising speed"),
    resistance: float = practice("rolling resistance on the road"),
    efficiency: float = practice("efficiency of the driveline at cruise"),
):
    air = road_load.air_drag(road_load.AIR_DENSITY.beside(speed), coefficient, area, speed)
    force = given * efficiency / speed - air
    return traction.grade(traction.engine_limited_grade_angle(force, mass + trailer, resistance))


@limit(
    "the engine holds the cruising speed",
    quantity="grade at cruise",
    concerns="comfort",
    unit="%",
    at_least=practice("grade held at cruise"),
    because="an engine that is geared too long falls back at every rise and is shifted down",
    source="Gillespie, Fundamentals of Vehicle Dynamics, ch. 2 and 4; bound by common practice",
)
def cruise_held(grade: float = computed("grade at cruise")):
    return grade


@figure(
    "consumption at cruise",
    unit="l/100 km",
    resolution=0.1,
    rounding="up",
    meaning="Fully laden and with the job's trailer, on the level, without wind, at cruising speed "
    "in top gear: to compare packages with, not to plan a tank by.",
    source="Guzzella & Sciarretta, Vehicle Propulsion Systems, ch. 3: Willans line (from memory)",
)
def consumption_at_cruise(
    power: float = computed("power at cruise"),
    engine_speed: float = computed("engine speed at cruise"),
    swept: float = vehicle("engine displacement"),
    fuel: str = vehicle("fuel"),
    speed: float = condition("cruising speed"),
):
    diesel = fuel == "diesel"
    efficiency = road_load.DIESEL_EFFICIENCY if diesel else road_load.PETROL_EFFICIENCY
    energy = road_load.DIESEL_ENERGY if diesel else road_load.PETROL_ENERGY
    drag = descents.engine_drag_torque(swept, descents.ENGINE_FRICTION_PRESSURE.beside(swept))
    return road_load.fuel_per_way(
        power, drag * engine_speed, efficiency.value, energy.beside(power), speed
    )
