"""Which labels are dominated: neither cheaper nor smaller in any sum than another of their row."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Rows = NDArray[np.intp]
    Amounts = NDArray[np.int64]


def undominated(rows: Rows, cost: Amounts, sums: Amounts, beam: int | None = None) -> Rows:
    """Order labels by row and cost, without those that another of their row makes superfluous.

    Examples
    --------
    >>> rows, cost = np.array([0, 0, 0, 1]), np.array([5, 3, 4, 9])
    >>> undominated(rows, cost, np.array([[1, 2, 2, 7]])).tolist()
    [1, 0, 3]
    """
    order = np.lexsort((*sums[::-1], cost, rows))
    ordered = rows[order]
    if len(sums) == 0 or beam == 1:
        order = order[_first_of_each(ordered)]
    elif len(sums) == 1:
        order = order[_below_all_before(ordered, sums[0][order])]
    else:
        order = _sieved(order, ordered, sums)
    if beam is not None and beam > 1:
        ordered = rows[order]
        begins = np.flatnonzero(_first_of_each(ordered))
        place = np.arange(len(order)) - np.repeat(begins, np.diff(begins, append=len(order)))
        order = order[place < beam]
    return order


def _first_of_each(ordered: Rows) -> NDArray[np.bool_]:
    first = np.ones(len(ordered), np.bool_)
    first[1:] = ordered[1:] != ordered[:-1]
    return first


def _below_all_before(ordered: Rows, amount: Amounts) -> NDArray[np.bool_]:
    """Which amounts are below all before them in the same row."""
    if not len(amount):
        return np.zeros(0, np.bool_)
    # Rows that come later lie so much lower that the least so far is always one of their own.
    spread = int(amount.max()) - int(amount.min()) + 1
    number = np.cumsum(_first_of_each(ordered))
    lowered = amount - number * spread
    least = np.minimum.accumulate(lowered)
    kept = np.ones(len(amount), np.bool_)
    kept[1:] = lowered[1:] < least[:-1]
    return kept


def _sieved(order: Rows, ordered: Rows, sums: Amounts) -> Rows:
    """Take the first label left of each row and strike off what it dominates, until none is left.

    ``order`` is by row, cost and sums, so that the first one left is never dominated.
    """
    taken: list[Rows] = []
    place = np.arange(len(order))
    amounts = sums[:, order]
    while len(place):
        first = _first_of_each(ordered[place])
        leaders = place[first]
        taken.append(leaders)
        own = np.repeat(leaders, np.diff(np.flatnonzero(first), append=len(place)))
        better = np.zeros(len(place), np.bool_)
        for amount in amounts:
            better |= amount[place] < amount[own]
        place = place[better]
    kept = np.sort(np.concatenate(taken)) if taken else np.zeros(0, np.intp)
    return order[kept]
