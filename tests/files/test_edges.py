"""Files at the edges of what can be read are refused by what is the matter with them."""

from __future__ import annotations

import os
import threading
from pathlib import Path

import pytest

from configurator.core.errors import InputError
from configurator.files import catalog_files
from configurator.files.job_files import read_job
from configurator.supplier_lists.numbers import plain_price
from tests.small_trade import LIST, WORKSHOP, small_trade, write_catalog

TRADE = small_trade()
JOB = 'title = "Hut"\nvehicle = "lists/wagon"\ncatalogs = ["lists"]\n'


def refusals(source: Path | str | bytes) -> list[str]:
    with pytest.raises(InputError) as refused:
        read_job(source, TRADE)
    return [str(problem) for problem in refused.value.problems]


@pytest.mark.parametrize("as_file", [True, False])
@pytest.mark.parametrize(
    ("data", "what"),
    [
        (JOB.encode("utf-16"), "encoded as UTF-16"),
        (JOB.encode("utf-16-le"), "encoded as UTF-16"),
        (JOB.encode("utf-16-be"), "encoded as UTF-16"),
        (JOB.replace("\n", "\r").encode(), "its lines end with CR alone"),
        (JOB.replace("Hut", "Hütte").encode("cp1252"), "not encoded as UTF-8"),
    ],
)
def test_encodings_and_line_ends_of_jobs_are_named(
    tmp_path: Path, data: bytes, what: str, as_file: bool
) -> None:
    path = tmp_path / "job.toml"
    path.write_bytes(data)
    (line,) = refusals(path if as_file else data)
    assert what in line


def test_usual_line_ends_are_read(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    for text in (JOB, JOB.replace("\n", "\r\n"), "\ufeff" + JOB):
        path.write_bytes(text.encode())
        assert read_job(path, TRADE).title == "Hut"


@pytest.mark.parametrize(
    ("more", "what"),
    [
        ('currency = "EUX"', "'EUX' is not the code of a currency; did you mean 'EUR'?"),
        ('currency = "XXX"', "is not the code of a currency"),
        ('budget = "5 QQQ"', "is not the code of a currency"),
        ('budget = "٣ EUR"', "is not an amount of money"),
        ('[goals.mass]\nat_least = "1e308 kg"', "'1e308 kg' is out of all bounds"),
        ('[goals.mass]\nat_least = "٣ kg"', "is not a number"),
        ('[conditions]\n"cruising speed" = "1e308 km/h"', "'1e308 km/h' is out of all bounds"),
    ],
)
def test_jobs(more: str, what: str) -> None:
    lines = refusals(JOB + more)
    assert any(what in line for line in lines), lines
    assert all(len(line) < 250 for line in lines)


def checked(folder: Path) -> tuple[list[str], list[str]]:
    errors, warnings, _ = catalog_files.check_catalog(folder, TRADE)
    return [str(problem) for problem in errors], [str(problem) for problem in warnings]


@pytest.mark.parametrize(
    ("name", "old", "new", "what"),
    [
        ("catalog.toml", "2026-10-01", "9999-12-31", "9999-12-31 is not of this time"),
        ("catalog.toml", "2026-10-01", "0001-01-01", "0001-01-01 is not of this time"),
        ("catalog.toml", '"EUR"', '"EUX"', "'EUX' is not the code of a currency"),
        ("tyres.csv", "762", "1e308", "'1e308' is out of all bounds"),
        ("tyres.csv", "762", "٧٦٢", "'٧٦٢' is not a number"),
        ("tyres.csv", "129,50", "١٢٩", "is not an amount of money"),
        ("vehicles/wagon.toml", "29.5 in", "1e308 in", "'1e308 in' is out of all bounds"),
    ],
)
def test_catalogs(tmp_path: Path, name: str, old: str, new: str, what: str) -> None:
    folder = write_catalog(tmp_path / "lists")
    text = (folder / name).read_text(encoding="utf-8")
    assert old in text
    (folder / name).write_text(text.replace(old, new, 1), encoding="utf-8")
    errors, _ = checked(folder)
    assert any(what in line for line in errors), errors
    assert all(len(line) < 250 for line in errors)


@pytest.mark.parametrize(
    ("entry", "what"),
    [
        ('USD = { rate = "0 EUR", date = 2026-11-01 }', "is not a rate of exchange above 0"),
        ('USD = { rate = "0.9 EUR", date = 9999-12-31 }', "9999-12-31 is not of this time"),
        ('UXD = { rate = "0.9 EUR", date = 2026-11-01 }', "'UXD' is not the code of a currency"),
        ('USD = { rate = "٣ EUR", date = 2026-11-01 }', "is not a rate of exchange above 0"),
    ],
)
def test_rates(tmp_path: Path, entry: str, what: str) -> None:
    folder = write_catalog(tmp_path / "lists")
    (folder / "workshop.toml").write_text(f"{WORKSHOP}[rates]\n{entry}\n", encoding="utf-8")
    errors, _ = checked(folder)
    assert any(what in line for line in errors), errors


def test_an_hour_that_costs_nothing_is_warned_of(tmp_path: Path) -> None:
    folder = write_catalog(tmp_path / "lists")
    text = WORKSHOP.replace("92 EUR", "0 EUR")
    (folder / "workshop.toml").write_text(text, encoding="utf-8")
    errors, warnings = checked(folder)
    assert errors == []
    assert any("an hour of work costs nothing" in line for line in warnings), warnings


def test_prices_of_suppliers_in_digits_of_another_script_are_refused() -> None:
    from configurator.core.text import Misread

    for text in ("٣", "\u0661\u0662\u066b\u0665", "\uff15", "1٣"):
        with pytest.raises(Misread):
            plain_price(text, "point", "EUR")


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes here")
def test_a_pipe_in_the_place_of_a_list_is_not_waited_for(tmp_path: Path) -> None:
    folder = write_catalog(tmp_path / "lists")
    (folder / "tyres.csv").unlink()
    os.mkfifo(folder / "tyres.csv")
    seen: list[str] = []
    reader = threading.Thread(target=lambda: seen.extend(checked(folder)[0]), daemon=True)
    reader.start()
    reader.join(timeout=60)
    assert any("cannot be opened: it is no file" in line for line in seen), seen
    assert LIST
