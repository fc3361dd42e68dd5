"""Stages on the build, in a real browser and on a phone."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from tests.ui.serving import go_to, ready

pytestmark = pytest.mark.browser

PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True, "color_scheme": "dark"}
LEAST_TARGET = 44
SMALL = """(least) => {
  const talk = [...document.querySelectorAll("*")]
    .find((e) => e.shadowRoot?.querySelector(".talk"));
  return [...talk.shadowRoot.querySelectorAll(
    "[data-key=stages], [data-key=ready], [data-key=again]")]
    .flatMap((card) => [...card.querySelectorAll("button, input, select, summary")])
    .filter((e) => e.getBoundingClientRect().height < least).map((e) => e.outerHTML);
}"""


def test_stages_on_a_phone(open_page):
    expect.set_options(timeout=60_000)
    page = open_page(**PHONE)
    go_to(page, "Build")
    budgets = page.get_by_label("Budget of each stage, for one vehicle")
    budgets.fill("nothing much")
    page.get_by_role("button", name="Split into stages").click()
    ready(page)
    expect(page.get_by_text("is no amount; write a number")).to_be_visible()
    expect(budgets).to_have_value("nothing much")
    # Typed and not left: the tap takes it along.
    budgets.fill("3,000 EUR, 6000")
    page.get_by_role("button", name="Split into stages").click()
    ready(page)
    expect(page.get_by_role("heading", name=re.compile("^Stage 1: €"))).to_be_visible()
    expect(page.get_by_role("heading", name=re.compile("^Stage 2: €"))).to_be_visible()
    page.get_by_text("What must be fitted together, and why").click()
    expect(page.get_by_text(re.compile("Alone, .* would break: ")).first).to_be_visible()
    assert page.evaluate(SMALL, LEAST_TARGET) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["viewport"]["width"]
