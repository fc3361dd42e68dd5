"""What a notation is, and the numbers that stand inside one."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from configurator.core import units
from configurator.core.text import Misread, shown

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

INCH = Decimal("25.4")  # mm, by definition (ISO 31 / ISO 80000-3)
_VULGAR = {
    "¼": ".25",
    "½": ".5",
    "¾": ".75",
    "⅛": ".125",
    "⅜": ".375",
    "⅝": ".625",
    "⅞": ".875",
}
NUMBER = r"\d{1,4}(?:[.,]\d{1,3})?"


@dataclass(frozen=True, slots=True)
class Quantity:
    """An exact number with its unit; the unit is empty for a plain number.

    Parameters
    ----------
    number
        As written, or worked out exactly from what is written.
    unit
        One that `configurator.core.units` reads.
    """

    number: Decimal
    unit: str = ""

    def in_unit(self, unit: str) -> str:
        """Return the number in a unit, as a part list has it.

        Raises
        ------
        Misread
            If the unit measures something else.

        Examples
        --------
        >>> Quantity(Decimal("5.5"), "in").in_unit("mm")
        '139.7'
        """
        if unit == self.unit or not self.unit:
            return plain(self.number)
        if units.dimension(unit) != units.dimension(self.unit):
            raise Misread(
                what=f"what is read is in {self.unit}, the column is in {unit or 'plain numbers'}",
                do=f"give the column a unit such as {self.unit}",
            )
        return units.write(units.to_si(float(self.number), self.unit), unit).split(" ")[0]


Value = str | Quantity


@dataclass(frozen=True, slots=True)
class Notation:
    """A way in which the trade writes several values into one text.

    Parameters
    ----------
    name
        As a mapping names it.
    gives
        Names of the values that are read, in the terms of the bundled families where those have
        them, so that a column takes the value of its own name.
    example
        A text of it.
    source
        The standard, or *common practice, no source*.
    read
        Texts of the columns it is read from → values. Raises `Misread`.
    write
        Values → text, as the standard writes it; reading it gives the same values. None where the
        values do not say the text.
    inputs
        What each text is, if there are more than one.
    """

    name: str
    gives: tuple[str, ...]
    example: str
    source: str
    read: Callable[[Sequence[str]], Mapping[str, Value]]
    write: Callable[[Mapping[str, Value]], str] | None = None
    inputs: tuple[str, ...] = ()


def plain(number: Decimal) -> str:
    """Write a number without exponent and without zeros behind it.

    Examples
    --------
    >>> plain(Decimal("17.50")), plain(Decimal("1E+2"))
    ('17.5', '100')
    """
    text = f"{number:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def decimal(text: str) -> Decimal:
    """Read a number inside a notation: with a point or a comma, never with thousands.

    Examples
    --------
    >>> decimal("5,5"), decimal("10.50")
    (Decimal('5.5'), Decimal('10.50'))
    """
    return Decimal(text.replace(",", "."))


def tidied(text: str) -> str:
    """Put a text into the one form that is matched: single blanks, plain signs, decimal fractions.

    Examples
    --------
    >>> tidied("7½ – 9"), tidied("5 × 114,3")
    ('7.5 - 9', '5 x 114,3')
    """
    for sign, number in _VULGAR.items():
        text = re.sub(rf"(?<=\d) ?{sign}", number, text)
        text = text.replace(sign, f"0{number}")
    text = re.sub(r"[×✕✖*]", "x", text)
    text = re.sub("[\u2010-\u2014\u2212]", "-", text)
    text = re.sub(r"[”″“]|''", '"', text)
    return " ".join(text.split())


def unreadable(text: str, what: str, example: str) -> Misread:
    """Make the refusal of a text that is not of a notation."""
    return Misread(what=f"{shown(text)} is no {what}", do=f"write it as in {example}")


def doubtful(text: str, readings: Sequence[str]) -> Misread:
    """Make the refusal of a text that may be read in several ways: with all of them."""
    return Misread(
        what=f"{shown(text)} may be {' or '.join(readings)}",
        do="write the one that is meant",
    )
