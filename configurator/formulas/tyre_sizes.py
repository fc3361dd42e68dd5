"""What is moulded on a tyre, read: size designation, load index, speed symbol.

Three systems are read: ISO metric (``LT285/70R17 121/118R``), flotation (``37x12.50R17LT``) and
numeric (``7.50R16``). A numeric size has no formula; its dimensions stand in a table.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from configurator.core.errors import InputError, Problem
from configurator.core.units import normalise, to_si
from configurator.formulas.constants import INCH
from configurator.formulas.tyres import overall_diameter, section_height

# Of the indices 160 to 239; the table repeats tenfold every 80 indices, and what is not whole is
# cut off: to a tenth below index 30, to a kilogram from there on.
_CAPACITIES = (
    4500, 4625, 4750, 4875, 5000, 5150, 5300, 5450, 5600, 5800,  # 160
    6000, 6150, 6300, 6500, 6700, 6900, 7100, 7300, 7500, 7750,  # 170
    8000, 8250, 8500, 8750, 9000, 9250, 9500, 9750, 10000, 10300,  # 180
    10600, 10900, 11200, 11500, 11800, 12150, 12500, 12850, 13200, 13600,  # 190
    14000, 14500, 15000, 15500, 16000, 16500, 17000, 17500, 18000, 18500,  # 200
    19000, 19500, 20000, 20600, 21200, 21800, 22400, 23000, 23600, 24300,  # 210
    25000, 25750, 26500, 27250, 28000, 29000, 30000, 30750, 31500, 32500,  # 220
    33500, 34500, 35500, 36500, 37500, 38750, 40000, 41250, 42500, 43750,  # 230
)  # fmt: skip


def _capacity(index: int) -> float:
    decade, place = divmod(index, 80)
    tenths = _CAPACITIES[place] * 10**decade // 10
    return tenths / 10 if index < 30 else float(tenths // 10)


LOAD_INDICES: dict[int, float] = {index: _capacity(index) for index in range(280)}
"""Load capacity of a single tyre in kg. ISO 4223-1, 0 to 279; those to 126 also in UN
Regulations No. 30 and No. 54, annex 4, those above from memory."""

SPEED_SYMBOLS: dict[str, float] = {
    symbol: to_si(speed, "km/h")
    for symbol, speed in {
        "B": 50, "C": 60, "D": 65, "E": 70, "F": 80, "G": 90, "J": 100, "K": 110, "L": 120,
        "M": 130, "N": 140, "P": 150, "Q": 160, "R": 170, "S": 180, "T": 190, "U": 200,
        "H": 210, "V": 240, "W": 270, "Y": 300,
    }.items()
}  # fmt: skip
"""Speed in m/s. UN Regulations No. 30 and No. 54, section 2; ISO 4000-1. H lies above U."""

NUMERIC_SIZES: dict[str, tuple[float, float]] = {
    "6.50R16": (0.742, 0.176),
    "7.00R16": (0.778, 0.198),
    "7.50R16": (0.802, 0.210),
    "8.25R16": (0.860, 0.230),
    "9.00R16": (0.912, 0.250),
}
"""Overall diameter and section width in m, from memory of the tables in UN Regulation No. 54,
annex 5; hold them against the maker's figures before ordering."""

_METRIC = re.compile(
    r"(?P<use>P|LT)?\s*(?P<width>[1-9]\d{2})\s*/\s*(?P<aspect>\d{2,3})\s*(?P<build>Z?R|B|D|-)\s*"
    r"(?P<rim>[1-9]\d(?:\.5)?)(?P<suffix>C|\s?LT)?"
)
_FLOTATION = re.compile(
    r"(?P<diameter>[1-9]\d(?:\.\d{1,2})?)\s*[X×]\s*(?P<width>[1-9]\d?(?:\.\d{1,2})?)\s*(?P<build>R|B|D|-)\s*"
    r"(?P<rim>[1-9]\d(?:\.5)?)(?P<suffix>\s?LT)?"
)
_NUMERIC = re.compile(
    r"(?P<width>\d{1,2}\.\d{2})\s*(?P<build>R|D|-)\s*(?P<rim>[1-9]\d(?:\.5)?)(?P<suffix>C|\s?LT)?"
)
_SERVICE = re.compile(
    r"(?:\s+(?:XL|[B-N]|LR\s?[B-N]|\d{1,2}\s?PR))?"  # load range, ply rating: the index says more
    r"(?:\s+(?P<single>\d{2,3})(?:/(?P<dual>\d{2,3}))?\s?(?P<symbol>[A-Z]))?"
)
_BUILDS = {"R": "radial", "ZR": "radial", "B": "bias belted", "D": "bias", "-": "bias"}


@dataclass(frozen=True, slots=True)
class TyreSize:
    """A size designation, read.

    Parameters
    ----------
    designation
        As it was given, blanks tidied.
    system
        ``"metric"``, ``"flotation"`` or ``"numeric"``.
    use
        ``"P"`` passenger, ``"LT"`` light truck, ``"C"`` commercial, or empty where not marked.
    construction
        ``"radial"``, ``"bias"`` or ``"bias belted"``.
    section_width
        Nominal section width [m].
    aspect_ratio
        Section height over section width [-].
    rim_diameter
        Nominal rim diameter [m].
    overall_diameter
        Nominal overall diameter, not loaded [m].
    load_index
        For a single tyre; ``None`` where not marked.
    load_index_dual
        For one tyre of a pair side by side; ``None`` where not marked.
    speed_symbol
        A key of `SPEED_SYMBOLS`; ``None`` where not marked.
    """

    designation: str
    system: str
    use: str
    construction: str
    section_width: float
    aspect_ratio: float
    rim_diameter: float
    overall_diameter: float
    load_index: int | None
    load_index_dual: int | None
    speed_symbol: str | None


def parse(text: str) -> TyreSize:
    """Read a size designation, with or without the load index and speed symbol behind it.

    Parameters
    ----------
    text : str
        As moulded on the tyre; upper or lower case.

    Returns
    -------
    TyreSize
        With nominal dimensions in SI.

    Raises
    ------
    InputError
        If the text is no designation of a system that is read, or holds a load index, speed
        symbol, aspect ratio or numeric size that no table knows; all problems at once.

    Notes
    -----
    The width of a flotation size is the overall width, which for these tyres stands in for the
    section width. A Z inside the size says "above 240 km/h" and is no speed symbol.

    References
    ----------
    .. [1] UN Regulation No. 30 and No. 54, 2 and 6.1; ISO 4000-1.

    Examples
    --------
    >>> size = parse("LT285/70R17 121/118R")
    >>> size.use, size.overall_diameter, size.load_index, size.speed_symbol
    ('LT', 0.8308, 121, 'R')
    >>> parse("37x12.50R17LT").overall_diameter
    0.9398
    """
    tidy = " ".join(text.upper().split())
    for system, pattern in (("metric", _METRIC), ("flotation", _FLOTATION), ("numeric", _NUMERIC)):
        size = pattern.match(tidy)
        service = _SERVICE.fullmatch(tidy, size.end()) if size else None
        if size and service:
            return _read(text, tidy, system, size, service)
    raise InputError(
        [
            Problem(
                f"tyre size {text!r}",
                "is not a size designation that can be read",
                "write it as LT285/70R17 121/118R, 37x12.50R17LT or 7.50R16",
            )
        ]
    )


def _read(
    text: str, tidy: str, system: str, size: re.Match[str], service: re.Match[str]
) -> TyreSize:
    """Turn the parts of a designation into numbers, or say everything that is wrong with them."""
    problems: list[Problem] = []
    where = f"tyre size {text!r}"
    rim = float(size["rim"]) * INCH.value
    dimensions = _dimensions(system, size, rim)
    if dimensions is None:
        problems.append(
            Problem(
                where,
                "is a numeric size, which has no formula, and is not in the table",
                f"state its measured dimensions; the table holds {', '.join(NUMERIC_SIZES)}",
            )
        )
    elif not 0.2 <= dimensions[1] <= 1.0:
        problems.append(
            Problem(
                where,
                f"section height would be {dimensions[1]:.0%} of the width",
                "check rim diameter and aspect ratio; 20 % to 100 % can be read",
            )
        )
    single, dual = (int(service[name]) if service[name] else None for name in ("single", "dual"))
    problems += [
        Problem(where, f"load index {index} is not in the table", "0 to 279 can be read")
        for index in (single, dual)
        if index is not None and index not in LOAD_INDICES
    ]
    symbol = service["symbol"]
    if symbol is not None and symbol not in SPEED_SYMBOLS:
        problems.append(
            Problem(
                where,
                f"speed symbol {symbol!r} is not known",
                f"use one of {' '.join(SPEED_SYMBOLS)}",
            )
        )
    if problems or dimensions is None:
        raise InputError(problems)
    width, aspect, diameter = dimensions
    return TyreSize(
        designation=tidy.replace("X", "x", 1) if system == "flotation" else tidy,
        system=system,
        use=(size.groupdict().get("use") or size["suffix"] or "").strip(),
        construction=_BUILDS[size["build"]],
        section_width=normalise(width),
        aspect_ratio=normalise(aspect),
        rim_diameter=normalise(rim),
        overall_diameter=normalise(diameter),
        load_index=single,
        load_index_dual=dual,
        speed_symbol=symbol,
    )


def _dimensions(system: str, size: re.Match[str], rim: float) -> tuple[float, float, float] | None:
    """Section width, aspect ratio, overall diameter; None for a numeric size not in the table."""
    if system == "metric":
        width = to_si(float(size["width"]), "mm")
        aspect = to_si(float(size["aspect"]), "percent")
        return width, aspect, overall_diameter(rim, section_height(width, aspect))
    if system == "flotation":
        diameter = float(size["diameter"]) * INCH.value
        width = float(size["width"]) * INCH.value
    else:
        key = f"{size['width']}{size['build']}{size['rim']}"
        if key not in NUMERIC_SIZES:
            return None
        diameter, width = NUMERIC_SIZES[key]
    return width, (diameter - rim) / 2 / width, diameter


def capacity(load_index: int) -> float:
    """Load that a tyre with a load index may carry.

    Parameters
    ----------
    load_index : int
        From 0 to 279.

    Returns
    -------
    float
        Load capacity of one tyre at its reference pressure [kg].

    Raises
    ------
    InputError
        If the index is not in the table.

    References
    ----------
    .. [1] UN Regulations No. 30 and No. 54, annex 4; ISO 4223-1.

    Examples
    --------
    >>> capacity(121)
    1450.0
    """
    if load_index not in LOAD_INDICES:
        raise InputError(
            [Problem(f"load index {load_index!r}", "is not in the table", "0 to 279 can be read")]
        )
    return LOAD_INDICES[load_index]


def rated_speed(symbol: str) -> float:
    """Speed that a tyre with a speed symbol may run.

    Parameters
    ----------
    symbol : str
        One letter.

    Returns
    -------
    float
        Rated speed [m/s].

    Raises
    ------
    InputError
        If the symbol is not known.

    Notes
    -----
    Compare speeds, never letters: H is faster than U.

    References
    ----------
    .. [1] UN Regulations No. 30 and No. 54, section 2; ISO 4000-1.

    Examples
    --------
    >>> rated_speed("H") > rated_speed("U")
    True
    """
    if symbol not in SPEED_SYMBOLS:
        raise InputError(
            [
                Problem(
                    f"speed symbol {symbol!r}",
                    "is not known",
                    f"use one of {' '.join(SPEED_SYMBOLS)}",
                )
            ]
        )
    return SPEED_SYMBOLS[symbol]
