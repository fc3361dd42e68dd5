"""Turn one text into one value of an attribute or a measure, or say what is wrong with it.

Nothing is guessed: a text that can be read in two ways is refused with both of them.
"""

from __future__ import annotations

import math
import re
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from configurator.core import units
from configurator.core.errors import PluginError, UnitError, nearest
from configurator.core.text import Misread, clean, is_date, refuse_disguise, shown
from configurator.model.parts import Attribute, Value
from configurator.model.vehicles import Condition, Measure, Practice

if TYPE_CHECKING:
    from collections.abc import Callable

    from configurator.model.rules import Figure, Total

_LONGEST_UNIT = 40
YES = frozenset({"yes", "y", "true", "1", "ja", "j", "oui", "wahr", "vrai"})
NO = frozenset({"no", "n", "false", "0", "nein", "non", "falsch", "faux"})
PLAIN = frozenset({"", "-", "ratio"})

_NUMBER = re.compile(
    r"([-+]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)(?:[eE][-+]?[0-9]{1,3})?)\s*(.*)", re.DOTALL
)
_GROUPS = re.compile(r"[-+]?\d{1,3}(?:[ '’.,\u00a0\u202f]\d{3})+(?:[.,]\d+)?(?:\s*[^\d\s].*)?")
_FRACTION = re.compile(r"([-+]?)(?:(\d{1,6})[ -]+)?(\d{1,6})\s*/\s*(\d{1,6})\s*([^\d/].*)?")


@lru_cache(maxsize=1024)
def kind_of_unit(text: str) -> str:
    """Name what a unit measures; angles are kept apart from ratios and shares.

    Raises
    ------
    UnitError
        If the unit is not known.

    Examples
    --------
    >>> kind_of_unit("mm") == kind_of_unit("in"), kind_of_unit("deg") == kind_of_unit("%")
    (True, False)
    """
    if len(text) > _LONGEST_UNIT:
        raise UnitError(text, f"unit {shown(text)} is too long", "use a unit such as mm, in, kg")
    parsed = units.unit(text)
    try:
        units.to_si(1.0, text)
    except Exception as problem:  # pint knows units that no number can be converted from
        raise UnitError(
            text, f"unit {shown(text)} cannot be converted", "use a unit such as mm, in, kg"
        ) from problem
    if not parsed.dimensionless:
        return units.dimension(text)
    names = re.findall(r"[a-z]+", str(parsed))
    angles = ("radian", "degree", "turn", "arcminute", "arcsecond", "gon", "grade")
    return "angle" if any(name.endswith(angles) for name in names) else "ratio"


def refuse_other_kind(written: str, expected: str) -> None:
    """Refuse a unit that does not measure what it should.

    Raises
    ------
    Misread
        If it is not known or of another kind.
    """
    wanted = expected or "a plain number"
    try:
        fits = kind_of_unit(written) == kind_of_unit(expected)
    except UnitError as problem:
        kind = kind_of_unit(expected)
        alike = [unit for unit in units.COMMON_UNITS if kind_of_unit(unit) == kind]
        raise Misread(
            what=problem.what, do=nearest(written, alike, otherwise=f"give it in {wanted}")
        ) from problem
    if not fits:
        raise Misread(
            what=f"unit {shown(written)} does not measure the same as {wanted}",
            do=f"give it in {wanted}",
        )


def _why_no_number(text: str, unit: str) -> Misread:
    example = f"12 {unit}".strip()
    plain = text.replace("\u00a0", " ").strip()
    if plain.startswith("#"):
        return Misread(
            what=f"{shown(text)} is an error of the spreadsheet", do="correct its formula"
        )
    if is_date(plain):
        return Misread(
            what=f"{shown(text)} is a date where a number should be",
            do="format the column as text and type the number again",
        )
    fraction = _FRACTION.fullmatch(plain)
    # 11 3/4 in is a fraction; 295/65 R17 is none.
    if fraction and int(fraction[4]) in (2, 4, 8, 16, 32, 64) and not _has_digit(fraction[5]):
        number = int(fraction[2] or 0) + int(fraction[3]) / int(fraction[4])
        return Misread(
            what=f"{shown(text)} is a fraction",
            do=f"write {fraction[1]}{number:.6g} {fraction[5] or ''}".rstrip(),
        )
    if _GROUPS.fullmatch(plain):
        return Misread(
            what=f"{shown(text)} has a separator of thousands",
            do="write the digits without separators, with a point before the decimals",
        )
    if re.fullmatch(r"[-+]?(nan|inf|infinity)\b.*|[-+0-9.,]+e[-+]?\d+.*", plain, re.IGNORECASE):
        return Misread(
            what=f"{shown(text)} is not a finite number", do=f"write a number such as {example}"
        )
    return Misread(what=f"{shown(text)} is not a number", do=f"write a number such as {example}")


def split_number(text: str, unit: str, *, comma: bool) -> tuple[float, str]:
    """Read a number and the unit behind it, if there is one.

    Parameters
    ----------
    text
        What was written.
    unit
        The unit of an example in messages.
    comma
        Whether a comma before exactly three digits is known to be a decimal comma.

    Raises
    ------
    Misread
        If it is no number, or could be two.

    Examples
    --------
    >>> split_number("31,5 in", "mm", comma=False)
    (31.5, 'in')
    """
    match = _NUMBER.fullmatch(text.strip())
    if match is None or match[2][:1] in tuple("0123456789.,'’/-+"):
        raise _why_no_number(text, unit)
    if not comma and re.match(r"[-+]?[1-9]\d{0,2},\d{3}$", match[1]):
        joined = match[1].replace(",", "")
        raise Misread(
            what=f"{shown(text)} may be {match[1].replace(',', '.')} or {joined}",
            do="write it with a point before the decimals and without separators",
        )
    number = float(match[1].replace(",", "."))
    if not math.isfinite(number):
        raise _why_no_number(text, unit)
    return number, match[2]


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
        See `split_number`.

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


def _has_digit(text: str | None) -> bool:
    return any(sign.isdigit() for sign in text or "")


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
            number, own = split_number(clean(text), bare, comma=comma)
        else:
            # Python reads digits of every script, and underscores between them.
            if not math.isfinite(number) or "_" in text or not text.isascii():
                raise _why_no_number(text, bare)
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
            raise _why_no_number(text, bare)
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
