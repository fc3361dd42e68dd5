"""Which values a rule may meet together in some package, by what is left of its table.

Of the combinations that a figure over tyre, wheel, axle and hub has, a third mostly is in no
package: other rules forbid what goes with it. What is worked out for each combination need not be
worked out for these.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from configurator.search.encoding.tables import keys, present
from configurator.search.encoding.value_columns import ValueColumn

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.model.references import Reference
    from configurator.search.encoding.asked_values import JointValue
    from configurator.search.encoding.constraint_model import Model
    from configurator.search.encoding.many_answers import Tabled

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
        theirs, known = self._codes(name, read, inputs, rows)
        if not theirs:
            return None
        here, there = self._keys(name, theirs)
        return known & present(there, here)

    def values(
        self,
        name: str,
        read: Sequence[Reference],
        inputs: Sequence[JointValue],
        rows: Sequence[Numbers],
    ) -> Tabled | None:
        """Look up what a figure comes to for combinations of values, rounded.

        Parameters
        ----------
        name, read, inputs, rows
            As for `among`.

        Returns
        -------
        tuple or None
            The values; and for which combinations they are known. None where it has no table.
        """
        if name not in self._rows or name not in self._variables:
            return None
        theirs, known = self._codes(name, read, inputs, rows)
        if not theirs:
            return None
        here, there = self._keys(name, theirs)
        ordered, first = np.unique(here, return_index=True)
        at = np.minimum(np.searchsorted(ordered, there), len(ordered) - 1)
        known &= ordered[at] == there
        table, kept = self._rows[name]
        own = self._variables[name]
        codes = table.columns[table.variables.index(own)][kept][first[at]]
        return ValueColumn.of(self._values[own]).at(np.where(known, codes, 0)), known

    def _codes(
        self,
        name: str,
        read: Sequence[Reference],
        inputs: Sequence[JointValue],
        rows: Sequence[Numbers],
    ) -> tuple[dict[int, NDArray[np.int32]], Flags]:
        """Give the codes of combinations in the variables of a table, and which have them all."""
        table, _ = self._rows[name]
        codes: dict[int, NDArray[np.int32]] = {}
        known = np.ones(len(rows[0]) if rows else 1, np.bool_)
        for reference, value, own in zip(read, inputs, rows, strict=True):
            variable = self._variables.get(str(reference), -1)
            if variable in table.variables and variable not in codes:
                codes[variable] = value.codes_in(self._values[variable]).astype(np.int32)[own]
                known &= codes[variable] >= 0
        return codes, known

    def _keys(self, name: str, theirs: Mapping[int, NDArray[np.int32]]) -> tuple[Numbers, Numbers]:
        """Give each row that is kept a number, and each combination, the same if it is that row."""
        table, kept = self._rows[name]
        mine = [table.columns[table.variables.index(v)][kept] for v in theirs]
        sizes = [self._sizes[v] for v in theirs]
        here, there, _ = keys(mine, sizes, len(kept), list(theirs.values()))
        if there is None:
            raise ValueError(name)
        return here, there
