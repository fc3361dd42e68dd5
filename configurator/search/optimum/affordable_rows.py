"""What a case may leave out of which only packages up to a price are asked for."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from configurator.search.encoding.table_propagation import TablePropagation

if TYPE_CHECKING:
    from configurator.search.encoding.constraint_model import Model
    from configurator.search.optimum.narrowing import Rows

# As a share of the rows of all tables, what a price must leave at most for a case up to it to be
# made: with 0.32 of them the order that was known for all served one of the demo's no more.
LITTLE = 0.3


def leaves_little(model: Model, most: int) -> bool:
    """Whether few rows of tables are in packages up to a price: more are as soon joined whole."""
    left = affordable_rows(model, most)
    if left is None:
        return True
    rows = sum(len(left[n]) if n in left else t.rows for n, t in enumerate(model.tables))
    return rows <= LITTLE * sum(table.rows for table in model.tables)


def affordable_rows(model: Model, most: int) -> Rows | None:
    """Give the rows of tables that packages have which do not cost too much.

    Some packages that do are left all the same; of values of goals' figures, all.

    Parameters
    ----------
    model
        The case.
    most
        What a package may cost, in minor units.

    Returns
    -------
    dict or None
        Number of the table → its rows; a table that keeps all is not named. None if no package
        costs so little.
    """
    costs = dict(model.work_costs)
    for position, number in model.position_tables.items():
        each = model.costs[position]
        costs[number] = np.array([each[m].min() for m in model.classes[position]], np.int64)
    state = TablePropagation(model.tables, model.sizes, (), costs, most - model.fixed_cost)
    if state.carry_on(range(len(model.tables))) is not None:
        return None
    goals = set(model.goal_tables.values())
    left = {number: state.left(number) for number in range(len(model.tables))}
    return {
        number: np.flatnonzero(rows).astype(np.int32)
        for number, rows in left.items()
        if number not in goals and not rows.all()
    }
