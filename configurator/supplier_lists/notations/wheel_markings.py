"""Rim sizes, bolt patterns, back spacings and ranges, as makers of wheels and tyres write them.

References
----------
.. [1] ETRTO Standards Manual, *Rims* (``9 J x 17 H2``); TRA Year Book (``17x9``); ISO 3911 for the
   terms (titles from memory). Bolt patterns and back spacing: common practice, no source.
"""

from __future__ import annotations

import re
from decimal import Decimal
from typing import TYPE_CHECKING

from configurator.core.text import Misread, shown
from configurator.supplier_lists.notations.notation import (
    INCH,
    NUMBER,
    Notation,
    Quantity,
    Value,
    decimal,
    doubtful,
    plain,
    tidied,
    unreadable,
)

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

FLANGE = Decimal("12.7")  # mm: one rim flange; common practice, no source
_FLANGE_FORM = r"(?:JJ|JK|J|K|B|L)"
_HUMP = r"(?:\s*(?:EH2\+?|AH|CH|FH|H2|H|SL|SDC|MC|DC|TL))*"
_RIM_SIZE = re.compile(
    rf'(?P<first>{NUMBER})\s*"?\s*(?P<form1>{_FLANGE_FORM})?\s*x\s*(?P<second>{NUMBER})\s*"?'
    rf"\s*(?P<form2>{_FLANGE_FORM})?{_HUMP}"
    r"(?:[\s,;/]*(?:ET|IS|OFFSET)?\s*(?P<offset>(?<=[T\s])[-+]?\d{1,3}(?:[.,]\d)?)\s*(?:MM)?)?"
)
_PATTERN = re.compile(
    rf'(?P<first>{NUMBER})\s*"?\s*(?:x|-|/|ON|HOLES?\s*(?:ON|X)?|LUGS?\s*(?:ON|X)?|STUDS?\s*(?:ON)?)'
    rf'\s*(?P<second>{NUMBER})\s*(?P<unit>"|IN(?:CH)?|MM)?(?:\s*PCD)?',
    re.IGNORECASE,
)
_TWO_PATTERNS = re.compile(
    rf"{NUMBER}\s*[x-]\s*{NUMBER}\s*(?:[/&+]|,\s)\s*(?:{NUMBER}\s*[x-]\s*)?{NUMBER}"
)
_RANGE = re.compile(
    rf'(?P<low>[-+]?{NUMBER})\s*J?"?\s*(?P<unit1>MM|CM|IN|"|J)?\s*'
    rf"(?:-|/|\.\.+|…|TO|BIS|THRU|~)\s*"
    rf'(?P<high>[-+]?{NUMBER})\s*J?\s*(?P<unit2>MM|CM|IN|"|J)?',
    re.IGNORECASE,
)
_SINGLE = re.compile(rf'(?P<low>[-+]?{NUMBER})\s*J?\s*(?P<unit>MM|CM|IN|")?', re.IGNORECASE)
_WIDTHS = (Decimal("3.5"), Decimal(14))  # in, of rims that cars and light trucks wear
_DIAMETERS = (Decimal(10), Decimal(26))
_STUDS = (3, 10)


def read_rim_size(texts: Sequence[str]) -> Mapping[str, Value]:
    """Read a rim size, with the offset if it stands behind it.

    Returns
    -------
    Mapping
        ``"rim diameter"`` and ``"rim width"`` [in], ``"offset"`` [mm] where it is marked.

    Raises
    ------
    Misread
        If it is none, or does not say which number is the width.

    Examples
    --------
    >>> {k: v.number for k, v in read_rim_size(["9Jx17H2 ET-12"]).items()}
    {'rim diameter': Decimal('17'), 'rim width': Decimal('9'), 'offset': Decimal('-12')}
    """
    (text,) = texts
    match = _RIM_SIZE.fullmatch(tidied(text).upper().replace("X", "x"))
    if match is None:
        raise unreadable(text, "rim size", "17x9 or 9Jx17H2")
    first, second = decimal(match["first"]), decimal(match["second"])
    as_first = _fits(first, _WIDTHS) and _fits(second, _DIAMETERS)
    as_second = _fits(second, _WIDTHS) and _fits(first, _DIAMETERS)
    if match["form1"] and not match["form2"]:
        as_second = False
    elif match["form2"] and not match["form1"]:
        as_first = False
    if as_first and as_second and first != second:
        raise doubtful(text, [f"{_rim(second, first)}", f"{_rim(first, second)}"])
    if not (as_first or as_second):
        raise Misread(
            what=f"{shown(text)} is no rim size: a width of {plain(_WIDTHS[0])} to "
            f"{plain(_WIDTHS[1])} in and a diameter of {plain(_DIAMETERS[0])} to "
            f"{plain(_DIAMETERS[1])} in can be read",
            do="check both numbers",
        )
    width, diameter = (first, second) if as_first else (second, first)
    values: dict[str, Value] = {
        "rim diameter": Quantity(diameter, "in"),
        "rim width": Quantity(width, "in"),
    }
    if match["offset"]:
        values["offset"] = Quantity(decimal(match["offset"]), "mm")
    return values


def _fits(number: Decimal, bounds: tuple[Decimal, Decimal]) -> bool:
    return bounds[0] <= number <= bounds[1]


def _rim(diameter: Decimal, width: Decimal) -> str:
    return f"{plain(width)} J x {plain(diameter)}"


def write_rim_size(values: Mapping[str, Value]) -> str:
    """Write a rim size as the ETRTO does, the offset behind it.

    Examples
    --------
    >>> write_rim_size({"rim diameter": Quantity(Decimal(17)), "rim width": Quantity(Decimal(9))})
    '9 J x 17'
    """
    offset = values.get("offset")
    behind = f" ET{plain(offset.number)}" if isinstance(offset, Quantity) else ""
    return f"{_rim(_number(values['rim diameter']), _number(values['rim width']))}{behind}"


def _number(value: Value) -> Decimal:
    return value.number if isinstance(value, Quantity) else Decimal(value)


def read_bolt_pattern(texts: Sequence[str]) -> Mapping[str, Value]:
    """Read a bolt pattern; a circle below 20 is in inches, one above 90 in millimetres.

    Returns
    -------
    Mapping
        ``"studs"`` and ``"PCD"`` [mm].

    Raises
    ------
    Misread
        If it is none, or does not say which number is the circle.

    Examples
    --------
    >>> for text in ("5x127", "6x5,5", "5 on 4,5", "8-165.1"):
    ...     values = read_bolt_pattern([text])
    ...     print(values["studs"].number, values["PCD"].in_unit("mm"))
    5 127
    6 139.7
    5 114.3
    8 165.1
    """
    (text,) = texts
    tidy = tidied(text)
    if _TWO_PATTERNS.fullmatch(tidy):
        raise Misread(
            what=f"{shown(text)} is two bolt patterns",
            do="make a row for each, with a part number of its own",
        )
    match = _PATTERN.fullmatch(tidy)
    if match is None:
        raise unreadable(text, "bolt pattern", "5x127, 6x139.7 or 6x5.5")
    first, second = decimal(match["first"]), decimal(match["second"])
    unit = (match["unit"] or "").lower()
    forward, backward = _circle(first, second, unit), _circle(second, first, "")
    if forward and backward and first != second and not unit:
        raise doubtful(text, [f"{first} studs on {second} in", f"{second} studs on {first} in"])
    reading = forward or (None if unit else backward)
    if reading is None:
        raise Misread(
            what=f"{shown(text)} is no bolt pattern: {_STUDS[0]} to {_STUDS[1]} studs, on 3.5 to "
            "10 in or 90 to 260 mm, can be read",
            do="write it as in 5x127 or 5x5 in",
        )
    studs, circle = reading
    return {"studs": Quantity(studs), "PCD": circle}


def _circle(studs: Decimal, circle: Decimal, unit: str) -> tuple[Decimal, Quantity] | None:
    if studs != int(studs) or not _STUDS[0] <= studs <= _STUDS[1]:
        return None
    if unit != "mm" and Decimal("3.5") <= circle <= 10:
        return studs, Quantity(circle * INCH, "mm")
    if unit in ("", "mm") and 90 <= circle <= 260:
        return studs, Quantity(circle, "mm")
    return None


def write_bolt_pattern(values: Mapping[str, Value]) -> str:
    """Write a bolt pattern in millimetres.

    Examples
    --------
    >>> circle = Quantity(Decimal("139.70"), "mm")
    >>> write_bolt_pattern({"studs": Quantity(Decimal(6)), "PCD": circle})
    '6x139.7'
    """
    return f"{_number(values['studs'])}x{plain(_number(values['PCD']))}"


def read_range(texts: Sequence[str]) -> Mapping[str, Value]:
    """Read a range, or a single number that is both of its ends.

    Returns
    -------
    Mapping
        ``"lowest"`` and ``"highest"``, in the unit that stands there, or none.

    Raises
    ------
    Misread
        If it is none, or falls.

    Examples
    --------
    >>> values = read_range(["7,5 – 9.0"])
    >>> plain(values["lowest"].number), plain(values["highest"].number)
    ('7.5', '9')
    """
    (text,) = texts
    tidy = tidied(text)
    match = _RANGE.fullmatch(tidy)
    if match is None:
        single = _SINGLE.fullmatch(tidy)
        if single is None:
            raise unreadable(text, "range", "7.5-9.0")
        only = Quantity(decimal(single["low"]), _unit(single["unit"]))
        return {"lowest": only, "highest": only}
    low, high = decimal(match["low"]), decimal(match["high"])
    before, behind = _unit(match["unit1"]), _unit(match["unit2"])
    if before and behind and before != behind:
        raise Misread(what=f"{shown(text)} has two units", do="write both ends in one unit")
    if low > high:
        raise Misread(
            what=f"{shown(text)} falls from {plain(low)} to {plain(high)}",
            do=f"write {plain(high)}-{plain(low)}, or correct it",
        )
    unit = before or behind
    return {"lowest": Quantity(low, unit), "highest": Quantity(high, unit)}


def _unit(text: str | None) -> str:
    return {"": "", '"': "in", "j": "in"}.get((text or "").lower(), (text or "").lower())


def write_range(values: Mapping[str, Value]) -> str:
    """Write a range with its unit.

    Examples
    --------
    >>> ends = {"lowest": Quantity(Decimal("7.5"), "in"), "highest": Quantity(Decimal(9), "in")}
    >>> write_range(ends)
    '7.5-9 in'
    """
    low, high = values["lowest"], values["highest"]
    unit = high.unit if isinstance(high, Quantity) else ""
    return f"{plain(_number(low))}-{plain(_number(high))} {unit}".rstrip()


def read_back_spacing(texts: Sequence[str]) -> Mapping[str, Value]:
    """Work the offset out from back spacing and rim width.

    Parameters
    ----------
    texts
        Back spacing (inches unless a unit stands behind it), and rim width or rim size.

    Returns
    -------
    Mapping
        ``"offset"`` [mm], positive with the mounting face outboard of the centreline.

    Raises
    ------
    Misread
        If one of them cannot be read, or the mounting face would lie outside the rim.

    Notes
    -----
    Back spacing is measured from the lip: each flange is taken as 12.7 mm (common practice, no
    source). See `configurator.formulas.wheels.offset_from_backspacing`.

    Examples
    --------
    >>> read_back_spacing(["5,75", "9"])["offset"].in_unit("mm")
    '19.05'
    """
    text, rim = texts
    spacing = _length(text, "back spacing", "4.5 in or 114 mm")
    single = _SINGLE.fullmatch(tidied(rim))
    if single:
        width = _length(rim, "rim width", "9 in")
    else:
        width = _number(read_rim_size([rim])["rim width"]) * INCH
    if not Decimal(0) < spacing < width + 2 * FLANGE:
        raise Misread(
            what=f"a back spacing of {shown(text)} lies outside a rim of {shown(rim)}",
            do="check both, and the unit of the back spacing",
        )
    # As the formula has it, but in decimal numbers: 4 in behind a rim of 7 in is exactly 0 mm.
    return {"offset": Quantity(spacing - width / 2 - FLANGE, "mm")}


def _length(text: str, what: str, example: str) -> Decimal:
    match = _SINGLE.fullmatch(tidied(text))
    if match is None:
        raise unreadable(text, what, example)
    number = decimal(match["low"])
    return (
        number * {"": INCH, "in": INCH, "mm": Decimal(1), "cm": Decimal(10)}[_unit(match["unit"])]
    )


RIM_SIZE = Notation(
    "rim size",
    ("rim diameter", "rim width", "offset"),
    "9Jx17H2 or 17x9",
    "ETRTO Standards Manual, TRA Year Book",
    read_rim_size,
    write_rim_size,
)
BOLT_PATTERN = Notation(
    "bolt pattern",
    ("studs", "PCD"),
    "6x139.7",
    "common practice, no source",
    read_bolt_pattern,
    write_bolt_pattern,
)
RANGE = Notation(
    "range",
    ("lowest", "highest"),
    "7.5-9.0",
    "common practice, no source",
    read_range,
    write_range,
)
BACK_SPACING = Notation(
    "back spacing",
    ("offset",),
    '5.75" beside a rim width of 9 in',
    "ISO 3911 for the terms (title from memory); flange of 12.7 mm: common practice, no source",
    read_back_spacing,
    inputs=("back spacing", "rim width or rim size"),
)
