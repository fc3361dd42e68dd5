"""What a checker of accessibility finds on every part of the page, and nothing is cut off."""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe

from configurator.questions import edits
from tests.ui.serving import go_to, parts_of

pytestmark = pytest.mark.browser

# Of Streamlit's own drop zone for files, whose button inside it has its name and the focus.
KNOWN = {"presentation-role-conflict"}
# Colours hang on the theme, layout on the width: two of the four pairs show all of each.
WAYS = {
    "light": {"viewport": {"width": 1280, "height": 900}, "color_scheme": "light"},
    "dark on a tablet": {"viewport": {"width": 820, "height": 1100}, "color_scheme": "dark"},
}


@pytest.mark.parametrize("way", WAYS)
def test_axe_finds_nothing_and_nothing_is_cut_off(open_page, job, way):
    page = open_page(edits.keep(job, "front springs"), reduced_motion="reduce", **WAYS[way])
    found = {}
    names = parts_of(page)
    assert len(names) > 5
    for name in names:
        go_to(page, name)
        if name == "What it forces":
            page.get_by_text("Click a box").wait_for(timeout=240_000)
        if name == "The package":
            page.get_by_role("button", name="Set side by side").first.click()
            page.get_by_role("button", name="Is set side by side").wait_for()
        for one in Axe().run(page).response["violations"]:
            if one["id"] not in KNOWN:
                found[f"{name}: {one['id']}"] = [n["html"][:200] for n in one["nodes"][:3]]
        wide = page.evaluate(
            "document.querySelector('[data-testid=stMain]').scrollWidth - window.innerWidth"
        )
        if wide > 0:
            found[f"{name}: cut off"] = [f"{wide} px"]
    assert found == {}
