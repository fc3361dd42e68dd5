"""``fitwright save`` and ``fitwright saved``, as a workshop uses them, on both databases."""

from __future__ import annotations

import json
import re
from typing import TYPE_CHECKING, Any

import pytest

from configurator.store.access import add_measurement, keep_quotation, measurements, open_store
from tests.cli.conftest import FILES, PLUGIN

if TYPE_CHECKING:
    from pathlib import Path

    from tests.cli.conftest import Shop

GOAL = '[goals."clearance under the axle"]\nat_least = "300 mm"\n'
TYRES = FILES["catalogs/shop/tyres.csv"]


def keep(shop: Shop, *more: str, job: str | None = None) -> str:
    """Keep a job and return the number of its quotation."""
    ran = shop.run("save", job or shop.job(GOAL), "--json", *more)
    assert ran.status == 0, ran.err
    return str(json.loads(ran.out)["kept"]["number"])


def look(shop: Shop, number: str, *more: str) -> dict[str, Any]:
    ran = shop.run("saved", number, "--json", *more)
    assert ran.status == 0, ran.err
    record: dict[str, Any] = json.loads(ran.out)
    return record


def says(record: dict[str, Any]) -> list[str]:
    return [change["says"] for change in record["since"]["changes"]]


def test_what_was_kept_is_listed_and_shown(kept_shop: Shop) -> None:
    empty = kept_shop.run("saved")
    assert (empty.status, empty.out[:21]) == (0, "Nothing was saved yet")
    ran = kept_shop.run("save", kept_shop.job(GOAL))
    assert re.match(r"Saved as \d{4}-0001: Over the ford, 600\.00 EUR for one vehicle", ran.out)
    number = ran.out.split()[2].rstrip(":")
    listed = kept_shop.run("saved").out
    assert all(word in listed for word in (number, "anna", "Over the ford", "600.00 EUR"))
    shown = kept_shop.run("saved", number).out
    assert "Tyre :smile: of eighty  shop/T-80" in shown
    assert "clearance under the axle at least 300 mm: 300 mm" in shown
    assert "Changed since\nNothing.\nThe same parts cost 600.00 EUR today." in shown
    assert "11.81 in" in kept_shop.run("--units", "imperial", "saved", number).out


def test_a_snapshot_says_what_it_rests_on(kept_shop: Shop) -> None:
    record = look(kept_shop, keep(kept_shop, "--reasons"))["snapshot"]
    assert record["format"] == 1
    assert record["package"]["price"] == {"amount": "600.00", "currency": "EUR"}
    assert record["package"]["figures"]["clearance under the axle"] == {
        "value": 300.0,
        "unit": "mm",
    }
    assert record["rules"]["limit: the tyre clears the arch"] == {
        "plugin": "cart",
        "source": "geometry",
        "because": "mud needs room as well",
        "unit": "mm",
        "at_least": 20.0,
        "at_most": None,
    }
    (plugin,) = [
        plugin_used
        for plugin_used in record["made_with"]["plugins"]
        if plugin_used["name"] == "cart"
    ]
    assert len(plugin["sha256"]) == 64
    assert record["workshop"]["hourly rate"] == {"amount": "90.00", "currency": "EUR"}
    assert record["given"]["vehicle: arch room"] == {"value": 430.0, "unit": "mm"}
    assert record["attributes"]["tyres"]["overall diameter"] == {"value": 800.0, "unit": "mm"}
    assert [choice["title"] for choice in record["forced"]["choices"]] == ["Tyre :smile: of eighty"]
    assert record["proven"] is True
    assert record["paper"]["sums"][2]["price"]["amount"] == "600.00"
    quick = look(kept_shop, keep(kept_shop, "--no-reasons"))["snapshot"]
    assert quick["forced"] is None


def test_prices_rates_measures_and_rules_that_changed_are_named(kept_shop: Shop) -> None:
    number = keep(kept_shop)
    before = look(kept_shop, number)
    assert says(before) == []
    kept_shop.write("catalogs/shop/tyres.csv", TYRES.replace("eighty,150", "eighty,160"))
    kept_shop.write(
        "catalogs/shop/workshop.toml", FILES["catalogs/shop/workshop.toml"].replace("90", "95")
    )
    kept_shop.write(
        "catalogs/shop/vehicles/cart.toml",
        FILES["catalogs/shop/vehicles/cart.toml"].replace("430", "431"),
    )
    kept_shop.write("plugins/cart.py", PLUGIN.replace("at_least=20.0", "at_least=25.00"))
    after = look(kept_shop, number)
    assert after["snapshot"] == before["snapshot"]
    text = says(after)
    assert "tyres, Tyre :smile: of eighty: was 600.00 EUR, is 640.00 EUR" in text
    assert "hourly rate: was 90.00 EUR, is 95.00 EUR" in text
    assert "vehicle: arch room: was 430 mm, is 431 mm" in text
    assert "limit: the tyre clears the arch, at_least: was 20, is 25" in text
    assert "parts and work together: was 600.00 EUR, is 640.00 EUR" in text
    assert [
        change["subject"] for change in after["since"]["changes"] if change["kind"] == "plugin"
    ] == ["cart"]
    assert len(text) == 6
    assert after["since"]["same_parts_today"]["amount"] == "640.00"
    assert after["since"]["stands_against"] == []


def test_a_figure_that_is_worked_out_otherwise_is_named(kept_shop: Shop) -> None:
    number = keep(kept_shop)
    kept_shop.write("plugins/cart.py", PLUGIN.replace("+ drop - 0.1", "+ drop - 0.125"))
    after = look(kept_shop, number)
    assert "clearance under the axle: was 300 mm, is 275 mm" in says(after)
    assert "clearance under the axle: was met, is missed" in says(after)
    assert after["since"]["stands_against"] == ["misses a goal: clearance under the axle"]


def test_a_rule_that_the_same_parts_break_today_is_named(kept_shop: Shop) -> None:
    number = keep(kept_shop)
    kept_shop.write("plugins/cart.py", PLUGIN.replace("at_least=20.0", "at_least=31.00"))
    shown = kept_shop.run("saved", number).out
    assert "They are no answer to the job today:\n  - breaks a rule: the tyre clears" in shown


def test_a_withdrawn_part_is_named(kept_shop: Shop) -> None:
    number = keep(kept_shop)
    kept_shop.write(
        "catalogs/shop/tyres.csv",
        "".join(line for line in TYRES.splitlines(keepends=True) if "T-80" not in line),
    )
    after = look(kept_shop, number)
    assert says(after) == ["tyres, Tyre :smile: of eighty: shop/T-80 is no longer available"]
    assert after["since"]["same_parts_today"] is None
    assert after["since"]["not_compared"]


def test_a_job_that_can_no_longer_be_read_is_still_shown(kept_shop: Shop) -> None:
    number = keep(kept_shop)
    (kept_shop.folder / "catalogs/shop/vehicles/cart.toml").unlink()
    ran = kept_shop.run("saved", number)
    assert ran.status == 0
    assert "Tyre :smile: of eighty" in ran.out
    assert "Could not be compared:\n  - everything: " in ran.out
    assert kept_shop.run("saved", number, "--re-price").status == 2


def test_the_same_parts_are_priced_anew_beside_the_old(kept_shop: Shop) -> None:
    old = keep(kept_shop)
    kept_shop.write("catalogs/shop/tyres.csv", TYRES.replace("eighty,150", "eighty,160"))
    ran = kept_shop.run("saved", old, "--re-price")
    assert ran.status == 0
    assert "the same parts today  640.00 EUR" in ran.out
    new = f"{old[:-1]}2"
    assert f"Saved as {new}: the same parts, 640.00 EUR." in ran.out
    assert look(kept_shop, old)["price"]["amount"] == "600.00"
    again = look(kept_shop, new)
    assert (again["price"]["amount"], again["anew_of"]) == ("640.00", old)
    assert says(again) == []
    assert f"re-priced from {old}" in kept_shop.run("saved").out


def test_without_a_part_the_cheapest_is_priced_anew(kept_shop: Shop) -> None:
    old = keep(kept_shop)
    kept_shop.write(
        "catalogs/shop/tyres.csv",
        "".join(line for line in TYRES.splitlines(keepends=True) if "T-80" not in line),
    )
    anew = look(kept_shop, old, "--re-price", "--no-reasons")["anew"]
    assert anew["same_parts"] is False
    # Hubs with a drop, 900, fitted in 3 h at 90 with 2 of gear oil at 14.50; then the smallest of
    # the new tyres reach, four at 100.
    assert anew["price"]["amount"] == "1599.00"


def test_nothing_is_kept_where_nothing_fits(kept_shop: Shop) -> None:
    job = kept_shop.job(GOAL.replace("300", "900"))
    ran = kept_shop.run("save", job)
    assert ran.status == 3
    assert "Nothing fits" in ran.out
    old = keep(kept_shop)
    kept_shop.write("catalogs/shop/hubs.csv", "part number,title,price [EUR],drop [mm]\n")
    kept_shop.write("catalogs/shop/tyres.csv", "".join(TYRES.splitlines(keepends=True)[:2]))
    assert kept_shop.run("saved", old, "--re-price").status == 3
    assert len(json.loads(kept_shop.run("saved", "--json").out)["kept"]) == 1


def test_a_kept_job_is_written_to_a_file_again(kept_shop: Shop, tmp_path: Path) -> None:
    first = keep(kept_shop)
    file = str(tmp_path / "again.toml")
    assert f"--from {first}" in kept_shop.run("saved", first, "--export", file).out
    second = keep(kept_shop, job=file)
    before, other = (look(kept_shop, number)["snapshot"] for number in (first, second))
    assert before == other
    refused = kept_shop.run("saved", first, "--export", file)
    assert (refused.status, "is there already" in refused.err) == (2, True)


def test_catalogs_named_by_path_are_found_from_anywhere(kept_shop: Shop, tmp_path: Path) -> None:
    text = 'title = "t"\nvehicle = "./catalogs/shop/cart"\ncatalogs = ["./catalogs/shop"]\n' + GOAL
    number = keep(kept_shop, job=str(kept_shop.write("job.toml", text)))
    assert look(kept_shop, number)["since"]["not_compared"] == []
    (tmp_path / "elsewhere").mkdir()
    file = tmp_path / "elsewhere" / "job.toml"
    assert kept_shop.run("saved", number, "--export", str(file)).status == 0
    assert kept_shop.run("find", str(file)).status == 0


def test_two_people_on_one_job(kept_shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    start = keep(kept_shop)
    more = keep(kept_shop, "--from", start, job=kept_shop.job('budget = "900 EUR"\n' + GOAL))
    assert look(kept_shop, more)["version"] == 2
    monkeypatch.setenv("FITWRIGHT_USER", "bela")
    late = kept_shop.run("save", kept_shop.job('budget = "800 EUR"\n' + GOAL), "--from", start)
    assert late.status == 2
    assert "anna has saved version 2 at 20" in late.err
    assert "budget: theirs '900.00 EUR', yours '800.00 EUR'" in late.err
    assert "Nothing was written" in late.err
    assert len(json.loads(kept_shop.run("saved", "--json").out)["kept"]) == 2


def test_deleting_asks_back_and_deletes_all(kept_shop: Shop, database: str) -> None:
    number = keep(kept_shop)
    with open_store(database) as store:
        add_measurement(store, 1, {"arch room": 0.42})
    refused = kept_shop.run("saved", number, "--delete")
    assert (refused.status, "nothing was deleted" in refused.err) == (2, True)
    assert kept_shop.run("saved", number, "--delete", "--yes").status == 0
    gone = kept_shop.run("saved", number)
    assert (gone.status, "there is no quotation" in gone.err) == (2, True)
    with open_store(database) as store:
        assert measurements(store, 1) == []


def test_what_a_newer_fitwright_kept_is_not_misread(kept_shop: Shop, database: str) -> None:
    with open_store(database) as store:
        kept = keep_quotation(store, "t", 'title = "t"', {"format": 2}, price=1, currency="EUR")
    ran = kept_shop.run("saved", kept.number)
    assert (ran.status, "install the newest release" in ran.err) == (2, True)


def test_options_that_do_not_go_together_are_refused(kept_shop: Shop) -> None:
    both = kept_shop.run("saved", "2026-0001", "--re-price", "--delete")
    assert (both.status, "cannot be done at once" in both.err) == (2, True)
    lone = kept_shop.run("saved", "--re-price")
    assert (lone.status, "add its number" in lone.err) == (2, True)
    unknown = kept_shop.run("saved", "2020-0001")
    assert (unknown.status, "there is no quotation '2020-0001'" in unknown.err) == (2, True)
