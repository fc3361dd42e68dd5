"""A finished vehicle is measured in a real browser: typed, explained, kept, saved as files."""

from __future__ import annotations

import re
import tomllib

import pytest
from playwright.sync_api import expect

from configurator.store.access import measurements, open_store
from tests.conftest import link
from tests.ui.serving import barriers, enter, go_to, run_of, served, wider_than_the_window

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def data(tmp_path_factory, circuits):
    return link(tmp_path_factory.mktemp("data"), circuits)


@pytest.fixture(scope="module")
def address(tmp_path_factory, data, short_lists):
    folder = tmp_path_factory.mktemp("server")
    own = {"FITWRIGHT_DATA": str(data), "FITWRIGHT_DATABASE": "", "FITWRIGHT_USER": "account"}
    with served(folder, FITWRIGHT_CATALOGS=str(short_lists), **own) as server:
        yield server


def test_measure_put_right_explain_keep_and_save(open_page, data, tmp_path):
    page = open_page()
    expect.set_options(timeout=30_000)
    go_to(page, "As-built check")

    def put(name, number):
        field = page.get_by_role(
            "spinbutton", name=re.compile(f"^{re.escape(name)} \\[", re.IGNORECASE)
        )
        enter(page, field, number)
        return field

    table = page.get_by_role("region", name="Promised and measured")
    put("clearance under front axle", "253")
    expect(table.get_by_role("row", name="clearance under front axle")).to_contain_text("differs")
    put("clearance under rear axle", "243")
    radius = put("front static radius", "3900")
    # What is wrong stands below its field, and all of it in one place; the number stays to see.
    expect(page.get_by_text("Not taken:")).to_have_count(2)  # nobody has signed yet
    expect(page.get_by_role("alert")).to_contain_text("front static radius")
    expect(radius).to_have_value("3900")
    expect(page.get_by_role("button", name="Save these measurements")).to_be_disabled()
    enter(
        page,
        page.get_by_role("textbox", name=re.compile("measured by", re.IGNORECASE)),
        "Ada Fitter",
    )
    put("front static radius", "390")
    put("rolling circumference", "2560")
    expect(page.get_by_text("Not taken:")).to_have_count(0)
    expect(page.get_by_text("Likely cause of all of it: static loaded radius")).to_be_visible()
    expect(table.get_by_role("row")).to_have_count(5)

    # Another system of units shows the same numbers, and changes none of them.
    with run_of(page):
        page.get_by_role("combobox", name="Units").select_option("imperial")
    expect(page.get_by_role("spinbutton", name="front static radius [in]")).to_have_value("15.35")
    with run_of(page):  # a button that is drawn anew while it is tapped saves nothing
        page.get_by_role("combobox", name="Units").select_option("metric")
    radius = page.get_by_role("spinbutton", name="front static radius [mm]")
    expect(radius).to_have_value(re.compile(r"^390(\.0)?$"))

    with page.expect_download() as paper:
        page.get_by_role("button", name="Save the sheet as PDF").click()
    paper.value.save_as(tmp_path / "sheet.pdf")
    assert (tmp_path / "sheet.pdf").read_bytes().startswith(b"%PDF")
    with page.expect_download() as record:
        page.get_by_role("button", name="Save the vehicle's record as a file").click()
    record.value.save_as(tmp_path / "vehicle.toml")
    figures = tomllib.loads((tmp_path / "vehicle.toml").read_text(encoding="utf-8"))["figures"]
    assert figures["front static radius"] == "390 mm"
    assert figures["rear static radius"].endswith(" mm")

    # By keyboard, and asked once more.
    keep = page.get_by_role("button", name="Save these measurements")
    keep.focus()
    keep.press("Enter")
    yes = page.get_by_role("button", name="Yes, keep them")
    expect(yes).to_be_visible()
    assert not (data / "records.sqlite").exists()
    yes.focus()
    yes.press("Enter")
    expect(page.get_by_text("These measurements are saved beside quotation")).to_be_visible()
    expect(page.get_by_role("region", name="Measured on the vehicle")).to_contain_text("Ada Fitter")
    with open_store(f"sqlite:///{data / 'records.sqlite'}") as store:
        (measurement,) = measurements(store, 1, "as built")
    assert measurement.values["front static radius"] == pytest.approx(0.39)
    assert len(measurement.values) == 4


def test_axe_finds_nothing_once_something_is_measured(open_page):
    page = open_page(viewport={"width": 820, "height": 1100}, reduced_motion="reduce")
    go_to(page, "As-built check")
    for name, number in (("front track", "1450"), ("rear track", "145")):
        enter(
            page,
            page.get_by_role("spinbutton", name=f"{name.capitalize()} [mm]", exact=True),
            number,
        )
    expect(page.get_by_text("Not taken:").first).to_be_visible()
    assert barriers(page) == {}
    assert wider_than_the_window(page) <= 0
