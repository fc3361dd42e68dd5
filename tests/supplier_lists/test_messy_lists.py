"""Lists as suppliers send them are taken over untouched, every row held against its truth."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from configurator.core.text import Report
from configurator.files.part_lists import read_part_list
from configurator.model.knowledge import Trade
from configurator.model.parts import Part
from configurator.supplier_lists import taking_over
from configurator.supplier_lists.mapping_files import read_mapping, write_mapping
from configurator.supplier_lists.open_list import open_price_list
from configurator.supplier_lists.proposing import propose
from tests import bundled
from tests.supplier_lists import messy_lists
from tests.supplier_lists.messy_lists import MessyList

DAY = datetime.date(2026, 11, 29)
KINDS: dict[str, tuple[Callable[..., MessyList], Callable[..., Path], str, tuple[str, ...]]] = {
    "tyres": (messy_lists.tyre_list, messy_lists.write_tyres, "tyres.csv", ()),
    "wheels": (messy_lists.wheel_list, messy_lists.write_wheels, "wheels.xlsx", ("*",)),
    "shocks": (messy_lists.shock_list, messy_lists.write_shocks, "shocks.xls", ()),
}
# What the keeper of the list changes in the proposal, beside confirming all of it.
CORRECTIONS = {
    "tyres": (),
    "wheels": (('"Cone 60" = ""', '"Cone 60" = "60 degree cone"'),),
    "shocks": (
        ('"F" = ""', '"F" = "front shocks"'),
        ('"R" = ""', '"R" = "rear shocks"'),
        ('"F+R" = ""', '"F+R" = "front shocks | rear shocks"'),
        (
            '# "open length" = { from = "..." }',
            '"open length" = { from = ["Collapsed (in)", "Stroke (in)"], read = "sum", '
            'unit = "in" }',
        ),
    ),
}  # fmt: skip


@pytest.fixture(scope="module")
def trade() -> Trade:
    return bundled.trade()


def parts_of(folder: Path, family: str, trade: Trade) -> dict[str, Part]:
    report = Report()
    parts = read_part_list(
        folder / f"{family}.csv", trade.families[family], "shop", "EUR", {}, report
    )
    assert report.errors == []
    return {part.key.partition("/")[2]: part for part in parts}


def held_against(parts: dict[str, Part], truth: dict[str, dict[str, object]]) -> None:
    """Hold every value of every part against what it was written from."""
    wrong = []
    for number, expected in truth.items():
        part = parts[number]
        values = {"price": part.price, "position": part.positions, **part.values}
        for name, value in expected.items():
            same = values[name] == value
            if isinstance(value, float) and isinstance(values[name], float):
                same = values[name] == pytest.approx(value, rel=1e-9, abs=1e-12)
            if not same:
                wrong.append((number, name, values[name], value))
    assert wrong == []


def first_mapping(path: Path, family: str, trade: Trade, sheets: tuple[str, ...], file: Path):
    """Propose; then do what the keeper does: confirm everything and make the corrections."""
    prices = open_price_list(path, sheets=sheets)
    mapping, _ = propose(prices, trade.families[family])
    lacking = [
        attribute.name
        for attribute in trade.families[family].attributes
        if attribute.required and attribute.name not in mapping.columns
    ]
    text = write_mapping(mapping, path.name, lacking)
    for old, new in CORRECTIONS[family]:
        assert old in text, (old, text)
        text = text.replace(old, new)
    file.write_text(text.replace("confirmed = false, ", ""), encoding="utf-8")


def take_over(
    path: Path, family: str, folder: Path, trade: Trade, *accepted: str, bad: bool = True
):
    """Compare and write as the command does in a round of its own."""
    file = folder / "imports" / f"{family}.toml"
    report = Report()
    mapping = read_mapping(file, trade.families[family], report)
    assert report.errors == []
    assert mapping is not None
    prices = open_price_list(path, sheets=mapping.sheets, sheet=mapping.sheet)
    with taking_over.compared(
        prices, mapping, file.name, trade.families[family], folder, "EUR", without_bad_rows=bad
    ) as made:
        if not made.errors:
            taking_over.write_list(made, DAY, accepted)
        return replace(made)


@pytest.mark.parametrize("family", KINDS)
def test_a_list_is_taken_over_in_three_rounds(tmp_path: Path, trade: Trade, family: str) -> None:
    draw, write, name, sheets = KINDS[family]
    made = draw()
    wrong = [number for number, _ in made.rows][7::97]
    path = write(messy_lists.spoilt(made, wrong), tmp_path / name)
    before = path.read_bytes()
    folder = tmp_path / "shop"
    (folder / "imports").mkdir(parents=True)
    # First round: a proposal, which the keeper confirms and completes.
    first_mapping(path, family, trade, sheets, folder / "imports" / f"{family}.toml")
    # Second round: what is wrong, one message a cause, each with its rows counted.
    second = take_over(path, family, folder, trade, bad=False)
    assert second.tally.bad == len(wrong)
    assert len(second.errors) <= len(messy_lists.SPOILT[family]) + 1
    assert not (folder / f"{family}.csv").exists()
    # Third round: all but the rows with a problem.
    third = take_over(path, family, folder, trade)
    assert third.errors == []
    assert third.tally.rows == len(made.rows)
    parts = parts_of(folder, family, trade)
    assert set(parts) == set(made.truth) - set(wrong)
    held_against(parts, {key: made.truth[key] for key in parts})
    assert path.read_bytes() == before


@pytest.mark.parametrize("family", KINDS)
def test_a_second_edition_loses_nothing(tmp_path: Path, trade: Trade, family: str) -> None:
    draw, write, name, sheets = KINDS[family]
    made = draw(300)
    path = write(made, tmp_path / name)
    folder = tmp_path / "shop"
    (folder / "imports").mkdir(parents=True)
    first_mapping(path, family, trade, sheets, folder / "imports" / f"{family}.toml")
    take_over(path, family, folder, trade)
    held_against(parts_of(folder, family, trade), made.truth)
    numbers = [number for number, _ in made.rows]
    gone, wrong = set(numbers[3::25]), numbers[5::30]
    later = messy_lists.spoilt(made, wrong)
    later.rows = [row for row in later.rows if row[0] not in gone]
    twice = numbers[1]  # given twice with two prices
    again = list(dict(later.rows)[twice])
    again[-1] = made.rows[0][1][-1]
    later.rows.append((twice, again))
    write(later, path)
    second = take_over(path, family, folder, trade)
    assert second.errors == []
    after = parts_of(folder, family, trade)
    assert set(after) == set(numbers) - gone
    # What is wrong in the new edition is as it was in the old.
    assert second.tally.withheld == {*wrong, twice}
    held_against(after, {key: made.truth[key] for key in after})


def test_a_slip_of_price_is_asked_about(tmp_path: Path, trade: Trade) -> None:
    made = messy_lists.tyre_list(200)
    path = messy_lists.write_tyres(made, tmp_path / "tyres.csv")
    folder = tmp_path / "shop"
    (folder / "imports").mkdir(parents=True)
    first_mapping(path, "tyres", trade, (), folder / "imports" / "tyres.toml")
    take_over(path, "tyres", folder, trade)
    number, cells = made.rows[10]
    made.rows[10] = (number, [*cells[:-1], f"{messy_lists.german(99_999)} €"])
    made.rows = made.rows[:150]
    messy_lists.write_tyres(made, path)
    from configurator.core.errors import InputError

    with pytest.raises(InputError) as caught:
        take_over(path, "tyres", folder, trade)
    whats = [problem.what for problem in caught.value.problems]
    assert "50 of 200 parts would be removed" in whats[0]
    assert (
        f"1 price(s) change by more than half or have two digits swapped, such as '{number}'"
        in whats[1]
    )
    held_against(parts_of(folder, "tyres", trade), messy_lists.tyre_list(200).truth)
    take_over(path, "tyres", folder, trade, taking_over.REMOVALS, taking_over.PRICES)
    assert len(parts_of(folder, "tyres", trade)) == 150


def test_a_mapping_and_a_list_with_former_names_are_read(tmp_path: Path, trade: Trade) -> None:
    made = messy_lists.wheel_list(20)
    path = messy_lists.write_wheels(made, tmp_path / "wheels.xlsx")
    folder = tmp_path / "shop"
    (folder / "imports").mkdir(parents=True)
    file = folder / "imports" / "wheels.toml"
    prices = open_price_list(path, sheets=["*"])
    mapping, _ = propose(prices, trade.families["wheels"])
    text = write_mapping(mapping, path.name).replace("confirmed = false, ", "")
    for old, new in CORRECTIONS["wheels"]:
        text = text.replace(old, new)
    file.write_text(text.replace('"PCD" =', '"bolt circle" ='), encoding="utf-8")
    report = Report()
    family = trade.families["wheels"]
    mapping_read = read_mapping(file, family, report, trade.former_names)
    assert report.errors == []
    assert any("is called 'PCD' now" in warning.what for warning in report.warnings)
    assert mapping_read is not None
    with taking_over.compared(prices, mapping_read, "m", family, folder, "EUR") as compared:
        taking_over.write_list(compared, DAY)
    listed = folder / "wheels.csv"
    listed.write_text(listed.read_text("utf-8").replace("PCD [", "bolt circle ["), "utf-8")
    with taking_over.compared(
        prices, mapping_read, "m", family, folder, "EUR", former=trade.former_names
    ) as compared:
        assert compared.errors == []
        assert compared.differences.counts["same"] == 20
