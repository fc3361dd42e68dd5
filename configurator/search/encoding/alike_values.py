"""Values that nothing tells apart: alike as rounded, exactly, and in what moves them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from configurator.search.encoding.tables import distinct_count, numbered

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from configurator.search.encoding.value_columns import ValueColumn

    Numbers = NDArray[np.int64]
    Amounts = NDArray[np.float64]

# Decimals of SI units to which values that differ count as alike.
DIGITS = 11
# What numbers are mixed with: an odd factor without a pattern, and half of their bits; bits of
# what comes of it, so few that rows can be sorted by them quickly.
_MIXER, _HALF, _ODD = np.uint64(0x9E3779B97F4A7C15), np.uint64(32), np.uint64(1)
_BITS = 44


def alike(
    rounded_values: ValueColumn, exact: ValueColumn, effects: Amounts
) -> tuple[Numbers, Numbers]:
    """Find values that nothing tells apart.

    Parameters
    ----------
    rounded_values, exact
        Each value as it is rounded, and as the functions give it.
    effects
        What moves it: a row for each value, a column for each source.

    Returns
    -------
    tuple of arrays
        The first row of each kind, kinds in the order in which they are met; and each row's kind.
    """
    # Rounded to far below any tolerance: sums in another order differ in the last bits.
    own = np.round(exact.numbers, DIGITS)
    if distinct_count(own) == len(own) and not np.isnan(own).any():
        return np.arange(len(own)), np.arange(len(own))
    moving = effects[:, effects.any(axis=0)]
    columns = [rounded_values.numbers, own]
    columns += [rounded_values.kinds.astype(np.float64), exact.kinds.astype(np.float64)]
    listed = np.column_stack([*columns, np.round(moving, DIGITS)])
    listed[np.isnan(listed)] = 0.0  # what is no number is told by its kind
    listed += 0.0  # no negative nothing
    first, place = numbered(_mixed_bits(listed), 2**_BITS)
    order = np.argsort(first)  # kinds are numbered as they are met
    kept = first[order].astype(np.int64)
    number = np.empty(len(order), np.int64)
    number[order] = np.arange(len(order))
    kind = number[place]
    if len(kept) < len(own) and not np.array_equal(listed[kept[kind]], listed):
        numbers: dict[bytes, int] = {}  # two kinds were mixed to the same number
        kind = np.array([numbers.setdefault(r.tobytes(), len(numbers)) for r in listed], np.int64)
        kept = np.unique(kind, return_index=True)[1]
    return kept, kind


def _mixed_bits(listed: Amounts) -> Numbers:
    """Mix the bits of each row of numbers to a single number, which hardly ever is another's."""
    bits = np.ascontiguousarray(listed).view(np.uint64)
    bits = (bits ^ (bits >> _HALF)) * _MIXER
    bits ^= bits >> _HALF
    factors = _MIXER * (2 * np.arange(listed.shape[1], dtype=np.uint64) + _ODD)
    mixed = (bits * factors).sum(axis=1, dtype=np.uint64) >> np.uint64(64 - _BITS)
    numbers: Numbers = mixed.astype(np.int64)
    return numbers
