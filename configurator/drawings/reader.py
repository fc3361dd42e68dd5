"""Whom a drawing is for: in which units it speaks, and how it writes a number."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from configurator.wording.quantities import unit_in, with_unit, words

if TYPE_CHECKING:
    from configurator.model.parts import Value
    from configurator.wording.quantities import System

# Gets a decimal number with a point, ``"1780.5"``, and returns it as the reader writes it.
NumberWriter = Callable[[str], str]


@dataclass(frozen=True, slots=True)
class Reader:
    """Who reads a drawing.

    Parameters
    ----------
    system
        Units; None for those that rules declare.
    number
        Writes numbers; by default as they are, with a point.

    Examples
    --------
    >>> said(0.2995, "mm", Reader(number=lambda text: text.replace(".", ",")))
    '299,5 mm'
    """

    system: System | None = None
    number: NumberWriter = str


def said(value: Value | None, unit: str, reader: Reader) -> str:
    """Say a value in SI, ``unit`` being the one that its rule declares."""
    return words(value, unit, reader.system, reader.number)


def behind(unit: str, reader: Reader) -> str:
    """Return what stands behind the number of a value."""
    return with_unit("", unit_in(unit, reader.system))
