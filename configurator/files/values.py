"""Turn one text into one value of an attribute or a measure, or say what is wrong with it.

Nothing is guessed: a text that can be read in two ways is refused with both of them.
"""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING, Any

from configurator.core import units
from configurator.core.errors import PluginError, nearest
from configurator.core.number_text import split_number, why_no_number
from configurator.core.text import Misread, clean, refuse_disguise, shown
from configurator.core.units import PLAIN, refuse_other_kind
from configurator.model.parts import Attribute, Value
from configurator.model.vehicles import Condition, Measure, Practice

if TYPE_CHECKING:
    from collections.abc import Callable

    from configurator.model.rules import Figure, Total

YES = frozenset({"yes", "y", "true", "1", "ja", "j", "oui", "wahr", "vrai"})
NO = frozenset({"no", "n", "false", "0", "nein", "non", "falsch", "faux"})


def described(declared: Attribute | Measure | Condition | Practice | Figure | Total) -> Attribute:
    """Describe anything that has a value in a unit as an attribute is described."""
    if isinstance(declared, Attribute):
        return declared
    if isinstance(declared, Measure):
        return Attribute(
            declared.name,
            declared.meaning,
            declared.unit,
            declared.kind,
            declared.at_least,
            declared.at_most,
            declared.choices,
        )
    if isinstance(declared, Condition | Practice):
        return Attribute(
            declared.name,
            declared.meaning,
            declared.unit,
            at_least=declared.at_least,
            at_most=declared.at_most,
        )
    return Attribute(declared.name, declared.meaning, declared.unit)


def reader(
    attribute: Attribute, unit: str | None, *, comma: bool = False
) -> Callable[[str], Value]:
    """Make the function that reads texts of an attribute.

    Parameters
    ----------
    attribute
        What is read.
    unit
        Unit of a bare number, from the heading of the column; None where each text says its own.
    comma
        Whether a comma before exactly three digits is known to be the decimal sign.

    Returns
    -------
    Callable
        Text → value in SI; raises `Misread`.

    Examples
    --------
    >>> reader(Attribute("wheelbase", "", "mm"), None)("112 in")
    2.8448
    """
    if attribute.kind in ("number", "whole"):
        return _number_reader(attribute, unit, comma)

    def read_text(text: str) -> Value:
        written = " ".join(clean(text).split())
        refuse_disguise(written)
        if attribute.choices:
            return _choice(written, attribute)
        return written

    def read_codes(text: str) -> Value:
        written = clean(text)
        refuse_disguise(written)
        codes = frozenset(written.split())
        for code in sorted(codes):
            refuse_disguise(code)
            if re.search(r"[,;|]", code):
                raise Misread(
                    what=f"{shown(written)} holds a comma, semicolon or bar",
                    do="divide several codes by spaces and write decimals with a point",
                )
        if attribute.choices:
            return frozenset(_choice(code, attribute) for code in codes)
        return codes

    def read_yes_no(text: str) -> Value:
        written = clean(text).casefold()
        if written in YES or written in NO:
            return written in YES
        raise Misread(what=f"{shown(text)} is neither yes nor no", do="write yes or no")

    return {"text": read_text, "codes": read_codes, "yes/no": read_yes_no}[attribute.kind]


def _choice(text: str, attribute: Attribute) -> str:
    """Return the word that a text is, whatever its capitals."""
    if text in attribute.choices:
        return text
    word = {one.casefold(): one for one in attribute.choices}.get(text.casefold())
    if word is None:
        raise Misread(
            what=f"{shown(text)} is not one of the words for {attribute.name!r}",
            do=nearest(text, attribute.choices, otherwise=f"use {', '.join(attribute.choices)}"),
        )
    return word


def _number_reader(attribute: Attribute, unit: str | None, comma: bool) -> Callable[[str], Value]:
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

    def read(text: str) -> Value:
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
        if attribute.kind == "whole":
            return _whole(text, value, attribute)
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


def _whole(text: str, value: float, attribute: Attribute) -> Value:
    counted = units.from_si(value, attribute.unit)
    if counted != round(counted):
        raise Misread(what=f"{shown(text)} is not a whole number", do="write it without decimals")
    return round(counted) if attribute.unit in PLAIN else value


def declared_value(attribute: Attribute, value: Any) -> Value:
    """Turn a value that a plugin declares, in the attribute's unit, into SI.

    Raises
    ------
    PluginError
        If it does not fit the attribute.

    Examples
    --------
    >>> declared_value(Attribute("lift", "", "mm"), 50)
    0.05
    """
    try:
        if attribute.kind == "number":
            return units.to_si(float(value), attribute.unit)
        if attribute.kind == "whole":
            return _whole(str(value), units.to_si(float(value), attribute.unit), attribute)
        if attribute.kind == "codes":
            return frozenset(value.split() if isinstance(value, str) else value)
        return bool(value) if attribute.kind == "yes/no" else str(value)
    except (TypeError, ValueError, Misread) as problem:
        raise PluginError(
            attribute.name, f"{value!r} is no value for {attribute.name!r}", "correct the default"
        ) from problem
