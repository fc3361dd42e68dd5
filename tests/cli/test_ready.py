"""``fitwright ready`` as a person gives it."""

from __future__ import annotations

import json

TYRES = (
    "part number,title,price [EUR],overall diameter [mm],maker code,lead time [day]\n"
    "T-70,Tyre of seventy,100,700,A,10\nT-80,Tyre of eighty,150,800,A,1\n"
)
GOAL = '[goals."clearance under the axle"]\nat_least = "245 mm"\n[exclude]\nparts = ["shop/H-50"]\n'


def test_an_earlier_day_costs_what_the_sooner_parts_cost(shop):
    """The cheap tyre takes ten days, the dear one a day; no work is declared for tyres."""
    shop.write("catalogs/shop/tyres.csv", TYRES)
    day = ("--ordered", "2026-12-07")
    ran = shop.run("ready", shop.job(GOAL), *day, "--by", "2026-12-18")
    assert ran.status == 0, ran.err
    assert "2026-12-08  600.00 EUR" in ran.out
    assert "2026-12-17  400.00 EUR" in ran.out
    assert "Ready on 2026-12-08 instead, it costs 200.00 EUR more." in ran.out
    record = json.loads(shop.run("ready", shop.job(GOAL), *day, "--json").out)
    assert [date["price"]["amount"] for date in record["dates"]] == ["600.00", "400.00"]


def test_a_day_that_cannot_be_kept_is_said_with_the_earliest(shop):
    shop.write("catalogs/shop/tyres.csv", TYRES)
    ran = shop.run("ready", shop.job(GOAL), "--ordered", "2026-12-07", "--by", "2026-12-07")
    assert ran.status == 3
    assert "the earliest is 2026-12-08, for 600.00 EUR" in ran.out


def test_days_that_make_no_sense_are_refused(shop):
    for wrong in (("--by", "2020-01-01"), ("--by", "9999-01-01"), ("--by", "tomorrow")):
        ran = shop.run("ready", shop.job(GOAL), *wrong)
        assert ran.status == 2, wrong
        assert "--by" in ran.err
