"""What a vehicle file says about the vehicle as a whole, beside masses and what is fitted to it."""

from configurator.plugin import Measure

wheels_carried = Measure(
    "wheels carried",
    "Wheels with tyres that the vehicle carries, spares counted.",
    "count them",
    kind="whole",
    at_least=4,
    at_most=6,
    default=5,
    usual=(4, 5),
)
suspension = Measure(
    "{axle} suspension",
    "Whether the {axle} differential sits in a solid axle or hangs on the body.",
    "look under the vehicle",
    kind="text",
    choices=("solid axle", "independent"),
    default="solid axle",
    usual=("independent",),
)
body = Measure(
    "body",
    "Code of the body, as lists of what is bolted to it name it: wagon, pickup, flatbed.",
    "look; one word a kind, the same in vehicle and lists",
    kind="text",
)
top_speed = Measure(
    "top speed",
    "Highest speed that the vehicle is to be able to run.",
    "registration papers; a limiter, where one is fitted",
    unit="km/h",
    at_least=60.0,
    at_most=250.0,
)
