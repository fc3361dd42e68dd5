"""Which values a rule may meet together in some package, by what is left of its table.

Of the combinations that a figure over tyre, wheel, axle and hub has, a third mostly is in no
package: other rules forbid what goes with it. What is worked out for each combination need not be
worked out for these.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from configurator.search.encoding.tables import keys, present

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from configurator.model.references import Reference
    from configurator.search.encoding.asked_values import JointValue
    from configurator.search.encoding.constraint_model import Model

    Flags = NDArray[np.bool_]
    Numbers = NDArray[np.int64]


class ValuesInPackages:
    """Combinations of values that stand in rows which have a partner in all other tables.

    Parameters
    ----------
    model
        Its tables of rules and figures.
    kept
        For each table the rows that have a partner in all others.
    many
        Combinations from which on they are looked up.
    """

    def __init__(self, model: Model, kept: Sequence[NDArray[np.int32]], many: int) -> None:
        self._many = many
        self._sizes, self._values = list(model.sizes), list(model.values)
        self._variables = {name: v for v, name in enumerate(model.variable_names)}
        positions = set(model.position_tables.values())
        numbers = {
            name: model.told_by[v]
            for name, v in self._variables.items()
            if model.told_by[v] not in positions
        }
        self._rows = {
            name: (model.tables[number], kept[number])
            for name, number in (numbers | model.rule_tables).items()
        }

    def among(
        self,
        name: str,
        read: Sequence[Reference],
        inputs: Sequence[JointValue],
        rows: Sequence[Numbers],
    ) -> Flags | None:
        """Say of combinations of values whether they stand in a row that is kept.

        Parameters
        ----------
        name
            Of the figure or limit.
        read, inputs, rows
            What it reads; the values of each; which of them each combination has.

        Returns
        -------
        array or None
            None where they are few, or it has no table.
        """
        if name not in self._rows or len(rows[0] if rows else ()) < self._many:
            return None
        table, kept = self._rows[name]
        theirs: dict[int, NDArray[np.int32]] = {}
        known = np.ones(len(rows[0]) if rows else 1, np.bool_)
        for reference, value, own in zip(read, inputs, rows, strict=True):
            variable = self._variables.get(str(reference), -1)
            if variable in table.variables and variable not in theirs:
                codes = value.codes_in(self._values[variable]).astype(np.int32)[own]
                theirs[variable] = codes
                known &= codes >= 0
        if not theirs:
            return None
        mine = [table.columns[table.variables.index(v)][kept] for v in theirs]
        sizes = [self._sizes[v] for v in theirs]
        here, there, _ = keys(mine, sizes, len(kept), list(theirs.values()))
        return known if there is None else known & present(there, here)
