"""Look parts up in the catalogs, as a user does."""

from __future__ import annotations

import json

GOAL = 'budget = "1900 EUR"\n[goals."clearance under the axle"]\nat_least = "340 mm"\n'


def test_parts_by_family_and_condition(shop):
    ran = shop.run("parts", "--family", "tyres", "--where", "overall diameter >= 800 mm")
    assert ran.status == 0
    assert "Tyres: 2 parts" in ran.out
    assert "shop/T-80" in ran.out
    assert "shop/T-70" not in ran.out
    assert "prices of 2026-10-01" in ran.out


def test_whether_they_fit_and_what_the_package_costs(shop):
    ran = shop.run("parts", "--family", "tyres", "--fits", shop.job(GOAL), "--json")
    fits = {part["part"]: part["fits"]["tyres"] for part in json.loads(ran.out)["parts"]}
    assert fits["shop/T-80"] == {
        "state": "available",
        "cheapest_package": {"amount": "1799.00", "currency": "EUR"},
        "exact": True,
    }
    assert fits["shop/T-90"]["state"] == "over budget"
    assert fits["shop/T-X"] == {"state": "impossible", "cheapest_package": None, "exact": True}
    ran_fits = shop.run("parts", "--where", "overall diameter = 800 mm", "--fits", shop.job(GOAL))
    assert "available" in ran_fits.out
    assert "1,799.00 EUR" in ran_fits.out


def test_a_shops_own_price_says_where_it_is_from(shop):
    about = (shop.folder / "catalogs/shop/catalog.toml").read_text(encoding="utf-8")
    shop.write("catalogs/above/catalog.toml", about)  # sorted before the list that it changes
    shop.write(
        "catalogs/above/overrides.csv",
        "catalog,part number,price,stock,hidden\nshop,T-80,140,3,\nshop,T-X,,,yes\nshop,T-9,1,,\n",
    )
    ran = shop.run("parts", "--family", "tyres")
    assert "shop/T-80: price, stock from above/overrides.csv row 2" in ran.out
    assert "T-X" not in ran.out
    assert "warning: above/overrides.csv row 4: changes 'shop/T-9'" in ran.err
    (in_stock,) = json.loads(shop.run("parts", "--where", "stock > 0", "--json").out)["parts"]
    assert (in_stock["part"], in_stock["price"]["amount"], in_stock["stock"]) == (
        "shop/T-80",
        "140.00",
        3,
    )
    # Without the shop's catalog, the list's own price.
    plain = json.loads(shop.run("parts", "--catalog", "shop", "--json").out)["parts"]
    assert {p["part"]: p["price"]["amount"] for p in plain}["shop/T-80"] == "150.00"


def test_nothing_found_and_bad_conditions(shop):
    ran = shop.run("parts", "--where", "overall diameter > 5 m")
    assert (ran.status, ran.out.splitlines()[0]) == (
        3,
        "No part in the catalogs meets these conditions.",
    )
    for arguments, text in (
        (["--where", "rubbish"], "'rubbish' is no condition"),
        (["--where", "diameter > 5 mm"], "there is no attribute 'diameter'"),
        (["--family", "tires"], "did you mean 'tyres'?"),
        (["--catalog", "shop", "--fits", shop.job()], "the job of --fits names its catalogs"),
        (["--catalog", "shp"], "did you mean 'shop'?"),
    ):
        ran = shop.run("parts", *arguments)
        assert (ran.status, ran.out) == (2, "")
        assert text in ran.err
