"""Propose which column of a supplier's list is which of ours, and say why."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from configurator.core.errors import UnitError
from configurator.core.text import Misread, shown
from configurator.core.units import COMMON_UNITS
from configurator.files.part_columns import (
    COMMON_COLUMNS,
    LEAD_TIME,
    PART_NUMBER,
    POSITION,
    PRICE,
    TITLE,
)
from configurator.files.values import PLAIN, kind_of_unit
from configurator.model.parts import Attribute, attributes_of
from configurator.supplier_lists.headings import Heading, heading_rows, headings_at
from configurator.supplier_lists.mapping import Mapping, Source
from configurator.supplier_lists.numbers import currencies_in, decimal_sign, plain_price
from configurator.supplier_lists.price_lists import letters, place, refuse
from configurator.supplier_lists.sampled_values import first_wrong, sound_values, told_by_values
from configurator.supplier_lists.usual_words import heading_words, likeness_of

if TYPE_CHECKING:
    from configurator.model.parts import Family
    from configurator.supplier_lists.numbers import Decimals
    from configurator.supplier_lists.price_lists import PriceList

SAMPLE_ROWS = 300
_ENOUGH = 0.9  # of the values of a sample have to be sound

_DAYS = Attribute(LEAD_TIME, "", "day", "number", 0.0, 2000.0)
_TEXTS = (PART_NUMBER, TITLE, "maker", POSITION, "note")


@dataclass(frozen=True, slots=True)
class _Guess:
    score: float
    name: str
    heading: Heading
    source: Source


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
    every = [text for texts in samples.values() for text in texts]
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
    guesses = sorted(
        (
            guess
            for heading in headings_found
            for name in (*COMMON_COLUMNS, *attributes)
            if (
                guess := _guess(
                    heading, name, attributes.get(name), samples[heading.column], decimals, prices
                )
            )
        ),
        key=lambda guess: (-guess.score, guess.heading.column, guess.name),
    )
    columns: dict[str, Source] = {}
    taken: dict[int, _Guess] = {}
    for guess in guesses:
        if guess.name in columns or guess.heading.column in taken:
            continue
        free = [
            item
            for item in guesses
            if item.heading.column not in taken and item.name not in columns
        ]
        columns[guess.name] = _weighed(guess, free)
        taken[guess.heading.column] = guess
    order = (*COMMON_COLUMNS, *attributes)
    rest = [
        item
        for item in headings_found
        if item.column not in taken and not any(likeness_of(item.name, name)[0] for name in order)
    ]
    by_values = told_by_values(rest, attributes, columns, samples, decimals)
    columns |= {name: source for name, (_, source) in by_values.items()}
    used = {*taken, *(column for column, _ in by_values.values())}
    return (
        Mapping(
            family.key,
            {name: columns[name] for name in order if name in columns},
            headings,
            ignore=tuple(item.text for item in headings_found if item.column not in used),
            sheet=prices.sheet,
            encoding=prices.encoding,
            delimiter=prices.delimiter,
            decimals=decimals,
        ),
        why,
    )


def _samples(prices: PriceList, last: int, headings: tuple[Heading, ...]) -> dict[int, list[str]]:
    samples: dict[int, list[str]] = {heading.column: [] for heading in headings}
    taken = 0
    for row in prices.rows():
        filled = sum(bool(cell.strip()) for cell in row.cells)
        if row.number <= last or filled < 2:
            continue
        for column, texts in samples.items():
            if column < len(row.cells) and row.cells[column].strip():
                texts.append(row.cells[column])
        taken += 1
        if taken >= SAMPLE_ROWS:
            break
    return samples


def _guess(
    heading: Heading,
    name: str,
    attribute: Attribute | None,
    texts: list[str],
    decimals: Decimals,
    prices: PriceList,
) -> _Guess | None:
    likeness, why = likeness_of(heading.name, name)
    if heading.name in ("ø", "⌀", "dia") and attribute and "diameter" in name:
        likeness, why = 0.4, "the heading is the sign of a diameter"
    if name == LEAD_TIME:
        attribute = _DAYS
    if not likeness:
        return None
    if name == PRICE:
        return _price_guess(heading, likeness, why, texts, decimals, prices)
    if attribute is None:
        if name == PART_NUMBER and len(set(texts)) < len(texts):
            likeness, why = likeness * 0.6, f"{why}, but values stand there twice"
        sure = likeness >= 0.95 and (bool(texts) or name not in (PART_NUMBER, TITLE))
        return _Guess(likeness, name, heading, _source(heading, "", sure, why, prices))
    if attribute.kind not in ("number", "whole") or attribute.unit in PLAIN:
        unit = heading.unit if heading.unit == "%" else ""
        if heading.unit and not unit:
            return None  # a heading with a unit is not for a column without one
        sound = sound_values(texts, attribute, unit or attribute.unit, decimals)
        wrong = first_wrong(texts, attribute, unit or attribute.unit, decimals)
        return _judged(
            heading, name, likeness, why, unit, sound, texts, prices, stated=True, wrong=wrong
        )
    return _unit_guess(heading, name, attribute, likeness, why, texts, decimals, prices)


def _unit_guess(
    heading: Heading,
    name: str,
    attribute: Attribute,
    likeness: float,
    why: str,
    texts: list[str],
    decimals: Decimals,
    prices: PriceList,
) -> _Guess | None:
    if heading.unit is not None:
        try:
            if kind_of_unit(heading.unit) != kind_of_unit(attribute.unit):
                return None
        except UnitError:
            return None
        sound = sound_values(texts, attribute, heading.unit, decimals)
        why = f"{why}, with the unit {heading.unit}"
        wrong = first_wrong(texts, attribute, heading.unit, decimals)
        return _judged(
            heading,
            name,
            likeness,
            why,
            heading.unit,
            sound,
            texts,
            prices,
            stated=True,
            wrong=wrong,
        )
    own = [text for text in texts if re.search(r"\d[\s.]*[^\d\s.,'’+-]+\s*$", text)]
    if texts and len(own) == len(texts):
        sound = sound_values(texts, attribute, None, decimals)
        why = f"{why}, every value has its own unit"
        return _judged(heading, name, likeness, why, "", sound, texts, prices, stated=True)
    kind = kind_of_unit(attribute.unit)
    alike = dict.fromkeys(
        [attribute.unit, *(item for item in COMMON_UNITS if kind_of_unit(item) == kind)]
    )
    fitting = [
        unit
        for unit in alike
        if texts and sound_values(texts, attribute, unit, decimals) >= _ENOUGH * len(texts)
    ]
    unit = fitting[0] if fitting else attribute.unit
    sound = sound_values(texts, attribute, unit, decimals)
    if len(fitting) == 1:
        why = f"{why}; no unit is stated, but only {unit} makes the values sound"
    else:
        why = f"{why}; no unit is stated: is it {' or '.join(fitting[:3]) or unit}?"
    return _judged(heading, name, likeness, why, unit, sound, texts, prices, stated=False)


def _price_guess(
    heading: Heading,
    likeness: float,
    why: str,
    texts: list[str],
    decimals: Decimals,
    prices: PriceList,
) -> _Guess | None:
    signs = {currencies_in(text) for text in texts[:SAMPLE_ROWS]} - {()}
    stated = currencies_in(heading.text)
    if len(stated) == 1:
        currency, why, sure = stated[0], f"{why}, in {stated[0]}", True
    elif len(signs) == 1 and len(match := next(iter(signs))) == 1:
        currency, why, sure = match[0], f"{why}, the values are in {match[0]}", True
    else:
        named = sorted({code for sign in (*signs, stated) for code in sign})
        currency, sure = "", False
        why += f"; which currency? {' or '.join(named) or 'none is stated'}"
    sound = 0
    for text in texts:
        try:
            plain_price(text, decimals, currency or "EUR", rounded=True)
            sound += 1
        except Misread:
            continue
    if re.search(
        r"\b(net|netto|dealer|purchase|ek|händler|cost|excl|without tax|zzgl)\b", heading.name
    ):
        sure = False
        why += "; it may be a price without tax or for dealers: state multiply, or confirm"
    return _judged(heading, PRICE, likeness, why, currency, sound, texts, prices, stated=sure)


def _judged(
    heading: Heading,
    name: str,
    likeness: float,
    why: str,
    unit: str,
    sound: int,
    texts: list[str],
    prices: PriceList,
    *,
    stated: bool,
    wrong: str = "",
) -> _Guess | None:
    share = sound / len(texts) if texts else 0.0
    if texts and share < 0.5 and likeness < 0.95:
        return None
    why += (
        f"; {sound} of the first {len(texts)} values can be read{wrong}"
        if texts
        else "; it is empty"
    )
    sure = likeness >= 0.95 and stated and (share >= _ENOUGH or not texts)
    score = likeness * (0.5 + 0.5 * share)
    return _Guess(score, name, heading, _source(heading, unit, sure, why, prices))


def _source(heading: Heading, unit: str, sure: bool, why: str, prices: PriceList) -> Source:
    if heading.column in prices.hidden_columns:
        sure, why = False, f"{why}; the column is hidden in the sheet"
    return Source(heading.text, unit, sure, why)


def _weighed(guess: _Guess, guesses: list[_Guess]) -> Source:
    """Take a confirmation back if another column, or another meaning, is as likely."""
    source = guess.source
    rivals = [
        f"column {letters(other.heading.column)} ({other.heading.text!r}) may be it as well"
        for other in guesses
        if other.name == guess.name
        and other.heading is not guess.heading
        and other.score >= guess.score - 0.06
    ]
    rivals += [
        f"it may be {other.name!r} as well"
        for other in guesses
        if other.heading is guess.heading
        and other.name != guess.name
        and other.score >= guess.score - 0.06
    ]
    if not rivals:
        return source
    return Source(source.heading, source.unit, False, f"{source.why}; {'; '.join(rivals[:2])}")
