"""Numbers and prices as suppliers write them, put into the one way that a part list has."""

from __future__ import annotations

import re
from decimal import ROUND_HALF_UP, Decimal, InvalidOperation
from typing import TYPE_CHECKING, Literal

from configurator.core import money
from configurator.core.text import Misread, shown
from configurator.supplier_lists.price_lists import TypedNumber

if TYPE_CHECKING:
    from collections.abc import Iterable

Decimals = Literal["", "comma", "point"]

# Signs and short names of currencies, and the codes (ISO 4217) they may stand for.
CURRENCY_SIGNS = {
    "€": ("EUR",),
    "£": ("GBP",),
    "$": ("USD", "CAD", "AUD", "NZD", "SGD", "HKD"),
    "US$": ("USD",),
    "¥": ("JPY", "CNY"),
    "zł": ("PLN",),
    "kr": ("SEK", "NOK", "DKK", "ISK"),
    "kr.": ("DKK",),
    "Fr.": ("CHF",),
    "SFr.": ("CHF",),
    "Kč": ("CZK",),
    "Ft": ("HUF",),
}

_SPACES = " \u00a0\u202f"
# Digits of this script alone: others are refused by whoever reads the number.
_LEADING = re.compile(rf"([-+]?)([0-9][0-9.,'’{_SPACES}]*[0-9]|[0-9]|[.,][0-9]+)(.*)", re.DOTALL)
_SIGN_IN_FRONT = re.compile(rf"(?:{'|'.join(map(re.escape, CURRENCY_SIGNS))})[{_SPACES}]*")
_CODE = re.compile(r"[A-Z]{3}")


def decimal_sign(texts: Iterable[str]) -> tuple[Decimals | Literal["both"], str]:
    """Find out which sign stands before the decimals of numbers.

    Returns
    -------
    sign, example
        ``""`` if no number says it for certain; then the example is one that may be read in two
        ways, if there is any.

    Examples
    --------
    >>> decimal_sign(["12", "31,5 in", "1.234"]), decimal_sign(["1.234"]), decimal_sign(["7"])
    (('comma', '31,5 in'), ('', '1.234'), ('', ''))
    """
    result: dict[str, str] = {}
    doubtful = ""
    for text in texts:
        if isinstance(text, TypedNumber):
            continue
        match = _LEADING.match(_SIGN_IN_FRONT.sub("", text.strip()))
        # A code such as 10.20.30 or 5x114,3 is no number.
        if match is None or not re.fullmatch(r"\s*[^\d]{0,12}", match[3]):
            continue
        digits = match[2]
        if re.match("0[0-9]", digits):  # nor is 0013.2
            continue
        signs = re.findall("[.,]", digits)
        if not signs:
            continue
        last = signs[-1]
        after = digits.rpartition(last)[2]
        if len(set(signs)) == 2 or (len(signs) == 1 and len(after) != 3):
            if digits.count(last) == 1:
                result.setdefault(last, text)
        elif len(signs) == 1 and re.fullmatch(r"[1-9]\d{0,2}[.,]\d{3}", digits):
            doubtful = doubtful or text
        elif len(signs) > 1 and re.fullmatch(r"\d{1,3}(?:[.,]\d{3})+", digits):
            result.setdefault("," if last == "." else ".", text)
    if len(result) == 2:
        return "both", f"{result[',']!r} and {result['.']!r}"
    if "," in result:
        return "comma", result[","]
    if "." in result:
        return "point", result["."]
    return "", doubtful


def plain_number(text: str, decimals: Decimals) -> str:
    """Write the number in front of a text with a point and without separators of thousands.

    Parameters
    ----------
    text
        Number, and what stands behind it.
    decimals
        What stands before the decimals in this list; empty if nothing says it.

    Raises
    ------
    Misread
        If the separators do not stand at every third digit, or the sign is not known and matters.

    Examples
    --------
    >>> plain_number("1.234,5 mm", "comma"), plain_number("1.234", "point")
    ('1234.5 mm', '1.234')
    """
    if isinstance(text, TypedNumber):
        decimals = "point"
    match = _LEADING.fullmatch(text.strip())
    if match is None:
        return text.strip()  # its reader says what is wrong
    sign, digits, rest = match.groups()
    if rest[:1] in ("/", "-") or re.match(r"\s*\d", rest):  # a fraction, or a date
        return text.strip()
    mixed = re.fullmatch(r"(\d+) \d{1,3}$", digits)
    if mixed and rest.startswith("/"):
        return text.strip()
    point = {"comma": ",", "point": ".", "": "."}[decimals]
    if not decimals and re.fullmatch(r"[1-9]\d{0,2}[.,]\d{3}", digits):
        raise Misread(
            what=f"{shown(text)} may have decimals or thousands",
            do='write decimals = "comma" or "point" into the mapping',
        )
    if not decimals and "," in digits:
        point = ","
    others = "." if point == "," else ","
    whole, parts, part = digits.partition(point)
    groups = re.split(rf"[{others}'’{_SPACES}]", whole)
    sound = (all(len(group) == 3 for group in groups[1:]) and len(groups[0]) <= 3) or len(
        groups
    ) == 1
    if not sound or (parts and not part.isdigit()) or (not "".join(groups).isdigit() and whole):
        name = {",": "comma", ".": "point"}[point]
        raise Misread(
            what=f"{shown(text)} does not suit a list whose decimals stand behind a {name}",
            do="correct it, or state the decimals in the mapping",
        )
    return f"{sign}{''.join(groups) or '0'}{'.' + part if parts else ''}{rest}"


def currencies_in(text: str) -> tuple[str, ...]:
    """Name the currencies that a text may speak of; empty if it names none.

    Examples
    --------
    >>> currencies_in("Price €"), currencies_in("12.00 USD"), currencies_in("12.00")
    (('EUR',), ('USD',), ())
    """
    for code in _CODE.findall(text):
        if code in _KNOWN_CODES:
            return (code,)
    for sign in sorted(CURRENCY_SIGNS, key=len, reverse=True):
        if re.search(rf"(?<![^\W\d]){re.escape(sign)}(?![^\W\d])", text):
            return CURRENCY_SIGNS[sign]
    return ()


_KNOWN_CODES = {code for codes in CURRENCY_SIGNS.values() for code in codes} | {
    "BRL", "INR", "KRW", "MXN", "RON", "THB", "TRY", "ZAR",
}  # fmt: skip


def plain_price(
    text: str, decimals: Decimals, currency: str, multiply: str = "", *, rounded: bool = False
) -> str:
    """Write a price as a part list has it: a number with a point and the currency's decimals.

    Parameters
    ----------
    text
        As the supplier wrote it.
    decimals
        See `plain_number`.
    currency
        In which the prices are.
    multiply
        A number to multiply by, such as ``"1.2"`` for a list without a tax of 20 %.
    rounded
        Whether finer decimals are rounded rather than refused.

    Raises
    ------
    Misread
        If it is no price, or one in another currency.

    Examples
    --------
    >>> plain_price("€ 1.234,50", "comma", "EUR"), plain_price("99,-", "", "EUR", "1.2")
    ('1234.50', '118.80')
    """
    if isinstance(text, TypedNumber):
        decimals = "point"
    written = text.strip()
    named = currencies_in(written)
    if named and currency not in named:
        raise Misread(
            what=f"{shown(text)} is not in {currency}",
            do=f"give it in {currency}, or import it into a catalog of its own currency",
        )
    for sign in (currency, *sorted(CURRENCY_SIGNS, key=len, reverse=True)):
        if currency in CURRENCY_SIGNS.get(sign, (currency,)):
            written = written.removeprefix(sign).removesuffix(sign).strip(_SPACES)
    written = re.sub(r"[.,][-–—]{1,2}$", "", written)
    # A price in its supplier's own number format has no more decimals than its currency.
    places = money.exponent(currency)
    if not decimals and re.fullmatch(r"\d{1,3}(?:[.,]\d{3})+", written) and places < 3:
        raise Misread(
            what=f"{shown(text)} may have decimals or thousands",
            do='write decimals = "comma" or "point" into the mapping',
        )
    number = plain_number(written, decimals)
    try:
        if not number.isascii():  # Decimal reads digits of every script
            raise InvalidOperation
        exact = Decimal(number) * Decimal(multiply or "1")
    except InvalidOperation:
        raise Misread(
            what=f"{shown(text)} is not a price", do="write a number such as 1234.50"
        ) from None
    smallest = Decimal(1).scaleb(-places)
    try:
        result = exact.quantize(smallest, ROUND_HALF_UP)
    except InvalidOperation:
        raise Misread(
            what=f"{shown(text)} is too large for a price", do="check the number"
        ) from None
    if exact != result and not (rounded or multiply):
        raise Misread(
            what=f"{shown(text)} has more than {places} decimals",
            do="correct it, or write round = true beside the price in the mapping",
        )
    return str(result)
