"""Codes that nothing else uses, prices of nothing, and what is no file at all."""

from __future__ import annotations

import datetime
import os
import shutil
import threading
from pathlib import Path

import pytest

from configurator.core import paths
from configurator.core.text import Report
from configurator.files import toml_files
from configurator.files.catalog_check import examine
from configurator.model.knowledge import Trade
from tests import bundled

TODAY = datetime.date(2026, 11, 29)


@pytest.fixture(scope="module")
def trade() -> Trade:
    return bundled.trade()


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    folder = tmp_path / "demo"
    shutil.copytree(paths.catalogs() / "demo", folder)
    return folder


def warnings(folder: Path, trade: Trade) -> list[str]:
    return [str(warning) for warning in examine(folder, trade, TODAY).warnings]


def test_a_misspelt_thread_is_warned_of_with_the_right_one(shop: Path, trade: Trade) -> None:
    before = warnings(shop, trade)
    path = shop / "nuts.csv"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace(",M12x1.5,ball", ",m12 x 1.5,ball", 1), encoding="utf-8")
    (new,) = [line for line in warnings(shop, trade) if line not in before]
    assert "nuts.csv row 2, column 'thread': nothing else in the catalog uses 'm12 x 1.5'" in new
    assert "did you mean 'M12x1.5' for 'm12 x 1.5'?" in new


def test_codes_for_other_vehicles_are_told_and_raise_no_doubt(shop: Path, trade: Trade) -> None:
    whats = [code.what for code in examine(shop, trade, TODAY).codes]
    assert "nothing else in the catalog uses '3/8-24'" in whats


def test_words_that_only_one_family_has_are_no_codes(shop: Path, trade: Trade) -> None:
    assert not [
        warning for warning in warnings(shop, trade) if "'size'" in warning or "'steel'" in warning
    ]


def test_a_price_of_nothing_is_asked_about(shop: Path, trade: Trade) -> None:
    path = shop / "compressors.csv"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace(",189.00,", ",0,", 1), encoding="utf-8")
    assert any("costs nothing" in line for line in warnings(shop, trade))


@pytest.mark.parametrize("name", ["tyres.csv", "workshop.toml"])
def test_a_pipe_is_no_list(shop: Path, trade: Trade, name: str) -> None:
    (shop / name).unlink()
    os.mkfifo(shop / name)
    packages = []
    reading = threading.Thread(
        target=lambda: packages.append(examine(shop, trade, TODAY)), daemon=True
    )
    reading.start()
    reading.join(60)
    assert any("no file" in str(error) for error in packages[0].errors)


def test_a_folder_is_no_file(tmp_path: Path) -> None:
    report = Report()
    assert toml_files.load(tmp_path, "x.toml", report) is None
    assert "it is a folder" in report.errors[0].what
