"""Find the rows of a sheet that hold its headings, and part a heading into name and unit."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Literal

from configurator.core.errors import UnitError
from configurator.core.unit_spellings import COMMON_UNITS, SPELLINGS
from configurator.core.units import kind_of_unit
from configurator.supplier_lists.numbers import currencies_in
from configurator.supplier_lists.price_lists import letters

if TYPE_CHECKING:
    from collections.abc import Sequence

    from configurator.supplier_lists.price_lists import PriceList, SheetRow

# Of the filled cells of a row so many at least, and all, say what stands in the headings.
_FEWEST_AGAIN = 2
LAST_HEADING_ROW = 40  # a title and notes above the headings are fewer than this

# What a unit may be spelt like without a bracket around it. Longer names are known as well, but
# only these are taken for a unit at the end of a heading.
_UNIT_WORDS = {*COMMON_UNITS, *SPELLINGS, "in", "inch", "inches", "zoll", "g", "ft", "t", "l"} - {
    "", "-", "ratio", "m", "K", "N",
}  # fmt: skip
_LETTERS = {"m", "K", "N", "km", "GPa"}
_OTHER_SPELLINGS = {
    "inches": "in", "zoll": "in", "tage": "day", "tag": "day", "wochen": "week", "stück": "",
    "ins": "in", "kgs": "kg", "millimetre": "mm", "millimeter": "mm",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading of the supplier: index of its column, text, name without unit, unit.

    ``unit`` is None if it says none; a currency's code if it names one.
    """

    column: int
    text: str
    name: str
    unit: str | None


def known_unit(text: str, bracket: str = "") -> str | None:
    """Return a unit as it is read here; None if the text is none.

    Parameters
    ----------
    text
        What may be a unit.
    bracket
        The bracket it stands in. A word that happens to be a unit is taken for one in square
        brackets only; a single letter in any brackets, but not at the end of a heading.

    Examples
    --------
    >>> known_unit("Zoll"), known_unit('"'), known_unit("pcs"), known_unit("N", "(")
    ('in', '"', None, 'N')
    """
    written = text.strip().strip(".")
    written = _OTHER_SPELLINGS.get(written.casefold(), written)
    for item in (written, written.lower()):
        usual = item in _UNIT_WORDS or (item in _LETTERS and bracket)
        try:
            if item and (usual or bracket == "[" or (len(item) <= 8 and not item.isalpha())):
                kind_of_unit(item)
                return item
        except UnitError:
            continue
    return None


def heading_parts(text: str) -> tuple[str, str | None]:
    """Part a heading into its name, without signs, and the unit or currency it states.

    Examples
    --------
    >>> heading_parts("Diameter (in)"), heading_parts("Gewicht kg"), heading_parts("Price in €")
    (('diameter', 'in'), ('gewicht', 'kg'), ('price in', 'EUR'))
    """
    text = " ".join(text.split())
    unit: str | None = None
    money = currencies_in(text)
    for bracket, inner in re.findall(r"([\[(])([^\[\]()]*)[\])]", text):
        known = known_unit(inner, bracket)
        if known is not None:
            unit = known
            text = text.replace(f"({inner})", " ").replace(f"[{inner}]", " ")
    if len(money) == 1:
        unit = unit or money[0]
        text = re.sub(rf"(?<!\w)({money[0]}|[€£¥]|zł|US\$)(?!\w)", " ", text)
    elif unit is None:
        two = re.fullmatch(r"(.+?)[\s,;:]+(?:in\s+)?(\S+ \S+)", text)
        match = re.fullmatch(r"(.+?)(?:[\s,;/:]+(?:in\s+)?)(\S+)", text)
        known = known_unit(match[2]) if match else None
        if two and two[2] in _UNIT_WORDS:
            unit, text = two[2], two[1]
        elif match and known is not None:
            unit, text = known, match[1]
    name = re.sub(r"[^\w#Ø⌀]+", " ", text.casefold()).strip()
    return name, unit


def heading_rows(prices: PriceList, words: frozenset[str]) -> tuple[tuple[int, ...], str]:
    """Find the rows that hold the headings.

    Parameters
    ----------
    prices
        The list.
    words
        Words that headings are made of.

    Returns
    -------
    rows, why
        Empty if there are none to be seen.
    """
    rows = _first(prices, LAST_HEADING_ROW + 1)
    best, most = None, 0.0
    for row in rows[:LAST_HEADING_ROW]:
        texts = [cell for cell in row.cells if cell.strip()]
        hits = sum(bool(words & set(heading_parts(text)[0].split())) for text in texts)
        figures = sum(bool(re.match(r"[-+€$£]?\s*\d", text)) for text in texts)
        score = hits - figures
        # A note is one long text; a row of headings is several short ones.
        if len(texts) >= 2 and hits >= 2 and score > most:
            best, most = row, score
    if best is None:
        return (), ""
    numbers = [best.number]
    below = next((row for row in rows if row.number == best.number + 1), None)
    above = next((row for row in rows if row.number == best.number - 1), None)
    why = f"row {best.number} has the most words of headings"
    if below is not None and _belongs(below):
        numbers.append(below.number)
        why += f", row {below.number} below it has units or second words of headings only"
    elif below is not None and _stands_over(best, prices, below) and _says_words(below):
        numbers.append(below.number)
        why += f", some over several columns; row {below.number} below it says what each is"
    if above is not None and _stands_over(above, prices, best) and _says_words(above):
        numbers.insert(0, above.number)
        why += f", row {above.number} above it has headings over several columns"
    return tuple(numbers), why


def _stands_over(row: SheetRow, prices: PriceList, below: SheetRow) -> bool:
    """Whether a merged area of a row stands over several columns that say something below it."""
    return any(
        first <= row.number == last
        and right > left
        and sum(bool(cell.strip()) for cell in below.cells[left : right + 1]) > 1
        for first, left, last, right in prices.merged
    )


def _says_words(row: SheetRow) -> bool:
    """Whether there are several texts in a row, and none begins with a number."""
    texts = [cell for cell in row.cells if cell.strip()]
    return len(texts) >= 2 and not any(re.match(r"[-+€$£]?\s*\d", text) for text in texts)


def _belongs(row: SheetRow) -> bool:
    """Whether a row below headings continues them: units, short words, never a number."""
    texts = [cell.strip() for cell in row.cells if cell.strip()]
    if not texts or any(re.search(r"\d", text) for text in texts):
        return False
    units = sum(
        known_unit(text.strip("[]() ")) is not None or bool(currencies_in(text)) for text in texts
    )
    return units >= max(1, len(texts) // 3)


def _first(prices: PriceList, count: int) -> Sequence[SheetRow]:
    first = []
    for row in prices.rows():
        if row.number > count:
            break
        first.append(row)
    return first


def headings_at(prices: PriceList, numbers: tuple[int, ...]) -> tuple[Heading, ...]:
    """Read the headings that stand in some rows, one above the other.

    A text that stands over several columns, as a merged area, is part of the heading of each.
    """
    rows = [row for row in _first(prices, numbers[-1]) if row.number in numbers]
    width = max((len(row.cells) for row in rows), default=0)
    texts: list[list[str]] = [[] for _ in range(width)]
    for row in rows:
        for column in range(width):
            text = " ".join((row.cells[column] if column < len(row.cells) else "").split())
            if not text:
                for first, left, _, right in prices.merged:
                    if first == row.number and left < column <= right:
                        text = " ".join(row.cells[left].split())
            if text and text not in texts[column]:
                texts[column].append(text)
    headings: list[Heading] = []
    for column, pieces in enumerate(texts):
        if pieces:
            # A second row of bare units belongs into a bracket: "Diameter" over "in".
            last = pieces[-1].strip("[]() ")
            bare = len(pieces) > 1 and known_unit(last) is not None
            text = " ".join([*pieces[:-1], f"({last})"] if bare else pieces)
            if any(heading.text == text for heading in headings):
                text = f"{text} (column {letters(column)})"
            headings.append(Heading(column, text, *heading_parts(text)))
    return tuple(headings)


def headings_again(row: SheetRow, headings: Sequence[Heading]) -> Literal["no", "yes", "moved"]:
    """Say whether a row below the headings repeats them, as printed lists do on every page.

    Parameters
    ----------
    row
        Below the headings.
    headings
        Of the list.

    Returns
    -------
    str
        ``"moved"`` if they stand over other columns than before.

    Examples
    --------
    >>> from configurator.supplier_lists.price_lists import SheetRow
    >>> heads = [Heading(n, text, "", None) for n, text in enumerate(("No.", "Price", "Rim min"))]
    >>> rows = ("No.", "Price", "min"), ("No.", "min", "Price")
    >>> [headings_again(SheetRow(9, cells), heads) for cells in rows]
    ['yes', 'moved']
    >>> headings_again(SheetRow(9, ("A 1", "Price", "min")), heads)
    'no'
    """
    every = _words_of(tuple(heading.text for heading in headings))
    filled: dict[int, str] = {}
    for column, cell in enumerate(row.cells):
        text = " ".join(cell.split()).casefold()
        if text and (text not in every or text.isdecimal()):
            return "no"
        if text:
            filled[column] = text
    if len(filled) < _FEWEST_AGAIN:
        return "no"
    known = {heading.column: _pieces(heading.text) for heading in headings}
    if all(text in known.get(column, ()) for column, text in filled.items()):
        return "yes"
    return "moved" if len(filled) > _FEWEST_AGAIN else "no"


@lru_cache(maxsize=64)
def _words_of(headings: tuple[str, ...]) -> frozenset[str]:
    return frozenset().union(*map(_pieces, headings))


def _pieces(heading: str) -> set[str]:
    """Give what a row may say of a heading of one or of two rows: its beginnings and ends."""
    words = heading.casefold().split()
    texts = {" ".join(words[:n]) for n in range(1, len(words) + 1)}
    texts |= {" ".join(words[n:]) for n in range(len(words))}
    return texts | {text.strip("[]()") for text in texts}
