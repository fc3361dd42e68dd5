"""A price list as rows of text, whatever kind of file it came in."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NoReturn

from configurator.core.errors import InputError, Problem
from configurator.core.text import shown

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

MOST_COLUMNS = 500


class TypedNumber(str):
    """A number that a workbook holds as a number: written with a point, never in doubt."""

    __slots__ = ()


@dataclass(frozen=True, slots=True)
class SheetRow:
    """A row of the sheet: its number as a spreadsheet shows it, and its cells as text."""

    number: int
    cells: tuple[str, ...]
    hidden: bool = False


@dataclass(slots=True)
class PriceList:
    """A price list that can be read row by row, as often as need be.

    Parameters
    ----------
    file
        Its name in messages.
    rows
        Starts reading from the top; raises InputError where it cannot go on.
    sheet
        Name of the sheet; empty for CSV.
    notes
        What was found out about the file and has to be told.
    encoding, delimiter
        Of CSV.
    merged
        First row, first column, last row, last column of cells that were made one, from 1 on.
    hidden_columns
        From 0 on.
    without_value
        Row and column, from 1 and 0 on, of formulas whose value was never saved.
    further
        Sheets that continue the list.
    """

    file: str
    rows: Callable[[], Iterator[SheetRow]]
    sheet: str = ""
    notes: list[str] = field(default_factory=list)
    encoding: str = ""
    delimiter: str = ""
    merged: tuple[tuple[int, int, int, int], ...] = ()
    hidden_columns: frozenset[int] = frozenset()
    without_value: frozenset[tuple[int, int]] = frozenset()
    further: tuple[PriceList, ...] = ()


def letters(column: int) -> str:
    """Name a column, from 0 on, as a spreadsheet does.

    Examples
    --------
    >>> letters(0), letters(27)
    ('A', 'AB')
    """
    name = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        name = chr(65 + rest) + name
    return name


def place(prices: PriceList, row: int, column: int | None = None, heading: str = "") -> str:
    """Say where something is, as a person would look for it.

    Examples
    --------
    >>> place(PriceList("a.xlsx", lambda: iter(()), "Tyres"), 7, 2, "Price")
    "a.xlsx sheet 'Tyres' cell C7 ('Price')"
    >>> place(PriceList("a.csv", lambda: iter(())), 7, 2)
    'a.csv row 7 column 3'
    """
    named = f" ({shown(heading)})" if heading else ""
    if prices.sheet:
        where = f"{prices.file} sheet {shown(prices.sheet)}"
        return (
            f"{where} row {row}"
            if column is None
            else f"{where} cell {letters(column)}{row}" + (named)
        )
    where = f"{prices.file} row {row}"
    return where if column is None else f"{where} column {column + 1}{named}"


def refused(where: str, what: str, do: str) -> InputError:
    """Make the error for one thing that is wrong."""
    return InputError([Problem(where, what, do)])


def refuse(where: str, what: str, do: str) -> NoReturn:
    """Raise the error for one thing that is wrong.

    Raises
    ------
    InputError
        Always.
    """
    raise refused(where, what, do)
