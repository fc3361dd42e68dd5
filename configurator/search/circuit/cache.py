"""Keep circuits on disk, so that the same question is not planned twice.

A circuit is a function of the tables it was made of, and these of catalogs, rules, vehicle and goal
figures. So its name is a hash of the tables, and of the code that plans: whatever changes, changes
the name. That the tables are too wide to be joined is found by counting rows, the same each time,
and takes longest of all: it is kept too. The file holds arrays of whole numbers, and names in a
refusal: see `configurator.core.sealed_arrays`. One that is damaged, that bears another's name, or
does not hold together, is made anew.
"""

from __future__ import annotations

import hashlib
import inspect
from functools import cache
from typing import TYPE_CHECKING, Any

import numpy as np

from configurator import __version__
from configurator.core import sealed_arrays
from configurator.search.circuit import (
    cardinality,
    conditioning,
    elimination,
    elimination_order,
    join,
    order_cost,
    pairing,
    pruning,
)
from configurator.search.circuit.join import TooWide
from configurator.search.circuit.nodes import Circuit, Node
from configurator.search.encoding import implied_columns, reducing
from configurator.search.limits import LIMITS

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.search.encoding.tables import Table
    from configurator.search.limits import Limits

_FORMAT = f"circuit 4, {__version__}"


@cache
def _planner() -> bytes:
    """Hash the code that plans: another planner may manage what this one refuses."""
    try:
        planners = (
            elimination,
            cardinality,
            join,
            pairing,
            pruning,
            elimination_order,
            order_cost,
            reducing,
            implied_columns,
            conditioning,
        )
        code = "".join(map(inspect.getsource, planners))
    except OSError:  # installed without its sources: the version has to do
        code = ""
    return hashlib.sha256(code.encode()).digest()


# Read when this is loaded: files that change while the program runs are not the code that runs.
_planner()


def name_of(
    tables: Sequence[Table],
    sizes: Sequence[int],
    told_by: Sequence[int],
    positions: Collection[int],
    labels: Mapping[int, NDArray[np.int64]] | None = None,
    limits: Limits = LIMITS,
) -> str:
    """Hash everything a circuit is made of; ``labels`` where tables are still to be reduced."""
    digest = hashlib.sha256(_FORMAT.encode() + _planner() + repr(limits).encode())
    digest.update(repr((list(sizes), list(told_by), sorted(positions))).encode())
    for table in tables:
        digest.update(repr((table.variables, table.rows)).encode())
        for column in table.columns:
            digest.update(np.ascontiguousarray(column, np.int32).tobytes())
    for number, label in sorted((labels or {}).items()):
        digest.update(repr((number, len(label))).encode())
        digest.update(np.ascontiguousarray(label, np.int64).tobytes())
    return digest.hexdigest()


def load(name: str, tables: Sequence[Table]) -> Circuit | None:
    """Read a circuit; None if it is not there or does not hold together.

    Raises
    ------
    TooWide
        If the tables were refused before.
    """
    arrays = sealed_arrays.read(name)
    if arrays is None:
        return None
    try:
        refusal = _refusal(arrays, tables) if "refused" in arrays else None
        circuit = None if refusal else _circuit(arrays, tables)
    except (ValueError, KeyError, IndexError, StopIteration):
        return None
    if refusal is not None:
        raise refusal
    return circuit


def load_loose(name: str, tables: Sequence[Table]) -> tuple[Circuit, tuple[int, ...]] | None:
    """Read a circuit of bounds and its variables taken apart; None as for `load`."""
    arrays = sealed_arrays.read(f"{name}-loose")
    if arrays is None:
        return None
    try:
        apart = tuple(int(variable) for variable in _index(arrays["apart"]))
        known = {variable for table in tables for variable in table.variables}
        circuit = _circuit(arrays, tables) if known.issuperset(apart) else None
    except (ValueError, KeyError, IndexError, StopIteration):
        return None
    return None if circuit is None else (circuit, apart)


def save_loose(name: str, circuit: Circuit, apart: Sequence[int]) -> None:
    """Write a circuit of bounds."""
    if circuit.nodes:
        sealed_arrays.write(
            f"{name}-loose", _arrays(circuit) | {"apart": np.array(apart, np.int32)}
        )


def save(name: str, circuit: Circuit, limits: Limits = LIMITS) -> None:
    """Write a circuit, whole or not at all; a disk that is full is no reason to fail."""
    if circuit.rows >= limits.kept_from_rows:
        sealed_arrays.write(name, _arrays(circuit))


def _arrays(circuit: Circuit) -> dict[str, Any]:
    """Put a circuit into arrays: what its nodes are, and all indices of nodes and leaves."""
    listed: list[list[int]] = []
    indices: list[NDArray[np.int32]] = []
    for node in circuit.nodes:
        parts = [node.from_left, node.from_right, node.starts]
        listed.append([node.rows, node.inner, node.left, node.right, node.leaf])
        listed[-1] += [int(part is not None) for part in parts]
        indices += [part.astype(np.int32, copy=False) for part in parts if part is not None]
    indices += [np.asarray(rows, np.int32) for rows in circuit.leaf_rows]
    return {"nodes": np.array(listed, np.int64), **sealed_arrays.packed(indices)}


def save_order(name: str, variables: Sequence[str], rows: int) -> None:
    """Write the names of variables in the order of their elimination, and the rows it took."""
    if variables:
        order = np.array(variables, np.str_)
        sealed_arrays.write(f"{name}-order", {"order": order, "rows": np.array([rows], np.int64)})


def load_order(name: str) -> tuple[tuple[str, ...], int] | None:
    """Read what `save_order` wrote; None if it is not there."""
    arrays = sealed_arrays.read(f"{name}-order")
    if arrays is None or arrays.keys() != {"order", "rows"}:
        return None
    order, rows = arrays["order"], arrays["rows"]
    if order.dtype.kind != "U" or order.ndim != 1 or rows.dtype != np.int64 or rows.shape != (1,):
        return None
    return tuple(order.tolist()), int(rows[0])


def save_refusal(name: str, refusal: TooWide) -> None:
    """Write that tables are too wide."""
    names = np.array(refusal.names, np.str_)
    sealed_arrays.write(name, {"refused": names, "rows": np.array([refusal.rows], np.int64)})


def _refusal(arrays: dict[str, Any], tables: Sequence[Table]) -> TooWide:
    """Read a refusal and check that it is one of these tables.

    Raises
    ------
    ValueError, KeyError
        If it is not.
    """
    names, rows = arrays["refused"], arrays["rows"]
    sound = names.dtype.kind == "U" and names.ndim == 1 and set(names) <= {t.name for t in tables}
    if not sound or rows.dtype != np.int64 or rows.shape != (1,) or rows[0] < 0:
        message = "not a refusal of these tables"
        raise ValueError(message)
    return TooWide(names.tolist(), int(rows[0]))


def _circuit(arrays: dict[str, Any], tables: Sequence[Table]) -> Circuit:
    """Put a circuit together and check that it holds together.

    Raises
    ------
    ValueError, KeyError, IndexError, StopIteration
        If it does not.
    """
    listed, indices = arrays["nodes"], iter(sealed_arrays.unpacked(arrays))
    if listed.dtype != np.int64 or listed.ndim != 2 or listed.shape[1] != 8:
        message = "not nodes"
        raise ValueError(message)
    nodes: list[Node] = []
    for rows, inner, left, right, leaf, *there in listed.tolist():
        from_left, from_right, starts = (next(indices) if part else None for part in there)
        node = Node(rows, inner, left, right, from_left, from_right, starts, leaf)
        if leaf < 0:
            _check(node, nodes)
        nodes.append(node)
    leaf_rows = list(indices)
    for rows_of, table in zip(leaf_rows, tables, strict=True):
        if len(rows_of) and not 0 <= rows_of.min() <= rows_of.max() < table.rows:
            message = "leaf rows beyond their table"
            raise ValueError(message)
    if not nodes or nodes[-1].rows != 1:
        message = "no root"
        raise ValueError(message)
    return Circuit(nodes, leaf_rows)


def _index(array: Any) -> Any:
    if array is None:
        return None
    if array.dtype != np.int32 or array.ndim != 1:
        message = "not an index"
        raise ValueError(message)
    return array


def _check(node: Node, nodes: Sequence[Node]) -> None:
    sound = 0 <= node.left < len(nodes) and -1 <= node.right < len(nodes)
    for child, index in ((node.left, node.from_left), (node.right, node.from_right)):
        if not sound or child < 0:
            continue
        if index is None:
            sound = nodes[child].rows == node.inner
        else:
            sound = len(index) == node.inner and (
                not len(index) or bool(0 <= index.min() <= index.max() < nodes[child].rows)
            )
    if sound and node.starts is None:
        sound = node.rows == node.inner
    elif sound and node.starts is not None:
        starts = node.starts
        sound = len(starts) == node.rows and bool((np.diff(starts) > 0).all())
        sound = sound and (not len(starts) or bool(starts[0] == 0 and starts[-1] < node.inner))
    if not sound:
        message = "a node does not fit its children"
        raise ValueError(message)
