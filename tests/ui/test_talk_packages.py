"""Packages of the talk without a browser: alternatives, compared, held, gone on with."""

from __future__ import annotations

from dataclasses import replace

from tests.ui.apps import shown, tap


def test_alternatives_are_compared_in_one_tap_and_only_what_differs_stands_there(visit):
    shown(visit)
    tap(visit, "own", name="budget", text="7000")
    tap(visit, "others")
    data = shown(visit)
    assert data["alternatives"]["cards"]
    tap(visit, "hold other", number=1)
    compare = shown(visit)["compare"]
    assert len(compare["names"]) == 2, "the cheapest comes along to be compared with"
    for row in compare["rows"]:
        assert row["differs"] or row["name"] in ("Total", "Meets the goals")
    total = compare["rows"][0]
    assert total["cells"][1]["off"].startswith("+€")
    assert total["cells"][1]["mark"] == "worse"
    held = [dict(package.choice) for package in visit.beside]
    tap(visit, "take held", number=1)
    shown(visit)
    chosen = visit.talk.cheapest().choice
    assert {p: o.key for p, o in chosen.items()} == {p: o.key for p, o in held[1].items()}
    tap(visit, "drop", number=0)
    assert len(visit.beside) == 1


def test_four_packages_at_most_are_compared_each_once_and_under_names_of_their_own(visit):
    shown(visit)
    tap(visit, "hold")
    tap(visit, "hold")
    assert len(visit.beside) == 1
    for budget in ("9000", "9100", "9200"):
        tap(visit, "own", name="budget", text=budget)
    tap(visit, "rename", number=0, text="  First   idea ")
    assert visit.beside[0].name == "First idea"


def test_a_job_over_another_vehicle_is_said_not_to_compare(visit):
    shown(visit)
    tap(visit, "hold")
    visit.beside[0] = replace(visit.beside[0], vehicle="demo/another")
    gone = shown(visit)["compare"]["gone"]
    assert gone[0]["words"] == "It is for another vehicle: demo/another."
