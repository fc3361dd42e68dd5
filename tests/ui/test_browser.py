"""Real flows in a real browser: one server, small jobs, every request on record."""

from __future__ import annotations

import re
import time
from dataclasses import replace

import pytest
from playwright.sync_api import expect

from tests.ui.conftest import HOSTILE
from tests.ui.serving import go_to, ready, served, still

pytestmark = [pytest.mark.browser, pytest.mark.wheel]
expect.set_options(timeout=20_000)  # a shared machine is slow at times


def price(page):
    return page.get_by_text(re.compile("Cheapest package: ")).first


def test_build_a_package_undo_by_keyboard_compare_share_and_reload(open_page, address):
    page = open_page()
    expect(price(page)).to_contain_text("5077.90 EUR")

    go_to(page, "The package")
    page.get_by_role("button", name="Set side by side").first.click()
    expect(page.get_by_role("button", name="Is set side by side")).to_be_disabled()

    go_to(page, "Options")
    page.get_by_role("combobox", name="Position", exact=True).select_option("tyres")
    page.get_by_role("combobox", name="State", exact=True).select_option("available")
    expect(page.get_by_role("status").first).to_contain_text("of")
    # Not the one that is in the package now: its price must differ.
    row = page.locator("tr.available:visible", has_text="more").first
    row.get_by_role("button", name=re.compile("^Fix")).click()
    expect(price(page)).not_to_contain_text("5077.90 EUR")
    expect(page.get_by_role("button", name=re.compile("^Free")).first).to_be_visible()
    dearer = price(page).inner_text()

    page.locator("body").press("Control+z")
    expect(price(page)).to_contain_text("5077.90 EUR")
    page.locator("body").press("Control+Shift+z")
    expect(price(page)).to_have_text(dearer)

    go_to(page, "The package")
    page.get_by_role("button", name="Set side by side").first.click()
    go_to(page, "Side by side")
    expect(page.get_by_role("cell", name=re.compile("differs")).first).to_be_visible()

    go_to(page, "Open and share")
    link = page.get_by_test_id("stCode").inner_text().strip()
    other = page.context.browser.new_page()
    other.goto(link)
    ready(other)
    expect(price(other)).to_have_text(dearer)
    other.close()

    page.reload()
    ready(page)
    expect(price(page)).to_have_text(dearer)

    host = address.removeprefix("http://")
    outside = [
        url for url in page.asked if host not in url and not url.startswith(("data:", "blob:"))
    ]
    assert page.asked
    assert outside == []


def test_blocked_why_not_and_a_repair_in_one_click(open_page, job):
    page = open_page(replace(job, budget=500000))
    expect(page.get_by_text("Over the budget by")).to_be_visible()
    page.get_by_role("button", name="What can change?").click()
    repair = page.get_by_role("button", name=re.compile("^Raise the budget"))
    expect(repair).to_be_visible(timeout=60_000)
    repair.click()
    expect(page.get_by_text("0.00 EUR below the budget")).to_be_visible()

    page.get_by_role("combobox", name="State", exact=True).select_option("over")
    page.get_by_role("button", name=re.compile("^Why not")).first.click()
    expect(page.get_by_role("heading", name=re.compile("^Why not"))).to_be_visible()
    expect(page.get_by_text("one click does it")).to_be_visible(timeout=60_000)
    page.get_by_role("button", name="Close", exact=True).click()
    expect(page.get_by_role("heading", name=re.compile("^Why not"))).to_have_count(0)


# Prices are made exact at different speeds on different machines: here that never ends by itself.
ENDLESS = """
import itertools
import time

from configurator.questions.session import Session
from configurator.ui import page


def closing(self):
    try:
        for done in itertools.count():
            time.sleep(0.05)
            yield done, 1000
    finally:
        with open(ENDED, "a") as file:
            print("ended", file=file)


Session.closing = closing
page.show()
"""


@pytest.fixture
def address_of_endless(tmp_path):
    script = tmp_path / "endless.py"
    script.write_text(f"ENDED = {str(tmp_path / 'ended')!r}\n{ENDLESS}", encoding="utf-8")
    with served(tmp_path, script) as found:
        yield found


def test_long_work_shows_progress_can_be_stopped_and_ends_with_the_tab(
    open_page, address_of_endless, tmp_path
):
    page = open_page(at=address_of_endless)
    go_to(page, "Options")
    page.get_by_role("button", name=re.compile("prices exact")).click()
    expect(page.get_by_text("You can go on meanwhile")).to_be_visible()
    # The page answers while it goes on.
    go_to(page, "Wishes")
    page.get_by_role("button", name="Stop", exact=True).click()
    expect(page.get_by_text("You can go on meanwhile")).to_have_count(0)
    go_to(page, "Options")
    page.get_by_role("button", name=re.compile("prices exact")).click()
    expect(page.get_by_text("You can go on meanwhile")).to_be_visible()
    log = tmp_path / "ended"
    assert log.read_text() == "ended\n"
    page.close()
    end = time.monotonic() + 60
    while log.read_text() != "ended\nended\n":
        assert time.monotonic() < end, "work goes on without its tab"
        time.sleep(0.1)


def test_units_are_switched_without_moving_anything(open_page):
    page = open_page()
    before = page.url
    page.get_by_role("combobox", name=re.compile("Units")).click()
    page.get_by_role("option", name="imperial").click()
    expect(page.get_by_label("at most [in]").first).to_have_value("57.48")
    page.get_by_role("combobox", name=re.compile("Units")).click()
    page.get_by_role("option", name="as declared").click()
    expect(page.get_by_label("at most [mm]").first).to_have_value("1460")
    still(page)
    assert page.url == before
    expect(page.get_by_role("button", name="Undo")).to_be_disabled()


def test_the_options_table_works_from_the_keyboard(open_page):
    page = open_page()
    go_to(page, "Options")
    page.get_by_role("combobox", name="Position", exact=True).select_option("tyres")
    page.get_by_role("region", name="Options").focus()
    for _ in range(8):
        page.keyboard.press("Tab")
        if page.evaluate(HELD).startswith(("Fix", "Free")):
            break
    first = page.evaluate(HELD)
    assert first.startswith("Fix")
    page.keyboard.press("ArrowDown")
    page.wait_for_function(f"(first) => ![first, ''].includes(({HELD})())", arg=first)
    page.keyboard.press("ArrowUp")
    page.wait_for_function(f"(first) => ({HELD})() === first", arg=first)
    page.keyboard.press("Enter")
    expect(page.get_by_role("button", name="Undo")).to_be_enabled()
    # The focus stays in the row that was acted on.
    expect(page.get_by_role("button", name=re.compile("^Free"))).to_be_visible()
    page.wait_for_function(f"() => ({HELD})().startsWith('Free')")


HELD = """() => {
  let held = document.activeElement;
  while (held && held.shadowRoot && held.shadowRoot.activeElement)
    held = held.shadowRoot.activeElement;
  return held?.getAttribute("aria-label") || "";
}"""


def test_hostile_text_in_a_catalog_stays_text(open_page, job):
    hostile = replace(job, catalogs=("shop",), vehicle="shop/valdrin-boek", workshop="shop")
    hostile = replace(hostile, title=HOSTILE[:60])
    page = open_page(hostile)
    for name in ("Wishes", "Options", "The package"):
        go_to(page, name)
    go_to(page, "Options")
    page.get_by_role("combobox", name="Position", exact=True).select_option("tyres")
    expect(page.locator("span.title", has_text="onerror=").first).to_be_visible()
    go_to(page, "The package")
    expect(page.get_by_text("onerror=").first).to_be_visible()
    assert page.evaluate("window.hit") is None
    assert page.locator("img[src=x]").count() == 0
    assert page.locator('a[href^="javascript"]').count() == 0
    # The list is checked on the page of catalogs, and uploading it shows what is wrong in place.
    go_to(page, "Catalogs and plugins")
    bad = (
        "part number,title,price [EUR],ratio,ring gear,torque rating [N*m]\n"
        f'G1,"{HOSTILE.replace(chr(34), chr(34) * 2)}",abc,4.1,RG1,5000\n'
    )
    page.locator("input[type=file]").set_input_files(
        {"name": "diff_ratios.csv", "mimeType": "text/csv", "buffer": bad.encode()}
    )
    expect(page.get_by_text("Errors: must be put right")).to_be_visible()
    expect(page.get_by_text("In place")).to_be_visible()
    assert page.evaluate("window.hit") is None
