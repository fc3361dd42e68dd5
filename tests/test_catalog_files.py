"""Part lists, catalogs, workshop settings and vehicles: what is read, and what is refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from configurator import catalog_files
from configurator.errors import InputError
from configurator.parts import Attribute, Family, Missing, Position
from configurator.rules import condition, figure, operation, part, practice, total, vehicle
from configurator.trade import Trade, gather
from configurator.vehicles import Condition, Measure, Practice


def small_trade() -> Trade:
    """Declare a trade of two families, one of them optional."""
    tyres = Family(
        "tyres",
        "Tyres",
        (Position("tyres"), Position("spare tyre")),
        (
            Attribute("overall diameter", "", "mm", at_least=500.0, at_most=1200.0),
            Attribute("section width", "", "mm", required=False),
            Attribute("plies", "", kind="whole", required=False, at_least=1, at_most=20),
            Attribute("bolt circle", "", kind="text", required=False),
            Attribute("marks", "", kind="codes", required=False),
            Attribute("studded", "", kind="yes/no", required=False),
            Attribute("tread", "", kind="text", required=False, choices=("mud", "all terrain")),
            Attribute("fill", "", "%", required=False, at_least=0.0, at_most=100.0),
            Attribute("ratio", "", required=False, when_empty=1.0),
        ),
        pieces=4,
    )
    hoists = Family(
        "hoists",
        "Hoists",
        (Position("hoist"),),
        (Attribute("pull", "", "kN"),),
        optional=True,
    )

    @figure("tyre radius", unit="mm", source="geometry")
    def radius(d: float = part("tyres", "overall diameter")) -> float:
        return d / 2

    @figure("engine speed", unit="rpm", source="geometry")
    def engine_speed(
        r: float = part("tyres", "overall diameter"),
        v: float = condition("cruising speed"),
        k: float = practice("slip"),
    ) -> float:
        return v / r * k

    @total("mass", unit="kg", start=vehicle("kerb mass"), source="definition")
    def mass(m: float = part("tyres", "mass")) -> float:
        return m

    @operation("fill the housing", hours=0.5, uses={"gear oil": 2.0})
    def fill(new: bool = part("tyres", "changed")) -> bool:
        return new

    return gather(
        [tyres, hoists],
        [
            Measure("wheelbase", "", "", "mm", at_least=1500.0, at_most=5000.0),
            Measure("kerb mass", "", "", "kg", default=2000.0),
            Measure("front suspension", "", "", kind="text", choices=("solid axle", "independent")),
            Measure("doors", "", "", kind="whole"),
            Measure("plugs", "", "", kind="codes", default="A B"),
        ],
        [Condition("cruising speed", "", "km/h", "100 km/h", at_least=0.0, at_most=300.0)],
        [Practice("slip", "", 0.95, "common practice", at_least=0.0, at_most=1.0)],
        [radius, engine_speed, mass, fill],
    )


TRADE = small_trade()

ABOUT = """
title = "Lists of the test"
currency = "EUR"
price_date = 2026-10-01
source = "invented"
"""

VEHICLE = """
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

TYRES = """part number;title;price [EUR];overall diameter [mm]
A1;Tyre one;129,50;762
A2;Tyre two;1.234,00;31.5 in
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    home = tmp_path / "lists"
    (home / "vehicles").mkdir(parents=True)
    (home / "catalog.toml").write_text(ABOUT, encoding="utf-8")
    (home / "tyres.csv").write_text(TYRES, encoding="utf-8")
    (home / "vehicles" / "wagon.toml").write_text(VEHICLE, encoding="utf-8")
    return home


def test_smoke(folder: Path) -> None:
    catalog = catalog_files.read_catalog(folder, TRADE)
    assert [p.price for p in catalog.parts["tyres"]] == [12950, 123400]
    assert [p.values["overall diameter"] for p in catalog.parts["tyres"]] == [0.762, 0.8001]
    assert catalog.parts["tyres"][0].values["ratio"] is Missing.UNKNOWN
    wagon = catalog_files.read_vehicle(folder, "wagon", TRADE)
    assert wagon.values["wheelbase"] == 2.8448
    with pytest.raises(InputError):
        catalog_files.read_vehicle(folder, "nope", TRADE)
