"""The two passes in prices, compiled: the numbers that `passes.py` works out, in half the time.

Only for circuits of many rows, and only where Numba is installed (``fitwright[long-lists]``):
compiling takes a second, once in each process. Numpy goes over the rows of a node once for each
gathering, adding and collecting; here that is one loop, and two halves of it at the same time.
"""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from functools import lru_cache
from importlib.util import find_spec
from typing import TYPE_CHECKING, Any

import numpy as np

from configurator.search.circuit.semirings import MinPlus

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from configurator.search.circuit.nodes import ChildSide, Circuit, Node
    from configurator.search.circuit.semirings import Values
    from configurator.search.limits import Limits


def passes_for(circuit: Circuit, semiring: Any) -> Passes | None:
    """Give compiled passes; None where numpy does as well, or Numba is not installed."""
    limits = circuit.limits
    if not isinstance(semiring, MinPlus) or circuit.rows < limits.compiled_from_rows:
        return None
    return _passes(semiring, limits) if find_spec("numba") else None


@lru_cache
def _passes(semiring: MinPlus, limits: Limits) -> Passes:
    return Passes(semiring, limits)


class Passes:
    """What a node does in each pass, compiled for the numbers of one semiring."""

    def __init__(self, semiring: MinPlus, limits: Limits) -> None:
        import numba

        self._limits = limits
        self._dtype, self._impossible = np.dtype(semiring.dtype), semiring.impossible
        types = numba.types
        number = numba.from_dtype(self._dtype)
        out = types.Array(number, 1, "C")
        values = types.Array(number, 1, "C", readonly=True)
        index = types.Array(types.int32, 1, "C", readonly=True)
        rows = types.int64
        compiled: Callable[..., Any] = numba.njit
        self._up: Callable[..., None] = compiled(
            types.void(out, values, values, index, index, index, rows, rows, rows, number),
            nogil=True,
        )(_up)
        self._down: Callable[..., None] = compiled(
            types.void(out, values, values, index, index, index, rows, rows), nogil=True
        )(_down)
        self._threads = ThreadPoolExecutor(limits.threads)

    def value(self, node: Node, left: Values | None, right: Values | None) -> Values | None:
        """Give the cheapest of each outer row of a node; None where all cost nothing."""
        if left is None and right is None:
            return None
        values = np.empty(node.rows, self._dtype)
        given = (values, *map(self._values, (left, right)))
        given += tuple(map(_index, (node.from_left, node.from_right, node.starts)))
        tasks = [
            (*given, node.inner, first, last, self._impossible)
            for first, last in _pieces(node, self._limits)
        ]
        self._together(self._up, tasks)
        return values

    def below(self, node: Node, own: Values | None, sides: Sequence[ChildSide]) -> list[Values]:
        """Hand the values of a node's outer rows down to the rows of its children."""
        result = [np.full(side.rows, self._impossible, self._dtype) for side in sides]
        above, starts = self._values(own), _index(node.starts)
        tasks = [
            (
                *(handed, above, self._values(side.beside)),
                *(_index(side.to), _index(side.from_beside), starts, node.rows, node.inner),
            )
            for handed, side in zip(result, sides, strict=True)
        ]
        self._together(self._down, tasks)
        return result

    def _values(self, values: Values | None) -> Values:
        return np.ascontiguousarray(() if values is None else values, self._dtype)

    def _together(self, task: Callable[..., None], given: list[tuple[Any, ...]]) -> None:
        others = [self._threads.submit(task, *item) for item in given[1:]]
        for entry in given[:1]:
            task(*entry)
        for other in others:
            other.result()


def _index(rows: Values | None) -> Values:
    return np.ascontiguousarray(() if rows is None else rows, np.int32)


def _pieces(node: Node, limits: Limits) -> list[tuple[int, int]]:
    """Cut the outer rows of a node into pieces with about as many inner rows each."""
    many = limits.threads if node.inner >= limits.threaded_from_rows else 1
    cuts = [node.inner * piece // many for piece in range(1, many)]
    if node.starts is not None:
        # Of the same width as the starts, which would all be widened else.
        cuts = np.searchsorted(node.starts, np.array(cuts, node.starts.dtype)).tolist()
    return list(zip([0, *cuts], [*cuts, node.rows], strict=True))


# What follows is compiled: plain loops over arrays, an empty one where there is none.


def _up(
    values: Any,
    left: Any,
    right: Any,
    from_left: Any,
    from_right: Any,
    starts: Any,
    inner: int,
    first: int,
    last: int,
    impossible: int,
) -> None:
    """Put the cheapest of each outer row from ``first`` to ``last`` into ``values``."""
    for row in range(first, last):
        begin, end = row, row + 1
        if len(starts) > 0:
            begin = starts[row]
            end = starts[row + 1] if row + 1 < len(starts) else inner
        cheapest = impossible
        for at in range(begin, end):
            price = 0
            if len(left) > 0:
                price += left[from_left[at] if len(from_left) > 0 else at]
            if len(right) > 0:
                price += right[from_right[at] if len(from_right) > 0 else at]
            cheapest = min(cheapest, price)
        values[row] = cheapest


def _down(
    values: Any,
    own: Any,
    beside: Any,
    to: Any,
    from_beside: Any,
    starts: Any,
    rows: int,
    inner: int,
) -> None:
    """Make each row of a child in ``values`` as cheap as its cheapest inner row."""
    for row in range(rows):
        begin, end = row, row + 1
        if len(starts) > 0:
            begin = starts[row]
            end = starts[row + 1] if row + 1 < len(starts) else inner
        above = own[row] if len(own) > 0 else 0
        for at in range(begin, end):
            price = above
            if len(beside) > 0:
                price += beside[from_beside[at] if len(from_beside) > 0 else at]
            child = to[at] if len(to) > 0 else at
            values[child] = min(values[child], price)
