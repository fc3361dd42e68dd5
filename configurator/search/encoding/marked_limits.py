"""Which limits have the certainty of their rows marked in tables.

A limit that forbids nothing as calculated, once tables are reduced, falls out of the circuit. If it
were marked, values would have to be told apart for it alone, and a circuit may grow to several
times its size for the sake of packages that nobody asks for. Its verdicts are looked up package by
package instead.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from configurator.search.encoding.reducing import reduce_tables
from configurator.search.encoding.tables import select

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from configurator.search.encoding.constraint_model import Model
    from configurator.search.encoding.reducing import Reduced


def worth_marking(
    model: Model, sure_rows: Mapping[int, NDArray[np.bool_]], few_rows: int
) -> set[int]:
    """Give the limits whose marks tell no values apart that are alike as calculated.

    Parameters
    ----------
    model
        With all its tables, none marked yet; is given what they are reduced to.
    sure_rows
        Number of a limit's table → which of its rows may hold within usual tolerances.
    few_rows
        Rows of all tables, reduced, up to which every limit is marked: no circuit of so few is
        wide.

    Returns
    -------
    set
        Numbers of those tables in which something is forbidden as calculated, or nothing is by
        what is sure either; all of them where tables are small.
    """
    calculated = model.calculated = _reduced(model, {})
    if calculated is None:
        return set()
    if sum(table.rows for table in calculated.tables) <= few_rows:
        return set(sure_rows)
    certain = _reduced(model, sure_rows)
    return {
        number
        for number in sure_rows
        if calculated.tables[number].variables
        or (certain is not None and not certain.tables[number].variables)
    }


def _reduced(model: Model, left: Mapping[int, NDArray[np.bool_]]) -> Reduced | None:
    """Reduce the tables of a model of which some have only these rows left."""
    tables = [
        select(table, np.flatnonzero(left[number]).astype(np.int32)) if number in left else table
        for number, table in enumerate(model.tables)
    ]
    labels = {n: np.arange(model.tables[n].rows) for n in model.goal_tables.values()}
    labels |= model.work_costs
    positions = set(model.position_tables.values())
    return reduce_tables(tables, model.sizes, model.told_by, positions, labels)
