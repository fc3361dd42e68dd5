"""Measured vehicle, without a browser: what is entered, compared, kept, carried and printed."""

from __future__ import annotations

import datetime
import os
import shutil

import pytest

from configurator.evaluation.packages import make_package
from configurator.files import job_link
from configurator.files.job_text import write_job
from configurator.store.access import keep_quotation, list_quotations, measurements, open_store
from configurator.store.snapshot import snapshot
from configurator.ui import shared_cases
from tests.ui.apps import act, go_to, opened, settled, text, visit

PART = "as-built"


@pytest.fixture(scope="module")
def link(job, trade):
    return job_link.to_parameter(job, trade)


@pytest.fixture
def page(link, data):
    return signed(go_to(opened(link), PART))


def signed(app):
    """Write a name: it is asked for, never taken from the computer's account."""
    app.text_input(key="measured by").set_value("Ada Fitter").run()
    return app


def field(app, name):
    known = {entry.label.partition(" [")[0].lower(): entry for entry in app.number_input}
    return known[name.lower()]


def put(app, **numbers):
    for name, number in numbers.items():
        field(app, name.replace("_", " ")).set_value(number).run()
        assert not app.exception


def keep(app):
    """Keep the package of the page as a quotation; return its number."""
    here = visit(app)
    evaluation = here.talk.prepared().evaluation
    package = make_package(evaluation, here.talk.cheapest().choice)
    record = snapshot(
        evaluation, package, here.shelves.loaded.plugins, proven=True, day=datetime.date.today()
    )
    with open_store() as store:
        return keep_quotation(
            store, here.job.title, write_job(here.job, here.shelves.trade), record,
            price=package.price, currency=here.job.currency,
        )  # fmt: skip


def test_what_is_entered_is_compared_and_explained_and_nothing_is_left_behind(page, data):
    assert "Nothing is entered yet" in "\n".join(element.value for element in page.info)
    put(page, front_static_radius=401.0)
    assert "Every figure agrees" in text(page)
    assert len(page.selectbox(key="measured correct").options) == 1
    # Twelve below what is expected before it is rounded to the safe side: 403.2, 269.2 and 257.7.
    put(page, clearance_under_front_axle=257.0, clearance_under_rear_axle=246.0)
    put(page, front_static_radius=391.0, front_track=1441.0)
    page_text = text(page)
    assert "Likely cause of all of it: static loaded radius −12" in page_text
    assert "What these figures cannot tell" in "\n".join(
        element.value for element in page.subheader
    )
    assert page.selectbox(key="measured correct").value == "static loaded radius"
    # Looking at the part makes no database.
    assert not (data / "records.sqlite").exists()
    act(page, "units", text="imperial")
    assert field(page, "front track").value == pytest.approx(56.73)
    act(page, "units", text="")
    assert field(page, "front track").value == 1441
    # Two that answer alike: nothing is proposed for correction.
    field(page, "clearance under rear axle").set_value(None).run()
    assert "do not tell them apart" in text(page)
    assert page.selectbox(key="measured correct").value.startswith("nothing")


def test_everything_that_is_wrong_stands_at_its_field_and_in_one_list(page):
    put(page, front_track=57.5, rear_axle_load=12540.0, engine_speed_at_that_speed=1600.0)
    page.text_input(key="measured by").set_value("").run()
    page.date_input(key="measured day").set_value(None).run()
    (listed,) = (element.value.replace("\\", "") for element in page.error)
    for name in ("front track", "rear axle load", "GPS speed", "measured on", "measured by"):
        assert f"- {name}" in listed
    assert text(page).count("Not taken:") == 5
    put(page, vehicle_mass=2291.0)
    assert page.button(key="measured keep").disabled
    assert "is shown here" in text(page)  # the record, when all is right


def test_keeping_asks_once_more_adds_and_never_changes(page, link, data):
    put(page, front_track=1461.0)
    page.button(key="measured keep").click().run()
    assert not (data / "records.sqlite").exists()
    assert str(data) in text(page).replace("\\", "")
    page.button(key="measured keep no").click().run()
    page.button(key="measured keep").click().run()
    # What was asked about is what is kept: another number is asked about anew.
    put(page, rear_track=1462.0)
    page.button(key="measured keep").click().run()
    page.button(key="measured keep yes").click().run()
    assert not page.exception
    with open_store() as store:
        (first,) = measurements(store, 1, "as built")
    assert first.values == pytest.approx({"front track": 1.461, "rear track": 1.462})
    assert first.measured_by == "Ada Fitter"
    # The package is kept with it, or nobody would find it again.
    with open_store() as store:
        (quotation,) = list_quotations(store)
    assert first.quotation == quotation.number
    assert quotation.price == 594894
    put(page, rear_track=1463.0)
    page.text_input(key="measured note").set_value("tyres warm").run()
    page.button(key="measured keep").click().run()
    page.button(key="measured keep yes").click().run()
    with open_store() as store:
        again = measurements(store, 1, "as built")
    assert again[0] == first
    assert again[1].note == "tyres warm"
    with open_store() as store:
        assert [kept.number for kept in list_quotations(store)] == [quotation.number]
    # And it can be looked at again, by the next visitor as well.
    page = go_to(opened(link), PART)
    page.selectbox(key="measured earlier").select(first.id).run()
    page.button(key="measured again").click().run()
    assert field(page, "rear track").value == 1462


def test_a_job_that_is_kept_already_is_not_kept_a_second_time(page):
    go_to(page, "saved")
    page.text_input(key="kept by").set_value("Ada Fitter").run()
    page.button(key="keep job").click().run()
    go_to(page, PART)
    put(page, front_track=1461.0)
    page.button(key="measured keep").click().run()
    page.button(key="measured keep yes").click().run()
    assert not page.exception
    with open_store() as store:
        (quotation,) = list_quotations(store)
        assert [measurement.quotation for measurement in measurements(store, quotation.job)] == [
            quotation.number
        ]
    assert (quotation.job, quotation.version) == (1, 1)


def test_a_quotation_that_was_kept_is_measured_as_it_was_promised(page):
    kept = keep(page)
    page.run()
    page.selectbox(key="measured which").select(kept.number).run()
    assert not page.exception
    put(page, GPS_speed=60.0, engine_speed_at_that_speed=1622.0)
    put(page, speedometer_shows_at_that_speed=67.0)
    page.button(key="measured keep").click().run()
    page.button(key="measured keep yes").click().run()
    with open_store() as store:
        (measurement,) = measurements(store, kept.job, "as built")
    assert measurement.quotation == kept.number
    assert measurement.values["speedometer error"] == pytest.approx(7 / 60)
    assert set(measurement.values) == {"engine speed at cruise", "speedometer error"}
    # Another package has fields of its own.
    page.selectbox(key="measured which").select("now").run()
    assert field(page, "GPS speed").value is None


def test_a_record_goes_into_a_new_file_of_the_shop_and_never_over_one(
    tmp_path, link, data, short_lists, monkeypatch
):
    shop = tmp_path / "catalogs" / "shop"
    shutil.copytree(short_lists / "demo", shop, ignore=shutil.ignore_patterns("jobs"))
    before = {path: path.read_bytes() for path in shop.rglob("*") if path.is_file()}
    monkeypatch.setenv(shared_cases.CATALOGS, f"{shop.parent}{os.pathsep}{short_lists}")
    shared_cases.reload()
    try:
        page = signed(go_to(opened(link), PART))
        put(page, front_static_radius=390.0)
        assert {path for path in shop.rglob("*") if path.is_file()} == set(before)
        page.text_input(key="measured name").set_value("valdrin-boek").run()
        assert page.button(key="measured write").disabled
        page.text_input(key="measured name").set_value("../out").run()
        page.button(key="measured write").click().run()
        assert "cannot be used" in text(page)
        page.text_input(key="measured name").set_value("truck-built").run()
        page.button(key="measured write").click().run()
        assert any("A job names the vehicle" in element.value for element in page.success)
    finally:
        shared_cases.reload()
    made = shop / "vehicles" / "truck-built.toml"
    assert '"front static radius" = "390 mm"' in made.read_text(encoding="utf-8")
    made.unlink()
    assert {path: path.read_bytes() for path in shop.rglob("*") if path.is_file()} == before


def test_a_store_that_cannot_be_opened_is_said_and_the_rest_goes_on(link, data, monkeypatch):
    data.mkdir(exist_ok=True)
    (data / "records.sqlite").write_text("this is no database")
    page = settled(signed(go_to(opened(link), PART)))
    assert any("cannot be looked at" in element.value for element in page.warning)
    put(page, front_track=1461.0)
    page.button(key="measured keep").click().run()
    assert any(element.value.startswith("Nothing was saved") for element in page.error)
    (data / "records.sqlite").unlink()
    page.button(key="measured try again").click().run()
    page.button(key="measured keep yes").click().run()
    assert any("are saved" in element.value for element in page.success)
