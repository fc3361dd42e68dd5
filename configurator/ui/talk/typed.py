"""What somebody typed into a field of the talk, read as a number, an amount or a count."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.core import money, units
from configurator.core.errors import FitwrightError
from configurator.wording.quantities import unit_in

if TYPE_CHECKING:
    from configurator.wording.quantities import System

LONGEST = 80


class NotReadError(FitwrightError):
    """What was typed cannot be read; its text says what to write instead."""


def number(text: str, unit: str, system: System | None) -> float | None:
    """Read a number in the unit shown, or with a unit of its own; None for an empty field [SI].

    Raises
    ------
    NotReadError
        If it is no number, or of another kind.

    Examples
    --------
    >>> number("300", "mm", None), number("11.75 in", "mm", None), number("", "mm", None)
    (0.3, 0.29845, None)
    >>> number("1,780", "mm", None), number("1,780 mm", "mm", None), number("30,5", "mm", None)
    (1.78, 1.78, 0.0305)
    """
    text = text.strip()[:LONGEST]
    if not text:
        return None
    shown = unit_in(unit, system)
    try:
        return units.parse(text, unit, "groups", shown)
    except FitwrightError as problem:
        raise NotReadError(str(problem)) from problem


def amount(text: str, currency: str) -> int | None:
    """Read an amount of money; None for an empty field [minor units].

    Raises
    ------
    NotReadError
        If it is no amount, or below nothing.

    Examples
    --------
    >>> amount("18,500", "EUR"), amount("18500.50", "EUR"), amount(" ", "EUR")
    (1850000, 1850050, None)
    """
    text = text.strip().removesuffix(currency).strip()[:LONGEST]
    text = text.removeprefix(currency).lstrip("€$£¥ ")
    if not text:
        return None
    try:
        minor = money.read_amount(text, currency, "groups")
    except FitwrightError as problem:
        message = f"{text!r} is no amount; write a number such as 12500"
        raise NotReadError(message) from problem
    if minor < 0:
        message = "a budget is not below nothing; write a number such as 12500"
        raise NotReadError(message)
    return minor


def count(text: str, what: str, most: int, least: int = 0) -> int | None:
    """Read a whole number; None for an empty field.

    Raises
    ------
    NotReadError
        If it is none, or out of bounds.

    Examples
    --------
    >>> count("14", "days", 2000), count("", "days", 2000)
    (14, None)
    """
    text = text.strip()[:LONGEST]
    if not text:
        return None
    if not text.isdecimal() or not least <= int(text) <= most:
        message = f"{text!r} is no number of {what}; write one from {least} to {most}"
        raise NotReadError(message)
    return int(text)
