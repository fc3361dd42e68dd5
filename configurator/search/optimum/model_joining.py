"""Join the tables of a model into a circuit: whole, or what a job leaves of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from configurator.search.circuit import cache
from configurator.search.circuit.elimination import make_loose
from configurator.search.circuit.join import TooWide
from configurator.search.circuit.kept_reductions import reduced_tables
from configurator.search.circuit.mini_buckets import Loose
from configurator.search.circuit.nodes import Circuit
from configurator.search.encoding.reducing import reduce_tables
from configurator.search.encoding.tables import select
from configurator.search.optimum import known_orders

if TYPE_CHECKING:
    from collections.abc import Collection

    from configurator.search.circuit.elimination import KnownOrder
    from configurator.search.encoding.constraint_model import Model
    from configurator.search.encoding.reducing import Reduced
    from configurator.search.limits import Limits
    from configurator.search.optimum.narrowing import Rows


def join_model(
    model: Model,
    kept: Rows | None,
    limits: Limits,
    apart: Collection[int] = (),
    *,
    keep: bool,
    served: KnownOrder | None = None,
    soon: bool = False,
) -> tuple[Circuit, Loose | None]:
    """Reduce the tables and join them; leaf rows are lists of the model's own rows.

    Parameters
    ----------
    model
        Whose tables are joined.
    kept
        Of tables that lose rows, those that stay; None where nothing is left.
    limits
        How large the circuit may get.
    apart
        Tables of goals' figures that lose rows, and whose values are told apart all the same.
    keep
        Whether to look for it on disk, and to keep it there.
    served
        The order that served before, where it was looked up already.
    soon
        Whether to give up where the order that is known does not serve, and for bounds.

    Returns
    -------
    tuple
        The circuit, and what makes it one of bounds; None where prices are exact.

    Raises
    ------
    TooWide
        If it was given up, or there are too many rows even for bounds.
    """
    nothing = Circuit([], [[] for _ in model.tables])
    if model.broken or kept is None:
        return nothing, None
    rows = _both(kept, model.partnered)
    tables = [select(t, rows[n]) if n in rows else t for n, t in enumerate(model.tables)]
    moving = set(model.goal_tables.values()) - (kept.keys() - set(apart))
    labels = {n: np.arange(model.tables[n].rows) for n in moving}
    labels.update(model.work_costs)
    labels.update({n: sure.astype(np.int64) for n, sure in model.sure_rows.items()})
    if model.soft_table >= 0:
        labels[model.soft_table] = np.arange(model.tables[model.soft_table].rows)
    labels = {n: label[rows[n]] if n in rows else label for n, label in labels.items()}
    given = (tables, model.sizes, model.told_by, set(model.position_tables.values()), labels)
    worth = keep and sum(table.rows for table in tables) >= limits.kept_from_rows
    reduced = reduced_tables(*given) if worth else reduce_tables(*given)
    if reduced is None:
        return nothing, None
    circuit, parted = _joined(
        model, reduced, limits, keep=keep, narrowed=bool(kept), served=served, soon=soon
    )
    if not circuit.nodes:
        return nothing, None
    loose = None
    if parted:
        loose = Loose(
            tuple(select(t, r) for t, r in zip(reduced.tables, circuit.leaf_rows, strict=True)),
            tuple(reduced.sizes),
            tuple(model.told_by),
            parted,
            tuple(dict.fromkeys(model.tables[model.told_by[v]].name for v in parted)),
        )
    for number, used in enumerate(circuit.leaf_rows):
        origins = reduced.origins(number, used)
        if number in rows:
            origins = [rows[number][own] for own in origins]
        circuit.leaf_rows[number] = origins
    return circuit, loose


def _both(kept: Rows, partnered: Rows) -> Rows:
    """Give the rows that a job leaves and that have a partner."""
    both = {**partnered, **kept}
    for number in partnered.keys() & kept.keys():
        both[number] = np.intersect1d(kept[number], partnered[number], assume_unique=True)
    return both


def _joined(
    model: Model,
    reduced: Reduced,
    limits: Limits,
    *,
    keep: bool,
    narrowed: bool,
    served: KnownOrder | None,
    soon: bool,
) -> tuple[Circuit, tuple[int, ...]]:
    """Join reduced tables, or look up on disk what came of it; a circuit of bounds if need be.

    Returns
    -------
    tuple
        The circuit, and the variables that were taken apart.
    """
    positions = set(model.position_tables.values())
    given = (reduced.tables, reduced.sizes, model.told_by, positions)
    name = cache.name_of(*given, limits=limits) if keep else ""
    try:
        circuit = cache.load(name, reduced.tables) if keep else None
        if circuit is None:
            if keep and served is None:
                served = known_orders.look_up(model)
            soon = soon and served is not None
            how = known_orders.joined_soon if soon else known_orders.joined
            circuit = how(model, given, served, limits)
            if keep:
                cache.save(name, circuit, limits)
                known_orders.note(model, circuit, served, narrowed=narrowed)
    except TooWide as refusal:
        if soon:
            raise
        known = cache.load_loose(name, reduced.tables) if keep else None
        if known is not None:
            return known
        if keep:
            cache.save_refusal(name, refusal)
        circuit, apart = make_loose(*given, limits)
        if keep:
            cache.save_loose(name, circuit, apart)
        return circuit, apart
    return circuit, ()
