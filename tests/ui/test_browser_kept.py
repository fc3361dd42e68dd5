"""Jobs and quotations in a real browser: kept, in conflict with another browser, priced anew."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from playwright.sync_api import TimeoutError as TimedOut
from playwright.sync_api import expect

from configurator.store.access import (
    get_quotation,
    list_jobs,
    list_quotations,
    list_versions,
    open_store,
)
from tests.conftest import link
from tests.short_lists import write_short_lists
from tests.ui.serving import (
    barriers,
    enter,
    go_to,
    ready,
    served,
    still,
    wider_than_the_window,
)

pytestmark = pytest.mark.browser
PART = "Saved jobs"


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("kept")


@pytest.fixture(scope="module")
def price_list(folder):
    """The demo's lists, short, in a folder of the test's own: their prices change."""
    return write_short_lists(folder / "lists")


@pytest.fixture(scope="module")
def address(folder, price_list, circuits):
    own = {
        "FITWRIGHT_DATA": str(link(folder / "data", circuits)),
        "FITWRIGHT_DATABASE": "",
        "FITWRIGHT_USER": "account",
        "FITWRIGHT_CATALOGS": str(price_list.parent),
    }
    with served(folder, **own) as server:
        yield server


@pytest.fixture
def store(folder):
    with open_store(f"sqlite:///{folder / 'data' / 'records.sqlite'}") as opened:
        yield opened


def signed(page, by="Ada Adviser"):
    """Write a name: it is asked for."""
    enter(page, page.get_by_role("textbox", name="Saved by"), by)


def press(page, name):
    """By keyboard, as somebody without a mouse does."""
    button = page.get_by_role("button", name=name, exact=True)
    expect(button).to_be_enabled()
    button.focus()
    button.press("Enter")


def choose(page, box, option):
    """Choose in a list; a run of the page that is still under way may close it again."""
    field = page.get_by_role("combobox", name=box, exact=True)
    line = page.get_by_role("option", name=option).first
    for _ in range(10):
        still(page)
        field.click()
        try:
            line.wait_for(timeout=3_000)
        except TimedOut:
            continue
        line.click()
        still(page)
        return
    message = f"the list of {box} does not stay open"
    raise AssertionError(message)


def set_budget(page, amount):
    go_to(page, "Goals")
    field = page.get_by_role("textbox", name="Budget for one vehicle")
    field.fill(amount)
    field.press("Enter")
    ready(page)
    go_to(page, PART)


def test_two_browsers_keep_one_job_and_nothing_is_overwritten(open_page, store):
    expect.set_options(timeout=30_000)
    ada = open_page()
    go_to(ada, PART)
    signed(ada)
    press(ada, "Save the job")
    expect(ada.get_by_text("Saved as version 1 of job 1.")).to_be_visible()

    bela = open_page()
    go_to(bela, PART)
    signed(bela, "Bela")
    choose(bela, "Job", re.compile("^1: "))
    press(bela, "Open the job")
    expect(bela.get_by_text("Version 1 of job 1 is open")).to_be_visible()
    set_budget(bela, "9000")
    expect(bela.get_by_text("Changed since then:")).to_be_visible()
    press(bela, "Save the job")
    expect(bela.get_by_text("Saved as version 2 of job 1.")).to_be_visible()

    set_budget(ada, "8000")
    press(ada, "Save the job")
    expect(ada.get_by_text("Bela has saved version 2 of this job")).to_be_visible()
    differs = ada.get_by_text("budget: theirs '9000.00 EUR', yours '8000.00 EUR'")
    expect(differs).to_be_visible()
    assert [version.version for version in list_versions(store, 1)] == [2, 1]
    press(ada, "Save mine as a copy")
    expect(ada.get_by_text("Saved as version 1 of job 2.")).to_be_visible()
    assert {job.id: (job.version, job.saved_by) for job in list_jobs(store)} == {
        1: (2, "Bela"),
        2: (1, "Ada Adviser"),
    }


def test_a_quotation_is_kept_a_price_moves_and_it_is_priced_anew(
    open_page, job, store, price_list, tmp_path
):
    expect.set_options(timeout=60_000)
    page = open_page(replace(job, budget=job.budget + 500_00))  # dearer wheels keep within it
    go_to(page, "Documents")
    signed(page)
    press(page, "Save the quotation")
    expect(page.get_by_text(re.compile("Saved as quotation .*-0001"))).to_be_visible()
    expect(page.get_by_text("Nothing: lists, rules and figures are as they were.")).to_be_visible()
    for kind, sign in (("PDF", b"%PDF"), ("XLSX", b"PK"), ("Markdown", b"# Quotation")):
        with page.expect_download() as paper:
            page.get_by_role("button", name=f"Save as {kind}").click()
        paper.value.save_as(tmp_path / kind)
        assert (tmp_path / kind).read_bytes().startswith(sign)

    (quotation,) = list_quotations(store)
    file = price_list / "wheels.csv"
    key = (
        get_quotation(store, quotation.number).snapshot["package"]["parts"]["wheels"].split("/")[1]
    )
    lines = file.read_text(encoding="utf-8").splitlines(keepends=True)
    (row,) = (n for n, line in enumerate(lines) if line.startswith(f"{key},"))
    before = re.search(r",(\d+\.\d\d)", lines[row])
    assert before is not None
    lines[row] = lines[row].replace(before[1], f"{float(before[1]) + 7:.2f}", 1)
    file.write_text("".join(lines), encoding="utf-8")

    press(page, "Read the lists again")
    expect(page.get_by_text(re.compile("wheels, .*: was .* EUR, is .* EUR"))).to_be_visible()
    press(page, "Re-price")
    table = page.get_by_role("region", name="compared, price, against the old one")
    expect(table.get_by_role("row", name="the same parts today")).to_contain_text("more")
    press(page, "Save it beside the old one")
    expect(page.get_by_text(re.compile("Saved as quotation .*-0002, beside"))).to_be_visible()
    new, old = list_quotations(store)
    assert (new.anew_of, new.job, new.version) == (old.number, old.job, old.version)
    assert new.price > old.price == quotation.price


def test_axe_finds_nothing_with_a_quotation_open(open_page):
    page = open_page(viewport={"width": 820, "height": 900}, reduced_motion="reduce")
    go_to(page, PART)
    if page.get_by_role("region", name="Quotations, the newest first").count():
        choose(page, "Quotation", re.compile("-0001: "))
        press(page, "Open the quotation")
    else:
        go_to(page, "Documents")
        signed(page)
        press(page, "Save the quotation")
    expect(page.get_by_role("heading", name="What was agreed")).to_be_visible(timeout=60_000)
    still(page)
    assert barriers(page) == {}
    assert wider_than_the_window(page) <= 0
