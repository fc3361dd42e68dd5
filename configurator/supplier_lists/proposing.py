"""Propose which column of a supplier's list is which of ours, and say why.

All columns are assigned together: the assignment whose likenesses sum up to the most is taken
(maximum weight matching; networkx), so that confirming all of a proposal does no harm.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import networkx

from configurator.core.text import shown
from configurator.files.part_columns import COMMON_COLUMNS, PART_NUMBER, POSITION, TITLE
from configurator.model.parts import Attribute, attributes_of
from configurator.supplier_lists.guesses import SAMPLE_ROWS, ColumnGuess, column_guess, weighed
from configurator.supplier_lists.headings import (
    Heading,
    heading_rows,
    headings_again,
    headings_at,
)
from configurator.supplier_lists.mapping import Mapping, Source
from configurator.supplier_lists.noted_columns import (
    NOMINAL,
    NotedColumn,
    noted_columns,
    noted_sources,
)
from configurator.supplier_lists.numbers import decimal_sign
from configurator.supplier_lists.price_lists import place, refuse
from configurator.supplier_lists.sampled_values import told_by_values
from configurator.supplier_lists.usual_words import heading_words, likeness_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from configurator.model.parts import Family
    from configurator.supplier_lists.numbers import Decimals
    from configurator.supplier_lists.price_lists import PriceList

# How much a heading speaks for what it is a usual word for.
_NAMED = 0.95
_FREE = ("part number", TITLE, "maker", "note", "position")
# Headings that, with the size, say what a part is called.
_PATTERNS = frozenset(
    {"pattern", "model", "profile", "series", "design", "tread", "profil", "modell", "line"}
)


def propose(
    prices: PriceList, family: Family, headings: tuple[int, ...] = ()
) -> tuple[Mapping, str]:
    """Propose a mapping.

    Parameters
    ----------
    prices
        The supplier's list.
    family
        Whose parts it lists.
    headings
        The rows that hold the headings; empty to find them.

    Returns
    -------
    mapping, why
        Columns that leave a doubt are not confirmed; why these rows are taken for headings.

    Raises
    ------
    InputError
        If no headings can be found.
    """
    attributes = {attribute.name: attribute for attribute in attributes_of(family)}
    why = "as stated"
    if not headings:
        headings, why = heading_rows(prices, heading_words(attributes))
    if not headings:
        refuse(
            place(prices, 1),
            "no row looks like headings",
            "give --headings 3 (the number of their row) or --headings 3-4",
        )
    headings_found = headings_at(prices, headings)
    samples = _samples(prices, headings[-1], headings_found)
    if not any(samples.values()):
        prices.notes.append("nothing stands below the headings: is that the whole list?")
    every = [
        text
        for heading in headings_found
        if likeness_of(heading.name, PART_NUMBER)[0] < _NAMED  # 10.50 is a number there, too
        for text in samples[heading.column]
    ]
    sign, example = decimal_sign(every)
    if sign == "both":
        prices.notes.append(
            f"decimals stand behind a comma and behind a point, as in {example}: a number that "
            "may be read in two ways is refused"
        )
    elif sign:
        prices.notes.append(f"decimals stand behind a {sign}, as in {shown(example)}")
    elif example:
        prices.notes.append(f"nothing says whether {shown(example)} has decimals or thousands")
    decimals: Decimals = "" if sign == "both" else sign
    noted = noted_columns(headings_found, samples, attributes)
    in_notation = {column.heading.column for column in noted}
    places = tuple(place.name for place in family.positions)
    described = {**attributes, POSITION: Attribute(POSITION, "", kind="text", choices=places)}
    guesses = [
        guess
        for heading in headings_found
        for name in (*COMMON_COLUMNS, *attributes)
        if name in _FREE or heading.column not in in_notation
        if (
            guess := column_guess(
                heading, name, described.get(name), samples[heading.column], decimals, prices
            )
        )
    ]
    taken = _assigned(guesses)
    columns = {
        guess.name: weighed(guess, _rivals(guess, guesses, taken)) for guess in taken.values()
    }
    from_notations = noted_sources(noted, attributes, taken, headings_found)
    columns |= {name: guess for name, guess in from_notations.items() if name not in NOMINAL}
    if TITLE not in columns:
        columns |= _joined_title(headings_found, noted, taken)
    order = (*COMMON_COLUMNS, *attributes)
    read = {heading for source in columns.values() for heading in source.headings}
    rest = [
        item
        for item in headings_found
        if item.text not in read and not any(likeness_of(item.name, name)[0] for name in order)
    ]
    by_values = told_by_values(rest, attributes, columns, samples, decimals)
    columns |= {name: source for name, (_, source) in by_values.items()}
    columns = from_notations | columns
    mapping = Mapping(
        family.key,
        {name: columns[name] for name in order if name in columns},
        headings,
        sheet="" if prices.further else prices.sheet,
        encoding=prices.encoding,
        delimiter=prices.delimiter,
        decimals=decimals,
        sheets=tuple(table.sheet for table in (prices, *prices.further)) if prices.further else (),
    )
    read = {*mapping.taken_headings}
    ignore = tuple(item.text for item in headings_found if item.text not in read)
    return replace(mapping, ignore=ignore), why


def _assigned(guesses: Sequence[ColumnGuess]) -> dict[int, ColumnGuess]:
    """Return the supplier's column → the guess that the best assignment as a whole takes."""
    graph = networkx.Graph()
    # In one order always, so that the same list makes the same proposal.
    for guess in sorted(guesses, key=lambda guess: (guess.heading.column, guess.name)):
        graph.add_edge(
            guess.heading.column, guess.name, weight=round(guess.score * 1000), guess=guess
        )
    matched = networkx.max_weight_matching(graph)
    matches = (graph.edges[edge]["guess"] for edge in matched)
    return {guess.heading.column: guess for guess in sorted(matches, key=lambda guess: guess.name)}


def _rivals(
    guess: ColumnGuess, guesses: Sequence[ColumnGuess], taken: dict[int, ColumnGuess]
) -> list[ColumnGuess]:
    """Return what may be meant as well: columns and names that nothing else has taken."""
    names = {guess.name for guess in taken.values()}
    return [
        other
        for other in guesses
        if (other.heading.column not in taken or other.heading is guess.heading)
        and (other.name not in names or other.name == guess.name)
    ]


def _joined_title(
    headings: Sequence[Heading], noted: Sequence[NotedColumn], taken: dict[int, ColumnGuess]
) -> dict[str, Source]:
    """Propose a title of pattern and size, where no column is one."""
    patterns = [
        heading
        for heading in headings
        if heading.column not in taken and _PATTERNS & set(heading.name.split())
    ]
    sizes = [
        column.heading for column in noted if column.notation.name in ("tyre size", "rim size")
    ]
    if not patterns:
        return {}
    why = "no column is a title" + ("; pattern and size make one" if sizes else "")
    beside = tuple(heading.text for heading in sizes[:1])
    return {TITLE: Source(patterns[0].text, confirmed=False, why=why, beside=beside)}


def _samples(prices: PriceList, last: int, headings: tuple[Heading, ...]) -> dict[int, list[str]]:
    samples: dict[int, list[str]] = {heading.column: [] for heading in headings}
    taken = 0
    for row in prices.rows():
        filled = sum(bool(cell.strip()) for cell in row.cells)
        if row.number <= last or filled < 2 or headings_again(row, headings) != "no":
            continue
        for column, texts in samples.items():
            if column < len(row.cells) and row.cells[column].strip():
                texts.append(row.cells[column])
        taken += 1
        if taken >= SAMPLE_ROWS:
            break
    return samples
