"""Where the tyres stand sideways: track, overall width, scrub radius, room inboard."""

from configurator.formulas import clearance, steering
from configurator.formulas import wheels as wheel
from configurator.plugin import (
    Measure,
    Practice,
    computed,
    figure,
    fitted,
    limit,
    part,
    practice,
    vehicle,
)

inboard_room = Measure(
    "{axle} inboard room",
    "From the {axle} wheel mounting face inboard to the nearest spring, link, knuckle or frame, "
    "at the height of the tyre, through the whole travel, wheels straight.",
    "straight edge on the hub face, tape to the nearest part; smallest of both sides",
    moves_with=("lock",),
    of="wheel centre",
    unit="mm",
    tolerance="3 mm",
    at_least=50.0,
    at_most=500.0,
    taken_with=("{axle} hub reductions: added width", "{axle} axle: hub-face distance"),
)
inboard_room_at_lock = Measure(
    "inboard room at full lock",
    "From the steering axis, at the height of the axle, across the vehicle to the nearest spring, "
    "link or frame wherever a tyre passes up to full lock, through the whole travel.",
    "front wheels off; tape square to the vehicle from the middle of the knuckle, the smaller side",
    moves_with=(),
    of="wheel centre",
    unit="mm",
    tolerance="3 mm",
    at_least=100.0,
    at_most=900.0,
)
inner_lock = Measure(
    "inner wheel lock",
    "Steering angle of the inner front wheel at full lock.",
    "turn plates, the larger of both sides",
    moves_with=(),
    unit="deg",
    tolerance="0.5 deg",
    at_least=10.0,
    at_most=55.0,
)
outer_lock = Measure(
    "outer wheel lock",
    "Steering angle of the outer front wheel at full lock.",
    "turn plates; else from the turning circle with the tyres as they are",
    moves_with=(),
    unit="deg",
    tolerance="0.5 deg",
    at_least=10.0,
    at_most=50.0,
    taken_with=("front axle: mounts",),
)
inboard_gap = Practice(
    "gap inboard of the tyre",
    "Air that must be left beside the tyre for mud, chains and a sidewall that bulges.",
    8.0,
    "common practice, no source",
    unit="mm",
    at_least=0.0,
    at_most=60.0,
    for_error=0.5,
)
widening = Practice(
    "widening of the track",
    "By how much the track may grow before wheel bearings, hubs and knuckles are overloaded.",
    160.0,
    "common practice, no source",
    unit="mm",
    at_least=0.0,
    at_most=400.0,
)
narrowing = Practice(
    "narrowing of the track",
    "By how much the track may shrink before the vehicle tips noticeably earlier.",
    10.0,
    "common practice, no source",
    unit="mm",
    at_least=0.0,
    at_most=100.0,
)
unevenness = Practice(
    "difference of track front to rear",
    "By how much the tracks may differ before the rear wheels leave the ruts of the front ones.",
    60.0,
    "common practice, no source",
    unit="mm",
    at_least=0.0,
    at_most=300.0,
)


@figure(
    "{axle} hub-face distance",
    unit="mm",
    meaning="From wheel face to wheel face of the {axle} axle, hub reductions included.",
    source="geometry",
)
def hub_face_distance(
    axle: float = part("{axle} axle", "hub-face distance"),
    added: float = part("{axle} hub reductions", "added width"),
):
    return axle + 2 * added


@figure(
    "{axle} wheel face outboard",
    unit="mm",
    meaning="How much further outboard each {axle} wheel's mounting face stands than it did, and "
    "with it what sits on the hub.",
    source="geometry: half of what the axle is wider, and what the hub reduction adds",
)
def wheel_face_outboard(
    faces: float = computed("{axle} hub-face distance"),
    before: float = computed("{axle} hub-face distance", before=True),
):
    return (faces - before) / 2


@figure(
    "{axle} track",
    unit="mm",
    resolution=5.0,
    rounding="up",
    meaning="Distance between the centrelines of the {axle} tyres.",
    source="49 CFR 523.2 (2015 edition), track width; ISO 612:1978",
)
def track(
    faces: float = computed("{axle} hub-face distance"), offset: float = part("wheels", "offset")
):
    return clearance.track(faces, offset)


@limit(
    "the {axle} track does not grow too wide",
    quantity="{axle} track",
    unit="mm",
    concerns="comfort",
    at_most=practice("widening of the track"),
    because="wheels further out bend hubs and load the outer bearings",
    source="common practice, no source",
)
def track_growth(
    track: float = computed("{axle} track"), before: float = computed("{axle} track", before=True)
):
    return track - before


@limit(
    "the {axle} track does not become narrow",
    quantity="{axle} track",
    unit="mm",
    concerns="comfort",
    at_most=practice("narrowing of the track"),
    because="half the track over the height of the centre of gravity keeps a vehicle upright",
    source="NHTSA, static stability factor, 68 FR 59249; amount by common practice, no source",
)
def track_loss(
    track: float = computed("{axle} track"), before: float = computed("{axle} track", before=True)
):
    return before - track


@limit(
    "the tracks are alike front and rear",
    quantity="difference in track, front to rear",
    unit="mm",
    concerns="comfort",
    at_most=practice("difference of track front to rear"),
    because="rear wheels that miss the ruts of the front ones cut new ones and drag",
    source="common practice, no source",
)
def uneven_track(front: float = computed("front track"), rear: float = computed("rear track")):
    return abs(front - rear)


@figure(
    "{axle} width over tyres",
    unit="mm",
    resolution=1.0,
    rounding="up",
    meaning="Width of the {axle} axle over its tyres, the bulge on the ground left out.",
    source="geometry",
)
def width_over_tyres(
    track: float = computed("{axle} track"),
    section_width: float = computed("section width on the rim"),
):
    return clearance.overall_width(track, section_width)


@figure(
    "tyre reach inboard",
    unit="mm",
    resolution=1.0,
    rounding="up",
    meaning="How far the tyre reaches inboard of the wheel mounting face.",
    source="geometry",
)
def reach_inboard(
    section_width: float = computed("section width on the rim"),
    offset: float = part("wheels", "offset"),
):
    return wheel.inboard_reach(offset, section_width)


@limit(
    "the {axle} tyres clear springs, links and frame",
    quantity="gap inboard of the {axle} tyres",
    unit="mm",
    concerns="contact",
    at_least=practice("gap inboard of the tyre"),
    because="a wide tyre or a large offset brings the sidewall against what lies inboard of it",
    source="geometry; gap by common practice, no source",
    states=("ride height", "travel"),
    not_in={"lock": "another rule looks there"},
)
def gap_inboard(
    room: float = vehicle("{axle} inboard room"),
    added: float = part("{axle} hub reductions", "added width"),
    added_before: float = fitted("{axle} hub reductions", "added width"),
    faces: float = part("{axle} axle", "hub-face distance"),
    faces_before: float = fitted("{axle} axle", "hub-face distance"),
    reach: float = computed("tyre reach inboard"),
):
    # A narrower axle brings the wheels inboard. A wider one may bring its knuckles out as well, so
    # that what it gives is not counted: half of the difference on each side, where it is below 0.
    wider = faces - faces_before
    return room + (added - added_before) + (wider - abs(wider)) / 4 - reach


@figure(
    "kingpin to tyre centreline",
    unit="mm",
    resolution=1.0,
    meaning="From the steering axis to the tyre's centreline, at the height of the axle.",
    source="geometry",
)
def kingpin_to_tyre(
    axle: float = part("front axle", "kingpin to hub face"),
    hub: float = part("front hub reductions", "added width"),
    offset: float = part("wheels", "offset"),
):
    return axle + hub - offset


# Both edges are told from widths that other rules ask for as well: fewer to be looked at together.
@figure(
    "front tyre outer edge",
    unit="mm",
    resolution=5.0,
    rounding="up",
    meaning="From the front steering axis out to the outer edge of the tyre, wheels straight.",
    source="geometry",
)
def outer_edge(
    over_tyres: float = computed("front width over tyres"),
    faces: float = part("front axle", "hub-face distance"),
    to_face: float = part("front axle", "kingpin to hub face"),
):
    return over_tyres / 2 - (faces / 2 - to_face)


@figure(
    "front tyre inner edge",
    unit="mm",
    resolution=10.0,
    rounding="up",
    meaning="From the front steering axis in to the inner edge of the tyre, wheels straight; below "
    "0 where that lies outboard.",
    source="geometry",
)
def inner_edge(
    reach: float = computed("tyre reach inboard"),
    to_face: float = part("front axle", "kingpin to hub face"),
    added: float = part("front hub reductions", "added width"),
):
    return reach - to_face - added


@figure(
    "tyre reach inboard at full lock",
    unit="mm",
    resolution=10.0,
    rounding="up",
    meaning="How far inboard of the front steering axis the tyre reaches at full lock.",
    source="geometry: the inner edge of the tyre turned about the steering axis",
    states=("full lock left", "full lock right"),
)
def reach_inboard_at_lock(
    diameter: float = computed("tyre diameter"),
    edge: float = computed("front tyre inner edge"),
    lock: float = vehicle("inner wheel lock"),
):
    return steering.tyre_sweep_inboard(diameter / 2, edge, lock)


@limit(
    "the front tyres clear springs, links and frame at full lock",
    quantity="gap inboard of the front tyres at full lock",
    unit="mm",
    concerns="contact",
    at_least=practice("gap inboard of the tyre"),
    because="a tall tyre swings its rear edge against spring or frame before the lock is reached",
    source="geometry; gap by common practice, no source",
    states=("full lock left", "full lock right"),
)
def gap_inboard_at_lock(
    room: float = vehicle("inboard room at full lock"),
    reach: float = computed("tyre reach inboard at full lock"),
):
    return room - reach


@figure(
    "scrub radius",
    unit="mm",
    resolution=2.0,
    meaning="From where the steering axis meets the ground to the tyre's centreline.",
    source="ISO 8855, steering-axis offset at ground (clause from memory)",
)
def scrub_radius(
    outboard: float = computed("kingpin to tyre centreline"),
    height: float = computed("front axle height"),
    inclination: float = part("front axle", "kingpin inclination"),
):
    return clearance.scrub_radius_change(outboard, height, inclination)


@figure(
    "scrub radius change",
    unit="mm",
    meaning="How much the scrub radius grows: what the steering feels of kerbs and ruts.",
    source="difference to the vehicle as it stands",
)
def scrub_radius_change(
    scrub: float = computed("scrub radius"), before: float = computed("scrub radius", before=True)
):
    return scrub - before


@figure(
    "turning circle",
    unit="m",
    resolution=0.01,
    rounding="up",
    meaning="Diameter that the outer wall of the outer front tyre sweeps at full lock.",
    source="Gillespie, Fundamentals of Vehicle Dynamics, ch. 8; ISO 612:1978 (both from memory)",
)
def turning_circle(
    lock: float = vehicle("outer wheel lock"),
    wheelbase: float = vehicle("wheelbase"),
    scrub: float = computed("scrub radius"),
    section_width: float = computed("section width on the rim"),
):
    radius = steering.kerb_turning_radius(lock, wheelbase, scrub) + section_width / 2
    return 2 * radius
