"""``fitwright stages`` as a person gives it."""

from __future__ import annotations

import json

GOAL = '[goals."clearance under the axle"]\nat_least = "345 mm"\n[exclude]\nparts = ["shop/T-90"]\n'
LOW = '[goals."clearance under the axle"]\nat_least = "300 mm"\n'


def test_two_stages_and_what_belongs_together(shop):
    ran = shop.run("stages", shop.job(GOAL), "--budgets", "700 EUR, 1,000 EUR")
    assert ran.status in (0, 3), ran.err
    assert "What can be fitted by itself, and what only together" in ran.out


def test_the_same_as_data(shop):
    ran = shop.run("stages", shop.job(GOAL), "--budgets", "3000 EUR; 3,000 EUR", "--json")
    record = json.loads(ran.out)
    assert record["proven"] is True
    assert len(record["stages"]) == 2
    parts = [set(stage["parts"]) for stage in record["stages"]]
    assert not parts[0] & parts[1]
    assert record["packages_looked_at"] == 1
    before, after = (stage["goals_met"] for stage in record["stages"])
    assert record["stages"][1]["goals_met_before"] == before
    assert len(after) == 1


def test_budgets_that_are_none_are_refused(shop):
    for wrong in ("much", "6000", "100 USD", "1.000,5 EUR EUR"):
        ran = shop.run("stages", shop.job(GOAL), "--budgets", wrong)
        assert ran.status == 2, (wrong, ran.out)
        assert "--budgets" in ran.err


def test_the_budget_of_the_job_does_not_stand_in_the_way_of_the_stages(shop):
    asked = 'budget = "10 EUR"\n' + GOAL
    ran = shop.run("stages", shop.job(asked), "--budgets", "3000 EUR; 3,000 EUR", "--json")
    assert len(json.loads(ran.out)["stages"]) == 2


def test_which_of_several_packages_was_split_is_said(shop):
    ran = shop.run("stages", shop.job(LOW), "--budgets", "9000 EUR", "--packages", "3")
    assert "cheapest packages the cheapest is the best to split" in ran.out
    ran = shop.run("stages", shop.job(LOW), "--budgets", "1 EUR", "--packages", "3")
    assert ran.status == 3
    assert "cheapest packages can be built within these budgets; this is the cheapest" in ran.out
    assert "cannot be built within these budgets" in ran.out


def test_no_budget_at_all_is_refused(shop):
    ran = shop.run("stages", shop.job(GOAL), "--budgets", " ; ")
    assert ran.status == 2
    assert "there is no amount" in ran.err
