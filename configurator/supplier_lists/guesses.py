"""What a heading and the values below it say for one column of ours, as a score with reasons."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from configurator.core import units
from configurator.core.errors import UnitError
from configurator.core.text import Misread
from configurator.core.unit_spellings import COMMON_UNITS
from configurator.core.units import PLAIN, kind_of_unit
from configurator.files.part_columns import (
    LEAD_TIME,
    PART_NUMBER,
    PRICE,
    TITLE,
)
from configurator.model.kinds import kind_of
from configurator.model.parts import Attribute
from configurator.supplier_lists.headings import Heading
from configurator.supplier_lists.mapping import Source
from configurator.supplier_lists.numbers import currencies_in, plain_price
from configurator.supplier_lists.price_lists import letters
from configurator.supplier_lists.sampled_values import first_wrong, sound_values, unknown_words
from configurator.supplier_lists.usual_words import likeness_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from configurator.supplier_lists.numbers import Decimals
    from configurator.supplier_lists.price_lists import PriceList

SAMPLE_ROWS = 300
_ENOUGH = 0.9  # of the values of a sample have to be sound

_DAYS = Attribute(LEAD_TIME, "", "day", "number", 0.0, 2000.0)


@dataclass(frozen=True, slots=True)
class ColumnGuess:
    """That a heading's column may be one of ours: how likely, and how it would be read."""

    score: float
    name: str
    heading: Heading
    source: Source


def column_guess(
    heading: Heading,
    name: str,
    attribute: Attribute | None,
    texts: list[str],
    decimals: Decimals,
    prices: PriceList,
) -> ColumnGuess | None:
    """Weigh a heading for one of our columns; None if it is not to be thought of.

    Parameters
    ----------
    heading
        Of the supplier.
    name, attribute
        Ours; None for what every list has.
    texts
        The first values below it.
    decimals
        What stands before decimals.
    prices
        The list.
    """
    likeness, why = likeness_of(heading.name, name)
    if not likeness and {"ø", "⌀", "dia"} & {*heading.name.split()} and "diameter" in name:
        likeness, why = 0.4, "the heading is the sign of a diameter"
    if not likeness and name == PRICE and len(currencies_in(heading.text)) == 1:
        likeness, why = 0.5, "the heading names a currency"
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
        return ColumnGuess(likeness, name, heading, _source(heading, "", sure, why, prices))
    if not kind_of(attribute).numeric or attribute.unit in PLAIN:
        unit = heading.unit if heading.unit == "%" else ""
        if heading.unit and not unit:
            return None  # a heading with a unit is not for a column without one
        sound = sound_values(texts, attribute, unit or attribute.unit, decimals)
        wrong = first_wrong(texts, attribute, unit or attribute.unit, decimals)
        words = unknown_words(texts, attribute) if attribute.choices and likeness >= 0.6 else {}
        if words and sound < _ENOUGH * len(texts):
            why += f"; give each of its words one of ours: {', '.join(attribute.choices)}"
            source = replace(_source(heading, "", False, why, prices), words=words)
            return ColumnGuess(likeness * 0.9, name, heading, source)
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
) -> ColumnGuess | None:
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
    alike = {units.to_si(1.0, attribute.unit): attribute.unit}
    for item in COMMON_UNITS:  # of two spellings of one unit, the first
        if kind_of_unit(item) == kind:
            alike.setdefault(units.to_si(1.0, item), item)
    fitting = [
        unit
        for unit in alike.values()
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
) -> ColumnGuess | None:
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
            meant = currency or (*currencies_in(text), "EUR")[0]
            plain_price(text, decimals, meant, rounded=True)
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
) -> ColumnGuess | None:
    share = sound / len(texts) if texts else 0.0
    if texts and (not sound or (share < 0.5 and likeness < 0.95)):
        return None
    why += (
        f"; {sound} of the first {len(texts)} values can be read{wrong}"
        if texts
        else "; it is empty"
    )
    sure = likeness >= 0.95 and stated and (share >= _ENOUGH or not texts)
    score = likeness * (0.5 + 0.5 * share)
    return ColumnGuess(score, name, heading, _source(heading, unit, sure, why, prices))


def _source(heading: Heading, unit: str, sure: bool, why: str, prices: PriceList) -> Source:
    if heading.column in prices.hidden_columns:
        sure, why = False, f"{why}; the column is hidden in the sheet"
    return Source(heading.text, unit, sure, why)


def weighed(guess: ColumnGuess, guesses: Sequence[ColumnGuess]) -> Source:
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
    return replace(source, confirmed=False, why=f"{source.why}; {'; '.join(rivals[:2])}")
