"""A list that is edited while the page is open: said, and read when that is asked for."""

from __future__ import annotations

import os

import pytest

from configurator.files import job_files, job_link
from configurator.ui import shared_cases
from tests import bundled
from tests.short_lists import write_short_lists
from tests.ui.apps import opened, settled, text, visit


@pytest.fixture
def shop(tmp_path, monkeypatch):
    folder = write_short_lists(tmp_path)
    monkeypatch.setenv(shared_cases.CATALOGS, str(tmp_path))
    shared_cases.reload()
    yield folder
    shared_cases.reload()


def edit(path, old, new):
    content = path.read_text(encoding="utf-8")
    assert old in content
    path.write_text(content.replace(old, new), encoding="utf-8")
    state = path.stat()  # whatever the clock of the disk counts in
    os.utime(path, ns=(state.st_atime_ns, state.st_mtime_ns + 1))


def test_a_list_that_is_edited_meanwhile_is_said_and_then_read(shop):
    trade = bundled.trade()
    job = job_files.read_job(shop / "jobs" / "vineyard-trucks.toml", trade)
    app = opened(job_link.to_parameter(job, trade))
    assert "Changed since the lists were read" not in text(app)
    before = visit(app).talk.cheapest().price
    edit(shop / "workshop.toml", 'rate = "92 EUR"', 'rate = "93 EUR"')
    (shop / "vehicles" / "orrest-wheatear.toml").unlink()
    settled(app.run())
    warned = text(app)
    assert "Changed since the lists were read: demo/vehicles/orrest-wheatear.toml, " in warned
    assert "demo/workshop.toml. Prices here may still be the ones from before." in warned
    assert visit(app).talk.cheapest().price == before
    app.button(key="lists changed").click().run()
    settled(app)
    assert "Changed since the lists were read" not in text(app)
    assert visit(app).talk.cheapest().price > before


def test_files_that_nothing_is_read_from_are_left_out(shop):
    shelves = shared_cases.library()
    assert shared_cases.changed_since(shelves) == []
    (shop / "earlier").mkdir()
    for name in ("earlier/tyres-2026-01-01.csv", ".~lock.tyres.csv#", "tyres.csv.bak", "notes.txt"):
        (shop / name).write_text("x", encoding="utf-8")
    assert shared_cases.changed_since(shelves) == []
    (shop / "new_list.csv").write_text("x", encoding="utf-8")
    assert shared_cases.changed_since(shelves) == ["demo/new_list.csv"]
