"""Amounts, currencies and days at their edges: read as they are meant, or refused."""

from __future__ import annotations

import datetime
import os
import time

import pytest
from babel.numbers import get_currency_precision, list_currencies
from hypothesis import given
from hypothesis import strategies as st

from configurator.core import clock, money, units
from configurator.core.errors import UnitError
from configurator.core.money import Money, exponent, read, read_amount, read_rate


def test_every_currency_has_the_decimals_of_the_cldr() -> None:
    assert {code: exponent(code) for code in list_currencies()} == {
        code: get_currency_precision(code) for code in list_currencies()
    }
    # ISO 4217, list of minor units (from memory): of some that are easily mistaken.
    minor_units = {"JOD": 3, "LYD": 3, "XOF": 0, "XAF": 0, "UGX": 0, "CLF": 4, "KWD": 3, "CHF": 2}
    assert {code: exponent(code) for code in minor_units} == minor_units


@given(st.integers(-money.LARGEST, money.LARGEST), st.sampled_from(["EUR", "JPY", "JOD", "CLF"]))
def test_what_is_written_reads_back(minor: int, currency: str) -> None:
    assert read(str(Money(minor, currency))) == Money(minor, currency)


@pytest.mark.parametrize(
    ("text", "minor"),
    [
        ("18,500 EUR", 1850000),
        ("18.500 EUR", 1850000),
        ("18,500.00 EUR", 1850000),
        ("1 234 567,8 EUR", 123456780),
        ("0.500 EUR", 50),
        ("12.00 JPY", 12),
        ("1,500 JPY", 1500),
        ("1.500 JOD", 1500),
        ("1,500.250 JOD", 1500250),
        ("-3 EUR", -300),
    ],
)
def test_separators_and_decimals(text: str, minor: int) -> None:
    assert read(text).minor == minor


@pytest.mark.parametrize(
    "text",
    [
        "1,500 JOD",  # one and a half, or one thousand five hundred
        "1.234.56 EUR",
        "12,34,567 EUR",
        "1.2345 EUR",
        "12.5 JPY",
        "٣ EUR",
        "1٣ EUR",
        "\uff15 EUR",
        "1e308 EUR",
        "9" * 400 + " EUR",
        "1 XXX",
        "1 EUX",
        "1 eur",
        "١٢ USD",
    ],
)
def test_what_can_be_read_in_two_ways_or_in_none_is_refused(text: str) -> None:
    with pytest.raises(UnitError) as refused:
        read(text)
    assert len(str(refused.value)) < 250


@pytest.mark.parametrize("text", ["0 EUR", "0.000 EUR", "-1 EUR", "٣ EUR", "1e9 EUR", "1 QQQ"])
def test_rates_of_nothing_are_refused(text: str) -> None:
    with pytest.raises(UnitError):
        read_rate("USD", text, "2026-11-01")


@pytest.mark.parametrize("text", ["1e308 mm", "-1e308 mm", "1e400 mm", "٣ mm", "9" * 300 + " mm"])
def test_lengths_out_of_all_bounds_are_refused(text: str) -> None:
    with pytest.raises(UnitError):
        units.parse(text, "mm")


def test_a_comma_is_read_alike_wherever_an_amount_is_typed() -> None:
    assert read_amount("18,500", "EUR") == read_amount("18500", "EUR")


@pytest.mark.skipif(not hasattr(time, "tzset"), reason="zones are set otherwise here")
def test_the_year_of_a_number_is_that_of_the_day_shown(tmp_path, monkeypatch) -> None:
    from configurator.store.access import keep_quotation, open_store

    monkeypatch.setenv("TZ", "Pacific/Auckland")
    time.tzset()
    try:
        moment = datetime.datetime(2026, 12, 31, 13, 30, tzinfo=datetime.UTC)  # New Year there
        monkeypatch.setattr(clock, "now", lambda: moment.astimezone())
        with open_store(f"sqlite:///{tmp_path / 'r.sqlite'}") as store:
            made = keep_quotation(store, "t", "f", {}, price=1, currency="EUR", by="anna")
        assert made.made_at == "2026-12-31T13:30:00+00:00"
        assert clock.day_of(made.made_at) == clock.today() == datetime.date(2027, 1, 1)
        assert made.number == "2027-0001"
    finally:
        monkeypatch.undo()
        os.environ.get("TZ")
        time.tzset()
