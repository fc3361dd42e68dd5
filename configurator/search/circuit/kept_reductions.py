"""Reduced tables kept on disk, beside the circuits that are made of them.

Reducing takes as long as asking a kept circuit. Its outcome is named as a circuit is, by a hash of
the tables as they were and of the code, and believed only where it holds together.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from configurator.core import sealed_arrays
from configurator.search.circuit import cache
from configurator.search.encoding.reducing import Reduced, reduce_tables
from configurator.search.encoding.tables import Table

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from numpy.typing import NDArray


def reduced_tables(
    given: Sequence[Table],
    sizes: Sequence[int],
    told_by: Sequence[int],
    positions: Collection[int],
    labels: Mapping[int, NDArray[np.int64]],
) -> Reduced | None:
    """Reduce tables as `reduce_tables` does, or read from disk what came of it."""
    name = f"{cache.name_of(given, sizes, told_by, positions, labels)}-reduced"
    known = _load(name, given, sizes)
    if known is not None:
        return known
    reduced = reduce_tables(given, sizes, told_by, positions, labels)
    if reduced is not None:
        _save(name, reduced)
    return reduced


def _save(name: str, reduced: Reduced) -> None:
    indices = []
    for table, rows in zip(reduced.tables, reduced.rows, strict=True):
        indices += [np.array(table.variables, np.int32), np.array([table.rows], np.int32)]
        indices += [*table.columns, rows]
    sizes = np.array(reduced.sizes, np.int64)
    sealed_arrays.write(name, {"sizes": sizes, **sealed_arrays.packed(indices)})


def _load(name: str, given: Sequence[Table], sizes: Sequence[int]) -> Reduced | None:
    """Read what was kept; None if it is not there or is not of these tables."""
    arrays = sealed_arrays.read(name)
    if arrays is None:
        return None
    try:
        return _reduced(arrays, given, sizes)
    except (ValueError, KeyError, IndexError, StopIteration):
        return None


def _reduced(arrays: dict[str, Any], given: Sequence[Table], sizes: Sequence[int]) -> Reduced:
    """Put reduced tables together and check that they hold together.

    Raises
    ------
    ValueError, KeyError, IndexError, StopIteration
        If they do not.
    """
    fewer, indices = arrays["sizes"], iter(sealed_arrays.unpacked(arrays))
    sound = fewer.dtype == np.int64 and fewer.shape == (len(sizes),)
    sound = sound and bool((fewer <= np.array(sizes, np.int64)).all())
    tables: list[Table] = []
    rows: list[NDArray[np.int32]] = []
    for before in given:
        variables, (count,) = tuple(next(indices).tolist()), next(indices).tolist()
        columns = tuple(next(indices) for _ in variables)
        rows.append(next(indices))
        tables.append(Table(before.name, variables, columns, count))
        sound = sound and set(variables) <= set(before.variables) and 0 < count <= before.rows
        sound = sound and len(rows[-1]) == before.rows and _within(rows[-1], -1, count)
        for variable, column in zip(variables, columns, strict=True):
            sound = sound and len(column) == count and _within(column, 0, int(fewer[variable]))
    if not sound or next(indices, None) is not None:
        message = "not what came of these tables"
        raise ValueError(message)
    return Reduced(tables, fewer.tolist(), rows)


def _within(column: NDArray[np.int32], least: int, end: int) -> bool:
    return not len(column) or bool(least <= column.min() <= column.max() < end)
