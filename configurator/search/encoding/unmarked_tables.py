"""The tables of a model before the certainty of limits is marked in them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from configurator.search.encoding.reducing import reduce_tables
from configurator.search.encoding.tables import select

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.search.encoding.reducing import Reduced
    from configurator.search.encoding.tables import Table


@dataclass(frozen=True, slots=True)
class UnmarkedTables:
    """The tables of a model before any limit is marked in them.

    Parameters
    ----------
    tables, sizes, told_by
        As of the model.
    positions, labels
        As for `reduce_tables`.
    """

    tables: Sequence[Table]
    sizes: Sequence[int]
    told_by: Sequence[int]
    positions: frozenset[int]
    labels: Mapping[int, NDArray[np.int64]]

    def reduced(self, left: Mapping[int, NDArray[np.bool_]] | None = None) -> Reduced | None:
        """Reduce the tables, of which some have only these rows left."""
        tables = [
            select(table, np.flatnonzero(left[number]).astype(np.int32))
            if left and number in left
            else table
            for number, table in enumerate(self.tables)
        ]
        return reduce_tables(tables, self.sizes, self.told_by, self.positions, self.labels)
