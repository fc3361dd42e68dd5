"""The project's own search on a case, stage by stage."""

from __future__ import annotations

import time
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any
from unittest import mock

from configurator.evaluation import Evaluation
from configurator.search import queries

if TYPE_CHECKING:
    from collections.abc import Iterator

    from configurator.jobs import Case
    from configurator.search.queries import Prepared
    from configurator.trade import Trade

# What `queries.prepare` does one after the other, by the names it calls them.
STAGES = ("make_model", "reduce_tables", "make_circuit")


@dataclass(slots=True)
class Measured:
    """Seconds by stage, sizes, answers.

    ``price`` is of the cheapest package [minor units], None where nothing fits; ``click`` is the
    same after fixing one part.
    """

    seconds: dict[str, float] = field(default_factory=dict)
    sizes: dict[str, int] = field(default_factory=dict)
    price: int | None = None
    possible: int = 0
    clicked: tuple[str, str] | None = None
    click: int | None = None


@contextmanager
def timed(seconds: dict[str, float], stage: str) -> Iterator[None]:
    """Add the time that the body takes to a stage."""
    begun = time.perf_counter()
    try:
        yield
    finally:
        seconds[stage] = seconds.get(stage, 0.0) + time.perf_counter() - begun


def prepare(case: Case, trade: Trade, seconds: dict[str, float]) -> Prepared:
    """Prepare a case and note what each stage takes."""

    def watched(stage: str) -> Any:
        inner = getattr(queries, stage)

        def call(*args: Any, **kwargs: Any) -> Any:
            with timed(seconds, stage):
                return inner(*args, **kwargs)

        return call

    with ExitStack() as patches, timed(seconds, "prepare"):
        for stage in STAGES:
            patches.enter_context(mock.patch.object(queries, stage, watched(stage)))
        return queries.prepare(Evaluation(case, trade), queries.goal_figures(case.job))


def measure(case: Case, trade: Trade) -> tuple[Measured, Prepared]:
    """Prepare a case, price every option, fix one part and price them again."""
    found = Measured()
    prepared = prepare(case, trade, found.seconds)
    model, circuit, job = prepared.model, prepared.circuit, case.job
    found.sizes = {
        "parts": sum(len(parts) for parts in case.parts.values()),
        "options": sum(len(options) for options in model.options.values()),
        "classes": sum(len(classes) for classes in model.classes.values()),
        "tables": len(model.tables),
        "table rows": sum(table.rows for table in model.tables),
        "circuit rows": circuit.rows,
        "widest join": max((node.inner for node in circuit.nodes), default=0),
    }
    with timed(found.seconds, "first answer"):
        previews = queries.previews(prepared, job)
    with timed(found.seconds, "all previews again"):
        queries.previews(prepared, job)
    with timed(found.seconds, "cheapest"):
        found.price = queries.cheapest_price(prepared, job)
    found.possible = sum(int((prices >= 0).sum()) for prices in previews.prices.values())
    pick = _dearest(prepared, previews)
    if pick is not None:
        position, number = pick
        key = model.options[position][number].key
        found.clicked = (position, key)
        clicked = replace(job, fixed={**job.fixed, position: key})
        with timed(found.seconds, "a click"):
            found.click = queries.previews(prepared, clicked).cheapest
    return found, prepared


def _dearest(prepared: Prepared, previews: queries.Previews) -> tuple[str, int] | None:
    """The part that makes the cheapest package around it the dearest, at the busiest position."""
    best: tuple[int, str, int] | None = None
    for position, prices in previews.prices.items():
        for number, price in enumerate(prices.tolist()):
            if position in prepared.evaluation.case.job.fixed or price < 0:
                continue
            if best is None or price > best[0]:
                best = (price, position, number)
    return None if best is None else best[1:]
