"""Where the axles stand in each state of the suspension.

Heights are taken from where an axle stood when the vehicle was measured: an axle that hangs at full
droop does so whatever the springs, and so does one that is up at its stop.
"""

from configurator.plugin import Measure, computed, figure, fitted, part, vehicle

swing_arm = Measure(
    "{axle} side-view swing arm",
    "From the {axle} axle line, along the level, to the point about which a solid axle turns as "
    "the body rises.",
    "radius arms: tape from axle line to the bush on the frame; other links and leaf springs: "
    "angle gauge on the pinion flange, body raised by 100 mm, 100 mm over the tangent of the "
    "change, 20 m where it does not change",
    moves_with=(),
    unit="mm",
    tolerance="5 %",
    at_least=300.0,
    at_most=20000.0,
)
OF_A_SOLID_AXLE = {
    "cross-axle twist": "its middle stays between full bump and full droop",
    "load": "load only moves it between full bump and full droop",
}


@figure(
    "{axle} axle drop at full bump",
    unit="mm",
    meaning="How far the {axle} axle hangs below the ride height that was measured, on its stops.",
    source="geometry: the axle meets its stop where it always did, unless the stop is taller",
    states=("full bump",),
    not_in=OF_A_SOLID_AXLE,
    regardless={"{axle} springs": "the axle meets its stop where it always did"},
)
def drop_at_bump(
    pressed: float = part("{axle} bump stops", "pressed height"),
    pressed_before: float = fitted("{axle} bump stops", "pressed height"),
    bump: float = vehicle("{axle} bump travel"),
):
    return pressed - pressed_before - bump


@figure(
    "{axle} axle drop at full droop",
    unit="mm",
    meaning="How far the {axle} axle hangs below the ride height that was measured, hanging free.",
    source="geometry",
    states=("full droop",),
    not_in=OF_A_SOLID_AXLE,
)
def drop_at_droop(full_droop: float = computed("{axle} full droop")):
    return full_droop


@figure(
    "{axle} differential drop at {state}",
    unit="mm",
    meaning="How far the {axle} differential hangs below the ride height that was measured; one "
    "that hangs on the body stays where it is.",
    source="geometry",
    states=("full bump", "full droop"),
    not_in=OF_A_SOLID_AXLE,
)
def differential_drop(
    suspension: str = vehicle("{axle} suspension"),
    drop: float = computed("{axle} axle drop at {state}"),
):
    return 0.0 if suspension == "independent" else drop
