"""Numbers and prices as suppliers write them: one reading, or a question."""

from __future__ import annotations

import contextlib
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from configurator.core.text import Misread
from configurator.supplier_lists.numbers import decimal_sign, plain_number, plain_price
from configurator.supplier_lists.price_lists import TypedNumber


@pytest.mark.parametrize(
    ("texts", "sign"),
    [
        (["1", "2"], ""),
        (["1,5", "2"], "comma"),
        (["1.5 mm", "2"], "point"),
        (["1.234,50"], "comma"),
        (["1,234.50"], "point"),
        (["1.234.567"], "comma"),
        (["1,234"], ""),
        (["1,234", "0.5"], "point"),
        (["1,5", "0.5"], "both"),
        (["10.20.30", "LT235/85R16", "M12x1.5"], ""),
        ([TypedNumber("1.5"), "1,5"], "comma"),
        (["€ 1.234,50"], "comma"),
    ],
)
def test_decimal_sign(texts: list[str], sign: str) -> None:
    assert decimal_sign(texts)[0] == sign


@pytest.mark.parametrize(
    ("text", "decimals", "plain"),
    [
        ("1.234", "comma", "1234"),
        ("1.234", "point", "1.234"),
        ("1,234", "point", "1234"),
        ("1 234,5 mm", "comma", "1234.5 mm"),
        ("1'234.5", "point", "1234.5"),
        ("-0,5", "comma", "-0.5"),
        ("31,5", "", "31.5"),
        ("762", "", "762"),
        ("1/2", "point", "1/2"),
        ("12 1/2 in", "point", "12 1/2 in"),
        ("about 5", "point", "about 5"),
        (TypedNumber("1.234"), "comma", "1.234"),
    ],
)
def test_plain_number(text: str, decimals: str, plain: str) -> None:
    assert plain_number(text, decimals) == plain


@pytest.mark.parametrize(
    ("text", "decimals"),
    [("1.234", ""), ("1,234", ""), ("12.34", "comma"), ("1,23", "point"), ("1.2.3", "point")],
)
def test_numbers_in_doubt(text: str, decimals: str) -> None:
    with pytest.raises(Misread, match="decimals"):
        plain_number(text, decimals)


@pytest.mark.parametrize(
    ("text", "how", "plain"),
    [
        ("129", {}, "129.00"),
        ("129,5", {"decimals": "comma"}, "129.50"),
        ("€129.50", {"decimals": "point"}, "129.50"),
        ("129.50 EUR", {"decimals": "point"}, "129.50"),
        ("99,-", {"decimals": "comma"}, "99.00"),
        ("99.–", {}, "99.00"),
        ("1.234,-", {"decimals": "comma"}, "1234.00"),
        ("100", {"multiply": "1.19"}, "119.00"),
        ("99.99", {"decimals": "point", "multiply": "1.2"}, "119.99"),
        ("1.2345", {"decimals": "point", "rounded": True}, "1.23"),
        (TypedNumber("1.235"), {"rounded": True}, "1.24"),
        (TypedNumber("1234.5"), {"decimals": "comma"}, "1234.50"),
    ],
)
def test_plain_price(text: str, how: dict, plain: str) -> None:
    assert plain_price(text, **({"decimals": "", "currency": "EUR"} | how)) == plain


@pytest.mark.parametrize(
    ("text", "decimals", "what"),
    [
        ("12 $", "", "not in EUR"),
        ("12 GBP", "", "not in EUR"),
        ("1.234", "", "decimals or thousands"),
        ("1.2345", "point", "more than 2 decimals"),
        ("on request", "", "not a price"),
        ("", "", "not a price"),
        ("12/13", "", "not a price"),
        ("9" * 40, "", "too large"),
        ("1e400", "", "not a price|too large"),
    ],
)
def test_refused_prices(text: str, decimals: str, what: str) -> None:
    with pytest.raises(Misread) as caught:
        plain_price(text, decimals, "EUR")
    assert re.search(what, caught.value.what)


@given(st.integers(0, 10**9), st.sampled_from([".", ","]), st.booleans())
def test_any_amount_survives(minor: int, point: str, grouped: bool) -> None:
    other = "," if point == "." else "."
    whole = f"{minor // 100:,}".replace(",", other if grouped else "")
    text = f"{whole}{point}{minor % 100:02d}"
    decimals = "comma" if point == "," else "point"
    assert plain_price(text, decimals, "EUR") == f"{minor // 100}.{minor % 100:02d}"


@given(st.text(max_size=15), st.sampled_from(["", "comma", "point"]))
def test_any_text_is_read_or_refused(text: str, decimals: str) -> None:
    decimal_sign([text])
    for read in (plain_number, lambda t, d: plain_price(t, d, "EUR", "1.2")):
        with contextlib.suppress(Misread):
            read(text, decimals)
