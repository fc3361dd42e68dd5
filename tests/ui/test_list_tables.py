"""The table of a mapping: what it shows is what the mapping says, edited or not."""

from __future__ import annotations

from pathlib import Path

from configurator.core.text import Report
from configurator.supplier_lists.headings import headings_at
from configurator.supplier_lists.notations.registry import NOTATIONS, value_taken
from configurator.ui.lists import mapping_table
from configurator.ui.lists.list_in_hand import preview, take_in_hand
from configurator.ui.lists.mapping_table import OURS, READ, SURE, THEIRS, UNIT
from tests.small_trade import TYRES, write_catalog
from tests.supplier_lists.lists import PRICES, opened, proposed


def test_a_table_that_nobody_edits_says_what_was_proposed(tmp_path: Path) -> None:
    prices = opened(tmp_path)
    mapping = proposed(prices)
    headings = [heading.text for heading in headings_at(prices, mapping.headings)]
    rows = mapping_table.table_rows(mapping, TYRES)
    again = mapping_table.mapping_of(mapping, rows, headings)
    assert dict(again.columns) == dict(mapping.columns)
    assert again.ignore == mapping.ignore


def test_what_is_edited_is_in_the_mapping(tmp_path: Path) -> None:
    prices = opened(tmp_path)
    mapping = proposed(prices)
    headings = [heading.text for heading in headings_at(prices, mapping.headings)]
    rows = {row[OURS]: row for row in mapping_table.table_rows(mapping, TYRES)}
    rows["plies"][THEIRS] = ""
    rows["tread"] |= {THEIRS: "Plies", SURE: True}
    rows["overall diameter"] |= {UNIT: "mm", READ: "tyre size", SURE: False}
    again = mapping_table.mapping_of(mapping, [*rows.values()], headings)
    assert "plies" not in again.columns
    assert again.columns["tread"].heading == "Plies"
    source = again.columns["overall diameter"]
    assert (source.unit, source.read, source.take, source.confirmed) == (
        "mm", "tyre size", "", False,
    )  # fmt: skip
    words = mapping_table.with_words(again, "tread", {"8": "mud"})
    assert words.columns["tread"].words == {"8": "mud"}


def test_every_way_of_reading_can_be_chosen() -> None:
    for text in mapping_table.readings():
        name, _, take = text.partition(": ")
        assert not take or value_taken(NOTATIONS[name], "x", take) == take


def test_a_list_in_hand_is_previewed(tmp_path: Path) -> None:
    folder = write_catalog(tmp_path / "lists")
    hand = take_in_hand("C:/prices.csv", PRICES.encode(), TYRES, folder)
    rows, report = preview(hand)
    assert (hand.name, [row.number for row in rows], report.errors) == (
        "C:/prices.csv", ["A1", "A2", "A7"], [],
    )  # fmt: skip
    assert isinstance(report, Report)
    home = hand.path.parent
    assert home.is_dir()
    del hand
    assert not home.exists()
