"""What is computed over the circuit: how alternatives and parts of one package are put together.

Alternatives (rows that are projected away) are *added*, the parts of one package (rows that are
joined) are *multiplied*, in the semiring's own sense. Numpy's ``reduceat`` does the adding where
alternatives stand side by side, its ``at`` where they do not.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Protocol

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Values = NDArray[Any]
    Index = NDArray[np.int32]


class Semiring(Protocol):
    """Addition and multiplication of arrays, elementwise and by segments."""

    def ones(self, length: int) -> Values:
        """Return the value of rows that change nothing."""

    def multiply(self, left: Values, right: Values) -> Values:
        """Put two parts of a package together."""

    def add_segments(self, values: Values, starts: Index) -> Values:
        """Put alternatives together: the segments of ``values`` that begin at ``starts``."""

    def add_by_row(self, values: Values, row_of: Index, rows: int) -> Values:
        """Put alternatives together: those of each of ``rows`` rows, by the row of each value."""


@dataclass(frozen=True, slots=True)
class MinPlus:
    """Prices in minor units: the cheapest alternative, the sum of the parts.

    ``impossible`` stands for infinity; sums saturate there.

    Examples
    --------
    >>> prices = MinPlus()
    >>> prices.add_segments(np.array([5, 3, 9]), np.array([0, 2])).tolist()
    [3, 9]
    """

    dtype: Any = np.int64
    impossible: int = 10**15

    def ones(self, length: int) -> Values:
        """Cost nothing."""
        return np.zeros(length, self.dtype)

    def multiply(self, left: Values, right: Values) -> Values:
        """Add prices, never beyond ``impossible``."""
        total: Values = left + right
        np.minimum(total, self.impossible, out=total)
        return total

    def add_segments(self, values: Values, starts: Index) -> Values:
        """Take the cheapest of each segment."""
        return np.minimum.reduceat(values, starts)

    def add_by_row(self, values: Values, row_of: Index, rows: int) -> Values:
        """Take the cheapest of each row; a row without any is impossible."""
        sums = np.full(rows, self.impossible, self.dtype)
        np.minimum.at(sums, row_of, values)
        return sums


# For prices that stay below a thousand million minor units in all: half the memory traffic.
CHEAPEST_32 = MinPlus(np.int32, 10**9)
CHEAPEST_64 = MinPlus()


@dataclass(frozen=True, slots=True)
class Count:
    """How many packages, as floats: exact below 2**53, for display beyond."""

    def ones(self, length: int) -> Values:
        """Count one."""
        return np.ones(length, np.float64)

    def multiply(self, left: Values, right: Values) -> Values:
        """Multiply counts."""
        return np.asarray(left * right)

    def add_segments(self, values: Values, starts: Index) -> Values:
        """Add up each segment."""
        return np.add.reduceat(values, starts)

    def add_by_row(self, values: Values, row_of: Index, rows: int) -> Values:
        """Add up each row."""
        sums = np.zeros(rows)
        np.add.at(sums, row_of, values)
        return sums


@dataclass(frozen=True, slots=True)
class CountModulo:
    """How many packages, modulo a prime below 2**31: several of them make an exact integer."""

    prime: int

    def ones(self, length: int) -> Values:
        """Count one."""
        return np.ones(length, np.int64)

    def multiply(self, left: Values, right: Values) -> Values:
        """Multiply counts."""
        return np.asarray(left * right % self.prime)

    def add_segments(self, values: Values, starts: Index) -> Values:
        """Add up each segment; a segment of 2**32 rows would be needed to overflow."""
        return np.asarray(np.add.reduceat(values, starts) % self.prime)

    def add_by_row(self, values: Values, row_of: Index, rows: int) -> Values:
        """Add up each row, of as many values as a segment."""
        sums = np.zeros(rows, np.int64)
        np.add.at(sums, row_of, values)
        return np.asarray(sums % self.prime)
