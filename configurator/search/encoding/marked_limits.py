"""Which limits have the certainty of their rows marked in tables.

A limit that forbids nothing as calculated, once tables are reduced, falls out of the circuit. If it
were marked, values would have to be told apart for it alone, and a circuit may grow to several
times its size for the sake of packages that nobody asks for. Its verdicts are looked up package by
package instead.
"""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING

import numpy as np

from configurator.search.encoding.kept_bytes import KEY_BYTES
from configurator.search.encoding.unmarked_tables import UnmarkedTables

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from configurator.search.encoding.constraint_model import Model
    from configurator.search.encoding.kept_bytes import KeptBytes


def unmarked_of(model: Model) -> UnmarkedTables:
    """Take the tables of a model as they are; the model may be changed afterwards."""
    labels = {n: np.arange(model.tables[n].rows) for n in model.goal_tables.values()}
    labels |= model.work_costs
    known = tuple(model.tables), tuple(model.sizes), tuple(model.told_by)
    return UnmarkedTables(*known, frozenset(model.position_tables.values()), labels)


def worth_marking(
    unmarked: UnmarkedTables,
    sure_rows: Mapping[int, NDArray[np.bool_]],
    few_rows: int,
    on_disk: KeptBytes | None = None,
) -> set[int]:
    """Give the limits whose marks tell no values apart that are alike as calculated.

    Parameters
    ----------
    unmarked
        All tables.
    sure_rows
        Number of a limit's table → which of its rows may hold within usual tolerances.
    few_rows
        Rows of all tables, reduced, up to which every limit is marked: no circuit of so few is
        wide.
    on_disk
        Where that is kept; None to look at nothing and keep nothing.

    Returns
    -------
    set
        Numbers of those tables in which something is forbidden as calculated, or nothing is by
        what is sure either; all of them where tables are small.
    """
    if on_disk is None or not on_disk.usable:
        return _worth_marking(unmarked, sure_rows, few_rows)
    key = _key(unmarked, sure_rows, few_rows)
    written = on_disk.look_up(key)
    if written is None:
        marked = _worth_marking(unmarked, sure_rows, few_rows)
        # Whatever there is of it is there: an empty piece would be none.
        written = bytes([1, *(number in marked for number in sorted(sure_rows))])
    on_disk.note(key, written)
    return {n for n, flag in zip(sorted(sure_rows), written[1:], strict=True) if flag}


def _worth_marking(
    unmarked: UnmarkedTables, sure_rows: Mapping[int, NDArray[np.bool_]], few_rows: int
) -> set[int]:
    calculated = unmarked.reduced()
    if calculated is None:
        return set()
    if sum(table.rows for table in calculated.tables) <= few_rows:
        return set(sure_rows)
    certain = unmarked.reduced(sure_rows)
    return {
        number
        for number in sure_rows
        if calculated.tables[number].variables
        or (certain is not None and not certain.tables[number].variables)
    }


def _key(
    unmarked: UnmarkedTables, sure_rows: Mapping[int, NDArray[np.bool_]], few_rows: int
) -> bytes:
    """Hash all that it hangs on beside the code."""
    shape = (few_rows, unmarked.sizes, unmarked.told_by, sorted(unmarked.positions))
    digest = hashlib.blake2b(f"worth marking {shape!r}".encode(), digest_size=KEY_BYTES)
    for table in unmarked.tables:
        digest.update(repr((table.variables, table.rows)).encode())
        for column in table.columns:
            digest.update(np.ascontiguousarray(column, np.int32).tobytes())
    for number, label in sorted(unmarked.labels.items()):
        digest.update(f"{number} {len(label)} ".encode())
        digest.update(np.ascontiguousarray(label, np.int64).tobytes())
    for number, rows in sorted(sure_rows.items()):
        digest.update(f"{number} {len(rows)} ".encode() + np.packbits(rows).tobytes())
    return digest.digest()
