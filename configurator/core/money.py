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

from configurator.core.errors import UnitError

# ISO 4217 exponents that are not 2 (from memory of the standard's list).
_EXPONENTS = {
    "JPY": 0,
    "KRW": 0,
    "CLP": 0,
    "ISK": 0,
    "VND": 0,
    "BHD": 3,
    "KWD": 3,
    "OMR": 3,
    "TND": 3,
}
_AMOUNT = re.compile(r"[-+]?\d[\d.,' ]*")
LARGEST = 10**11  # minor units; beyond a thousand million EUR somebody has mistyped


def exponent(currency: str) -> int:
    """Decimals of a currency (ISO 4217).

    Examples
    --------
    >>> exponent("EUR"), exponent("JPY")
    (2, 0)
    """
    return _EXPONENTS.get(currency, 2)


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


def read_amount(text: str, currency: str) -> int:
    """Read a number of a currency into minor units.

    The last point or comma is the decimal sign when one or two digits follow it; other points,
    commas, spaces and apostrophes between groups of three digits are separators.

    Raises
    ------
    UnitError
        If it is no amount, has more decimals than the currency, or is absurdly large.

    Examples
    --------
    >>> read_amount("1.234,5", "EUR"), read_amount("1'234", "EUR"), read_amount("12", "JPY")
    (123450, 123400, 12)
    """
    written = text.strip()
    if not _AMOUNT.fullmatch(written):
        raise UnitError(
            text, f"{text!r} is not an amount of money", "write a number such as 1234.50"
        )
    # A point or comma followed by exactly three digits separates thousands only if it stands at
    # every third digit; "1,234" alone is read so, since no shop prices to a tenth of a cent.
    match = re.fullmatch(
        r"([-+]?)(\d+|\d{1,3}(?:([.,' ])\d{3})(?:\3\d{3})*)(?:([.,])(\d{1,3}))?", written
    )
    places = exponent(currency)
    if match is None or (match[4] and match[4] == match[3]) or len(match[5] or "") > max(places, 0):
        raise UnitError(
            text,
            f"{text!r} is not an amount in {currency}",
            f"write it with at most {places} decimals",
        )
    whole = re.sub(r"\D", "", match[2])
    minor = int(whole + (match[5] or "").ljust(places, "0"))
    if minor > LARGEST:
        raise UnitError(text, f"{text!r} is too large for a price", "check the decimal sign")
    return -minor if match[1] == "-" else minor


def read(text: str) -> Money:
    """Read an amount with its currency, such as ``"18500 EUR"``.

    Raises
    ------
    UnitError
        If amount or currency cannot be read.
    """
    match = re.fullmatch(r"\s*(.+?)\s*([A-Z]{3})\s*", text)
    if match is None:
        raise UnitError(text, f"{text!r} is not an amount of money", "write it as in '18500 EUR'")
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
    match = re.fullmatch(r"\s*(\d{1,9}(?:\.\d{1,12})?)\s*([A-Z]{3})\s*", text)
    if match is None or not Fraction(match[1]):
        raise UnitError(text, f"{text!r} is not a rate of exchange", "write it as in '0.92 EUR'")
    if match[2] == of:
        raise UnitError(text, f"{text!r} is in {of} itself", "name the other currency")
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
