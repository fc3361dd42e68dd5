"""The one grammar for numbers that people write: digits, decimal sign, a unit behind it.

Nothing is guessed: a text that can be read in two ways is refused with both of them.
"""

from __future__ import annotations

import math
import re
from typing import Literal

from configurator.core.text import Misread, is_date, shown

Comma = Literal["decimal", "groups", "unclear"]

_NUMBER = re.compile(
    r"([-+]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)(?:[eE][-+]?[0-9]{1,3})?)\s*(.*)", re.DOTALL
)
_GROUPS = re.compile(r"[-+]?\d{1,3}(?:[ '’.,\u00a0\u202f]\d{3})+(?:[.,]\d+)?(?:\s*[^\d\s].*)?")
_FRACTION = re.compile(r"([-+]?)(?:(\d{1,6})[ -]+)?(\d{1,6})\s*/\s*(\d{1,6})\s*([^\d/].*)?")
# A comma before every third digit, and nothing that would make it another number.
_GROUPED = re.compile(r"[-+]?[1-9]\d{0,2}(?:,\d{3})+(?![\d,])")


def _has_digit(text: str | None) -> bool:
    return any(sign.isdigit() for sign in text or "")


def why_no_number(text: str, unit: str) -> Misread:
    """Say why a text is no number, and what to write instead; the unit is that of an example."""
    example = f"12 {unit}".strip()
    plain = text.replace("\u00a0", " ").strip()
    if plain.startswith("#"):
        return Misread(
            what=f"{shown(text)} is an error of the spreadsheet", do="correct its formula"
        )
    if is_date(plain):
        return Misread(
            what=f"{shown(text)} is a date where a number should be",
            do="format the column as text and type the number again",
        )
    fraction = _FRACTION.fullmatch(plain)
    # 11 3/4 in is a fraction; 295/65 R17 is none.
    if fraction and int(fraction[4]) in (2, 4, 8, 16, 32, 64) and not _has_digit(fraction[5]):
        number = int(fraction[2] or 0) + int(fraction[3]) / int(fraction[4])
        return Misread(
            what=f"{shown(text)} is a fraction",
            do=f"write {fraction[1]}{number:.6g} {fraction[5] or ''}".rstrip(),
        )
    if _GROUPS.fullmatch(plain):
        return Misread(
            what=f"{shown(text)} has a separator of thousands",
            do="write the digits without separators, with a point before the decimals",
        )
    if re.fullmatch(r"[-+]?(nan|inf|infinity)\b.*|[-+0-9.,]+e[-+]?\d+.*", plain, re.IGNORECASE):
        return Misread(
            what=f"{shown(text)} is not a finite number", do=f"write a number such as {example}"
        )
    return Misread(what=f"{shown(text)} is not a number", do=f"write a number such as {example}")


def split_number(text: str, unit: str, comma: Comma = "unclear") -> tuple[float, str]:
    """Read a number and the unit behind it, if there is one.

    Parameters
    ----------
    text
        What was written.
    unit
        The unit of an example in messages.
    comma
        What a comma before exactly three digits is: the decimal sign (``"decimal"``), as a list
        with other decimal commas has it, a separator of thousands (``"groups"``), as the page
        writes it, or nobody knows (``"unclear"``): then such a number is refused.

    Raises
    ------
    Misread
        If it is no number, or could be two.

    Examples
    --------
    >>> split_number("31,5 in", "mm"), split_number("1,780 mm", "mm", "groups")
    ((31.5, 'in'), (1780.0, 'mm'))
    """
    written = text.strip()
    if comma == "groups" and (grouped := _GROUPED.match(written)):
        written = grouped[0].replace(",", "") + written[grouped.end() :]
    match = _NUMBER.fullmatch(written)
    if match is None or match[2][:1] in tuple("0123456789.,'’/-+"):
        raise why_no_number(text, unit)
    if comma == "unclear" and re.match(r"[-+]?[1-9]\d{0,2},\d{3}$", match[1]):
        joined = match[1].replace(",", "")
        raise Misread(
            what=f"{shown(text)} may be {match[1].replace(',', '.')} or {joined}",
            do="write it with a point before the decimals and without separators",
        )
    number = float(match[1].replace(",", "."))
    if not math.isfinite(number):
        raise why_no_number(text, unit)
    return number, match[2]
