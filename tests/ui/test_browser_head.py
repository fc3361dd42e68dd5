"""The head, the way to stop what takes long, and a button that is held, in a real browser."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from configurator.ui.consequences_part import EVERY
from tests.ui.serving import TALK, go_to, price, ready, served

pytestmark = pytest.mark.browser

WIDTHS = {
    "phone": {"viewport": {"width": 390, "height": 844}, "has_touch": True},
    "tablet": {"viewport": {"width": 820, "height": 1180}, "has_touch": True},
}
# A button for fingers, and the padding around it [px].
ONE_LINE = 44 + 16
# What stands beside each other has its middle at nearly the same height [px].
ASKEW = 8
MIDDLES = """() => {
  const host = [...document.querySelectorAll("*")]
    .find((e) => e.shadowRoot?.querySelector(".talk"));
  return [".price", ".money", ".tools"]
    .map((name) => host.shadowRoot.querySelector(`.sums ${name}`).getBoundingClientRect())
    .map((box) => (box.top + box.bottom) / 2);
}"""


@pytest.mark.parametrize("width", WIDTHS)
def test_the_head_is_one_line_and_the_last_step_is_said_in_full(open_page, width):
    expect.set_options(timeout=60_000)
    page = open_page(**WIDTHS[width])
    go_to(page, "Parts")
    before = price(page)
    page.get_by_role("button", name=re.compile("^Choose: .*, wheels$")).first.click()
    ready(page)
    assert price(page) != before
    assert page.locator(".sums").bounding_box()["height"] <= ONE_LINE
    middles = page.evaluate(MIDDLES)
    assert max(middles) - min(middles) <= ASKEW
    # In the head what it cost, and beneath it what changed.
    expect(page.locator(".sums .brief")).to_contain_text("+€")
    expect(page.locator(".under .last")).to_be_visible()
    expect(page.locator(".under .last")).to_contain_text("wheels changed")
    for name in ("Undo: ", "Redo: "):
        assert page.get_by_role("button", name=re.compile(f"^{name}")).is_visible()
    wide = page.evaluate("document.documentElement.scrollWidth")
    assert wide <= WIDTHS[width]["viewport"]["width"]


def test_each_part_of_the_workshop_is_in_reach_on_a_phone(open_page):
    page = open_page(**WIDTHS["phone"])
    for name in ("Vehicle", "Share and open"):
        go_to(page, name)
        choice = page.get_by_label("Part of the workshop")
        expect(choice.locator("option:checked")).to_have_text(name)
        assert choice.bounding_box()["height"] >= 44
    assert "part=share" in page.url


def test_units_can_be_changed_on_a_phone(open_page):
    page = open_page(**WIDTHS["phone"])
    expect(page.locator(".goal").nth(1)).to_contain_text("1,410 mm")
    page.get_by_label("Units").locator("visible=true").select_option("imperial")
    ready(page)
    expect(page.locator(".goal").nth(1)).to_contain_text("55.51 in")


# The pages, where asking about a part does not end: there is time to stop it.
SLOW = """
import time

from configurator.consequences import upgrades
from configurator.core.progress import check, report
from configurator.ui import main


def slowly(_, options):
    report(0, len(options))
    while True:
        time.sleep(0.05)
        check()


upgrades.forces_each = slowly
main()
"""


def test_what_takes_long_can_be_stopped_and_begun_again(open_page, tmp_path, own_data, short_lists):
    expect.set_options(timeout=30_000)
    app = tmp_path / "slow.py"
    app.write_text(SLOW, encoding="utf-8")
    own = {"FITWRIGHT_DATA": str(own_data), "FITWRIGHT_DATABASE": ""}
    with served(tmp_path, app, FITWRIGHT_CATALOGS=str(short_lists), **own) as slow:
        page = open_page(at=slow)
        go_to(page, "What else it needs")
        page.get_by_role("combobox", name=re.compile("Asked about")).click()
        page.get_by_role("option", name=EVERY).click()
        stop = page.get_by_role("button", name="Stop", exact=True)
        expect(page.get_by_text(re.compile(r"0 of \d\d parts"))).to_be_visible()
        stop.click()
        expect(page.get_by_text("Stopped.", exact=True)).to_be_visible()
        expect(stop).to_have_count(0)
        again = page.get_by_role("button", name="Work it out again")
        again.click()
        expect(again).to_have_count(0)
        expect(page.get_by_text(re.compile(r"0 of \d\d parts"))).to_be_visible()
        # The rest of the page answers meanwhile.
        go_to(page, "Goals")
        expect(page.locator(".goal").first).to_be_visible()
        stop.click()
        expect(stop).to_have_count(0)


LETTERING = """() => {
  const roots = [...document.querySelectorAll("*")].map((e) => e.shadowRoot).filter(Boolean);
  const drawings = roots.flatMap((root) => [...root.querySelectorAll("svg[viewBox]")])
    .filter((svg) => svg.checkVisibility() && svg.querySelector("text"));
  return drawings.map((svg) => {
    const scale = svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
    return Math.min(...[...svg.querySelectorAll("text")]
      .map((text) => parseFloat(getComputedStyle(text).fontSize) * scale));
  });
}"""
LEAST_LETTERING = 14


@pytest.mark.parametrize("width", WIDTHS)
def test_lettering_of_drawings_can_be_read(open_page, width):
    expect.set_options(timeout=120_000)
    page = open_page(**WIDTHS[width])
    go_to(page, "Build")
    page.get_by_label("Which drawing to scale").select_option(index=1)
    ready(page)
    drawn = page.get_by_role("region", name="Drawing to scale").locator("svg[viewBox] text")
    expect(drawn.first).to_be_visible()
    sizes = page.evaluate(LETTERING)
    assert len(sizes) >= 3
    assert min(sizes) > LEAST_LETTERING - 0.5
    go_to(page, "What else it needs")
    # The words beneath it are there before the drawing, which a script of the page puts in.
    expect(page.locator(".st-key-graph svg[viewBox] text").first).to_be_visible()
    expect(page.get_by_text("Click a box")).to_be_visible()
    sizes = page.evaluate(LETTERING)
    assert sizes
    assert min(sizes) > LEAST_LETTERING - 0.5
    wide = page.evaluate("document.documentElement.scrollWidth")
    assert wide <= WIDTHS[width]["viewport"]["width"]


# What the server might say at any time: another total, and no undo any more.
ANOTHER_ANSWER = f"""() => {{
  const talk = ({TALK})();
  talk.data = {{ ...talk.data, head: {{ ...talk.data.head, total: "another", undo: "" }} }};
  globalThis.dispatchEvent(new Event("fitwright-names"));
}}"""


def test_while_a_button_is_held_down_nothing_changes_under_the_pointer(open_page):
    page = open_page()
    go_to(page, "Goals")
    before = price(page)
    box = page.locator('[data-key="way build"]').bounding_box()
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.mouse.down()
    page.evaluate(ANOTHER_ANSWER)
    page.wait_for_timeout(150)
    assert price(page) == before
    page.mouse.up()
    expect(page.locator('[data-key="way build"]')).to_have_attribute("aria-current", "page")


def test_what_came_meanwhile_is_drawn_when_the_pointer_goes_up_elsewhere(open_page):
    page = open_page()
    go_to(page, "Goals")
    box = page.locator('[data-key="way build"]').bounding_box()
    page.mouse.move(box["x"] + 5, box["y"] + 5)
    page.mouse.down()
    page.evaluate(ANOTHER_ANSWER)
    assert price(page) != "another"
    page.mouse.move(5, 5)
    page.mouse.up()
    expect(page.locator(".head .total")).to_have_text("another")
    expect(page.locator('[data-key="way goals"]')).to_have_attribute("aria-current", "page")
