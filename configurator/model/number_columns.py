"""Columns of numbers: in their unit or another, within their bounds."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from configurator.core import units
from configurator.core.number_text import split_number, why_no_number
from configurator.core.text import Misread, clean, shown
from configurator.core.units import PLAIN, refuse_other_kind

if TYPE_CHECKING:
    from collections.abc import Callable

    from configurator.model.parts import Attribute


def number_reader(attribute: Attribute, unit: str | None, comma: bool) -> Callable[[str], float]:
    """Make the function that reads numbers of a column: see `configurator.model.values.reader`."""
    expected = attribute.unit
    needs_unit = unit is None and expected not in PLAIN
    bare = expected if unit is None else unit
    # A hair of room, so that a bound met exactly in another unit is not broken by rounding.
    low, high = -math.inf, math.inf
    if attribute.at_least is not None:
        low = units.to_si(attribute.at_least, expected)
        low -= abs(low) * 1e-11
    if attribute.at_most is not None:
        high = units.to_si(attribute.at_most, expected)
        high += abs(high) * 1e-11

    def read(text: str) -> float:
        own = ""
        try:
            number = float(text)
        except ValueError:
            number, own = split_number(clean(text), bare, "decimal" if comma else "unclear")
        else:
            # Python reads digits of every script, and underscores between them.
            if not math.isfinite(number) or "_" in text or not text.isascii():
                raise why_no_number(text, bare)
        if own:
            refuse_other_kind(own, expected)
            value = units.to_si(number, own)
        elif needs_unit:
            raise Misread(
                what=f"{shown(text)} has no unit", do=f"write '{text.strip()} {expected}'"
            )
        else:
            value = units.to_si(number, bare)
        if not math.isfinite(value):
            raise why_no_number(text, bare)
        if units.absurd(value):
            raise Misread(
                what=f"{shown(text)} is out of all bounds",
                do="check the number, its exponent and its unit",
            )
        if not low <= value <= high:
            raise _out_of_bounds(text, value, attribute)
        return value

    return read


def _out_of_bounds(text: str, value: float, attribute: Attribute) -> Misread:
    low, high, unit = attribute.at_least, attribute.at_most, attribute.unit
    if low is not None and high is not None:
        bounds = f"between {low:g} and {high:g} {unit}"
    else:
        bounds = f"at least {low:g} {unit}" if low is not None else f"at most {high:g} {unit}"
    read = "" if unit in PLAIN else f" ({units.show(value, unit)})"
    return Misread(
        what=f"{shown(text)}{read} is out of bounds: a sound value is {bounds}".rstrip(),
        do="check the number and its unit",
    )


def whole_number(text: str, value: float, unit: str) -> int | float:
    """Return a value in SI that is whole in its unit.

    Raises
    ------
    Misread
        If it is not.
    """
    counted = units.from_si(value, unit)
    if counted != round(counted):
        raise Misread(what=f"{shown(text)} is not a whole number", do="write it without decimals")
    return round(counted) if unit in PLAIN else value
