"""Intervals with slopes: what a rule's function comes to between bounds, and how fast it changes.

A function of a rule is given such numbers in place of numbers. What it gives encloses its value for
any inputs between the bounds, and its slope in each of them there. A function that decides
(``if a > b``, ``max(a, b)``) must decide alike everywhere between the bounds; else nothing is said.

References
----------
.. [1] R. E. Moore, R. B. Kearfott and M. J. Cloud, *Introduction to Interval Analysis*, SIAM
   (2009), ch. 5 and 6 (natural extensions and the mean value form; chapters from memory).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from configurator.search.encoding.positional_rules import by_position

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from configurator.model.rules import Rule

    Numbers = NDArray[np.float64]

Interval = tuple[float, float]
NOTHING: Interval = (0.0, 0.0)


class NotEnclosed(BaseException):
    """A function decides one way or the other, or does what is not known of intervals.

    No rule may catch it as an error of its own.
    """


def product(left: Interval, right: Interval) -> Interval:
    """Multiply two intervals.

    Examples
    --------
    >>> product((-1.0, 2.0), (3.0, 4.0))
    (-4.0, 8.0)
    """
    corners = [a * b for a in left for b in right]
    return min(corners), max(corners)


def total(intervals: Sequence[Interval]) -> Interval:
    """Add intervals up."""
    return sum(low for low, _ in intervals), sum(high for _, high in intervals)


class SlopedInterval:
    """A number between two bounds, and its slopes in the inputs of a function.

    Parameters
    ----------
    low, high
        Bounds.
    slopes
        Least and greatest slope in each input [2, inputs].
    """

    __hash__ = None  # type: ignore[assignment]
    __array_ufunc__ = None
    __slots__ = ("high", "low", "slopes")

    def __init__(self, low: float, high: float, slopes: Numbers) -> None:
        self.low, self.high, self.slopes = low, high, slopes

    def _other(self, other: object) -> SlopedInterval:
        if isinstance(other, SlopedInterval):
            return other
        if isinstance(other, int | float) and not isinstance(other, bool):
            return SlopedInterval(float(other), float(other), np.zeros_like(self.slopes))
        raise NotEnclosed

    def __add__(self, other: object) -> SlopedInterval:
        given = self._other(other)
        low, high = self.low + given.low, self.high + given.high
        return SlopedInterval(low, high, self.slopes + given.slopes)

    __radd__ = __add__

    def __neg__(self) -> SlopedInterval:
        return SlopedInterval(-self.high, -self.low, -self.slopes[::-1])

    def __pos__(self) -> SlopedInterval:
        return self

    def __sub__(self, other: object) -> SlopedInterval:
        return self + -self._other(other)

    def __rsub__(self, other: object) -> SlopedInterval:
        return self._other(other) + -self

    def __mul__(self, other: object) -> SlopedInterval:
        given = self._other(other)
        low, high = product((self.low, self.high), (given.low, given.high))
        slopes = _scaled(self.slopes, given.low, given.high)
        return SlopedInterval(low, high, slopes + _scaled(given.slopes, self.low, self.high))

    __rmul__ = __mul__

    def _inverse(self) -> SlopedInterval:
        if self.low <= 0.0 <= self.high:
            raise NotEnclosed
        low, high = 1.0 / self.high, 1.0 / self.low
        ends = low * low, high * high
        return SlopedInterval(low, high, _scaled(-self.slopes[::-1], min(ends), max(ends)))

    def __truediv__(self, other: object) -> SlopedInterval:
        return self * self._other(other)._inverse()

    def __rtruediv__(self, other: object) -> SlopedInterval:
        return self._other(other) * self._inverse()

    def __abs__(self) -> SlopedInterval:
        return self if self >= 0 else -self

    def __pow__(self, exponent: object) -> SlopedInterval:
        if exponent != 2:
            raise NotEnclosed
        return self * self

    def __lt__(self, other: object) -> bool:
        given = self._other(other)
        if self.high < given.low:
            return True
        if self.low >= given.high:
            return False
        raise NotEnclosed

    def __gt__(self, other: object) -> bool:
        return self._other(other) < self

    def __ge__(self, other: object) -> bool:
        return not self < other

    def __le__(self, other: object) -> bool:
        return not self > other

    def __eq__(self, other: object) -> bool:
        given = self._other(other)
        if self.high < given.low or self.low > given.high:
            return False
        raise NotEnclosed

    def __bool__(self) -> bool:
        return self != 0.0

    def _unknown(self, *_: object) -> Any:
        raise NotEnclosed

    __float__ = __int__ = __index__ = __round__ = __floor__ = __ceil__ = __trunc__ = _unknown
    __str__ = __repr__ = __format__ = __iter__ = __len__ = __floordiv__ = __mod__ = _unknown
    __rpow__ = __rfloordiv__ = __rmod__ = __divmod__ = __rdivmod__ = _unknown


def _scaled(slopes: Numbers, low: float, high: float) -> Numbers:
    """Multiply slopes by an interval."""
    corners = np.concatenate([slopes * low, slopes * high])
    return np.stack([corners.min(axis=0), corners.max(axis=0)])


def enclosed(rule: Rule, inputs: Sequence[Any]) -> tuple[Interval, list[Interval]]:
    """Enclose what a rule's function gives, and its slopes.

    Parameters
    ----------
    rule
        Whose function.
    inputs
        For each of its inputs an interval, or the value that it has.

    Returns
    -------
    tuple
        The bounds of the value; and for each input those of the slope in it, nothing where the
        input is no interval.

    Raises
    ------
    NotEnclosed
        If that cannot be said.
    """
    which = [n for n, item in enumerate(inputs) if isinstance(item, tuple)]
    given: list[Any] = list(inputs)
    for place, number in enumerate(which):
        slopes = np.zeros((2, len(which)))
        slopes[:, place] = 1.0
        low, high = inputs[number]
        given[number] = SlopedInterval(low, high, slopes)
    try:
        answer = by_position(rule)(*given)
    except Exception as failed:  # what it does with numbers is asked elsewhere
        raise NotEnclosed from failed
    result = [NOTHING] * len(inputs)
    if not isinstance(answer, SlopedInterval):
        if isinstance(answer, bool) or not isinstance(answer, int | float) or answer != answer:
            raise NotEnclosed
        return (float(answer), float(answer)), result
    for place, number in enumerate(which):
        result[number] = (float(answer.slopes[0, place]), float(answer.slopes[1, place]))
    return (float(answer.low), float(answer.high)), result
