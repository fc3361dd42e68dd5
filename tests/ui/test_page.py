"""The page's wiring, without a browser: it shows the cheapest package, fixes and frees a part."""

from __future__ import annotations

import pytest
from streamlit.testing.v1 import AppTest

from configurator import homes

JOB = "vineyard-trucks"


@pytest.fixture(scope="module")
def page():
    app = AppTest.from_file(str(homes.app()), default_timeout=120)
    app.run()
    app.selectbox(key="job").select(JOB).run()
    return app


def text(app) -> str:
    return "\n".join(str(one.value) for one in [*app.markdown, *app.subheader, *app.caption])


def test_the_cheapest_package_and_its_cautions_are_shown(page):
    assert not page.exception
    assert "Cheapest package: 5077.90 EUR" in text(page)
    assert "no approval" in text(page)


def test_fixing_a_part_moves_the_price_and_freeing_it_brings_it_back(page):
    page.selectbox(key="position").select("front gears").run()
    keys = page.selectbox(key="part at front gears").options
    dearer = next(key for key in keys if key.endswith("-529P") or key.endswith("488"))
    page.selectbox(key="part at front gears").select(dearer).run()
    next(b for b in page.button if b.label == "Fix this part").click().run()
    assert not page.exception
    assert "front gears" in text(page)
    assert "is fixed" in text(page)
    next(b for b in page.button if b.label == "Free the front gears").click().run()
    assert "Cheapest package: 5077.90 EUR" in text(page)


def test_a_smaller_budget_is_said_to_be_exceeded(page):
    page.number_input[0].set_value(4000).run()
    assert "Over the budget by 1077.90 EUR." in text(page)
