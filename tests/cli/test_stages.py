"""``fitwright stages`` as a person gives it."""

from __future__ import annotations

import json

GOAL = '[goals."clearance under the axle"]\nat_least = "345 mm"\n[exclude]\nparts = ["shop/T-90"]\n'


def test_two_stages_and_what_belongs_together(shop):
    ran = shop.run("stages", shop.job(GOAL), "--budgets", "700 EUR, 1,000 EUR")
    assert ran.status in (0, 3), ran.err
    assert "What must be fitted together" in ran.out


def test_the_same_as_data(shop):
    ran = shop.run("stages", shop.job(GOAL), "--budgets", "3000 EUR; 3,000 EUR", "--json")
    record = json.loads(ran.out)
    assert record["proven"] is True
    assert len(record["stages"]) == 2
    parts = [set(stage["parts"]) for stage in record["stages"]]
    assert not parts[0] & parts[1]


def test_budgets_that_are_none_are_refused(shop):
    for wrong in ("much", "6000", "100 USD", "1.000,5 EUR EUR"):
        ran = shop.run("stages", shop.job(GOAL), "--budgets", wrong)
        assert ran.status == 2, (wrong, ran.out)
        assert "--budgets" in ran.err
