"""A trade of two families, small enough to see every declaration, and files that go with it."""

from __future__ import annotations

from pathlib import Path

from configurator.model.declarations import figure, operation, total
from configurator.model.knowledge import Failure, Trade, gather
from configurator.model.parts import Attribute, Family, Position
from configurator.model.references import condition, part, practice, vehicle
from configurator.model.vehicles import Condition, Measure, Practice

TYRES = Family(
    "tyres",
    "Tyres",
    (Position("tyres"), Position("spare tyre")),
    (
        Attribute("overall diameter", "", "mm", at_least=500.0, at_most=1200.0),
        Attribute("section width", "", "mm", required=False),
        Attribute("plies", "", kind="whole", required=False, at_least=1, at_most=20),
        Attribute("PCD", "", kind="text", required=False),
        Attribute("marks", "", kind="codes", required=False),
        Attribute("studded", "", kind="yes/no", required=False),
        Attribute("tread", "", kind="text", required=False, choices=("mud", "all terrain")),
        Attribute("fill", "", "%", required=False, at_least=0.0, at_most=100.0),
        Attribute("camber", "", "deg", required=False),
        Attribute("ratio", "", required=False, when_empty=1.0),
    ),
    pieces=4,
)
HOISTS = Family(
    "hoists",
    "Hoists",
    (Position("hoist"),),
    (
        Attribute("pull", "", "kN"),
        Attribute("reach", "", "mm", when_empty=50),
        Attribute("mounts", "", kind="codes", when_empty="M1 M2"),
    ),
    optional=True,
)


@figure("tyre radius", unit="mm", source="geometry")
def tyre_radius(d: float = part("tyres", "overall diameter")) -> float:
    return d / 2


@figure("engine speed", unit="rpm", source="geometry")
def engine_speed(
    d: float = part("tyres", "overall diameter"),
    v: float = condition("cruising speed"),
    k: float = practice("slip"),
) -> float:
    return 2 * v / d * k


@figure("lost figure", unit="mm", source="geometry")
def lost_figure(x: float = vehicle("a measure that nobody declares")) -> float:
    return x


@total("mass", unit="kg", start=vehicle("kerb mass"), source="definition")
def mass(m: float = part("tyres", "mass")) -> float:
    return m


@operation("fill the housing", hours=0.5, uses={"gear oil": 2.0})
def fill_the_housing(new: bool = part("tyres", "changed")) -> bool:
    return new


def small_trade(*failures: Failure) -> Trade:
    return gather(
        [TYRES, HOISTS],
        [
            Measure("wheelbase", "", "", "mm", at_least=1500.0, at_most=5000.0),
            Measure("kerb mass", "", "", "kg", default=2000.0),
            Measure("front suspension", "", "", kind="text", choices=("solid axle", "independent")),
            Measure("doors", "", "", kind="whole"),
            Measure("plugs", "", "", kind="codes", default="A B"),
        ],
        [Condition("cruising speed", "", "km/h", "100 km/h", at_least=0.0, at_most=300.0)],
        [Practice("slip", "", 0.95, "common practice", at_least=0.0, at_most=1.0)],
        [tyre_radius, engine_speed, lost_figure, mass, fill_the_housing],
        failures,
    )


ABOUT = """
title = "Lists of the test"
currency = "EUR"
price_date = 2026-10-01
source = "invented"
"""

WORKSHOP = """
title = "Bay 2"
rate = "92 EUR"
tax = "20 %"
[consumables]
"gear oil" = "14.50 EUR"
[practices]
slip = 0.9
"""

WAGON = """
title = "Wagon"
note = "two\\nlines"
[figures]
wheelbase = "112 in"
"front suspension" = "solid axle"
doors = 4
[fitted.tyres]
title = "worn tyres"
"overall diameter" = "29.5 in"
[fitted."spare tyre"]
title = "worn tyre"
"""

LIST = """part number;title;price [EUR];overall diameter [mm];position
A1;Tyre one;129,50;762;
A2;Tyre two;1.234,00;31.5 in;tyres
"""


def write_catalog(folder: Path) -> Path:
    """Write a sound catalog into a folder."""
    (folder / "vehicles").mkdir(parents=True)
    for name, text in (
        ("catalog.toml", ABOUT),
        ("workshop.toml", WORKSHOP),
        ("tyres.csv", LIST),
        ("vehicles/wagon.toml", WAGON),
    ):
        (folder / name).write_text(text, encoding="utf-8")
    return folder


JOB_WORDS = (
    "title", "vehicle", "catalogs", "budget", "currency", "vehicles", "workshop", "conditions",
    "goals", "fixed", "keep", "exclude", "measured", "positions", "parts", "tyres", "hoist",
    "at_least", "as_possible", "mass", '"cruising speed"', '"engine speed"', '"lost figure"',
    "wheelbase", "plugs", '"\\u0001"',
)  # fmt: skip
