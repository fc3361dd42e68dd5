"""Lists too long to be joined at once: prices are bounds, and are made exact on demand."""

from __future__ import annotations

import pytest

from configurator.core import paths
from configurator.files import job_files, job_link
from configurator.loading import plugin_files
from configurator.search.circuit import conditioning, elimination, elimination_order
from configurator.search.circuit.join import TooWide
from configurator.search.optimum import preparing
from configurator.ui import shared_cases
from tests.ui.test_page import go_to, opened, settled, text, visit


@pytest.fixture
def link(tmp_path, monkeypatch):
    """A job of the demo for whose lists no order of joins is found."""

    def refused(*_):
        raise TooWide(("tyres", "wheels"), 10**9)

    monkeypatch.setenv("FITWRIGHT_DATA", str(tmp_path / "data"))
    monkeypatch.setattr(preparing, "make_circuit", refused)
    monkeypatch.setattr(elimination, "APART", 500)
    monkeypatch.setattr(elimination_order, "TRIES", 20)
    shared_cases.reload()  # what others have prepared is not for here, and this not for others
    trade = plugin_files.load(installed=False).trade
    job = paths.catalogs() / "demo" / "jobs" / "vineyard-trucks.toml"
    yield job_link.to_parameter(job_files.read_job(job, trade), trade)
    shared_cases.reload()


def test_long_lists_are_joined_on_demand(link):
    page = go_to(opened(link), "Options")
    assert "these lists are so long" in text(page)
    assert "some minutes, once" in text(page)
    before = visit(page).talk.options()
    page.button(key="exact").click().run()
    settled(page)
    assert not page.exception
    assert visit(page).talk.prepared().loose is None
    assert "these lists are so long" not in text(page)
    after = visit(page).talk.options()
    compared = 0
    for position, states in before.items():
        for one, other in zip(states, after[position], strict=True):
            if one.price is not None and other.price is not None:
                assert one.price <= other.price
                compared += one.price < other.price
    assert compared


def test_lists_too_long_even_so_say_what_to_do(link, monkeypatch):
    monkeypatch.setattr(conditioning, "MOST_ROWS", 1000)
    page = go_to(opened(link), "Options")
    page.button(key="exact").click().run()
    settled(page)
    assert "too long to make every price exact" in "\n".join(one.value for one in page.warning)
    assert "these lists are so long" in text(page)
