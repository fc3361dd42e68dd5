"""Cautions: what must be said of a changed vehicle, who must look at it and who must approve.

Changes to brakes, steering, axles, suspension and mass can kill. Nothing here is legal advice:
local codes and the makers' fitting instructions come first.
"""

from configurator.plugin import caution, computed, part, vehicle

ENGINEER = "a licensed engineer or testing body, and the registration authority"


@caution(
    "these figures are no approval",
    says="All figures are calculated from catalog values and from what was measured on the "
    "vehicle. They are no approval and replace neither inspection nor test. Local codes and the "
    "makers' fitting instructions come first.",
    inspect="Measure the finished vehicle and compare it with this sheet.",
    approve="whoever approves changed vehicles where this one is registered",
)
def no_approval():
    return True


@caution(
    "the brakes were changed",
    says="Brakes were changed, or unbolted and put back. Pedal feel, stopping distance and the "
    "balance between front and rear may have changed. Faulty brakes kill.",
    inspect="Bleed until the pedal is hard, look for leaks under full pedal force with the "
    "steering at both locks and the axles hanging; measure all four wheels on a brake tester; "
    "try the parking brake on a slope; bed in the pads before the vehicle is loaded.",
    approve=ENGINEER,
)
def brakes_changed(
    front: float = computed("front brakes worked on"),
    rear: float = computed("rear brakes worked on"),
    master: bool = part("master cylinder", "changed"),
    front_hoses: bool = part("front brake hoses", "changed"),
    rear_hoses: bool = part("rear brake hoses", "changed"),
):
    return front > 0 or rear > 0 or master or front_hoses or rear_hoses


@caution(
    "the stopping distance has changed with the tyres",
    says="Taller and heavier tyres take away brake force and add mass that turns: the vehicle "
    "stops later and anti-lock and stability controls may no longer be tuned to it.",
    inspect="Test anti-lock and stability control on loose ground; compare the stopping distance "
    "with the one before.",
    approve=ENGINEER,
)
def tyres_changed(tyres: bool = part("tyres", "changed")):
    return tyres


@caution(
    "the steering was changed",
    says="A joint that comes loose leaves the vehicle without steering.",
    inspect="Torque and pin every joint; turn from lock to lock at ride height, at full bump and "
    "at full droop and look for what touches or binds; set the toe; look again after 100 km.",
    approve=ENGINEER,
    again={100.0: "Inspect every steering joint and its pin; set the toe again if it has moved."},
)
def steering_changed(
    tie_rod: bool = part("track rod", "changed"),
    drag_link: bool = part("drag link", "changed"),
    damper: bool = part("steering damper", "changed"),
    locating_link: bool = part("front Panhard rod", "changed"),
):
    return tie_rod or drag_link or damper or locating_link


@caution(
    "the {axle} axle was changed or welded",
    says="Welding a housing can warp it and weaken it beside the seam; another axle changes "
    "brakes, propshaft and handling at once.",
    inspect="Have the welds looked at by a qualified welding inspector; measure that the tubes are "
    "straight before the gears go in; check oil, breather and brake lines.",
    approve=ENGINEER,
)
def axle_changed(
    axle: bool = part("{axle} axle", "changed"),
    reinforcement: bool = part("{axle} reinforcement", "changed"),
):
    return axle or reinforcement


@caution(
    "the {axle} hub reductions carry the wheels",
    says="They stand between axle and wheel: a loose bolt or an empty gear box loses a wheel. The "
    "vehicle stands taller and tips earlier on a side slope.",
    inspect="Torque all bolts by the maker's instruction; check the oil of every box after 100 km, "
    "after 1,000 km and after every ford; feel for heat after the first drive.",
    approve=ENGINEER,
    again={
        100.0: "Check the oil of every {axle} hub reduction and torque its bolts.",
        1000.0: "Check the oil of every {axle} hub reduction.",
    },
)
def hubs_fitted(
    changed: bool = part("{axle} hub reductions", "changed"),
    present: bool = part("{axle} hub reductions", "present"),
):
    return changed and present


@caution(
    "the suspension was changed",
    says="Ride height, handling and the way the vehicle leans have changed. It may tip earlier.",
    inspect="With the axles hanging, with one side on its stop and the other hanging, and at full "
    "bump look at brake hoses, cables, propshafts and shock absorbers: nothing may be tight, bound "
    "or touching. Torque rubber bushes at ride height. Aim the headlamps.",
    approve=ENGINEER,
)
def suspension_changed(
    front_springs: bool = part("front springs", "changed"),
    rear_springs: bool = part("rear springs", "changed"),
    front_shocks: bool = part("front shocks", "changed"),
    rear_shocks: bool = part("rear shocks", "changed"),
    front_stops: bool = part("front bump stops", "changed"),
    rear_stops: bool = part("rear bump stops", "changed"),
    front_straps: bool = part("front limit straps", "changed"),
    rear_straps: bool = part("rear limit straps", "changed"),
    rear_panhard_rod: bool = part("rear Panhard rod", "changed"),
):
    springs = front_springs or rear_springs or front_shocks or rear_shocks
    ends = front_stops or rear_stops or front_straps or rear_straps
    return springs or ends or rear_panhard_rod


@caution(
    "the {axle} axle can be locked",
    says="A locked axle pushes straight on: in a bend, on a slope or on a hard road the vehicle "
    "may slide off or break a shaft. Anti-lock brakes may not work while it is locked.",
    inspect="Try it on loose ground at walking pace; see that it unlocks and that the lamp in the "
    "cab tells so; find out what it does to anti-lock and stability control.",
)
def locker_fitted(
    changed: bool = part("{axle} diff lock", "changed"),
    present: bool = part("{axle} diff lock", "present"),
):
    return changed and present


@caution(
    "the vehicle tips earlier than it did",
    says="The centre of gravity is higher for the width on which the vehicle stands. Slopes and "
    "swerves that it took before may turn it over.",
    inspect="Tell every driver; load heavy things low; weigh the vehicle with one axle lifted to "
    "find the true height of its centre of gravity.",
    approve=ENGINEER,
)
def tips_earlier(
    factor: float = computed("static stability factor"),
    before: float = computed("static stability factor", before=True),
):
    return factor < before


@caution(
    "there is less payload than before",
    says="What is bolted on counts as load. Permitted mass and axle loads are those on the "
    "vehicle's plate; no part raises them.",
    inspect="Weigh the finished vehicle, axle by axle, and write what is left into its papers.",
    approve="the registration authority, where the papers state the empty mass",
)
def less_payload(
    left: float = computed("payload left"), before: float = computed("payload left", before=True)
):
    return left < before


@caution(
    "the arches were cut",
    says="Cut arches rust and may have been part of what holds the body together in a crash.",
    inspect="Look for cut reinforcements, seal and wax every edge, look again after a winter.",
    approve=ENGINEER,
)
def arches_cut(
    front: bool = part("front arch trimming", "changed"),
    rear: bool = part("rear arch trimming", "changed"),
):
    return front or rear


@caution(
    "a propshaft was changed",
    says="A propshaft that breaks or comes apart tears brake lines and fuel lines.",
    inspect="Check phase, flange bolts and the slip left at full bump and full droop; drive to top "
    "speed in steps and stop at the first vibration.",
)
def driveshaft_changed(
    front: bool = part("front propshaft", "changed"),
    rear: bool = part("rear propshaft", "changed"),
):
    return front or rear


@caution(
    "re-torque the wheel fasteners",
    says="New wheels, studs and nuts settle. Loose wheels come off.",
    inspect="Torque crosswise with a wrench, never with an impact driver alone; torque again after "
    "50 to 100 km and after each of the next wheel changes (common practice, no source).",
    again={
        50.0: "Torque all wheel nuts crosswise with a torque wrench.",
        100.0: "Torque all wheel nuts crosswise once more.",
    },
)
def wheels_changed(
    tyres: bool = part("tyres", "changed"),
    wheels: bool = part("wheels", "changed"),
    nuts: bool = part("wheel nuts", "changed"),
):
    return tyres or wheels or nuts


@caution(
    "run in the {axle} crown wheel and pinion and change the oil",
    says="New ring gears, pinions and bearings run hot at first and shed metal.",
    inspect="Drive the first 800 km without towing and with pauses; change the oil after it and "
    "look for chips (common practice, no source).",
    again={800.0: "Change the oil of the {axle} differential and look for chips."},
)
def gears_changed(gears: bool = part("{axle} crown wheel and pinion", "changed")):
    return gears


@caution(
    "the {axle} half-shafts were drawn",
    says="Gears come out only when the half-shafts are drawn, and on many axles brakes, sensors "
    "and wheel bearings come off with them. A hose that carried a caliper is torn inside, a loose "
    "brake or bearing bolt loses a wheel.",
    inspect="Hang brakes on hooks, never on their hoses. Torque every bolt that was undone by the "
    "maker's instruction, with new locking where it asks for that; see that no hose is twisted, "
    "that nothing leaks and that the wheels turn without play; pump the pedal until it is hard "
    "before the vehicle moves; try the parking brake and the wheel-speed sensors; bleed if a line "
    "was opened. Whoever may work on brakes where the vehicle is registered looks at it.",
)
def half_shafts_drawn(drawn: float = computed("{axle} half-shafts drawn")):
    return drawn > 0


@caution(
    "tell every driver the new height and width",
    says="Height, width, turning circle and the way in have changed: garages, ferries, bridges.",
    inspect="Measure height and width of the finished vehicle and put them on a plate in the cab.",
)
def size_changed(
    tyres: bool = part("tyres", "changed"),
    wheels: bool = part("wheels", "changed"),
    hubs: bool = part("front hub reductions", "changed"),
    springs: bool = part("front springs", "changed"),
    steps: bool = part("steps", "changed"),
):
    return tyres or wheels or hubs or springs or steps


# Above it other classes of vehicle and of driving licence begin in the European Union: Regulation
# (EU) 2018/858, article 4; Directive 2006/126/EC, article 4 (both from memory). Elsewhere other
# bounds hold, which is what local rules are for.
LIGHT_VEHICLE = 3500.0  # kg


@caution(
    "the vehicle is permitted more than 3,500 kg",
    says="From this mass on other rules may hold for driving licence, speed, inspection, tolls "
    "and tachograph.",
    inspect="Ask what applies before the papers are changed, and tell every driver.",
    approve="the registration authority, where the permitted mass is changed",
)
def heavy_regime(permitted: float = vehicle("permitted mass")):
    return permitted > LIGHT_VEHICLE


@caution(
    "an axle was turned about its own line",
    says="Caster and pinion angle have changed: with too little caster the steering does not come "
    "back by itself, with a wrong pinion angle the propshaft shakes.",
    inspect="Measure caster and both joint angles at ride height; look at every joint at full bump "
    "and full droop; drive to top speed in steps and stop at the first vibration.",
    approve=ENGINEER,
)
def axle_turned(
    front: bool = part("front axle angle correction", "changed"),
    rear: bool = part("rear axle angle correction", "changed"),
):
    return front or rear


@caution(
    "the drop arm was changed",
    says="It carries all of the steering: an arm that breaks or comes off its shaft leaves the "
    "vehicle without steering.",
    inspect="Torque nut and joint by the maker's instruction and lock them; turn from lock to lock "
    "at full bump and full droop; look again after 100 km.",
    approve=ENGINEER,
)
def drop_arm_changed(changed: bool = part("drop arm", "changed")):
    return changed


@caution(
    "the brake hoses end elsewhere",
    says="A hose or line that is stretched, twisted or rubs fails under full pressure.",
    inspect="With the axles hanging, then with one side on its stop and the other hanging, and at "
    "both locks look that every hose has slack, and at full bump that none touches; bleed if a "
    "line was opened, and look for leaks under full pedal force.",
    approve=ENGINEER,
)
def hose_ends_moved(
    front: bool = part("front brake hose brackets", "changed"),
    rear: bool = part("rear brake hose brackets", "changed"),
    front_brakes: bool = part("front brakes", "changed"),
    rear_brakes: bool = part("rear brakes", "changed"),
    front_axle: bool = part("front axle", "changed"),
    rear_axle: bool = part("rear axle", "changed"),
    hubs: float = computed("hub reductions changed"),
):
    # No list says where a caliper or an axle holds the end of a hose.
    brakes = front_brakes or rear_brakes or front_axle or rear_axle
    return front or rear or brakes or hubs > 0
