"""What the first values of a column speak for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.core.errors import UnitError
from configurator.core.text import Misread, shown
from configurator.core.units import PLAIN, kind_of_unit
from configurator.model.kinds import kind_of
from configurator.model.parts import Attribute
from configurator.model.values import reader
from configurator.supplier_lists.mapping import Source
from configurator.supplier_lists.numbers import plain_number

if TYPE_CHECKING:
    from configurator.supplier_lists.headings import Heading
    from configurator.supplier_lists.numbers import Decimals


MOST_WORDS = 12  # of a supplier's for an attribute with a choice of ours


def sound_values(
    texts: list[str], attribute: Attribute, unit: str | None, decimals: Decimals
) -> int:
    """Count the texts that can be read as an attribute, a bare number in a unit."""
    return sum(_wrong(text, attribute, unit, decimals) is None for text in texts)


def _wrong(text: str, attribute: Attribute, unit: str | None, decimals: Decimals) -> Misread | None:
    numeric = kind_of(attribute).numeric
    try:
        reader(attribute, unit)(plain_number(text, decimals) if numeric else text)
    except Misread as problem:
        return problem
    return None


def first_wrong(
    texts: list[str], attribute: Attribute, unit: str | None, decimals: Decimals
) -> str:
    """Say what is wrong with the first value that cannot be read, and how a mapping helps."""
    for text in texts:
        problem = _wrong(text, attribute, unit, decimals)
        if problem is not None:
            if attribute.choices:
                listed = ", ".join(attribute.choices)
                word = shown(text.strip())[1:-1]
                return (
                    f": {problem.what}; write words = {{ '{word}' = '...' }} with one of {listed}"
                )
            return f": {problem.what}"
    return ""


def unknown_words(texts: list[str], attribute: Attribute) -> dict[str, str]:
    """Return the words of a sample that are none of an attribute's, each to be given one of them.

    Empty if there are so many that they are no words.
    """
    known = {word.casefold() for word in attribute.choices}
    unknown: dict[str, str] = {}
    for text in texts:
        if text.strip().casefold() not in known:
            unknown.setdefault(text.strip().casefold(), text.strip())  # capitals do not matter
    return dict.fromkeys(unknown.values(), "") if len(unknown) <= MOST_WORDS else {}


def told_by_values(
    rest: list[Heading],
    attributes: dict[str, Attribute],
    columns: dict[str, Source],
    samples: dict[int, list[str]],
    decimals: Decimals,
) -> dict[str, tuple[int, Source]]:
    """Propose columns whose heading says nothing, where only one thing suits unit and values.

    Always to be confirmed: that nothing else suits does not make it right.
    """
    suiting: dict[int, list[str]] = {}
    for heading in rest:
        texts = samples[heading.column]
        suiting[heading.column] = [
            name
            for name, attribute in attributes.items()
            if name not in columns
            and len(texts) >= 3
            and _suits(attribute, heading)
            and sound_values(texts, attribute, heading.unit, decimals) == len(texts)
        ]
    matched = {}
    for heading in rest:
        names = suiting[heading.column]
        if len(names) == 1 and sum(names[0] in item for item in suiting.values()) == 1:
            what = f"the unit {heading.unit} and the values" if heading.unit else "the values"
            why = f"the heading says nothing, but {what} suit nothing else"
            matched[names[0]] = (
                heading.column,
                Source(heading.text, heading.unit or "", confirmed=False, why=why),
            )
    return matched


def _suits(attribute: Attribute, heading: Heading) -> bool:
    """Whether an attribute can be told by values at all: a number with a unit, or some words."""
    if attribute.kind == "text":
        return bool(attribute.choices) and heading.unit is None
    if not kind_of(attribute).numeric or not heading.unit or attribute.unit in PLAIN:
        return False
    try:
        return kind_of_unit(heading.unit) == kind_of_unit(attribute.unit)
    except UnitError:  # a currency
        return False
