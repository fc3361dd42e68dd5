"""All parts within so many days: what is left out, why, what helps, and what nobody knows."""

from __future__ import annotations

import json

import pytest

TYRES = (
    "part number,title,price [EUR],overall diameter [mm],maker code,lead time [day]\n"
    "T-70,Tyre of seventy,100,700,A,2\n"
    "T-80,Tyre of eighty,150,800,A,35\n"
    "T-85,Tyre of eighty-five,190,850,A,\n"
    "T-90,Tyre of ninety,200,900,A,20\n"
)
HUBS = (
    "part number,title,price [EUR],drop [mm],lead time [day]\n"
    "H-50,Hubs with a drop,900,50,14\nH-60,Hubs with more,950,60,60\n"
)
TALL = '[goals."clearance under the axle"]\nat_least = "{} mm"\n'


@pytest.fixture
def slow(shop):
    shop.write("catalogs/shop/tyres.csv", TYRES)
    shop.write("catalogs/shop/hubs.csv", HUBS)
    cart = shop.folder / "catalogs" / "shop" / "vehicles" / "cart.toml"
    cart.write_text(cart.read_text("utf-8").replace("430 mm", "500 mm"), "utf-8")
    return shop


def job(shop, days, goal=300, more=""):
    return shop.job(f'parts_within = "{days}"\n{more}{TALL.format(goal)}')


def test_parts_that_take_longer_are_left_out(slow):
    free = json.loads(slow.run("find", slow.job(TALL.format(300)), "--json").out)
    assert free["packages"][0]["parts"]["tyres"] == "shop/T-80"
    record = json.loads(slow.run("find", job(slow, "30 days"), "--json").out)
    assert record["parts_within_days"] == 30
    (package,) = record["packages"]
    assert package["parts"]["tyres"] == "shop/T-85"
    unknown = [
        unchecked
        for unchecked in record["not_checked"]
        if unchecked["rule"] == "all parts in within 30 days"
    ]
    assert unknown[0]["why"] == "no list gives a lead time for tyres; ask the maker"


def test_the_console_says_what_was_asked_and_what_is_not_known(slow):
    text = " ".join(slow.run("find", job(slow, "4 weeks")).out.split())
    assert "All parts in within 28 days; the work comes on top" in text
    assert "no list gives a lead time for tyres" in text


def test_options_say_how_long_a_part_takes(slow):
    asked = job(slow, "30 days")
    record = json.loads(slow.run("options", asked, "--position", "tyres", "--json").out)
    tyres = {tyre["part"]: tyre for tyre in record["positions"]["tyres"]}
    assert (tyres["shop/T-80"]["wait_days"], tyres["shop/T-80"]["too_late"]) == (35, True)
    assert (tyres["shop/T-80"]["state"], tyres["shop/T-85"]["too_late"]) == ("impossible", False)
    assert tyres["shop/T-80"]["if_freed"]["amount"] == "600.00"
    assert "in after 35 days" in slow.run("options", asked).out


def test_why_names_the_wait_and_how_many_days_would_do(slow):
    ran = slow.run("why", job(slow, "30 days"), "--part", "shop/T-80", "--json")
    record = json.loads(ran.out)["positions"]["tyres"]
    assert ran.status == 3
    wait = next(reason for reason in record["conflict"] if "all parts in" in reason["name"])
    assert (wait["has"], wait["needs"], wait["bound"], wait["unit"]) == (35, 30, "at most", "day")
    assert wait["says"] == (
        "all parts in within 30 days: the other goals need parts that take 35 days or more"
    )
    (repair,) = record["repair"]
    assert repair["give_up"][0]["kind"] == "parts within"
    assert (repair["give_up"][0]["asked"], repair["give_up"][0]["nearest"]) == (30, 35)
    assert "wait 35 days instead of 30 until all parts are in" in repair["says"]


def test_where_nothing_is_there_in_time_accepting_the_least_wait_is_a_way_out(slow):
    # 395 mm take hubs and a tyre of 900 mm: 20 days with the hubs of 14 days.
    ran = slow.run("find", job(slow, "10 days", 395), "--json")
    record = json.loads(ran.out)
    assert (ran.status, record["outcome"]) == (3, "nothing fits")
    says = [repair["says"] for repair in record["repair"]]
    assert any(say.startswith("wait 20 days instead of 10 until all parts are in") for say in says)
    again = json.loads(slow.run("find", job(slow, "20 days", 395), "--json").out)
    assert again["outcome"] == "found"


def test_what_lies_on_the_shelf_is_there(slow):
    slow.write(
        "catalogs/own/catalog.toml",
        'title = "Own"\ncurrency = "EUR"\nprice_date = 2026-10-01\nsource = "invented"\n',
    )
    for stock, tyre in ((3, "shop/T-85"), (4, "shop/T-80")):
        slow.write("catalogs/own/overrides.csv", f"catalog,part number,stock\nshop,T-80,{stock}\n")
        asked = job(slow, "30 days")
        text = (slow.folder / "job.toml").read_text("utf-8").replace('["shop"]', '["shop", "own"]')
        (slow.folder / "job.toml").write_text(text, "utf-8")
        record = json.loads(slow.run("find", asked, "--json").out)
        assert record["packages"][0]["parts"]["tyres"] == tyre


def test_every_sheet_says_what_was_asked_and_what_nobody_knows(slow):
    asked = job(slow, "30 days")
    quoted = slow.run("quote", asked).out
    assert "all parts in within 30 days of ordering; the work comes on top" in quoted
    assert "Delivery time not known for tyres" in quoted
    for sheet in ("build-sheet", "handover"):
        out = slow.run(sheet, asked).out
        assert "no list gives a lead time for tyres; ask the maker" in out, sheet


@pytest.mark.parametrize(
    ("written", "message"),
    [
        ('"36 hours"', "no whole number of days"),
        ("21", "has no unit"),
        ('"5 kg"', "kg"),
        ('"-1 days"', "parts_within"),
    ],
)
def test_what_is_no_number_of_days_is_refused(slow, written, message):
    ran = slow.run("find", slow.job(f"parts_within = {written}\n"))
    assert ran.status == 2
    assert message in ran.err
    assert "parts_within" in ran.err
