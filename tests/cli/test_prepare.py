"""A job with long lists, made ready ahead of time: as a user does it."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from configurator.search.optimum import branch_and_bound, cp_sat, k_best
from tests.search.narrow import NARROW

GOAL = '[goals."clearance under the axle"]\nat_least = "340 mm"\n'


@pytest.fixture
def too_wide(monkeypatch, own_data, shop):
    monkeypatch.setenv("FITWRIGHT_DATA", str(own_data))
    (own_data / "circuits").unlink(missing_ok=True)
    shop.limits = replace(NARROW, apart_pairs=1, kept_from_rows=1, narrowed_rows=0)


def test_where_nothing_is_too_long_it_says_so(shop):
    ran = shop.run("exact-prices", shop.job())
    assert ran.status == 0
    assert "the lists were short enough as they are" in ran.out
    record = json.loads(shop.run("exact-prices", shop.job(), "--json").out)
    assert record["joined"] is False
    assert record["options"] == 7


def test_long_lists_are_joined_and_exact_from_then_on(shop, too_wide):
    job = shop.job(GOAL)
    before = shop.run("options", job)
    assert "fitwright exact-prices job.toml makes prices exact" in before.out.replace("\n", " ")
    assert json.loads(shop.run("exact-prices", job, "--json").out)["joined"] is True
    after = shop.run("options", job)
    assert "At least" not in after.out
    assert "at least" not in after.out.partition("tyres")[2]
    # Found on disk: nothing is left to be joined.
    assert "the lists were short enough as they are" in shop.run("exact-prices", job).out


def test_what_levels_cost_is_bounds_at_once_and_proven_on_demand(shop, too_wide):
    job = shop.job(GOAL)
    asked = ("trade-off", job, "--figure", "clearance under the axle")
    ran = shop.run(*asked)
    assert ran.status == 0
    assert "at least" in ran.out
    text = " ".join(ran.out.split())
    assert "fitwright exact-prices job.toml makes prices exact" in text
    assert "So does --exact, level by level" in text
    bounds = json.loads(shop.run(*asked, "--json").out)["levels"]
    assert not any(point["exact"] for point in bounds)
    exact = json.loads(shop.run(*asked, "--exact", "--json").out)["levels"]
    assert all(point["exact"] for point in exact)
    shop.run("exact-prices", job)
    joined = shop.run(*asked)
    assert "--exact" not in joined.out
    assert json.loads(shop.run(*asked, "--json").out)["levels"] == exact


def test_what_is_too_long_even_so_says_what_to_do(shop, too_wide):
    shop.limits = replace(shop.limits, conditioned_rows=2)
    ran = shop.run("exact-prices", shop.job(GOAL))
    assert ran.status == 2
    assert "too long to make every price exact" in ran.err
    assert "leave catalogs out of the job" in ran.err


def test_the_solver_proves_what_cases_do_not(shop, too_wide, monkeypatch):
    pytest.importorskip("ortools")
    cheapest = shop.run("find", shop.job(GOAL), "--json").out
    shop.limits = replace(shop.limits, cases_before_solver=0)
    asked = []
    solved = cp_sat.cheapest
    monkeypatch.setattr(cp_sat, "cheapest", lambda *given: asked.append(1) or solved(*given))
    ran = shop.run("find", shop.job(GOAL), "--json")
    assert json.loads(ran.out)["outcome"] == "found"
    assert ran.out == cheapest
    assert asked


def test_what_the_solver_leaves_open_is_said(shop, too_wide, monkeypatch):
    pytest.importorskip("ortools")
    shop.limits = replace(shop.limits, cases_before_solver=0)
    solved = cp_sat.cheapest

    def without_proof(*given):
        message = "its time was over"
        raise cp_sat.Failed(message, solved(*given), least=1)

    monkeypatch.setattr(cp_sat, "cheapest", without_proof)
    record = json.loads(shop.run("find", shop.job(GOAL), "--json").out)
    assert record["outcome"] == "best found"
    least = record["no_package_below"]["amount"]
    price = record["packages"][0]["price"]["amount"]
    assert 0 < float(least) < float(price)
    shown = " ".join(shop.run("find", shop.job(GOAL)).out.split())
    gap = f"{float(price) - float(least):,.2f} EUR"
    assert f"as is proven: it may be {gap} too dear, no more." in shown


def test_where_it_is_not_installed_that_is_said(shop, too_wide, monkeypatch):
    def undecided(*_, **__):
        raise branch_and_bound.Undecided(5000)

    monkeypatch.setattr(k_best, "numbers_in_order", undecided)
    monkeypatch.setattr(k_best, "in_order", undecided)
    advice = "pip install ortools"
    ran = shop.run("find", shop.job(GOAL))
    assert "none of them a package; there may be one" in " ".join(ran.out.split())
    assert advice not in ran.out
    monkeypatch.setattr(cp_sat, "there", lambda: False)
    assert advice in shop.run("find", shop.job(GOAL)).out.replace("\n", " ")
