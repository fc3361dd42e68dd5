"""Columns of a supplier's list whose values are in one of the trade's notations."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from configurator.core.errors import UnitError
from configurator.core.text import Misread
from configurator.core.units import PLAIN, kind_of_unit
from configurator.supplier_lists.mapping import Source
from configurator.supplier_lists.notations.registry import NOTATIONS

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from configurator.model.parts import Attribute
    from configurator.supplier_lists.guesses import ColumnGuess
    from configurator.supplier_lists.headings import Heading
    from configurator.supplier_lists.notations.notation import Notation

_ENOUGH = 0.9  # of the values of a sample have to be readable
_DIFFERENT = 80
# In the order in which they are thought of, and what a text must hold to speak for one at all.
_TELLING = {
    "tyre size": re.compile(r"\d.*[/xX×].*\d.*\d\d|\d[.,]\d\d\s*[RD-]\s*\d\d"),
    "rim size": re.compile(r"\d\s*\"?\s*J?\s*[xX×]\s*\"?\d"),
    "bolt pattern": re.compile(r"\d\s*(?:[xX×/-]|on|lug|hole)", re.IGNORECASE),
    "load and speed": re.compile(r"\d\d\s*[A-Z]"),
    "thread": re.compile(r"[Mm]\s*\d|\d\s*[xX×-]\s*\d"),
    "range": re.compile(r"\d\s*(?:-|–|/|\.\.|to|bis)\s*\d"),
}
_ENDS = (
    ("narrowest rim", "widest rim"),
    ("shortest length", "longest length"),
    ("closed length", "open length"),
)
# What such a column is headed by, beside the words of ours.
_OF_ENDS = frozenset({"rims", "felge", "lengths", "länge", "längen"})
_BACK_SPACING = re.compile(r"\b(back ?spac(e|ing)?|bs)\b")
# Worked out from nominal sizes: what the maker has measured is better.
NOMINAL = frozenset({"overall diameter", "section width"})


@dataclass(frozen=True, slots=True)
class NotedColumn:
    """A supplier's column in a notation, with the values that every part of the sample has."""

    heading: Heading
    notation: Notation
    share: float
    always: frozenset[str]


def noted_columns(
    headings: Sequence[Heading],
    samples: Mapping[int, list[str]],
    attributes: Mapping[str, Attribute],
) -> list[NotedColumn]:
    """Find the columns whose values are in a notation that gives something the family has."""
    result = []
    for heading in headings:
        texts = [*dict.fromkeys(text.strip() for text in samples[heading.column])][:_DIFFERENT]
        for name, telling in _TELLING.items():
            notation = NOTATIONS[name]
            if not any(True for _ in _targets(notation, heading, attributes)):
                continue
            if (
                sum(telling.search(text) is not None for text in texts) < 0.5 * len(texts)
                or not texts
            ):
                continue
            values = {text: _read(notation, text) for text in texts}
            read = [value for value in values.values() if value is not None]
            counted = [text.strip() for text in samples[heading.column] if text.strip() in values]
            share = sum(values[text] is not None for text in counted) / len(counted)
            if share >= _ENOUGH and read:
                always = frozenset.intersection(*(frozenset(value) for value in read))
                result.append(NotedColumn(heading, notation, share, always))
                break
    return result


def _read(notation: Notation, text: str) -> Mapping[str, object] | None:
    try:
        return notation.read([text])
    except Misread:
        return None


def _targets(
    notation: Notation, heading: Heading, attributes: Mapping[str, Attribute]
) -> Iterator[tuple[str, str]]:
    """Yield our columns that a notation fills, and the value each takes."""
    if notation.name == "thread":
        for name, attribute in attributes.items():
            if "thread" in name and attribute.kind == "text":
                yield name, "thread"
    elif notation.name == "range":
        words = set(heading.name.split())
        for low, high in _ENDS:
            if low in attributes and high in attributes and words & {*low.split(), *_OF_ENDS}:
                yield low, "lowest"
                yield high, "highest"
    else:
        for name in notation.gives:
            if name in attributes:
                yield name, name


def noted_sources(
    noted: Sequence[NotedColumn],
    attributes: Mapping[str, Attribute],
    taken: Mapping[int, ColumnGuess],
    headings: Sequence[Heading],
) -> dict[str, Source]:
    """Propose what columns in a notation fill, where no column of its own says it.

    What is nominal only (`NOMINAL`) is among it; other columns come first.

    Parameters
    ----------
    noted
        The columns.
    attributes
        Of the family.
    taken
        The supplier's column → what it was taken for.
    headings
        All of the supplier's.
    """
    own = {guess.name for guess in taken.values()}
    sources: dict[str, Source] = {}
    for column in sorted(noted, key=lambda column: -column.share):
        for name, take in _targets(column.notation, column.heading, attributes):
            if name in own or name in sources:
                continue
            if take not in column.always:
                continue
            sources[name] = _source(column, name, take, attributes[name])
    rim = next((column.heading for column in noted if column.notation.name == "rim size"), None)
    width = next((guess.heading for guess in taken.values() if guess.name == "rim width"), rim)
    for heading in headings:
        if (
            "offset" in attributes
            and "offset" not in own | set(sources)
            and width is not None
            and _BACK_SPACING.search(heading.name)
        ):
            why = "worked out from back spacing and rim width, with rim flanges of 12.7 mm"
            sources["offset"] = Source(
                heading.text, confirmed=False, why=why, beside=(width.text,), read="back spacing"
            )
    return sources


def _source(column: NotedColumn, name: str, take: str, attribute: Attribute) -> Source:
    notation = column.notation
    share = math.floor(column.share * 100)
    why = f"{share} % of its values are read as {notation.name} ({notation.source})"
    sure = column.share == 1.0
    if name in NOMINAL:
        why += "; nominal: what the maker has measured is better, if another column has it"
        sure = False
    unit = ""
    if notation.name == "range" and attribute.unit not in PLAIN:
        unit, known = _unit_of_range(column, attribute)
        sure = sure and known
    stated = take if take != name and notation.name != "thread" else ""
    return Source(column.heading.text, unit, sure, why, read=notation.name, take=stated)


def _unit_of_range(column: NotedColumn, attribute: Attribute) -> tuple[str, bool]:
    """Name the unit of bare numbers in a range, and whether nothing else is possible."""
    stated = column.heading.unit
    try:
        if stated and kind_of_unit(stated) == kind_of_unit(attribute.unit):
            return stated, True
    except UnitError:
        pass
    return attribute.unit, False
