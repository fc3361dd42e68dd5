"""Tyre sizes, load indices and speed symbols, as moulded on a tyre and written in lists.

References
----------
.. [1] ISO 4000-1 (passenger), ISO 4223-1 (definitions, load indices), ETRTO Standards Manual
   (metric, numeric, *C*), TRA Year Book (*P*, *LT*, flotation); designations as in UN Regulations
   No. 30 and No. 54, 2.
"""

from __future__ import annotations

import re
from decimal import Decimal
from typing import TYPE_CHECKING

from configurator.core.text import Misread, shown
from configurator.formulas import tyre_sizes
from configurator.supplier_lists.notations.notation import (
    INCH,
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

_RIM = r"(?P<rim>[12]\d(?:[.,]5)?)"
_BUILD = r"\s*(?P<build>ZR|R|B|D|-)\s*"
_METRIC = re.compile(
    rf"(?P<use>P|LT)?\s*(?P<width>[1-9]\d{{2}})\s*/\s*(?P<aspect>\d{{2,3}}){_BUILD}{_RIM}"
    r"\s*(?P<suffix>C|LT)?(?![\w.])"
)
_FLOTATION = re.compile(
    r"(?P<use>LT)?\s*(?P<diameter>[2-6]\d(?:[.,]\d{1,2})?)\s*X\s*"
    rf"(?P<width>[1-9]\d?[.,]\d{{1,2}}|[1-9]\d?){_BUILD}{_RIM}\s*(?P<suffix>LT)?(?![\w.])"
)
_NUMERIC = re.compile(
    rf"(?P<width>[4-9][.,]\d{{2}}|1[0-4][.,]\d{{2}}){_BUILD}{_RIM}\s*(?P<suffix>C|LT)?(?![\w.])"
)
# A width without its point, with or without what stands behind it.
_NO_POINT = re.compile(
    rf"(?P<use>LT)?\s*(?P<diameter>[2-6]\d)\s*X\s*(?P<width>\d{{3,4}})"
    rf"(?P<rest>{_BUILD}{_RIM})?\s*(?P<suffix>LT)?(?![\w.])"
)
# Widths that flotation sizes have [in].
_WIDTHS = (Decimal(6), Decimal(20))
_SPACED = re.compile(r"(?P<use>P|LT)?\s*(\d{3})[ /-](\d{2})[ /-]?(\d{2})(?![\d.,/])")
# Behind a size: load range, ply rating, load index and speed symbol, and what is no part of a size.
_RANGE = re.compile(r"[\s/,(-]*(?:LR\s?)?(?P<range>[B-N])(?![\w/])|[\s/(]*\d{1,2}\s?PR\b")
_SERVICE = re.compile(
    r"[\s(]*(?:LI\s?)?(?P<single>\d{2,3})(?:\s?/\s?(?P<dual>\d{2,3}))?\s?(?P<symbol>[A-Z])?\)?"
    r"(?![\w/.,])"
)
_SERVICES = {"P": "passenger", "LT": "light truck", "C": "light truck"}


def read_size(texts: Sequence[str]) -> Mapping[str, Value]:
    """Read a size designation, with what else is moulded behind it.

    Parameters
    ----------
    texts
        The designation.

    Returns
    -------
    Mapping
        ``"size"`` in the standard's spelling, ``"rim diameter"`` [in], ``"overall diameter"`` and
        ``"section width"`` (nominal; the width of a flotation size is the overall width [TRA]),
        ``"service"`` where the marking or the system says it, ``"load index"`` and
        ``"speed symbol"`` where they stand behind the size.

    Raises
    ------
    Misread
        If it is no designation, or may be two.

    Examples
    --------
    >>> values = read_size(["33x10,50 R15 LT"])
    >>> values["size"], values["overall diameter"].in_unit("mm"), values["service"]
    ('33x10.50R15LT', '838.2', 'light truck')
    >>> read_size(["LT285/70 R 17 121/118Q"])["load index"].number
    Decimal('121')
    """
    (text,) = texts
    tidy = tidied(text).upper()
    for pattern, read in ((_METRIC, _metric), (_FLOTATION, _flotation), (_NUMERIC, _numeric)):
        match = pattern.match(tidy)
        if match:
            values = read(text, match)
            return values | _behind(text, tidy[match.end() :])
    match = _NO_POINT.match(tidy)
    if match:
        raise doubtful(text, _with_a_point(match))
    match = _SPACED.match(tidy)
    if match:
        use, width, aspect, rim = match.groups()
        size = f"{use or ''}{width}/{aspect}"
        raise doubtful(text, [f"{size}R{rim}", f"{size}-{rim}"])
    raise unreadable(text, "tyre size", "LT285/70R17, 35x12.50R17LT, 33x10.50-15 or 7.50R16C")


def _with_a_point(match: re.Match[str]) -> list[str]:
    """Give the sizes that a width without a point may stand for, the one as written last."""
    digits = match["width"]
    behind = "".join((match["rest"] or "").split()) + (match["suffix"] or match["use"] or "")
    widths = [Decimal(digits).scaleb(-places) for places in (1, 2)]
    usual = [f"{w:.2f}" for w in widths if _WIDTHS[0] <= w <= _WIDTHS[1]]
    return [f"{match['diameter']}x{width}{behind}" for width in (*usual, digits)]


def _metric(text: str, match: re.Match[str]) -> dict[str, Value]:
    width, aspect, rim = Decimal(match["width"]), Decimal(match["aspect"]), decimal(match["rim"])
    if not 20 <= aspect <= 100:
        raise Misread(
            what=f"{shown(text)} has a section height of {aspect} % of its width",
            do="check the size; 20 to 100 can be read",
        )
    if match["use"] and match["suffix"]:
        raise Misread(
            what=f"{shown(text)} is marked {match['use']} and {match['suffix']}",
            do="write one of them",
        )
    use, suffix = match["use"] or "", match["suffix"] or ""
    if suffix == "LT":  # LT stands before a metric size [TRA]
        use, suffix = "LT", ""
    return {
        "size": f"{use}{width}/{aspect}{match['build']}{plain(rim)}{suffix}",
        "rim diameter": Quantity(rim, "in"),
        "overall diameter": Quantity(rim * INCH + 2 * width * aspect / 100, "mm"),
        "section width": Quantity(width, "mm"),
        # A metric size without a mark is a passenger tyre's (ISO 4000-1).
        "service": _SERVICES[use or suffix or "P"],
    }


def _flotation(text: str, match: re.Match[str]) -> dict[str, Value]:
    diameter, width, rim = (decimal(match[name]) for name in ("diameter", "width", "rim"))
    if not rim + 4 < diameter:
        raise Misread(
            what=f"{shown(text)} would stand {plain(diameter)} in tall on a rim of {plain(rim)} in",
            do="check diameter and rim",
        )
    light_truck = "LT" if match["suffix"] or match["use"] else ""
    tall = plain(diameter)
    values: dict[str, Value] = {
        "size": f"{tall}x{width:.2f}{match['build']}{plain(rim)}{light_truck}",
        "rim diameter": Quantity(rim, "in"),
        "overall diameter": Quantity(diameter, "in"),
        "section width": Quantity(width, "in"),
    }
    if light_truck:
        values["service"] = "light truck"
    return values


def _numeric(text: str, match: re.Match[str]) -> dict[str, Value]:
    width, rim = decimal(match["width"]), decimal(match["rim"])
    size = f"{width:.2f}{match['build']}{plain(rim)}"
    values: dict[str, Value] = {
        "size": f"{size}{match['suffix'] or ''}",
        "rim diameter": Quantity(rim, "in"),
    }
    if match["suffix"]:
        values["service"] = "light truck"
    if size in tyre_sizes.NUMERIC_SIZES:
        diameter, section = tyre_sizes.NUMERIC_SIZES[size]
        values["overall diameter"] = Quantity(Decimal(str(diameter)) * 1000, "mm")
        values["section width"] = Quantity(Decimal(str(section)) * 1000, "mm")
    return values


def _behind(text: str, rest: str) -> dict[str, Value]:
    """Read what stands behind a size: load range, ply rating, load index, speed symbol."""
    values: dict[str, Value] = {}
    while rest.strip(" /,()"):
        match = _RANGE.match(rest)
        if match is None:
            match = _SERVICE.match(rest)
            if match is None or "load index" in values:
                break
            values |= _indices(text, match)
        rest = rest[match.end() :]
    return values


def read_load_and_speed(texts: Sequence[str]) -> Mapping[str, Value]:
    """Read a load index, or two, and a speed symbol.

    Returns
    -------
    Mapping
        ``"load index"`` of a single tyre, ``"load index dual"`` of one of a pair, ``"speed
        symbol"``, each where it is marked.

    Raises
    ------
    Misread
        If it is none, an index is not in the table of ISO 4223-1, or the second is the higher.

    Examples
    --------
    >>> values = read_load_and_speed(["121/118 Q"])
    >>> values["load index"].number, values["speed symbol"]
    (Decimal('121'), 'Q')
    """
    (text,) = texts
    tidy = tidied(text).upper()
    while match := _RANGE.match(tidy):
        tidy = tidy[match.end() :]
    match = _SERVICE.match(tidy)
    rest = tidy[match.end() :] if match else ""
    while rest.strip(" /,()") and (extra := _RANGE.match(rest)):
        rest = rest[extra.end() :]
    if match is None or rest.strip(" /,()"):
        raise unreadable(text, "load index with speed symbol", "121/118Q or 121Q")
    return _indices(text, match)


def _indices(text: str, match: re.Match[str]) -> dict[str, Value]:
    values: dict[str, Value] = {"load index": _index(text, match["single"])}
    if match["dual"]:
        values["load index dual"] = _index(text, match["dual"])
        if int(match["dual"]) > int(match["single"]):
            raise Misread(
                what=f"{shown(text)}: a tyre of a pair would carry more than one by itself",
                do=f"check the order; it may be {match['dual']}/{match['single']}",
            )
    if match["symbol"]:
        if match["symbol"] not in tyre_sizes.SPEED_SYMBOLS:
            raise Misread(
                what=f"{shown(text)}: speed symbol {match['symbol']!r} is not known",
                do=f"use one of {' '.join(tyre_sizes.SPEED_SYMBOLS)}",
            )
        values["speed symbol"] = match["symbol"]
    return values


def _index(text: str, digits: str) -> Quantity:
    if int(digits) not in tyre_sizes.LOAD_INDICES:
        last = max(tyre_sizes.LOAD_INDICES)
        raise Misread(
            what=f"{shown(text)}: load index {digits} is not in the table",
            do=f"0 to {last} can be read (ISO 4223-1)",
        )
    return Quantity(Decimal(digits))


def write_size(values: Mapping[str, Value]) -> str:
    """Write a size designation with load index and speed symbol, as far as they are given."""
    service = write_load_and_speed(values) if "load index" in values else ""
    return f"{values['size']} {service}".rstrip()


def write_load_and_speed(values: Mapping[str, Value]) -> str:
    """Write load indices and speed symbol.

    Examples
    --------
    >>> write_load_and_speed({"load index": Quantity(Decimal(121)), "speed symbol": "R"})
    '121R'
    """
    dual = values.get("load index dual")
    pair = f"/{dual.number}" if isinstance(dual, Quantity) else ""
    single = values["load index"]
    number = single.number if isinstance(single, Quantity) else single
    return f"{number}{pair}{values.get('speed symbol', '')}"


TYRE_SIZE = Notation(
    "tyre size",
    (
        "size", "rim diameter", "overall diameter", "section width", "service", "load index",
        "load index dual", "speed symbol",
    ),
    "LT285/70R17",
    "ISO 4000-1, ETRTO Standards Manual, TRA Year Book",
    read_size,
    write_size,
)  # fmt: skip
LOAD_AND_SPEED = Notation(
    "load and speed",
    ("load index", "load index dual", "speed symbol"),
    "121/118Q",
    "ISO 4223-1; ISO 4000-1",
    read_load_and_speed,
    write_load_and_speed,
)
