"""What a browser shows between the answer to a click and what follows it."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from tests.ui.serving import begun, ready, served

pytestmark = pytest.mark.browser

# The pages, where each change of use needs a case that is long to join: it, the whole one and the
# build come when a file is there.
HELD = """
import os
import time
from pathlib import Path

from configurator.core.progress import check
from configurator.questions import case_making
from configurator.search.optimum import preparing
from configurator.ui import main
from configurator.ui.talk import behind


def held(how, name):
    def held_back(*given, **named):
        while not (Path(os.environ["FITWRIGHT_DATA"]) / name).exists():
            time.sleep(0.02)
            check()
        return how(*given, **named)

    return held_back


if case_making.SOON_ROWS >= 0:
    case_making.SOON_ROWS = -1
    preparing.prepare = held(preparing.prepare, "case")
    preparing.whole_of = held(preparing.whole_of, "whole")
    behind.make_build = held(behind.make_build, "build")
main()
"""
SOFT = "getComputedStyle(e).color"


def test_the_vehicle_beside_the_goals_is_marked_until_it_is_this_answers(
    open_page, tmp_path, own_data, short_lists
):
    expect.set_options(timeout=30_000)
    app = tmp_path / "held.py"
    app.write_text(HELD, encoding="utf-8")
    case, whole, build = (own_data / name for name in ("case", "whole", "build"))
    for free in (case, whole, build):
        free.touch()
    own = {"FITWRIGHT_DATA": str(own_data), "FITWRIGHT_DATABASE": ""}
    with served(tmp_path, app, FITWRIGHT_CATALOGS=str(short_lists), **own) as server:
        page = open_page(at=server)
        glance = page.locator(".glance")
        words = glance.locator("h2 small")
        figure = glance.locator("dd b").first
        expect(words).to_have_text("now dashed, with this package solid")
        plain = figure.evaluate(f"e => {SOFT}")
        for free in (whole, build):
            free.unlink()
        page.locator("summary", has_text="Use of the vehicle").click()
        speed = page.get_by_label("Cruising speed")
        speed.fill("88")
        speed.press("Enter")
        # The answer is there; the vehicle is the last answer's, and looks and reads like it.
        expect(words).to_have_text("now dashed, with the last answer's package solid")
        expect(page.locator('[data-key="going on"]')).to_contain_text("What is grey")
        grey = figure.evaluate(f"e => {SOFT}")
        assert grey != plain
        assert grey == words.evaluate(f"e => {SOFT}")
        assert glance.locator("svg[viewBox] text").first.evaluate(f"e => {SOFT}") == grey
        build.touch()
        # The whole case is still to come.
        expect(words).to_have_text("now dashed, with this package solid")
        assert figure.evaluate(f"e => {SOFT}") == plain
        expect(page.locator(".curvebox.stale").first).to_be_attached()
        whole.touch()
        begun(page)
        ready(page)
        expect(page.locator(".stale")).to_have_count(0)
        expect(page.locator('[data-key="going on"]')).to_have_text("")


def test_a_field_keeps_what_was_typed_until_the_answer_to_it(
    open_page, tmp_path, own_data, short_lists
):
    expect.set_options(timeout=30_000)
    app = tmp_path / "held.py"
    app.write_text(HELD, encoding="utf-8")
    for name in ("case", "whole", "build"):
        (own_data / name).touch()
    own = {"FITWRIGHT_DATA": str(own_data), "FITWRIGHT_DATABASE": ""}
    with served(tmp_path, app, FITWRIGHT_CATALOGS=str(short_lists), **own) as server:
        page = open_page(at=server)
        page.locator("summary", has_text="Use of the vehicle").click()
        field = page.locator('input[data-name="use cruising speed"]')
        before = field.input_value()
        (own_data / "case").unlink()
        field.fill("87")
        field.press("Enter")
        expect(page.get_by_text("Updating. What you see is the last answer.")).to_be_visible()
        expect(field).to_have_value("87")
        (own_data / "case").touch()
        ready(page)
        expect(field).to_have_value("87")
        page.get_by_role("button", name=re.compile("^Undo: ")).click()
        ready(page)
        expect(field).to_have_value(before)
