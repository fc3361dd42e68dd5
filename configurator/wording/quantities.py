"""Numbers as a workshop says them: with a unit and no more digits than help."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Literal

from configurator.core import units
from configurator.core.money import Money, amount
from configurator.model.parts import Missing

if TYPE_CHECKING:
    from collections.abc import Callable

    from configurator.model.parts import Value

System = Literal["metric", "imperial"]

# What a workshop reads instead, where it thinks in the other system; the rest stays as declared.
IMPERIAL = {
    "mm": "in",
    "cm": "in",
    "m": "ft",
    "km": "mi",
    "cm2": "in^2",
    "cm3": "in^3",
    "kg": "lb",
    "N": "lbf",
    "kN": "lbf",
    "N*m": "ft-lb",
    "N/mm": "lb/in",
    "bar": "psi",
    "kPa": "psi",
    "MPa": "psi",
    "km/h": "mph",
    "m/s2": "ft/s^2",
    "kW": "hp",
    "degC": "degF",
}
METRIC = {
    "in": "mm",
    "inch": "mm",
    "ft": "m",
    "mi": "km",
    "mile": "km",
    "lb": "kg",
    "lbf": "N",
    "ft-lb": "N*m",
    "ft*lbf": "N*m",
    "lb/in": "N/mm",
    "lbf/in": "N/mm",
    "psi": "bar",
    "mph": "km/h",
    "hp": "kW",
    "degF": "degC",
}

# How units look in print; `configurator.core.units` reads these as well.
_PRINTED = {
    "N*m": "Nm",
    "deg": "°",
    "degree": "°",
    "kelvin": "K",
    "m/s2": "m/s²",
    "cm2": "cm²",
    "cm3": "cm³",
    "mm2": "mm²",
    "mm3": "mm³",
    "in^2": "in²",
    "in^3": "in³",
    "ft/s^2": "ft/s²",
}

# Digits that count, unless two numbers need more to be told apart.
DIGITS = 4
# In any unit shown: what a difference of two equal sums leaves in a computer, and nothing else.
NOTHING_LEFT = 1e-9


def unit_in(unit: str, system: System | None) -> str:
    """Return the unit to show in a system of units; as declared where no system is asked for.

    Examples
    --------
    >>> unit_in("mm", "imperial"), unit_in("in", "metric"), unit_in("mm", None)
    ('in', 'mm', 'mm')
    """
    table = {"metric": METRIC, "imperial": IMPERIAL}.get(system or "", {})
    return table.get(unit, unit)


def system_for(written_in: str, system: System | None) -> System | None:
    """Return the system for an answer: the one asked for, else that of the unit it was asked in.

    Examples
    --------
    >>> system_for("in", None), system_for("mm", None), system_for("in", "metric")
    ('imperial', None, 'metric')
    """
    return system or ("imperial" if written_in in METRIC else None)


def printed(number: float, digits: int = DIGITS) -> str:
    """Write a number with so many digits that count, but never cut off whole ones.

    Examples
    --------
    >>> printed(2050.1), printed(299.58), printed(1.25), printed(18500.4), printed(0.0)
    ('2050', '299.6', '1.25', '18500', '0')
    >>> printed(-2.776e-14), printed(0.000012)
    ('0', '0.000012')
    """
    if not math.isfinite(number):
        return "no limit" if number > 0 else str(number)
    if abs(number) < NOTHING_LEFT:
        return "0"
    decimals = max(0, digits - 1 - math.floor(math.log10(abs(number))))
    text = f"{number:.{decimals}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def with_unit(text: str, unit: str) -> str:
    """Put a unit behind a number.

    Examples
    --------
    >>> with_unit("12", "deg"), with_unit("320", "N*m"), with_unit("1.2", "")
    ('12°', '320 Nm', '1.2')
    """
    unit = _PRINTED.get(unit, unit)
    return f"{text}{unit}" if unit == "°" else f"{text} {unit}".rstrip()


def grouped(text: str) -> str:
    """Group the digits of a number of thousands; below zero it has a minus, not a hyphen.

    Examples
    --------
    >>> grouped("2270"), grouped("12239.2"), grouped("85.5"), grouped("no limit")
    ('2,270', '12,239.2', '85.5', 'no limit')
    >>> grouped("-13"), grouped("-1300.5")
    ('−13', '−1,300.5')
    """
    whole, dot, rest = text.partition(".")
    sign, digits = ("−", whole[1:]) if whole.startswith("-") else ("", whole)
    return f"{sign}{int(digits):,}{dot}{rest}" if digits.isdigit() else text


def words(
    value: Value | None,
    unit: str,
    system: System | None = None,
    number: Callable[[str], str] = grouped,
) -> str:
    """Say a value.

    Parameters
    ----------
    value
        In SI.
    unit
        In which its rule or attribute declares it.
    system
        Which units the reader wants.
    number
        Writes a decimal number as the reader does; by default as in British English.

    Examples
    --------
    >>> words(0.3, "mm"), words(0.3, "mm", "imperial"), words(True, ""), words(frozenset("ba"), "")
    ('300 mm', '11.81 in', 'yes', 'a, b')
    >>> words(1.44, "mm")
    '1,440 mm'
    """
    if value is None:
        return "not known"
    if isinstance(value, Missing):
        return value.value
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, frozenset):
        return ", ".join(sorted(value)) or "none"
    if isinstance(value, str):
        return value
    unit = unit_in(unit, system)
    return with_unit(number(printed(units.from_si(float(value), unit))), unit)


def apart(
    number: float,
    other: float,
    unit: str,
    system: System | None = None,
    write: Callable[[str], str] = grouped,
) -> tuple[str, str]:
    """Say two numbers with as many digits as it takes to see that they differ.

    Examples
    --------
    >>> apart(0.29998, 0.3, "mm"), apart(0.412, 0.432, "mm")
    (('299.98 mm', '300 mm'), ('412 mm', '432 mm'))
    """
    unit = unit_in(unit, system)
    first, second = units.from_si(number, unit), units.from_si(other, unit)
    digits = DIGITS
    while digits < 12 and first != second and printed(first, digits) == printed(second, digits):
        digits += 1
    texts = (write(printed(each, digits)) for each in (first, second))
    one_side, other_side = (with_unit(text, unit) for text in texts)
    return one_side, other_side


def plain(value: Value | None, unit: str, system: System | None = None) -> Any:
    """Return a value as data: a number in the unit shown, text, a list, yes or no, or None.

    Examples
    --------
    >>> plain(0.3, "mm"), plain(frozenset("ba"), ""), plain(Missing.UNKNOWN, "mm")
    (300.0, ['a', 'b'], None)
    """
    if value is None or isinstance(value, Missing):
        return None
    if isinstance(value, frozenset):
        return sorted(value)
    if isinstance(value, bool | str):
        return value
    number = units.from_si(float(value), unit_in(unit, system))
    # JSON has no infinity.
    return number if math.isfinite(number) else None


def money_words(minor: int, currency: str) -> str:
    """Say an amount of money, its thousands grouped.

    Examples
    --------
    >>> money_words(1234560, "EUR"), money_words(-50, "EUR")
    ('12,345.60 EUR', '−0.50 EUR')
    """
    whole, point, rest = str(Money(minor, currency)).partition(".")
    if not point:
        whole, _, _ = whole.partition(" ")
        return f"{'−' if minor < 0 else ''}{abs(int(whole)):,} {currency}"
    return f"{'−' if whole.startswith('-') else ''}{int(whole.lstrip('-')):,}.{rest}"


def money_record(minor: int | None, currency: str) -> dict[str, str] | None:
    """Return an amount of money as data; its number is text, so that no float comes near it.

    Examples
    --------
    >>> money_record(1234560, "EUR"), money_record(None, "EUR")
    ({'amount': '12345.60', 'currency': 'EUR'}, None)
    """
    if minor is None:
        return None
    return {"amount": amount(minor, currency), "currency": currency}


def counted(number: int, what: str) -> str:
    """Say how many there are of something.

    Examples
    --------
    >>> counted(1, "operation"), counted(2, "day"), counted(2, "family")
    ('1 operation', '2 days', '2 families')
    """
    if number == 1:
        return f"1 {what}"
    families = what.endswith("y") and what[-2:-1] not in "aeiou"
    return f"{number} {what[:-1]}ies" if families else f"{number} {what}s"
