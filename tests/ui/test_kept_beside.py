"""What is kept beside a job: listed with its quotation, opened, deleted after asking once more."""

from __future__ import annotations

import pytest

from configurator.core import paths
from configurator.files import job_files, job_link
from configurator.store.access import (
    add_measurement,
    get_quotation,
    list_jobs,
    list_quotations,
    measurements,
    open_store,
)
from tests import bundled
from tests.ui.apps import go_to, opened, settled, text

MEASURED, KEPT = "as-built", "saved"


@pytest.fixture(scope="module")
def link():
    trade = bundled.trade()
    job = paths.catalogs() / "demo" / "jobs" / "vineyard-trucks.toml"
    return job_link.to_parameter(job_files.read_job(job, trade), trade)


@pytest.fixture
def page(link, tmp_path, monkeypatch):
    monkeypatch.delenv("FITWRIGHT_DATABASE", raising=False)
    monkeypatch.setenv("FITWRIGHT_DATA", str(tmp_path / "data"))
    monkeypatch.setenv("FITWRIGHT_USER", "account")
    return go_to(opened(link), MEASURED)


def field(app, name):
    title = name[0].upper() + name[1:]
    (entry,) = (field for field in app.number_input if field.label.partition(" [")[0] == title)
    return entry


def click(app, key):
    app.button(key=key).click().run()
    assert not app.exception
    return settled(app)


def warned(app):
    return "\n".join(element.value.replace("\\", "") for element in app.warning)


def with_measurements(page):
    """Keep the package of the page with what was measured; look at its quotation."""
    page.text_input(key="measured by").set_value("Ada Fitter").run()
    field(page, "front track").set_value(1461.0).run()
    click(page, "measured keep")
    click(page, "measured keep yes")
    go_to(page, KEPT)
    page.selectbox(key="kept which quotation").select_index(0).run()
    return click(page, "open quotation")


def test_a_package_kept_with_measurements_has_papers_and_its_measurements_are_opened(page):
    with_measurements(page)
    with open_store() as store:
        (listed,) = list_quotations(store)
        kept = get_quotation(store, listed.number)
    assert set(kept.papers) == {"quotation", "build", "handover", "order"}
    assert kept.snapshot["paper"]["locale"] == "en_GB"
    assert listed.number in page.session_state["kept desk"].forcing
    # A4 by default; another paper can be chosen when one is saved.
    assert page.radio(key="kept paper size a4").value == "a4"
    page.radio(key="kept paper size a4").set_value("letter").run()
    assert not page.exception
    click(page, "open measured")
    assert page.selectbox(key="measured which").value == listed.number
    assert field(page, "front track").value == 1461.0


def test_deleting_a_job_says_what_goes_with_it_and_leaves_nothing_to_go_on_from(page):
    with_measurements(page)
    page.selectbox(key="kept which job").select_index(0).run()
    click(page, "delete kept job")
    assert "1 version, 1 quotation with all documents and 1 measurement" in warned(page)
    assert "-0001: " in text(page)
    click(page, "delete no")
    assert "will be deleted" not in warned(page)
    with open_store() as store:
        (job,) = list_jobs(store)
    click(page, "delete kept job")
    click(page, "delete yes")
    with open_store() as store:
        assert list_jobs(store) == list_quotations(store) == measurements(store, job.id) == []
    assert "Quotation 2" not in "\n".join(element.value for element in page.header)
    # The job on the page is as it was, and is kept as a new one.
    page.text_input(key="kept by").set_value("Ada Fitter").run()
    click(page, "keep job")
    with open_store() as store:
        assert [kept.version for kept in list_jobs(store)] == [1]


def test_what_was_kept_meanwhile_is_asked_about_again(page):
    with_measurements(page)
    page.selectbox(key="kept which job").select_index(0).run()
    click(page, "delete kept job")
    with open_store() as store:
        (listed,) = list_quotations(store)
        add_measurement(store, listed.job, {"front track": 1.46}, stage="as built")
    page.button(key="delete yes").click().run()
    assert "2 measurements" in warned(page)
    with open_store() as store:
        assert list_jobs(store)
