"""The one place where units are turned into SI numbers and back.

Inside, every quantity is a float in SI base units (angles in radians, ratios and shares as
plain numbers). Text with units is read here once and shown here again; no formula holds a
conversion factor.

The library that knows units takes a quarter of a second to load, so it is loaded for the first unit
that is not remembered: see `configurator.core.kept_units`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache, lru_cache, wraps
from typing import TYPE_CHECKING, Any, TypeVar

from configurator.core.errors import UnitError, nearest
from configurator.core.number_text import Comma, split_number
from configurator.core.text import Misread, shown
from configurator.core.unit_spellings import COMMON_UNITS, SPELLINGS

if TYPE_CHECKING:
    from collections.abc import Callable

T = TypeVar("T")

_LONGEST_UNIT = 40
# Units of a plain number: it may be written without one.
PLAIN = frozenset({"", "-", "ratio"})

# Question → unit as it is written → answer, for what was asked of units so far.
ANSWERS: dict[str, dict[str, Any]] = {}
# Texts come from anybody's files: no more answers to a question are remembered.
MOST_ANSWERS = 1024

# Nothing on a vehicle is larger than this in any SI unit: a modulus of steel is 2.1e11 Pa.
LARGEST = 1e15


@cache
def _registry() -> Any:
    """Load the library that knows units."""
    import pint

    registry: Any = pint.get_application_registry()  # type: ignore[no-untyped-call]
    # Fuel is told by the way that a vehicle is used on.
    registry.define("hundred_kilometre = 100 * kilometre")
    return registry


def __getattr__(name: str) -> Any:
    """Give the registry of units, for those who calculate with quantities."""
    if name == "registry":
        return _registry()
    message = f"module {__name__!r} has no attribute {name!r}"
    raise AttributeError(message)


def _remembered(read: Callable[[str], T]) -> Callable[[str], T]:
    """Ask a question about a unit once for each way it is written."""
    answers = ANSWERS.setdefault(read.__name__.lstrip("_"), {})

    @wraps(read)
    def ask(text: str) -> T:
        if text in answers:
            known: T = answers[text]
            return known
        answer = read(text)
        if len(answers) < MOST_ANSWERS:
            answers[text] = answer
        return answer

    return ask


def normalise(value: float) -> float:
    """Round to 12 significant digits, so that 2.05 inch and 52.07 mm are the same number.

    Examples
    --------
    >>> 2.05 * 0.0254 == 0.05207, normalise(2.05 * 0.0254) == 0.05207
    (False, True)
    """
    return float(f"{value:.12g}") + 0.0  # + 0.0 turns -0.0 into 0.0


def absurd(value: float) -> bool:
    """Whether a number in SI is out of all bounds.

    Examples
    --------
    >>> absurd(-2.1e11), absurd(1e308), absurd(float("nan"))
    (False, True, True)
    """
    return not abs(value) <= LARGEST


@lru_cache(maxsize=1024)
def unit(text: str) -> Any:
    """Read a unit as shops write it.

    Parameters
    ----------
    text
        ``"mm"``, ``"Nm"``, ``"ft-lb"``, ``"rpm"``; empty for a plain number.

    Returns
    -------
    pint.Unit

    Raises
    ------
    UnitError
        If the unit is not known.

    Examples
    --------
    >>> str(unit("Nm"))
    'meter * newton'
    """
    spelling = text.strip()
    spelling = SPELLINGS.get(spelling, spelling)
    # pint evaluates arithmetic in a unit; only names, products, quotients and powers are let in.
    if not re.fullmatch(
        r"[A-Za-zµμΩ_]*\d?(?:\s*(?:\*\*|\*|/|\^|\s)\s*[A-Za-zµμ0-9_]+){0,6}", spelling
    ):
        raise UnitError(text, f"unit {text!r} cannot be read", "use a unit such as mm, in, kg, lb")
    try:
        return _registry().Unit(spelling)
    except Exception as problem:  # pint raises half a dozen kinds, and Python's own on odd text
        raise UnitError(
            text,
            f"unit {text!r} is not known",
            nearest(spelling, COMMON_UNITS, otherwise="use a unit such as mm, in, kg, lb"),
        ) from problem


@_remembered
def dimension(text: str) -> str:
    """Name the dimension of a unit, as a key for comparison.

    Examples
    --------
    >>> dimension("mm") == dimension("in"), dimension("ft-lb") == dimension("Nm")
    (True, True)
    """
    # Sorted: pint writes the same powers in the order of the unit's own parts; and a power is
    # at times the integer 1 and at times the float 1.0, depending on what was asked before.
    powers = sorted(unit(text).dimensionality.items())
    return " ".join(f"{base}**{float(power):g}" for base, power in powers)


@_remembered
def _to_si(text: str) -> tuple[float, float]:
    """Scale and offset with which a number in a unit becomes SI: ``si = scale * x + offset``."""
    quantity = _registry().Quantity
    at_zero = quantity(0.0, unit(text)).to_base_units().magnitude
    at_one = quantity(1.0, unit(text)).to_base_units().magnitude
    return at_one - at_zero, at_zero


def to_si(value: float, text: str) -> float:
    """Turn a number in a unit into a normalised SI float.

    Examples
    --------
    >>> to_si(29.5, "in")
    0.7493
    """
    scale, offset = _to_si(text)
    return normalise(scale * value + offset)


def from_si(value: float, text: str) -> float:
    """Turn an SI float into a number in a unit.

    Examples
    --------
    >>> from_si(0.7493, "in")
    29.5
    """
    scale, offset = _to_si(text)
    return normalise((value - offset) / scale)


@_remembered
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
    parsed = unit(text)
    try:
        to_si(1.0, text)
    except Exception as problem:  # pint knows units that no number can be converted from
        raise UnitError(
            text, f"unit {shown(text)} cannot be converted", "use a unit such as mm, in, kg"
        ) from problem
    if not parsed.dimensionless:
        return dimension(text)
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
        alike = [unit for unit in COMMON_UNITS if kind_of_unit(unit) == kind]
        raise Misread(
            what=problem.what, do=nearest(written, alike, otherwise=f"give it in {wanted}")
        ) from problem
    if not fits:
        raise Misread(
            what=f"unit {shown(written)} does not measure the same as {wanted}",
            do=f"give it in {wanted}",
        )


def parse(text: str, expected: str, comma: Comma = "unclear", bare: str = "") -> float:
    """Read a quantity such as ``"1900 rpm"`` into SI.

    Parameters
    ----------
    text
        Number and unit.
    expected
        A unit of the dimension the quantity must have. A bare number is accepted only where a
        bare number is expected.
    comma
        What a comma before exactly three digits is: see `split_number`.
    bare
        The unit of a number without one, where it needs none.

    Returns
    -------
    float
        In SI base units.

    Raises
    ------
    UnitError
        If there is no number, the unit is missing, unknown or of another kind.

    Examples
    --------
    >>> parse("12,5 in", "mm"), parse("1,780", "mm", "groups", "mm")
    (0.3175, 1.78)
    """
    try:
        number, written = split_number(text, bare or expected, comma)
        if written:
            refuse_other_kind(written, expected)
        elif not bare and expected not in PLAIN:
            raise Misread(
                what=f"{shown(text)} has no unit", do=f"write '{text.strip()} {expected}'"
            )
    except Misread as problem:
        raise UnitError(text, problem.what, problem.do) from problem
    value = to_si(number, written or bare)
    if absurd(value):
        what = f"{shown(text)} is out of all bounds"
        raise UnitError(text, what, "check the number, its exponent and its unit")
    return value


def show(value: float, text: str, digits: int | None = None) -> str:
    """Write an SI value in a unit, with as many decimals as make sense.

    Examples
    --------
    >>> show(0.7493, "mm")
    '749.3 mm'
    >>> show(1.25, "")
    '1.25'
    """
    number = from_si(value, text)
    if digits is None:
        shown = f"{number:,.5g}" if abs(number) < 10000 else f"{number:,.0f}"
        shown = shown.replace(",", "")
    else:
        shown = f"{number:.{digits}f}"
    return f"{shown} {text}".rstrip()


def write(value: float, text: str) -> str:
    """Write an SI value in a unit with as many digits as it takes to read it back unchanged.

    Examples
    --------
    >>> write(to_si(100.0, "km/h"), "km/h")
    '100 km/h'
    """
    scale, offset = _to_si(text)
    number = ""
    for digits in range(9, 18):
        number = f"{(value - offset) / scale:.{digits}g}"
        if to_si(float(number), text) == value:
            break
    return f"{number} {text}".rstrip()


@dataclass(frozen=True, slots=True)
class Constant:
    """A number with a name, a unit and a source, for use in formulas.

    Formulas work on floats in SI and, so that a test can prove their dimensions, on pint
    quantities; a constant joins either.

    Parameters
    ----------
    value
        In ``unit``, which is an SI unit.
    unit
        As pint reads it; empty for a plain number.
    source
        Where the value is from.
    """

    value: float
    unit: str
    source: str

    def beside(self, other: Any) -> Any:
        """Give the constant as a float beside a float, as a quantity beside a quantity.

        Examples
        --------
        >>> gravity = Constant(9.80665, "m/s**2", "ISO 80000-3")
        >>> gravity.beside(2.0)
        9.80665
        >>> from configurator.core.units import registry
        >>> mass = registry.Quantity(2.0, "kg")
        >>> (mass * gravity.beside(mass)).check("[force]")
        True
        """
        if hasattr(other, "dimensionality"):
            return _registry().Quantity(self.value, self.unit)
        return self.value
