"""Wheel nuts: one set holds all wheels, so it must suit the studs of both axles and the wheel."""

from configurator.plugin import Attribute, Family, Position, computed, figure, fit, limit, part

nuts = Family(
    "nuts",
    "Wheel nuts",
    system="Wheels and tyres",
    positions=(Position("wheel nuts", "wheels"),),
    attributes=(
        Attribute(
            "thread",
            "As on the stud: diameter and pitch.",
            kind="text",
            example="M12x1.5",
        ),
        Attribute(
            "seat",
            "Shape of the face that meets the wheel.",
            kind="text",
            choices=("60 degree cone", "ball", "flat"),
            example="60 degree cone",
        ),
        Attribute(
            "engagement needed",
            "Length of thread that must be screwed on: the diameter of the stud in a steel nut.",
            unit="mm",
            at_least=5.0,
            at_most=40.0,
            example="12",
        ),
        Attribute("count", "Nuts in the set.", kind="whole", at_least=4, at_most=60, example="24"),
    ),
    meaning="Sold in sets; the mass is that of the set.",
    moves=(),
)


@fit(
    "the nuts screw on the {axle} studs",
    because="a nut of another pitch binds after two turns and strips after three",
    source="ISO 261 for metric threads (title from memory)",
)
def nuts_fit_studs(
    nut: str = part("wheel nuts", "thread"),
    axle: str = part("{axle} axle", "stud thread"),
    hub: str | None = part("{axle} hub reductions", "stud thread"),
):
    return nut == (hub or axle)


@fit(
    "the nuts sit in the wheel's seats",
    because="a cone on a ball seat touches along a line, settles and comes loose",
    source="geometry",
)
def nuts_fit_seats(nut: str = part("wheel nuts", "seat"), wheel: str = part("wheels", "nut seat")):
    return nut == wheel


@limit(
    "there is a nut for every stud",
    quantity="wheel nuts beyond one for each stud",
    exact_fit=True,
    unit="",
    concerns="fit",
    at_least=0.0,
    because="a missing nut makes its neighbours carry more than they may",
    source="count",
)
def nuts_left_over(
    count: int = part("wheel nuts", "count"),
    front: int = computed("front studs"),
    rear: int = computed("rear studs"),
):
    return count - 2 * front - 2 * rear


@figure(
    "{axle} stud length",
    unit="mm",
    meaning="How far the studs stand out of the {axle} hub face, hub reductions included.",
    source="measured at the hub",
)
def stud_length(
    axle: float = part("{axle} axle", "stud length"),
    hub: float | None = part("{axle} hub reductions", "stud length"),
):
    return hub or axle


@limit(
    "the {axle} studs reach far enough into the nuts",
    quantity="{axle} wheel studs, thread engagement",
    unit="mm",
    concerns="strength",
    at_least=part("wheel nuts", "engagement needed"),
    because="alloy wheels are thicker than steel ones; on too little thread a nut pulls off",
    source="one diameter of the stud; common practice, no source",
)
def thread_engaged(
    stud: float = computed("{axle} stud length"), pad: float = part("wheels", "pad thickness")
):
    return stud - pad
