"""Which column of a supplier's list is which column of ours."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from configurator.files.part_columns import PRICE
from configurator.supplier_lists.numbers import Decimals

if TYPE_CHECKING:
    from collections.abc import Mapping as Table


@dataclass(frozen=True, slots=True)
class Source:
    """Where the cells of one of our columns come from.

    Parameters
    ----------
    heading
        Of the supplier's column.
    beside
        Headings of further columns that are joined to it, or that a notation is worked out from.
    unit
        Of bare numbers in it; the currency of prices.
    confirmed
        Whether a person, or a heading that leaves no doubt, says so.
    why
        Why it was proposed.
    words
        The supplier's word → ours; capitals do not matter.
    multiply
        What prices and numbers are multiplied by.
    rounded
        Whether prices with too many decimals are rounded.
    read
        Name of the notation that the texts are in; empty for plain texts and numbers.
    take
        Which of the values of a notation is taken; empty for the one of the column's name.
    """

    heading: str
    unit: str = ""
    confirmed: bool = True
    why: str = ""
    words: Table[str, str] = field(default_factory=dict)
    multiply: str = ""
    rounded: bool = False
    beside: tuple[str, ...] = ()
    read: str = ""
    take: str = ""

    @property
    def headings(self) -> tuple[str, ...]:
        """All headings that it is read from."""
        return (self.heading, *self.beside) if self.heading else self.beside


@dataclass(frozen=True, slots=True)
class Mapping:
    """How a supplier's list is read.

    Parameters
    ----------
    family
        Key of the family whose parts it lists.
    columns
        Our column → where it comes from.
    headings
        Numbers of the rows that hold the headings; parts begin below.
    same
        Our column → text that holds for every part.
    only
        Supplier's heading → the texts of rows to take; all others are left out.
    ignore
        Supplier's headings that are not taken.
    sheet, encoding, delimiter
        As the file is to be read; empty to find out.
    sheets
        Sheets that make one list together; ``("*",)`` for all that are visible and hold anything.
    decimals
        What stands before decimals; empty to find out.
    hidden_rows
        ``"take"`` or ``"leave out"``; empty refuses a list with hidden rows.
    withdrawn
        What becomes of parts that the list no longer has: ``"remove"`` or ``"keep"``.
    """

    family: str
    columns: Table[str, Source]
    headings: tuple[int, ...]
    same: Table[str, str] = field(default_factory=dict)
    only: Table[str, tuple[str, ...]] = field(default_factory=dict)
    ignore: tuple[str, ...] = ()
    sheet: str = ""
    encoding: str = ""
    delimiter: str = ""
    decimals: Decimals = ""
    hidden_rows: str = ""
    withdrawn: str = "remove"
    sheets: tuple[str, ...] = ()

    @property
    def taken_headings(self) -> tuple[str, ...]:
        """All of the supplier's headings that a column is read from."""
        return tuple(heading for source in self.columns.values() for heading in source.headings)


def currency_of(mapping: Mapping) -> str:
    """Return the currency that a mapping states for prices; empty if none."""
    return mapping.columns[PRICE].unit if PRICE in mapping.columns else ""


def doubtful(mapping: Mapping) -> tuple[str, ...]:
    """Name the columns that nobody has confirmed."""
    return tuple(name for name, source in mapping.columns.items() if not source.confirmed)
