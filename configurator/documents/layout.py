"""What is on a sheet of paper, whatever it is written as: sections of sentences, tables, drawings.

Nothing in here is markup: every text is a text, from a catalog or not.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Literal

from configurator.drawings import Drawing  # not for types alone: sheets are read from JSON by them


@dataclass(frozen=True, slots=True)
class Number:
    """A number in a table.

    Parameters
    ----------
    text
        As people read it, in their locale and with its unit.
    value
        What a spreadsheet reckons with, in the unit shown.
    form
        Format of the spreadsheet's cell.
    """

    text: str
    value: Decimal
    form: str = "General"


@dataclass(frozen=True, slots=True)
class ToFill:
    """A cell that is filled in by hand: a box to tick, room to write in, a line to sign on."""

    kind: Literal["tick", "room", "line"] = "tick"


Cell = str | Number | ToFill
Fill = tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class SheetColumn:
    """A column of a table.

    ``width`` is its share of what is left of the width; 0 for as wide as what stands in it.
    """

    heading: str
    width: float = 1.0
    right: bool = False


@dataclass(frozen=True, slots=True)
class SheetTable:
    """Rows under headings; ``last`` sets the last row apart, as a sum.

    ``set_apart`` are the indexes of other rows that are: headings and sums within the table.
    """

    columns: tuple[SheetColumn, ...]
    rows: tuple[Fill, ...]
    last: bool = False
    set_apart: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Section:
    """A heading with what stands under it, in this order: sentences, items, table, drawings.

    ``short`` is its name where there is room for 31 letters only: the tab of a spreadsheet.
    ``key`` names it in every language.
    """

    heading: str
    sentences: tuple[str, ...] = ()
    items: tuple[str, ...] = ()
    table: SheetTable | None = None
    drawings: tuple[Drawing, ...] = ()
    short: str = ""
    key: str = ""

    @property
    def empty(self) -> bool:
        """Whether nothing stands under the heading."""
        rows = self.table is not None and self.table.rows
        return not (self.sentences or self.items or rows or self.drawings)


# Paper as people call it → as the setting of type does.
SETS_AS = {"a4": "a4", "letter": "us-letter"}


@dataclass(frozen=True, slots=True)
class Letterhead:
    """Who writes: the workshop's name, lines below it, and its logo, which was checked.

    ``png`` holds the bytes of a picture, ``svg`` the text of a drawing; one of them at most.
    """

    name: str
    lines: tuple[str, ...] = ()
    png: bytes = b""
    svg: str = ""


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet of paper, or several.

    Parameters
    ----------
    kind
        What it is: ``"Quotation"``.
    title
        Of the job.
    lines
        Below the title: vehicle, workshop, date.
    sections
        In order; empty ones are left out.
    paper
        ``"a4"`` or ``"us-letter"``.
    letterhead
        Who writes.
    receiver
        For whom, line by line.
    language
        Of the sentences, for hyphens and for readers of the file.
    number
        Of the quotation that it belongs to.
    """

    kind: str
    title: str
    lines: tuple[str, ...]
    sections: tuple[Section, ...]
    paper: str = "a4"
    letterhead: Letterhead | None = None
    receiver: tuple[str, ...] = ()
    language: str = "en"
    number: str = ""

    @property
    def name(self) -> str:
        """What the document is called, with its number."""
        return f"{self.kind} {self.number}".rstrip()

    @property
    def filled(self) -> tuple[Section, ...]:
        """The sections that have something in them."""
        return tuple(section for section in self.sections if not section.empty)


def on_paper(sheet: Sheet, name: str | None) -> Sheet:
    """Put a sheet on other paper, ``"a4"`` or ``"letter"``; None leaves it on its own.

    Examples
    --------
    >>> on_paper(Sheet("Quotation", "Hut", (), ()), "letter").paper
    'us-letter'
    """
    return sheet if name is None else replace(sheet, paper=SETS_AS[name])
