"""Money: whole minor units with a currency, never a float.

Examples
--------
>>> read("18,500.50 EUR")
Money(minor=1850050, currency='EUR')
>>> str(Money(1234560, "EUR"))
'12345.60 EUR'
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from babel.numbers import get_currency_precision, is_currency

from configurator.core.errors import UnitError, nearest
from configurator.core.number_text import Comma
from configurator.core.text import shown

# Digits of this script alone: a sign that somebody else reads as another digit is no price.
_AMOUNT = re.compile(r"[-+]?[0-9][0-9.,' ]*")
_GROUPED = re.compile(r"[1-9][0-9]{0,2}(?:([.,' ])[0-9]{3})(?:\1[0-9]{3})*")
_BETWEEN = re.compile(r",\s+|;")
_MOST_DIGITS = 15
# Codes for no money at all, for tests, metals and funds (ISO 4217).
_NO_MONEY = frozenset({"XXX", "XTS", "XAU", "XAG", "XPT", "XPD", "XDR", "XSU", "XUA"})
LARGEST = 10**11  # minor units; beyond a thousand million EUR somebody has mistyped


def exponent(currency: str) -> int:
    """Decimals of a currency: those of the Unicode CLDR, which Babel carries.

    Examples
    --------
    >>> exponent("EUR"), exponent("JPY"), exponent("JOD"), exponent("XOF")
    (2, 0, 3, 0)
    """
    return get_currency_precision(currency)


def check_currency(code: str) -> None:
    """Refuse what is not the code of a currency.

    Raises
    ------
    UnitError
        If it is none.

    Examples
    --------
    >>> check_currency("EUR")
    >>> check_currency("EUX")
    Traceback (most recent call last):
    ...
    configurator.core.errors.UnitError: 'EUX' is not the code of a currency; did you mean 'EUR'?
    """
    if is_currency(code) and code not in _NO_MONEY:
        return
    usual = ("EUR", "GBP", "USD", "CHF", "SEK", "NOK", "DKK", "PLN", "CZK", "CAD", "AUD", "ZAR")
    raise UnitError(
        code,
        f"{shown(code)} is not the code of a currency",
        nearest(code, usual, otherwise="write three capital letters (ISO 4217), such as EUR"),
    )


@dataclass(frozen=True, slots=True)
class Money:
    """An amount in whole minor units of a currency."""

    minor: int
    currency: str

    def __str__(self) -> str:
        return f"{amount(self.minor, self.currency)} {self.currency}"


def amount(minor: int, currency: str) -> str:
    """Write minor units as a plain decimal number.

    Examples
    --------
    >>> amount(-1234560, "EUR"), amount(500, "JPY")
    ('-12345.60', '500')
    """
    places = exponent(currency)
    return f"{Decimal(minor).scaleb(-places):.{places}f}"


def listed(text: str) -> list[str]:
    """Divide a list of amounts at semicolons and at commas that a space follows.

    Any other comma belongs to a number: it groups digits, or is the decimal sign.

    Examples
    --------
    >>> listed("6,000 EUR, 6500 EUR"), listed("6000; 6500,50"), listed("  ")
    (['6,000 EUR', '6500 EUR'], ['6000', '6500,50'], [])
    """
    return [piece.strip() for piece in _BETWEEN.split(text) if piece.strip()]


def read_amount(text: str, currency: str, comma: Comma = "unclear") -> int:
    """Read a number of a currency into minor units.

    Points, commas, spaces and apostrophes before every third digit are separators; another point
    or comma is the decimal sign. Where a currency has three decimals, a single comma before three
    digits says neither, and is refused; unless it is known what it is (``comma``, as in
    `configurator.core.number_text.split_number`).

    Raises
    ------
    UnitError
        If it is no amount, has more decimals than the currency, or is absurdly large.

    Examples
    --------
    >>> read_amount("1.234,5", "EUR"), read_amount("1'234", "EUR"), read_amount("12", "JPY")
    (123450, 123400, 12)
    >>> read_amount("18,500", "EUR"), read_amount("1.500", "JOD")
    (1850000, 1500)
    """
    written = text.strip()
    if not _AMOUNT.fullmatch(written):
        what = f"{shown(text)} is not an amount of money"
        raise UnitError(text, what, "write a number such as 1234.50")
    places = exponent(currency)
    number = written.lstrip("+-")
    match = _GROUPED.fullmatch(number)
    sure = match is not None and match[1] == "," and comma == "groups"
    if match and not sure and places >= 3 and number.count(match[1]) == 1 and match[1] in ".,":
        if match[1] == "," and comma == "unclear":
            readings = number.replace(",", "."), number.replace(",", "")
            what = f"{shown(text)} may be {readings[0]} or {readings[1]} {currency}"
            raise UnitError(text, what, "write it with a point before the decimals")
        match = None
    whole, sign, part = number, "", ""
    if match is None:
        at = max(number.rfind("."), number.rfind(","))
        if at >= 0:
            whole, sign, part = number[:at], number[at], number[at + 1 :]
        match = _GROUPED.fullmatch(whole)
    digits = re.sub(r"\D", "", whole)
    part = part.rstrip("0") if len(part) > places else part
    separated = match is not None and match[1] != sign
    sound = (whole == digits or separated) and (not part or part.isdigit())
    if not sound or len(part) > places:
        what = f"{shown(text)} is not an amount in {currency}"
        raise UnitError(text, what, f"write it with at most {places} decimals")
    if len(digits) > _MOST_DIGITS or int(digits + part.ljust(places, "0")) > LARGEST:
        raise UnitError(text, f"{shown(text)} is too large for a price", "check the decimal sign")
    minor = int(digits + part.ljust(places, "0"))
    return -minor if written[0] == "-" else minor


def read(text: str) -> Money:
    """Read an amount with its currency, such as ``"18500 EUR"``.

    Raises
    ------
    UnitError
        If amount or currency cannot be read.
    """
    match = re.fullmatch(r"\s*(.+?)\s*([A-Z]{3})\s*", text)
    if match is None:
        what = f"{shown(text)} is not an amount of money"
        raise UnitError(text, what, "write it as in '18500 EUR'")
    check_currency(match[2])
    return Money(read_amount(match[1], match[2]), match[2])


@dataclass(frozen=True, slots=True)
class Rate:
    """What one unit of a currency costs in another, on a day.

    Parameters
    ----------
    of, into
        The two currencies.
    price
        Of one unit of ``of``, in ``into``, exactly as written.
    date
        Of the rate, as ``2026-11-01``.
    """

    of: str
    into: str
    price: Fraction
    date: str

    def __str__(self) -> str:
        return f"1 {self.of} = {_decimal(self.price)} {self.into} of {self.date}"


def _decimal(number: Fraction) -> str:
    # Rates are read from decimal numbers, so the division comes out even.
    return f"{(Decimal(number.numerator) / Decimal(number.denominator)).normalize():f}"


def read_rate(of: str, text: str, date: str) -> Rate:
    """Read what one unit of a currency costs, such as ``"0.92 EUR"``.

    Raises
    ------
    UnitError
        If it is no positive decimal number with the code of another currency.

    Examples
    --------
    >>> str(read_rate("USD", "0.92 EUR", "2026-11-01"))
    '1 USD = 0.92 EUR of 2026-11-01'
    """
    match = re.fullmatch(r"\s*([0-9]{1,9}(?:\.[0-9]{1,12})?)\s*([A-Z]{3})\s*", text)
    if match is None or not Fraction(match[1]):
        what = f"{shown(text)} is not a rate of exchange above 0"
        raise UnitError(text, what, "write it as in '0.92 EUR'")
    check_currency(match[2])
    if match[2] == of:
        raise UnitError(text, f"{shown(text)} is in {of} itself", "name the other currency")
    return Rate(of, match[2], Fraction(match[1]), date)


def convert(minor: int, rate: Rate) -> int:
    """Convert minor units of a currency, exactly, then round half to even to a minor unit.

    Examples
    --------
    >>> rate = read_rate("USD", "0.5 EUR", "2026-11-01")
    >>> [convert(minor, rate) for minor in (1, 3, 5, 1001)]
    [0, 2, 2, 500]
    """
    scale = Fraction(10) ** (exponent(rate.into) - exponent(rate.of))
    return round(Fraction(minor) * rate.price * scale)  # of a Fraction: half to even
