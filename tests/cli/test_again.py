"""``fitwright again``: as last time, with what has to change."""

from __future__ import annotations

import json

GOAL = '[goals."clearance under the axle"]\nat_least = "{level} mm"\n'


def test_what_changes_since_a_file(shop):
    first = shop.run("find", shop.job(GOAL.format(level=245)), "--json")
    shop.write("before.json", first.out)
    ran = shop.run(
        "again",
        shop.job(GOAL.format(level=295), "new.toml"),
        "--like",
        str(shop.folder / "before.json"),
    )
    assert ran.status == 0, ran.err
    # 700 mm across and hubs that drop 50 mm change less than tyres of 800 mm do; both change one.
    assert ran.out.startswith("Fewest changes: 1 change")
    assert "becomes" in ran.out


def test_nothing_changes_where_the_goals_are_the_same(shop):
    job = shop.job(GOAL.format(level=245))
    shop.write("before.json", shop.run("find", job, "--json").out)
    ran = shop.run("again", job, "--like", str(shop.folder / "before.json"), "--json")
    (package,) = json.loads(ran.out)["packages"]
    assert package["changes"] == {}


def test_files_and_numbers_that_are_none_are_refused(shop, monkeypatch):
    monkeypatch.setenv("FITWRIGHT_DATA", str(shop.folder / "data"))
    monkeypatch.delenv("FITWRIGHT_DATABASE", raising=False)
    job = shop.job()
    wrong = shop.write("wrong.json", "[1, 2")
    for like in (str(wrong), "2026-0099"):
        ran = shop.run("again", job, "--like", like)
        assert ran.status == 2, ran.out
        assert ran.err
