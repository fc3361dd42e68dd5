"""A supplier's list and a vehicle taken in by somebody who never saw a terminal."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import pytest

from configurator.files.catalog_files import read_catalog, read_vehicle
from configurator.loading.plugin_files import load
from tests import bundled
from tests.conftest import link
from tests.supplier_lists.messy_lists import spoilt, tyre_list, write_tyres
from tests.ui.serving import go_to, ready, served, still

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

pytestmark = pytest.mark.browser

ABOUT = 'title = "Ours"\ncurrency = "EUR"\nprice_date = 2026-01-01\nsource = "none"  # mine\n'


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("catalogs") / "ours"
    folder.mkdir()
    (folder / "catalog.toml").write_text(ABOUT, encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def page(shop: Path, started: Any, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    home = tmp_path_factory.mktemp("page")
    environment = {"FITWRIGHT_CATALOGS": str(shop.parent), "FITWRIGHT_DATA": str(home / "data")}
    with served(home, **environment) as address:
        context = started.new_context(viewport={"width": 1280, "height": 3000})
        view = context.new_page()
        view.set_default_timeout(120_000)
        view.goto(address)
        ready(view)
        go_to(view, "Lists and rules")
        view.get_by_text("Take over a supplier's list").wait_for()
        yield view
        context.close()


def choose(page, label: str, option: str) -> None:
    box = page.get_by_role("combobox", name=label)
    box.click()
    box.fill(option)
    page.get_by_role("option", name=option, exact=True).first.click()


def test_a_list_is_taken_over_on_the_page(page, shop: Path, tmp_path: Path) -> None:
    made = tyre_list(60)
    wrong = made.rows[7][0]
    path = write_tyres(spoilt(made, [wrong]), tmp_path / "herbst.csv")
    page.get_by_test_id("stFileUploaderDropzoneInput").first.set_input_files(str(path))
    choose(page, "What it lists", "Tyres")
    page.get_by_text("How its first rows are read").wait_for()
    page.get_by_text("'35x1250R17' may be 35x12.50R17 or 35x1250R17").first.wait_for()
    page.get_by_text("Still to be ticked as right").wait_for()
    page.get_by_role("button", name="All of these are right").click()
    page.get_by_text("Leave out rows with a problem").click()
    page.get_by_role("button", name="Compare with the list as it stands").click()
    page.get_by_text("60 rows: 59 new parts, 0 withdrawn").wait_for()
    assert not (shop / "tyres.csv").exists()
    page.get_by_role("button", name="Take over", exact=True).click()
    page.get_by_text("Written: tyres.csv of ours, 59 parts.").wait_for()
    trade = bundled.trade()
    parts = {part.key.partition("/")[2] for part in read_catalog(shop, trade).parts["tyres"]}
    assert parts == {number for number, _ in made.rows} - {wrong}
    about = (shop / "catalog.toml").read_text(encoding="utf-8")
    assert "price list herbst.csv of" in about
    assert "# mine" in about
    assert (shop / "imports" / "tyres.toml").exists()


def test_a_vehicle_is_entered_on_the_page(page, shop: Path) -> None:
    page.get_by_label("What people call it").fill("Green wagon")
    page.get_by_role("textbox", name="laden rear axle load [kg]").fill("1550")
    page.get_by_role("textbox", name="rear axle, housing radius [mm]").fill("nine")
    page.get_by_role("button", name="Save the vehicle").click()
    page.get_by_text(re.compile("'nine' is not a number")).wait_for()
    assert not (shop / "vehicles").exists()
    page.get_by_role("textbox", name="rear axle, housing radius [mm]").fill("5.9 in")
    page.get_by_role("button", name="Save the vehicle").click()
    page.get_by_text("Saved: Green wagon, as ours/green-wagon.").wait_for()
    vehicle = read_vehicle(shop, "green-wagon", bundled.trade())
    assert vehicle.values["laden rear axle load"] == 1550.0
    axle = vehicle.fitted["rear axle"]
    assert axle is not None
    assert axle.values["housing radius"] == 0.14986


def test_a_vehicle_is_entered_where_nobody_has_a_catalog_yet(
    started: Any, tmp_path: Path, circuits: Path
) -> None:
    data = link(tmp_path / "data", circuits)
    with served(tmp_path, FITWRIGHT_CATALOGS="", FITWRIGHT_DATA=str(data)) as address:
        context = started.new_context(viewport={"width": 820, "height": 1200})
        view = context.new_page()
        view.set_default_timeout(120_000)
        view.goto(address)
        view.get_by_role("button", name="Enter a new vehicle").click()
        view.get_by_label("What people call it").fill("Old pickup")
        tyre = view.get_by_role("textbox", name="Tyres, overall diameter [mm]")
        tyre.fill("775")
        still(view)
        # Twenty measures at most, and the name.
        assert 2 <= view.get_by_role("textbox").count() <= 21
        tyre.press("Enter")  # goes on measuring: nothing is saved yet
        assert not (data / "catalogs").exists()
        view.get_by_text("New, inflated, not loaded").wait_for()  # how, for who has a tape in hand
        view.get_by_role("button", name="Save the vehicle").click()
        view.get_by_text("Saved: Old pickup, as workshop/old-pickup.").wait_for()
        vehicle = read_vehicle(data / "catalogs" / "workshop", "old-pickup", load().trade)
        assert vehicle.fitted["tyres"].values["overall diameter"] == 0.775
        view.get_by_role("button", name="Begin a job with it").click()
        chosen = view.get_by_role("button", name="Old pickup", pressed=True)
        chosen.wait_for()
        context.close()
