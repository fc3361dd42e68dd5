"""What to measure on a vehicle, and what hangs on it."""

from __future__ import annotations

import json


def test_every_measure_with_how_and_the_rules_on_it(shop):
    ran = shop.run("measures", "--json")
    assert ran.status == 0
    assert json.loads(ran.out) == [
        {
            "measure": "arch room",
            "meaning": "From the wheel centre to the arch.",
            "how": "tape",
            "unit": "mm",
            "default": None,
            "tolerance": "",
            "tolerance_source": "",
            "rules": ["the tyre clears the arch"],
        }
    ]
    assert "arch room" in shop.run("measures").out


def test_only_what_a_vehicle_does_not_say(shop):
    assert json.loads(shop.run("measures", "--vehicle", "shop/cart", "--json").out) == []
    path = shop.folder / "catalogs/shop/vehicles/cart.toml"
    path.write_text(path.read_text(encoding="utf-8").replace('"arch room" = "430 mm"', ""), "utf-8")
    out = shop.run("measures", "--vehicle", "shop/cart").out
    assert out.startswith("1 measure that shop/cart does not say")
    for name, text in (("cart", "is not a vehicle"), ("shop/crt", "there is no vehicle 'crt'")):
        ran = shop.run("measures", "--vehicle", name)
        assert ran.status == 2
        assert text in ran.err
