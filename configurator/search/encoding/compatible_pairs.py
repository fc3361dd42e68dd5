"""Which options of two positions may stand together, by the rules that read these two alone.

Most combinations of a tyre, a wheel and a hub never fit together: what is worked out for each
combination of parts need not be worked out for them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from configurator.search.encoding.tables import keys, numbered, select

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.search.encoding.constraint_model import Model
    from configurator.search.encoding.tables import Table

    Flags = NDArray[np.bool_]

# Pairs of classes up to which it is worth knowing which of them fit.
MOST_PAIRS = 4_000_000


class CompatiblePairs:
    """Pairs of classes of two positions that no table of these two forbids.

    Parameters
    ----------
    model
        Its tables of positions and rules.
    kept
        For each table the rows that have a partner in all others.
    """

    def __init__(self, model: Model, kept: Sequence[NDArray[np.int32]]) -> None:
        self._row_of: dict[str, NDArray[np.int64]] = {}
        for position, classes in model.classes.items():
            row_of = np.full(len(model.options[position]), -1, np.int64)
            for row, members in enumerate(classes):
                row_of[members] = row
            self._row_of[position] = row_of
        owner = {
            variable: position
            for position, number in model.position_tables.items()
            for variable in model.tables[number].variables
        }
        self._allowed: dict[tuple[str, str], Flags] = {}
        for number in model.rule_tables.values():
            table = select(model.tables[number], kept[number])
            positions = sorted({owner.get(v, "") for v in table.variables})
            if len(positions) == 2 and positions[0]:
                self._narrow(model, (positions[0], positions[1]), table, owner)

    def _narrow(
        self, model: Model, pair: tuple[str, str], table: Table, owner: Mapping[int, str]
    ) -> None:
        sides = [model.tables[model.position_tables[p]] for p in pair]
        if sides[0].rows * sides[1].rows > MOST_PAIRS or not table.rows:
            return
        ranks = []
        listed = []
        for position, side in zip(pair, sides, strict=True):
            own = [k for k, v in enumerate(table.variables) if owner[v] == position]
            theirs = [side.columns[side.variables.index(table.variables[k])] for k in own]
            here = [table.columns[k] for k in own]
            both = [np.concatenate(each) for each in zip(theirs, here, strict=True)]
            key, _, bound = keys(
                both, [model.sizes[table.variables[k]] for k in own], side.rows + table.rows
            )
            _, kind = numbered(key, bound)
            ranks.append(kind[: side.rows])
            listed.append(kind[side.rows :])
        cells = np.zeros(
            [int(max(a.max(), b.max())) + 1 for a, b in zip(ranks, listed, strict=True)], np.bool_
        )
        cells[listed[0], listed[1]] = True
        allowed = cells[np.ix_(*ranks)]
        known = self._allowed.get(pair)
        self._allowed[pair] = allowed if known is None else known & allowed

    def pairs(self, positions: Sequence[str]) -> list[tuple[str, str]]:
        """List the pairs of some positions of which something is known."""
        return [pair for pair in self._allowed if pair[0] in positions and pair[1] in positions]

    def among(self, pair: tuple[str, str], class_of: Sequence[NDArray[np.int64]]) -> Flags:
        """Say which pairs of coarser classes have options that may stand together.

        Parameters
        ----------
        pair
            Two positions.
        class_of
            For each of them, for each option its class; -1 for none.
        """
        sides = []
        for position, own in zip(pair, class_of, strict=True):
            rows = self._row_of[position]
            there = (rows >= 0) & (own >= 0)
            matrix = np.zeros((int(own.max(initial=-1)) + 1, int(rows.max(initial=-1)) + 1))
            matrix[own[there], rows[there]] = 1.0
            sides.append(matrix)
        together: Flags = (sides[0] @ self._allowed[pair] @ sides[1].T) > 0.5
        return together
