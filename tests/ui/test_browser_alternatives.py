"""A level of a curve is asked for from the keyboard; what stands where on a tablet."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from tests.ui.serving import go_to, still, tick

pytestmark = pytest.mark.browser
expect.set_options(timeout=60_000)  # a shared machine is slow at times


def test_a_level_is_asked_for_by_keyboard_and_by_click_and_keeps_the_focus(open_page):
    page = open_page()
    tick(page, "Draw what each value costs")
    field = page.get_by_label("at least", exact=True).first
    expect(field).to_have_value("52")
    level = page.get_by_role("button", name=re.compile("^55: "))
    expect(level).to_be_visible()
    still(page)  # drawn anew, a level would lose the focus before the key comes
    level.press("Enter")
    expect(field).to_have_value("55")
    expect(page.get_by_role("button", name=re.compile("^55: "))).to_be_focused()
    still(page)
    # Hit as a visitor would, between dot and axis: the whole strip takes the click.
    page.get_by_role("button", name=re.compile("^58.15: ")).locator("rect").click()
    expect(field).to_have_value("58.15")
    expect(page.get_by_text("Cheapest package: ").first).not_to_contain_text("5077.90")


def test_on_a_tablet_cautions_stand_above_what_is_long(open_page):
    page = open_page(viewport={"width": 820, "height": 1100})
    go_to(page, "The package")
    places = {
        name: page.get_by_role("heading", name=name, exact=True).bounding_box()["y"]
        for name in ("New parts", "Cautions", "Drawn to scale", "Others that differ")
    }
    assert places["Cautions"] < places["Drawn to scale"] < places["Others that differ"]
    assert places["Cautions"] - places["New parts"] < 200
