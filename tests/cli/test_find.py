"""What `fitwright find` answers, as data and in words."""

from __future__ import annotations

import json

import pytest

FITS = 'budget = "2000 EUR"\n[goals."clearance under the axle"]\nat_least = "340 mm"\n'
TOO_DEAR = 'budget = "1000 EUR"\n[goals."clearance under the axle"]\nat_least = "345 mm"\n'
TOO_HIGH = '[goals."clearance under the axle"]\nat_least = "450 mm"\n'


def test_find_says_the_cheapest_package_as_data(shop):
    ran = shop.run("find", shop.job(FITS), "--json")
    record = json.loads(ran.out)
    assert (ran.status, ran.err) == (0, "")
    assert record["outcome"] == "found"
    assert record["conflict"] == record["repair"] == []
    assert [unchecked["rule"] for unchecked in record["not_checked"]] == ["local rules"]
    (package,) = record["packages"]
    # 4 tyres at 150, hubs at 900, 3 hours at 90 and 2 litres at 14.50; by hand.
    assert package["price"] == {"amount": "1799.00", "currency": "EUR"}
    assert package["parts"] == {"tyres": "shop/T-80", "hubs": "shop/H-50"}
    assert package["figures"]["clearance under the axle"] == {"value": 350.0, "unit": "mm"}
    assert package["goals"] == [
        {
            "figure": "clearance under the axle",
            "at_least": 340.0,
            "at_most": None,
            "value": 350.0,
            "unit": "mm",
            "met": True,
            "decided_by": "",
        }
    ]
    assert package["work"]["hours"] == 3.0
    assert len(package["cautions"]) == 1
    assert "The hubs were changed: The wheels sit lower." in package["cautions"][0]
    assert package["not_priced"] == ["sealant: the settings of the workshop give no price"]
    assert record["catalogs"][0]["price_date"] == "2026-10-01"
    assert "no approval" in record["notice"]


def test_empty_and_fitted_positions_are_null_and_fitted(shop):
    record = json.loads(shop.run("find", shop.job(), "--json").out)
    assert record["packages"][0]["parts"] == {"tyres": "fitted", "hubs": None}
    assert record["packages"][0]["price"]["amount"] == "0.00"


def test_find_lists_more_packages_in_order_of_price(shop):
    record = json.loads(shop.run("find", shop.job(FITS), "--cheapest", "5", "--json").out)
    prices = [package["price"]["amount"] for package in record["packages"]]
    assert prices == ["1799.00", "1999.00"]


def test_a_conflict_and_its_repairs_as_data(shop):
    ran = shop.run("find", shop.job(TOO_DEAR), "--json")
    record = json.loads(ran.out)
    assert ran.status == 3
    assert (record["outcome"], record["packages"]) == ("nothing fits", [])
    # Only money is in the way: what clashes is worked out where somebody asks why.
    clearance, budget, arch = json.loads(shop.run("why", shop.job(TOO_DEAR), "--json").out)[
        "conflict"
    ]
    assert (clearance["has"], clearance["needs"], clearance["unit"]) == (300.0, 345.0, "mm")
    assert (budget["has"], budget["needs"], budget["unit"]) == (1799.0, 1000.0, "EUR")
    assert (arch["name"], arch["source"]) == ("the tyre clears the arch", "geometry")
    assert arch["because"] == "mud needs room as well"
    assert {"arch room of the vehicle", "drop of the hubs"} <= {
        read["name"] for read in arch["inputs"]
    }
    give_up = [[wish["kind"] for wish in repair["give_up"]] for repair in record["repair"]]
    assert sorted(give_up) == [["at least"], ["budget"]]
    raised = next(r for r in record["repair"] if r["give_up"][0]["kind"] == "budget")
    assert raised["give_up"][0]["nearest"] == 1799.0
    assert raised["price"] == {"amount": "1799.00", "currency": "EUR"}


def test_a_number_that_misses_nothing_is_not_given_as_the_reason(shop):
    # Within the budget no tyre of 900 mm has room; with hubs, over the budget, it would have.
    record = json.loads(shop.run("why", shop.job(TOO_DEAR), "--json").out)
    assert record["conflict"]
    for reason in record["conflict"]:
        if reason["has"] is not None:
            short = reason["has"] < reason["needs"]
            assert short if reason["bound"] == "at least" else reason["has"] > reason["needs"]


def test_a_broken_limit_is_said_in_numbers(shop):
    ran = shop.run("why", shop.job('[fixed]\nhubs = "none"\n'), "--part", "T-90")
    assert ran.status == 3
    assert "the tyre clears the arch: −20 mm at best, minimum 20 mm (source: geometry)" in ran.out
    assert "because mud needs room as well" in ran.out


@pytest.mark.parametrize(("more", "status"), [(FITS, 0), (TOO_DEAR, 3), (TOO_HIGH, 3)])
def test_every_output_says_where_its_prices_are_from_and_that_it_is_no_approval(shop, more, status):
    job = shop.job(more)
    for command in ("find", "options", "why"):
        ran = shop.run(command, job)
        assert ran.status == status
        assert "prices of 2026-10-01, source: invented" in ran.out
        assert "are no approval" in ran.out


def test_a_shown_package_carries_its_caution_and_what_was_not_priced(shop):
    out = shop.run("find", shop.job(FITS)).out
    assert "Needs approval by a licensed engineer" in out
    assert "sealant: the settings of the workshop give no price" in out


def test_what_was_not_checked_is_said(shop):
    shop.write(
        "plugins/cart.py",
        (shop.folder / "plugins/cart.py").read_text().replace('"arch room"', '"room"', 1),
    )
    ran = shop.run("find", shop.job())
    # The vehicle's file names a measure that nobody declares any more.
    assert (ran.status, ran.out) == (2, "")
    assert "arch room" in ran.err
    vehicle = shop.folder / "catalogs/shop/vehicles/cart.toml"
    vehicle.write_text(vehicle.read_text().replace('"arch room" = "430 mm"\n', ""))
    ran = shop.run("find", shop.job())
    assert "Not checked" in ran.out
    assert "the tyre clears the arch" in ran.out.split("Not checked")[1]


def test_imperial_units_on_wish(shop):
    job = shop.job(FITS)
    shown = shop.run("--units", "imperial", "find", job)
    assert "13.78 in" in shown.out
    goal = json.loads(shop.run("--units", "imperial", "find", job, "--json").out)["packages"][0]
    assert goal["figures"]["clearance under the axle"]["unit"] == "in"
    assert goal["figures"]["clearance under the axle"]["value"] == pytest.approx(350 / 25.4)
