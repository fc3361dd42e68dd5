"""What a driver notices of a change, in the driver's words."""

from __future__ import annotations

from math import ceil, floor
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from configurator.model.parts import Value

# Name of a figure → in the driver's words.
FELT = {
    "body rise": "Body higher by",
    "entry height": "Height of the first step in",
    "front width over tyres": "Width over the front tyres",
    "rear width over tyres": "Width over the rear tyres",
    "turning circle": "Turning circle",
    "clearance under front axle": "Ground clearance under the front axle",
    "clearance under rear axle": "Ground clearance under the rear axle",
    "running clearance": "Ground clearance under the body",
    "approach angle": "Approach angle: ramp that the tyres meet before the body",
    "departure angle": "Departure angle: ramp that the tyres leave before the body",
    "speedometer error": "Speedometer shows more than the true speed by",
    "engine speed at cruise": "Engine speed at cruising speed",
    "top speed by gearing": "Highest speed that gears and tyres allow",
    "deceleration at the permitted pedal force": "Hardest stop with the permitted pedal force",
    "side slope that tips it": "Side slope on which it tips over, standing still",
    "side slope that tips it with the roof load": "Side slope on which it tips over, roof loaded",
    "vehicle mass": "Mass, as it is used",
    "mass that the plate permits": "Permitted mass (plate)",
    "load still allowed": "Load still allowed now (from the mass as used)",
    "load still allowed with hitch and roof": "Load still allowed, trailer hitched and roof loaded",
    "front axle load": "Load on the front axle, as it is used",
    "rear axle load": "Load on the rear axle, as it is used",
}

# Masses that may still be added.
ROUND_DOWN = frozenset(
    {
        "payload left",
        "load still allowed",
        "load still allowed with hitch and roof",
        "mass that the plate permits",
    }
)
# Said beside what has changed, though nothing that is fitted changes it.
UNCHANGED = frozenset({"mass that the plate permits"})


def felt_value(name: str, value: Value | None, unit: str) -> Value | None:
    """Round masses to whole kilograms, to the side on which nobody loads too much.

    Examples
    --------
    >>> felt_value("payload left", 684.3, "kg"), felt_value("vehicle mass", 2585.9, "kg")
    (684.0, 2586.0)
    """
    if unit != "kg" or isinstance(value, bool) or not isinstance(value, int | float):
        return value
    return float(floor(value) if name in ROUND_DOWN else ceil(value))
