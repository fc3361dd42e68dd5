"""How far a value may be off, as the trade knows it: of a list, a measure, a condition, a figure.

A tolerance is a half-width: the true value lies within the stated one plus or minus it. Where
several are put together they count as independent and evenly spread between their ends, which is
what `reserve_of` and `chance_of_missing` rest on.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from configurator.core import units

if TYPE_CHECKING:
    from collections.abc import Iterable

COMMON_PRACTICE = "common practice, no source"

# Of a sum of independent, evenly spread errors, 5 in 100 lie beyond 0.95 of the root of the summed
# squares of half-widths, 1 in 100 beyond 1.18 (normal approximation: 1.645 and 2.326 times the
# standard deviation, which is the root divided by the square root of three).
RESERVE = 1.2


@dataclass(frozen=True, slots=True)
class Tolerance:
    """How far a value may be off.

    Parameters
    ----------
    amount
        Half-width in SI, or as a share of the value.
    relative
        Whether it is a share.
    source
        A standard by number, or that it is common practice.
    """

    amount: float
    relative: bool = False
    source: str = COMMON_PRACTICE

    def half_width(self, value: float) -> float:
        """Return how far a value in SI may be off, in SI.

        Examples
        --------
        >>> Tolerance(0.01, relative=True).half_width(0.8)
        0.008
        """
        return self.amount * abs(value) if self.relative else self.amount


def read_tolerance(text: str, unit: str, source: str = COMMON_PRACTICE) -> Tolerance:
    """Read a tolerance as people write it: ``"3 mm"``, ``"±1 %"`` (a share of the value).

    Its source may stand behind it in brackets: ``"2 % (ISO 1234, table 5)"``.

    Parameters
    ----------
    text
        What is written.
    unit
        Unit of what it is the tolerance of; another one that measures the same will do.
    source
        Where it is from, if it does not say.

    Raises
    ------
    ValueError
        If it is no number, or negative.
    UnitError
        If there is no unit, or one that measures something else.

    Examples
    --------
    >>> read_tolerance("3 mm", "m").amount, read_tolerance("1 %", "mm").relative
    (0.003, True)
    >>> read_tolerance("±2 % (ISO 1234, table 5)", "mm").source
    'ISO 1234, table 5'
    """
    written, bracket, behind = text.strip().removeprefix("±").strip().partition("(")
    written = written.strip()
    if bracket:
        source = behind.strip().removesuffix(")").strip()
        if not behind.strip().endswith(")") or not source:
            message = f"{text!r} is no tolerance: its source stands in brackets behind it"
            raise ValueError(message)
    relative = written.endswith("%")
    amount = units.parse(written, "%" if relative else unit)
    if not 0.0 <= amount < math.inf:
        message = f"{text!r} is no tolerance: it is how far the value may be off, either way"
        raise ValueError(message)
    return Tolerance(amount, relative, source)


def reserve_of(half_widths: Iterable[float]) -> float:
    """Return the reserve that independent errors ask for: of 100, one or fewer lie beyond.

    Never more than all of them at once, so that a single source counts as what it is.

    Examples
    --------
    >>> reserve_of([3.0]), round(reserve_of([3.0, 4.0]), 6), reserve_of([])
    (3.0, 6.0, 0.0)
    """
    widths = [abs(width) for width in half_widths]
    return min(RESERVE * math.hypot(*widths), sum(widths))


def chance_of_missing(margin: float, half_widths: Iterable[float]) -> float:
    """Return how often a margin turns out negative, by a normal approximation.

    Examples
    --------
    >>> chance_of_missing(0.0, [1.0]), chance_of_missing(-1.0, []), chance_of_missing(5.0, [1.0])
    (0.5, 1.0, 0.0)
    """
    widths = [abs(width) for width in half_widths]
    if margin >= sum(widths):
        return 0.0
    if margin < -sum(widths):
        return 1.0
    spread = math.hypot(*widths) / math.sqrt(3.0)
    return 0.5 * math.erfc(margin / (spread * math.sqrt(2.0)))
