"""Columns of values of any kind, numbers among them as arrays."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, overload

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from configurator.model.parts import Value

    Index = NDArray[np.integer]

# Marks a value that is a plain number.
PLAIN = -1


@dataclass(frozen=True, slots=True, eq=False)
class ValueColumn(Sequence["Value"]):
    """Values in a row, read as one reads a list or as arrays.

    Parameters
    ----------
    numbers
        Each value as a number; not a number (NaN) where it is none, and for yes and no.
    kinds
        `PLAIN` where the number is the value; else the place of the value in ``others``.
    others
        Values that are not plain numbers: whole ones, texts, codes, yes and no, what is missing.
    """

    numbers: NDArray[np.float64]
    kinds: NDArray[np.int32]
    others: tuple[Value, ...] = ()

    @classmethod
    def of(cls, values: Sequence[Value]) -> ValueColumn:
        """Make a column of some values.

        Examples
        --------
        >>> column = ValueColumn.of([0.5, 2, "axle"])
        >>> column.numbers.tolist(), list(column)
        ([0.5, 2.0, nan], [0.5, 2, 'axle'])
        """
        if isinstance(values, ValueColumn):
            return values
        kinds = np.full(len(values), PLAIN, np.int32)
        if set(map(type, values)) <= {float}:
            return cls(np.array(values, np.float64), kinds)
        numbers = np.full(len(values), np.nan)
        places: dict[tuple[type, Value], int] = {}
        for row, value in enumerate(values):
            if isinstance(value, int | float) and not isinstance(value, bool):
                numbers[row] = value
            if not isinstance(value, float):  # numpy's are floats too
                kinds[row] = places.setdefault((type(value), value), len(places))
        return cls(numbers, kinds, tuple(value for _, value in places))

    @classmethod
    def of_numbers(cls, numbers: NDArray[np.float64]) -> ValueColumn:
        """Make a column of plain numbers."""
        return cls(numbers, np.full(len(numbers), PLAIN, np.int32))

    @classmethod
    def repeated(cls, value: Value, many: int) -> ValueColumn:
        """Make a column of the same value."""
        own = cls.of([value])
        return cls(np.repeat(own.numbers, many), np.repeat(own.kinds, many), own.others)

    def __len__(self) -> int:
        return len(self.numbers)

    @overload
    def __getitem__(self, place: int) -> Value: ...

    @overload
    def __getitem__(self, place: slice) -> ValueColumn: ...

    def __getitem__(self, place: int | slice) -> Value | ValueColumn:
        if isinstance(place, slice):
            return ValueColumn(self.numbers[place], self.kinds[place], self.others)
        kind = int(self.kinds[place])
        return float(self.numbers[place]) if kind == PLAIN else self.others[kind]

    def __iter__(self) -> Iterator[Value]:
        return iter(self.listed())

    def listed(self) -> list[Value]:
        """Give the values as a list."""
        values: list[Value] = self.numbers.tolist()
        if self.others:
            for row in np.flatnonzero(self.kinds != PLAIN).tolist():
                values[row] = self.others[self.kinds[row]]
        return values

    def at(self, rows: Index) -> ValueColumn:
        """Give the values of some rows."""
        numbers = self.numbers[rows]
        if not self.others:
            return self.of_numbers(numbers)
        return ValueColumn(numbers, self.kinds[rows], self.others)

    def distinct(self) -> tuple[list[Value], NDArray[np.int64]]:
        """Give the distinct values, and for each value its place among them."""
        if not self.others:
            numbers, codes = np.unique(self.numbers, return_inverse=True)
            return numbers.tolist(), codes.reshape(-1)
        places: dict[Value, int] = {}
        listed = [places.setdefault(value, len(places)) for value in self.listed()]
        return list(places), np.array(listed, np.int64)
