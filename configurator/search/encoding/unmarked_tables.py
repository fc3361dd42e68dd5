"""The tables of a model before the certainty of limits is marked in them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from configurator.search.encoding.reducing import reduce_tables

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    import numpy as np
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

    def reduced(self) -> Reduced | None:
        """Reduce the tables."""
        return reduce_tables(self.tables, self.sizes, self.told_by, self.positions, self.labels)
