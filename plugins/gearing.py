"""Gearing: what engine, gearbox, diff ratios and hub reductions make together."""

from configurator.formulas import gearing, torque, tyre_sizes, tyres
from configurator.plugin import (
    Condition,
    Measure,
    Practice,
    computed,
    condition,
    cross_check,
    figure,
    limit,
    part,
    practice,
    vehicle,
)

engine_torque = Measure(
    "engine torque",
    "Largest torque of the engine; times its ratio with a torque converter.",
    "maker's data",
    unit="N*m",
    at_least=50.0,
    at_most=2000.0,
)
engine_speed_limit = Measure(
    "highest engine speed",
    "Speed that the engine may run for long.",
    "red line of the tachometer",
    unit="rpm",
    at_least=1500.0,
    at_most=9000.0,
)
idle = Measure(
    "idle speed",
    "Engine speed at idle, warm.",
    "tachometer",
    unit="rpm",
    at_least=300.0,
    at_most=1500.0,
)
top_gear = Measure(
    "top gear ratio",
    "Ratio of the gearbox in its highest gear.",
    "maker's data",
    at_least=0.4,
    at_most=1.5,
)
lowest_gear = Measure(
    "lowest gear ratio",
    "Ratio of the gearbox in its lowest forward gear.",
    "maker's data",
    at_least=2.0,
    at_most=8.0,
)
# For the chart of engine speed against road speed; no rule reads them.
gears_between = [
    Measure(
        f"{name} gear ratio",
        f"Ratio of the gearbox in {name} gear, where that is not the top gear.",
        "maker's data",
        at_least=0.4,
        at_most=8.0,
    )
    for name in ("second", "third", "fourth", "fifth", "sixth", "seventh")
]
high_range = Measure(
    "high range ratio",
    "Ratio of the transfer box in its high range.",
    "maker's data",
    at_least=0.7,
    at_most=1.6,
    default=1.0,
    usual=(1.0, 1.25),
)
low_range = Measure(
    "low range ratio",
    "Ratio of the transfer box in its low range; 1 without one.",
    "maker's data",
    at_least=1.0,
    at_most=6.0,
)
cruising_speed = Condition(
    "cruising speed",
    "Road speed at which the engine is to be calm.",
    unit="km/h",
    default="100 km/h",
    at_least=40.0,
    at_most=180.0,
)
difference = Practice(
    "difference of overall ratio front to rear",
    "By how much the two axles may turn their wheels differently with the centre locked.",
    0.5,
    "common practice, no source",
    unit="%",
    at_least=0.0,
    at_most=3.0,
)


@figure(
    "{axle} overall drive ratio",
    unit="",
    resolution=0.001,
    meaning="Diff ratio times hub reduction of the {axle} axle.",
    source="product of both ratios",
)
def overall_final_drive(
    gears: float = part("{axle} crown wheel and pinion", "ratio"),
    hub: float = part("{axle} hub reductions", "ratio"),
):
    return gearing.equivalent_final_drive(gears, hub)


@figure(
    "overall drive ratio",
    unit="",
    meaning="Diff ratio times hub reduction.",
    source="product of both ratios, at the rear",
)
def final_drive(rear: float = computed("rear overall drive ratio")):
    return rear


@limit(
    "both axles turn the wheels at the same overall ratio",
    quantity="difference in overall ratio, front to rear",
    unit="%",
    concerns="rating",
    at_most=practice("difference of overall ratio front to rear"),
    because="with the centre locked the axles fight until a tyre slips or a shaft breaks",
    source="geometry; what tyres forgive is common practice, no source",
)
def uneven_ratio(
    front: float = computed("front overall drive ratio"),
    rear: float = computed("rear overall drive ratio"),
):
    return abs(front / rear - 1)


@figure(
    "{axle} distance per propshaft turn",
    unit="mm",
    resolution=0.5,
    meaning="Way the vehicle covers while the {axle} propshaft turns once: tyre over gears.",
    source="geometry",
)
def way_per_turn(
    circumference: float = computed("rolling circumference"),
    final_drive: float = computed("{axle} overall drive ratio"),
):
    return circumference / final_drive


@figure(
    "engine speed at cruise",
    unit="rpm",
    resolution=10.0,
    meaning="Engine speed in top gear at the cruising speed, without slip.",
    source="Gillespie, Fundamentals of Vehicle Dynamics, ch. 2",
)
def engine_speed_at_cruise(
    way: float = computed("rear distance per propshaft turn"),
    top_gear: float = vehicle("top gear ratio"),
    high_range: float = vehicle("high range ratio"),
    speed: float = condition("cruising speed"),
):
    gears = gearing.overall_ratio(top_gear, high_range, 1.0, 1.0)
    return gearing.engine_speed(speed, gears, tyres.effective_rolling_radius(way))


@limit(
    "the engine may run the vehicle's top speed",
    quantity="engine speed at the vehicle's top speed",
    unit="rpm",
    concerns="comfort",
    at_most=vehicle("highest engine speed"),
    because="too short a gearing over-revs the engine before the vehicle is at its top speed",
    source="Gillespie, Fundamentals of Vehicle Dynamics, ch. 2; red line of the engine",
)
def engine_speed_at_top_speed(
    at_cruise: float = computed("engine speed at cruise"),
    cruising: float = condition("cruising speed"),
    top_speed: float = vehicle("top speed"),
):
    return at_cruise * top_speed / cruising


@figure(
    "overall ratio in top gear",
    unit="",
    resolution=0.001,
    meaning="Turns of the engine for one turn of the wheels in the highest gear and high range.",
    source="Gillespie, Fundamentals of Vehicle Dynamics, ch. 2",
)
def overall_ratio_in_top_gear(
    final_drive: float = computed("overall drive ratio"),
    top_gear: float = vehicle("top gear ratio"),
    high_range: float = vehicle("high range ratio"),
):
    return gearing.overall_ratio(top_gear, high_range, final_drive, 1.0)


@figure(
    "crawl ratio",
    unit="",
    resolution=0.01,
    meaning="Turns of the engine for one turn of the wheels in the lowest gear and low range.",
    source="Gillespie, Fundamentals of Vehicle Dynamics, ch. 2",
)
def crawl_ratio(
    final_drive: float = computed("overall drive ratio"),
    lowest_gear: float = vehicle("lowest gear ratio"),
    low_range: float = vehicle("low range ratio"),
):
    return gearing.crawl_ratio(lowest_gear, low_range, final_drive, 1.0)


@figure(
    "walking speed",
    unit="km/h",
    resolution=0.01,
    meaning="Road speed at idle in the lowest gear and low range.",
    source="Gillespie, Fundamentals of Vehicle Dynamics, ch. 2",
)
def walking_speed(
    way: float = computed("rear distance per propshaft turn"),
    lowest_gear: float = vehicle("lowest gear ratio"),
    low_range: float = vehicle("low range ratio"),
    idle: float = vehicle("idle speed"),
):
    gears = gearing.crawl_ratio(lowest_gear, low_range, 1.0, 1.0)
    return gearing.road_speed(idle, gears, tyres.effective_rolling_radius(way))


@figure(
    "propshaft torque",
    unit="N*m",
    meaning="Largest torque behind the transfer box, losses left out.",
    source="Gillespie, Fundamentals of Vehicle Dynamics, ch. 2",
)
def driveshaft_torque(
    engine: float = vehicle("engine torque"),
    lowest_gear: float = vehicle("lowest gear ratio"),
    low_range: float = vehicle("low range ratio"),
):
    return torque.driveshaft_torque(engine, lowest_gear, low_range, 1.0)


@figure(
    "top speed by gearing",
    unit="km/h",
    resolution=1.0,
    rounding="down",
    meaning="Fastest that engine in top gear and tyres may run; the air may end it earlier.",
    source="Gillespie, Fundamentals of Vehicle Dynamics, ch. 2; speed symbols of ISO 4000-1",
)
def top_speed_by_gearing(
    at_cruise: float = computed("engine speed at cruise"),
    symbol: str = part("tyres", "speed symbol"),
    red_line: float = vehicle("highest engine speed"),
    cruising: float = condition("cruising speed"),
):
    return min(cruising * red_line / at_cruise, tyre_sizes.rated_speed(symbol))


@cross_check("the top gear is taller than the lowest", do="exchange the two ratios")
def gears_in_order(
    top: float = vehicle("top gear ratio"), lowest: float = vehicle("lowest gear ratio")
):
    return top < lowest


@cross_check("the engine idles below its red line", do="check both and their units")
def idles_below_red_line(
    idle: float = vehicle("idle speed"), red_line: float = vehicle("highest engine speed")
):
    return idle < red_line
