"""Mappings, notations, workshops and vehicles on the page about lists are read as it says."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from configurator.core.errors import InputError
from configurator.core.text import Misread, Report
from configurator.files import toml_files
from configurator.files.catalog_files import load_workshop
from configurator.files.vehicle_files import vehicle_of
from configurator.model.knowledge import Trade
from configurator.supplier_lists.column_readings import required_columns
from configurator.supplier_lists.mapping_files import read_mapping, write_mapping
from configurator.supplier_lists.notations.registry import NOTATIONS
from tests import bundled
from tests.docs.blocks import blocks, page

ABOUT = 'title = "x"\ncurrency = "EUR"\nprice_date = 2026-11-01\nsource = "x"\n'


@pytest.fixture(scope="module")
def trade() -> Trade:
    return bundled.trade()


def toml_blocks() -> list[str]:
    return [body for language, body in blocks(page("docs/lists.md")) if language == "toml"]


def test_every_mapping_is_read_and_says_what_a_part_needs(trade: Trade, tmp_path: Path) -> None:
    mappings = [body for body in toml_blocks() if body.startswith("family")]
    assert len(mappings) >= 4
    for body in mappings:
        family = trade.families[tomllib.loads(body)["family"]]
        path = tmp_path / f"{family.key}.toml"
        path.write_text(body, encoding="utf-8")
        report = Report()
        mapping = read_mapping(path, family, report)
        assert report.errors == []
        assert mapping is not None
        lacking = {*required_columns(family)} - {*mapping.columns, *mapping.same}
        assert lacking == set()
        path.write_text(write_mapping(mapping, "x.csv"), encoding="utf-8")
        assert read_mapping(path, family, report) == mapping


def test_the_workshop_is_read(trade: Trade, tmp_path: Path) -> None:
    (body,) = [body for body in toml_blocks() if "[practices]" in body]
    (tmp_path / "catalog.toml").write_text(ABOUT, encoding="utf-8")
    (tmp_path / "workshop.toml").write_text(body, encoding="utf-8")
    report = Report()
    workshop, _ = load_workshop(tmp_path, trade, report)
    assert report.errors == []
    assert workshop is not None
    assert workshop.practices["gap in the barrel"] == 0.004
    assert list(workshop.lifted) == ["the vehicle stays level"]


def test_the_vehicle_is_read_as_far_as_it_goes(trade: Trade) -> None:
    (body,) = [body for body in toml_blocks() if "[fitted.tyres]" in body]
    report = Report()
    top = toml_files.load(body, "vehicle", report)
    assert top is not None
    vehicle = vehicle_of(top, "x/y", trade)
    # It is the beginning of a file: positions that cannot stay empty are asked for, nothing else.
    assert {problem.where for problem in report.errors} == {"vehicle, [fitted]"}
    tyres = vehicle.fitted["tyres"]
    assert tyres is not None
    assert tyres.values["overall diameter"] == 0.775


def test_every_notation_is_in_the_table_and_reads_its_examples() -> None:
    rows = re.findall(
        r"^\| `([a-z ]+)` \| (.+?) \| (.+?) \| .+ \|$", page("docs/lists.md"), re.MULTILINE
    )
    assert {name for name, _, _ in rows} == set(NOTATIONS), "docs/lists.md, *Notations*: a row each"
    for name, examples, gives in rows:
        notation = NOTATIONS[name]
        assert gives.split(", ") == list(notation.gives)
        if notation.inputs:
            continue
        for text in re.findall("`([^`]+)`", examples):
            assert set(notation.read([text])) <= set(notation.gives)


@pytest.mark.parametrize(
    ("name", "text"), [("bolt pattern", "5x6"), ("thread", "M12"), ("tyre size", "35x1250R17")]
)
def test_what_the_page_calls_ambiguous_is_refused(name: str, text: str) -> None:
    with pytest.raises((Misread, InputError)):
        NOTATIONS[name].read([text])
