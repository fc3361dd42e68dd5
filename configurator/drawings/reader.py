"""Whom a drawing is for: in which units it speaks, and how it writes a number."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from configurator.core import units
from configurator.wording.quantities import unit_in, with_unit, words

if TYPE_CHECKING:
    from configurator.core import units
    from configurator.model.parts import Value
from configurator.wording.quantities import System

# Gets a decimal number with a point, ``"1780.5"``, and returns it as the reader writes it.
NumberWriter = Callable[[str], str]
# Units that are words of a language.
WORDS = frozenset({"rpm"})
# Gets a text in British English and returns it in the reader's language.
TextWriter = Callable[[str], str]


@dataclass(frozen=True, slots=True)
class Reader:
    """Who reads a drawing.

    Parameters
    ----------
    system
        Units; None for those that rules declare.
    number
        Writes numbers; by default as they are, with a point.
    text
        Says texts in the reader's language; by default as they are, in British English.

    Examples
    --------
    >>> value_words(0.2995, "mm", Reader(number=lambda text: text.replace(".", ",")))
    '299,5 mm'
    """

    system: System | None = None
    number: NumberWriter = str
    text: TextWriter = str

    def say(self, template: str, **values: object) -> str:
        """Return a sentence in the reader's language, with its named values."""
        return self.text(template).format(**values)


def value_words(value: Value | None, unit: str, reader: Reader) -> str:
    """Say a value in SI, ``unit`` being the one that its rule declares."""
    shown = unit_in(unit, reader.system)
    if shown == "in" and isinstance(value, int | float) and not isinstance(value, bool):
        # As many decimals for each: two of them often stand side by side.
        return with_unit(reader.number(f"{units.from_si(float(value), shown):.2f}"), shown)
    text = words(value, unit, reader.system, reader.number)
    return text.removesuffix(shown) + reader.text(shown) if shown in WORDS else text


def behind(unit: str, reader: Reader) -> str:
    """Return what stands behind the number of a value."""
    shown = unit_in(unit, reader.system)
    return with_unit("", reader.text(shown) if shown in WORDS else shown)
