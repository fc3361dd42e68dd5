"""The cells of one of our columns: where they stand, how they are read and written."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from decimal import Decimal, InvalidOperation
from typing import TYPE_CHECKING

from configurator.core import units
from configurator.core.errors import UnitError
from configurator.core.text import Misread, invisible_sign, shown
from configurator.files.part_columns import PART_NUMBER, PRICE
from configurator.supplier_lists.notations.notation import Quantity, plain
from configurator.supplier_lists.notations.registry import ARITHMETIC
from configurator.supplier_lists.numbers import plain_number, plain_price
from configurator.supplier_lists.price_lists import TypedNumber

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from configurator.supplier_lists.mapping import Source
    from configurator.supplier_lists.notations.notation import Notation
    from configurator.supplier_lists.numbers import Decimals

_ERROR_VALUE = re.compile(r"#(N/A|NV|REF!|BEZUG!|VALUE!|WERT!|DIV/0!|NAME\?|NUM!|ZAHL!|NULL!)")
_REMEMBERED = 5_000  # different texts of a column
FREE_TEXTS = frozenset({"title", "maker", "note"})
# Mostly another text in every row: nothing is gained by remembering them.
_ALL_DIFFERENT = frozenset({PART_NUMBER, PRICE, *FREE_TEXTS})


@dataclass(slots=True)
class CellReading:
    """How the cells of one of our columns are found, written and understood.

    Parameters
    ----------
    name
        Of our column.
    indexes
        Of the supplier's columns; empty where one text holds for all.
    source
        What the mapping says.
    text
        What holds for every part.
    numeric, required
        Whether its cells are numbers, and whether every part needs one.
    read
        Text → value; raises `Misread`.
    unit
        That the new list has in the heading.
    notation, take
        What the texts are read as, and which value of it is taken.
    decimals, currency
        Of the list.
    """

    name: str
    indexes: tuple[int, ...]
    source: Source
    text: str
    numeric: bool
    required: bool
    read: Callable[[str], object]
    unit: str = ""
    notation: Notation | None = None
    take: str = ""
    decimals: Decimals = ""
    currency: str = ""
    words: dict[str, str] = field(default_factory=dict)
    remembered: dict[tuple[type, tuple[str, ...]], tuple[str, object]] = field(default_factory=dict)

    @property
    def column(self) -> int | None:
        """The supplier's column that a problem is noted at."""
        return self.indexes[0] if self.indexes else None

    def texts(self, cells: Sequence[str]) -> tuple[str, ...]:
        """Return what stands in a row for it."""
        if not self.indexes:
            return (self.text,)
        width = len(cells)
        return tuple([cells[index] if index < width else "" for index in self.indexes])

    def settled(self, texts: tuple[str, ...]) -> tuple[str, object]:
        """Return what a part list has for texts, and what it means; an empty text for nothing.

        Raises
        ------
        Misread
            If they cannot be read.
        """
        if self.name in _ALL_DIFFERENT:
            return self._read_once(texts)
        key = (texts[0].__class__, texts)  # a typed number has a point whatever the list has
        known = self.remembered.get(key)
        if known is None:
            known = self._read_once(texts)
            if len(self.remembered) < _REMEMBERED:
                self.remembered[key] = known
        return known

    def _read_once(self, texts: tuple[str, ...]) -> tuple[str, object]:
        plain = self.plain(texts)
        if not plain:
            return "", None
        value = self.read(plain)
        return self.in_its_unit(plain, value), value

    def plain(self, texts: tuple[str, ...]) -> str:
        """Write texts as a part list has them; empty if nothing stands there.

        Raises
        ------
        Misread
            If they cannot be read.
        """
        for text in texts:
            self._refuse_disguised(text)
        if self.words:
            texts = tuple(self._ours(text) for text in texts)
        if self.notation is not None:
            return self._noted(self.notation, texts)
        text = (
            texts[0]
            if len(texts) == 1
            else " ".join(text.strip() for text in texts if text.strip())
        )
        if not text.strip():
            return ""
        source = self.source
        if self.name == PRICE:
            return plain_price(
                text, self.decimals, self.currency, source.multiply, rounded=source.rounded
            )
        if self.numeric:
            return self._number(text)
        if isinstance(text, TypedNumber):
            return str(text)
        if "\n" in text or "\r" in text:
            text = " ".join(text.split())
        return text.strip()

    def in_its_unit(self, plain: str, value: object) -> str:
        """Write a number with a unit of its own in the unit that the new list's heading has."""
        if self.numeric and self.unit and isinstance(value, float) and not plain[-1:].isdigit():
            return units.write(value, self.unit).split(" ")[0]
        return plain

    def _ours(self, text: str) -> str:
        """Put our word in the place of the supplier's."""
        ours = self.words.get(text.strip().casefold(), text)
        if not ours and text.strip():
            raise Misread(
                what=f"the mapping has no word of ours for {shown(text.strip())}",
                do="write one into its words",
            )
        return ours

    def _refuse_disguised(self, text: str) -> None:
        if text[:1] == "#" and _ERROR_VALUE.fullmatch(text.strip()):
            raise Misread(
                what=f"{shown(text)} is an error of the spreadsheet", do="correct its formula"
            )
        if not text.isascii() and self.name not in FREE_TEXTS and (sign := invisible_sign(text)):
            raise Misread(
                what=f"{shown(text)} holds the invisible sign {sign}", do="type the cell again"
            )

    def _number(self, text: str) -> str:
        number = plain_number(text, self.decimals)
        unit = self.source.unit
        bare = number.removesuffix(unit).rstrip() if unit else number
        if not bare[-1:].isdigit():
            self._refuse_other_scale(text, number)
            bare = number
        return _multiplied(bare, self.source.multiply) if self.source.multiply else bare

    def _refuse_other_scale(self, text: str, number: str) -> None:
        """Refuse a unit of its own that says something else than the heading."""
        match = re.search(r"[^\d\s.,+-].*$", number)
        stated = self.source.unit
        if match is None or not stated:
            return
        try:
            alike = units.dimension(match[0]) == units.dimension(stated)
            differs = alike and units.to_si(1.0, match[0]) != units.to_si(1.0, stated)
        except UnitError:
            return  # the reader says what is wrong with it
        if differs:
            raise Misread(
                what=f"{shown(text)} is in {match[0]}, under a heading in {stated}",
                do="correct the cell, or write no unit into the mapping where each says its own",
            )

    def _noted(self, notation: Notation, texts: tuple[str, ...]) -> str:
        if not any(text.strip() for text in texts):
            return ""
        if notation.name in ARITHMETIC:
            if not all(text.strip() for text in texts):
                raise Misread(
                    what=f"{' and '.join(shown(text) for text in texts)}: one of them is empty",
                    do="fill it in",
                )
            texts = tuple(self._number(text) for text in texts)
        values = notation.read(tuple(str(text) for text in texts))
        value = values.get(self.take)
        if value is None:
            if not self.required:
                return ""
            raise Misread(
                what=f"{shown(texts[0])} does not say the {self.name}",
                do="name another column for it in the mapping, or add it to the text",
            )
        if isinstance(value, Quantity):
            number = value.in_unit(self.unit)
            if notation.name not in ARITHMETIC and self.source.multiply:
                number = _multiplied(number, self.source.multiply)
            return number
        return self.words.get(value.casefold(), value)


def _multiplied(text: str, factor: str) -> str:
    """Multiply the number in front of a text, exactly."""
    match = re.fullmatch(r"([-+]?\d+(?:\.\d+)?)(.*)", text, re.DOTALL)
    if match is None:
        return text  # its reader says what is wrong
    try:
        return f"{plain(Decimal(match[1]) * Decimal(factor))}{match[2]}"
    except InvalidOperation:
        return text


def is_code(name: str, *, numeric: bool) -> bool:
    """Whether texts of a column are compared sign by sign, so that a look-alike matters."""
    return name == PART_NUMBER or not (numeric or name in FREE_TEXTS or name == PRICE)
