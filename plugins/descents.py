"""Long descents: what the rotors must bear for minutes, and what the engine holds back.

The brakes are judged alone, the engine as in neutral: whoever misses the gear must still arrive.
The front rotors are judged with their share of a hard stop, the rear ones with theirs of a gentle
one: a valve that cuts the rear pressure moves heat from one to the other.
"""

from configurator.formulas import brakes as braking
from configurator.formulas import descents, traction, tyres
from configurator.plugin import (
    Condition,
    Measure,
    Practice,
    computed,
    condition,
    figure,
    limit,
    part,
    practice,
    vehicle,
)

BRAKES_PER_AXLE = 2
TYPE_TWO = "UN Regulation No. 13, annex 4, 1.6, type-II test (from memory)"

descent_grade = Condition(
    "grade of the long descent",
    f"Fall of the longest descent on its way; as in {TYPE_TWO} where the job does not say.",
    unit="%",
    default="6 %",
    at_least=1.0,
    at_most=40.0,
)
descent_length = Condition(
    "length of the long descent",
    f"Way that it falls; as in {TYPE_TWO} where the job does not say.",
    unit="km",
    default="6 km",
    at_least=0.1,
    at_most=60.0,
)
descent_speed = Condition(
    "speed on the long descent",
    f"Kept by the brakes alone; as in {TYPE_TWO} where the job does not say.",
    unit="km/h",
    default="30 km/h",
    at_least=5.0,
    at_most=120.0,
)
displacement = Measure(
    "engine displacement",
    "Swept volume of all cylinders.",
    "from the vehicle's papers",
    unit="litre",
    at_least=0.5,
    at_most=12.0,
)
rolling_on_the_road = Practice(
    "rolling resistance on the road",
    "Share of the weight that it takes to roll on asphalt, tyres for rough ground.",
    0.015,
    "Gillespie, Fundamentals of Vehicle Dynamics, ch. 4 (from memory)",
    at_least=0.005,
    at_most=0.05,
)
cooling_time = Practice(
    "cooling time of a rotor",
    "Time in which a rotor loses 63 % of what it is hotter than the air, at 30 to 50 km/h.",
    400.0,
    "common practice, no source; the form is that of Limpert, ch. 3",
    unit="s",
    at_least=100.0,
    at_most=1500.0,
)
hottest = Practice(
    "rotor temperature rise on a long descent",
    "Rise up to which pads keep their grip and fluid does not boil.",
    450.0,
    "common practice, no source",
    unit="kelvin",
    at_least=150.0,
    at_most=700.0,
)


@figure(
    "power of the long descent",
    unit="kW",
    meaning="What has to be braked away, fully laden, with a trailer that may have no brakes; "
    "engine and air left out.",
    source="Limpert, Brake Design and Safety, 3rd ed., ch. 3 (chapter from memory)",
    states=("fully laden",),
)
def descent_power(
    mass: float = computed("mass that the vehicle's brakes stop"),
    speed: float = condition("speed on the long descent"),
    grade: float = condition("grade of the long descent"),
    resistance: float = practice("rolling resistance on the road"),
):
    return descents.downhill_power(mass, speed, grade, resistance)


@figure(
    "front rotor temperature rise on a long descent",
    unit="kelvin",
    resolution=5.0,
    rounding="up",
    meaning="Of the front rotors at the end of the descent, fully laden, in neutral.",
    source="Limpert, Brake Design and Safety, 3rd ed., ch. 3 (chapter from memory)",
)
def front_rise(
    rotor_mass: float = part("front brakes", "rotor mass"),
    share: float = computed("front share of braking"),
    power: float = computed("power of the long descent"),
    length: float = condition("length of the long descent"),
    speed: float = condition("speed on the long descent"),
    cooling: float = practice("cooling time of a rotor"),
):
    return _rise(rotor_mass, share * power, length / speed, cooling)


@figure(
    "rear rotor temperature rise on a long descent",
    unit="kelvin",
    resolution=5.0,
    rounding="up",
    meaning="Of the rear rotors at the end of the descent, fully laden, in neutral.",
    source="Limpert, Brake Design and Safety, 3rd ed., ch. 3 (chapter from memory)",
)
def rear_rise(
    rotor_mass: float = part("rear brakes", "rotor mass"),
    front: float = computed("front brake torque for each bar"),
    rear: float = computed("rear brake torque for each bar"),
    power: float = computed("power of the long descent"),
    length: float = condition("length of the long descent"),
    speed: float = condition("speed on the long descent"),
    cooling: float = practice("cooling time of a rotor"),
):
    # Held gently, a valve that cuts the rear pressure in a hard stop stands open.
    return _rise(rotor_mass, rear / (front + rear) * power, length / speed, cooling)


def _rise(rotor_mass, power, time, cooling):
    heat = braking.IRON_SPECIFIC_HEAT.beside(rotor_mass) * BRAKES_PER_AXLE * rotor_mass
    return descents.rise_while_held(power, heat, cooling, time)


@limit(
    "the {axle} rotors take the heat of a long descent",
    quantity="{axle} rotor temperature rise on a long descent",
    concerns="rating",
    unit="kelvin",
    at_most=practice("rotor temperature rise on a long descent"),
    because="pads fade and fluid boils on the last bend, not on the first",
    source="common practice, no source",
)
def rotors_take_descent(
    rise: float = computed("{axle} rotor temperature rise on a long descent"),
):
    return rise


@figure(
    "descent that the engine holds",
    unit="%",
    resolution=1.0,
    rounding="down",
    meaning="Steepest slope down on which the engine alone keeps its pace, fully laden, the job's "
    "trailer pushing with all its mass, in the lowest gear and low range; losses of the driveline "
    "left out.",
    source="Guzzella & Sciarretta, Vehicle Propulsion Systems, ch. 3 (from memory); mechanics",
    states=("fully laden",),
)
def descent_held(
    way: float = computed("rear distance per propshaft turn"),
    lowest_gear: float = vehicle("lowest gear ratio"),
    low_range: float = vehicle("low range ratio"),
    swept: float = vehicle("engine displacement"),
    mass: float = vehicle("permitted mass"),
    trailer: float = condition("trailer"),
):
    drag = descents.engine_drag_torque(swept, descents.ENGINE_FRICTION_PRESSURE.beside(swept))
    radius = tyres.effective_rolling_radius(way)
    force = traction.engine_limited_force(drag, lowest_gear * low_range, 1.0, radius)
    return descents.grade_held(force * radius, radius, mass + trailer)
