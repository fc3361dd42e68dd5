"""What is still possible, what it costs, and why not."""

from __future__ import annotations

import json

GOAL = 'budget = "1900 EUR"\n[goals."clearance under the axle"]\nat_least = "340 mm"\n'


def states(ran):
    return {
        position: {option["part"]: option for option in load}
        for position, load in json.loads(ran.out)["positions"].items()
    }


def test_every_option_of_every_position_has_a_state(shop):
    ran = shop.run("options", shop.job(GOAL), "--json")
    states_now = states(ran)
    assert ran.status == 0
    assert {part: option["state"] for part, option in states_now["tyres"].items()} == {
        "fitted": "impossible",
        "shop/T-70": "impossible",
        "shop/T-80": "available",
        "shop/T-90": "over budget",
        "shop/T-X": "impossible",
    }
    assert set(states_now["hubs"]) == {None, "shop/H-50"}
    assert states_now["tyres"]["shop/T-80"]["cheapest_package"] == {
        "amount": "1799.00",
        "currency": "EUR",
    }
    assert states_now["tyres"]["shop/T-90"]["cheapest_package"]["amount"] == "1999.00"
    assert states_now["tyres"]["shop/T-X"]["cheapest_package"] is None


def test_one_position_only(shop):
    assert list(states(shop.run("options", shop.job(GOAL), "--position", "hubs", "--json"))) == [
        "hubs"
    ]


def test_what_is_decided_otherwise_is_told_apart_from_what_is_impossible(shop):
    job = shop.job('[fixed]\ntyres = "shop/T-80"\n')
    state = states(shop.run("options", job, "--json"))["tyres"]
    assert state["shop/T-70"]["state"] == "impossible"
    assert state["shop/T-70"]["if_freed"]["amount"] == "400.00"
    assert "if unlocked: 400.00 EUR" in shop.run("options", job).out


def test_options_say_when_nothing_fits(shop):
    job = shop.job('[goals."clearance under the axle"]\nat_least = "450 mm"\n')
    assert shop.run("options", job).status == 3


def test_why_not_this_part(shop):
    ran = shop.run("why", shop.job(GOAL), "--part", "shop/T-X", "--json")
    record = json.loads(ran.out)
    assert ran.status == 3
    assert record["possible"] is False
    names = [reason["name"] for reason in record["positions"]["tyres"]["conflict"]]
    assert "tyres of this make suit the rims" in names


def test_why_not_a_part_that_is_possible(shop):
    ran = shop.run("why", shop.job(GOAL), "--part", "T-80", "--json")
    record = json.loads(ran.out)
    assert (ran.status, record["possible"]) == (0, True)
    assert record["positions"]["tyres"]["cheapest_package"]["amount"] == "1799.00"


def test_why_the_present_part_cannot_stay(shop):
    ran = shop.run("why", shop.job(GOAL), "--part", "fitted", "--position", "tyres")
    assert ran.status == 3
    assert "with everything else you want, no more than 280 mm" in ran.out


def test_why_on_a_job_that_can_be_met(shop):
    ran = shop.run("why", shop.job(GOAL))
    assert ran.status == 0
    assert "The cheapest package costs 1,799.00 EUR" in ran.out


def test_names_that_are_not_known(shop):
    job = shop.job(GOAL)
    for arguments, text in (
        (["options", job, "--position", "tires"], "did you mean 'tyres'?"),
        (["why", job, "--part", "shop/T-8"], "did you mean 'shop/T-80'?"),
        (["why", job, "--part", "fitted"], "add --position NAME"),
        (["why", job, "--part", "H-50", "--position", "tyres"], "it goes to: hubs"),
        (["why", job, "--position", "tyres"], "needs --part"),
    ):
        ran = shop.run(*arguments)
        assert (ran.status, ran.out) == (2, "")
        assert text in ran.err
