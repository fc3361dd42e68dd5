"""Values that nothing tells apart: alike as rounded, exactly, and in what moves them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from configurator.search.encoding.tables import numbered

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
    every = np.arange(len(own))
    tied = _tied(own)
    if not len(tied):
        return every, every
    moving = effects[tied]
    moving = moving[:, moving.any(axis=0)]
    columns = [rounded_values.numbers[tied], own[tied]]
    columns += [values.kinds[tied].astype(np.float64) for values in (rounded_values, exact)]
    listed = np.column_stack([*columns, np.round(moving, DIGITS)])
    listed[np.isnan(listed)] = 0.0  # what is no number is told by its kind
    listed += 0.0  # no negative nothing
    first, place = numbered(_mixed_bits(listed), 2**_BITS)
    same = first[place]  # for each row the first one like it
    if len(first) < len(tied) and not np.array_equal(listed[same], listed):
        rows: dict[bytes, int] = {}  # two kinds were mixed to the same number
        same = np.array([rows.setdefault(r.tobytes(), n) for n, r in enumerate(listed)], np.int64)
    first_like = every.copy()
    first_like[tied] = tied[same]
    is_first = first_like == every
    number = np.cumsum(is_first) - 1  # kinds are numbered as they are met
    return np.flatnonzero(is_first), number[first_like]


def _tied(numbers: Amounts) -> Numbers:
    """Give the rows whose number another row has too, or that have none."""
    order = np.argsort(numbers)
    ordered = numbers[order]
    like_next = np.append(ordered[1:] == ordered[:-1], False)
    tied = like_next | np.append(False, like_next[:-1]) | np.isnan(ordered)
    return np.sort(order[tied])


def _mixed_bits(listed: Amounts) -> Numbers:
    """Mix the bits of each row of numbers to a single number, which hardly ever is another's."""
    bits = np.ascontiguousarray(listed).view(np.uint64)
    bits = (bits ^ (bits >> _HALF)) * _MIXER
    bits ^= bits >> _HALF
    factors = _MIXER * (2 * np.arange(listed.shape[1], dtype=np.uint64) + _ODD)
    mixed = (bits * factors).sum(axis=1, dtype=np.uint64) >> np.uint64(64 - _BITS)
    numbers: Numbers = mixed.astype(np.int64)
    return numbers
