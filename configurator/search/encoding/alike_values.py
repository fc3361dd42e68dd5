"""Values that nothing tells apart: alike as rounded, exactly, and in what moves them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from configurator.search.encoding.value_columns import ValueColumn

    Numbers = NDArray[np.int64]
    Amounts = NDArray[np.float64]

# Decimals of SI units to which values that differ count as alike.
DIGITS = 11
# What numbers are mixed with: an odd factor without a pattern, and half of their bits.
_MIXER, _HALF, _ODD = np.uint64(0x9E3779B97F4A7C15), np.uint64(32), np.uint64(1)


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
    moving = effects[:, effects.any(axis=0)]
    columns = [rounded_values.numbers, np.round(exact.numbers, DIGITS)]
    columns += [rounded_values.kinds.astype(np.float64), exact.kinds.astype(np.float64)]
    listed = np.column_stack([*columns, np.round(moving, DIGITS)])
    listed[np.isnan(listed)] = 0.0  # what is no number is told by its kind
    listed += 0.0  # no negative nothing
    mixed = _mixed_bits(listed)
    _, first, place = np.unique(mixed, return_index=True, return_inverse=True)
    order = np.argsort(first)  # kinds are numbered as they are met
    kept = first[order]
    number = np.empty(len(order), np.int64)
    number[order] = np.arange(len(order))
    kind: Numbers = number[place.reshape(-1)]
    if not np.array_equal(listed[kept[kind]], listed):  # two kinds were mixed to the same number
        numbers: dict[bytes, int] = {}
        kind = np.array([numbers.setdefault(r.tobytes(), len(numbers)) for r in listed], np.int64)
        kept = np.unique(kind, return_index=True)[1]
    return kept, kind


def _mixed_bits(listed: Amounts) -> NDArray[np.uint64]:
    """Mix the bits of each row of numbers to a single number, which hardly ever is another's."""
    bits = np.ascontiguousarray(listed).view(np.uint64)
    bits = (bits ^ (bits >> _HALF)) * _MIXER
    bits ^= bits >> _HALF
    factors = _MIXER * (2 * np.arange(listed.shape[1], dtype=np.uint64) + _ODD)
    mixed: NDArray[np.uint64] = (bits * factors).sum(axis=1, dtype=np.uint64)
    return mixed
