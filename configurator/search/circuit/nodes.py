"""A fixed circuit of gathers, sums and segmented minima: what joining tables leaves.

A node is either a leaf (a table, whose rows get weights from outside) or made of one or two
earlier nodes: its inner rows pair a row of ``left`` with a row of ``right``; inner rows that agree
on what later nodes still need are one outer row. Every node is used exactly once, so that the
nodes form a tree and the last one, the root, has a single row.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from configurator.search.limits import LIMITS

if TYPE_CHECKING:
    from collections.abc import Collection

    from numpy.typing import NDArray

    from configurator.search.circuit.semirings import Values
    from configurator.search.limits import Limits

    Index = NDArray[np.signedinteger]

# Rows of a circuit up to which more memory is taken to save time.
FEW = 4_000_000


@dataclass(slots=True)
class Node:
    """One node of the circuit.

    Parameters
    ----------
    rows
        Number of outer rows.
    inner
        Number of inner rows; for a leaf the same.
    left, right
        Numbers of earlier nodes; -1 for none. A leaf has neither.
    from_left, from_right
        For each inner row, the row of the child; None for the identity.
    starts
        Where each outer row's segment of inner rows starts; None where inner and outer rows are
        the same.
    leaf
        Index of the table a leaf stands for; -1 for inner nodes.
    outer
        For each inner row, its outer row, where that is kept and ``starts`` is there.
    """

    rows: int
    inner: int
    left: int = -1
    right: int = -1
    from_left: Index | None = None
    from_right: Index | None = None
    starts: Index | None = None
    leaf: int = -1
    outer: Index | None = None


class ChildSide(NamedTuple):
    """A child of a node, and what stands beside it there.

    Parameters
    ----------
    rows
        How many the child has.
    to
        For each inner row, the child's row; None for the identity.
    beside, from_beside
        Values of the other child's rows, and for each inner row which of them; None for none, and
        for the identity.
    """

    rows: int
    to: Index | None
    beside: Values | None
    from_beside: Index | None


@dataclass(slots=True)
class Circuit:
    """Nodes in order, and for each leaf table the rows of it that are still in use.

    Parameters
    ----------
    nodes
        Children before parents; the last is the root. Empty if no package exists at all.
    leaf_rows
        For each table, what each row of its leaf stands for, in order: a row of the table the
        circuit was made of, or the rows of an earlier one that became it.
    order
        Variables in the order in which they were eliminated, where it was looked for just now;
    joined_rows
        and the inner rows that this took, before those in no package were cut out.
    limits
        From which size on passes over it are compiled.
    """

    nodes: list[Node]
    leaf_rows: list[Any]
    order: tuple[int, ...] = ()
    joined_rows: int = 0
    limits: Limits = LIMITS

    @property
    def rows(self) -> int:
        """Inner rows in all: what a pass costs."""
        return sum(node.inner for node in self.nodes)

    def make_ready(self) -> None:
        """Keep what every pass would work out anew, if that does not take much memory.

        That is: the outer row of each inner row, and indices in the numbers that numpy counts with.
        """
        if self.rows > FEW:
            return
        for node in self.nodes:
            if node.starts is not None:
                lengths = np.diff(node.starts, append=node.inner)
                node.outer = np.repeat(np.arange(node.rows), lengths)
            node.from_left = _wide(node.from_left)
            node.from_right = _wide(node.from_right)
            node.starts = _wide(node.starts)


def _wide(index: Index | None) -> Index | None:
    return None if index is None else index.astype(np.intp)


def towards(circuit: Circuit, wanted: Collection[int]) -> list[bool]:
    """Say of each node whether one of some tables' leaves is below it."""
    tables = set(wanted)
    needed: list[bool] = []
    for node in circuit.nodes:
        if node.leaf >= 0:
            needed.append(node.leaf in tables)
        else:
            needed.append(needed[node.left] or (node.right >= 0 and needed[node.right]))
    return needed
