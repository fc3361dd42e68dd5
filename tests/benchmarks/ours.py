"""The project's own search on a case, stage by stage."""

from __future__ import annotations

import statistics
import time
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any
from unittest import mock

from configurator.evaluation.evaluator import Evaluation
from configurator.search.circuit.join import TooWide
from configurator.search.circuit.nodes import Circuit
from configurator.search.optimum import (
    k_best,
    known_orders,
    model_joining,
    option_prices,
    preparing,
    queries,
)
from configurator.search.optimum.branch_and_bound import Undecided
from configurator.search.optimum.lately import Lately
from configurator.search.optimum.preparing import Question

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from configurator.model.jobs import Case
    from configurator.model.knowledge import Trade
    from configurator.search.optimum.preparing import Prepared

# How often an answer is asked for, and at most how many parts are clicked on: the median counts.
# A new process waits for memory the first few times.
TIMES = 25
# What `queries.prepare` does one after the other, by the names it calls them.
STAGES = {
    "make_model": preparing,
    "reduce_tables": model_joining,
    "make_circuit": known_orders,
    "make_loose": model_joining,
}


@dataclass(slots=True)
class Measured:
    """Seconds by stage, sizes, answers.

    ``price`` is of the cheapest package [minor units], None where nothing fits; ``click`` is the
    same after fixing one part. ``exact`` says whether the circuit gives prices; where tables were
    too wide and it gives bounds, ``proven`` says whether the price was proven by cases.
    """

    seconds: dict[str, float] = field(default_factory=dict)
    sizes: dict[str, int] = field(default_factory=dict)
    price: int | None = None
    possible: int = 0
    clicked: tuple[str, str] | None = None
    click: int | None = None
    exact: bool = True
    proven: bool = True


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

    def watched(module: Any, stage: str) -> Any:
        inner = getattr(module, stage)

        def call(*args: Any, **kwargs: Any) -> Any:
            with timed(seconds, stage):
                return inner(*args, **kwargs)

        return call

    with ExitStack() as patches, timed(seconds, "prepare"):
        for stage, module in STAGES.items():
            patches.enter_context(mock.patch.object(module, stage, watched(module, stage)))
        return preparing.prepare(Evaluation(case, trade), queries.goal_figures(case.job))


def measure(case: Case, trade: Trade) -> tuple[Measured, Prepared]:
    """Prepare a case, price every option, fix one part and price them again."""
    measured = Measured()
    prepared = prepare(case, trade, measured.seconds)
    model, circuit, job = prepared.model, prepared.circuit, case.job
    measured.sizes = {
        "parts": sum(len(parts) for parts in case.parts.values()),
        "options": sum(len(options) for options in model.options.values()),
        "classes": sum(len(classes) for classes in model.classes.values()),
        "tables": len(model.tables),
        "table rows": sum(table.rows for table in model.tables),
    }
    if prepared.loose is not None:
        measured.sizes["variables taken apart"] = len(prepared.loose.apart)
        measured.sizes["rows of bounds"] = circuit.rows
        unasked = _unasked(prepared)
        measured.seconds["first bounds"], _ = _median(
            [lambda: queries.previews(Question(next(unasked), job))] * TIMES
        )
        try:
            with timed(measured.seconds, "joined part by part"):
                prepared = preparing.tighten(prepared)
        except TooWide as refused:
            measured.exact = False
            measured.sizes["rows at which joining was given up"] = refused.rows
            with timed(measured.seconds, "proof"):
                try:
                    measured.price = next(
                        (price for price, _ in k_best.in_order(Question(prepared, job))), None
                    )
                except Undecided as given_up:
                    measured.proven = False
                    measured.sizes["cases"] = given_up.looked
            return measured, prepared
        circuit = prepared.circuit
    measured.sizes["circuit rows"] = circuit.rows
    measured.sizes["widest join"] = max((node.inner for node in circuit.nodes), default=0)
    fresh = _unasked(prepared)
    first, previews = _median([lambda: queries.previews(Question(next(fresh), job))] * TIMES)
    measured.seconds["first answer"] = first
    queries.previews(Question(prepared, job))
    measured.seconds["all previews again"], _ = _median(
        [lambda: queries.previews(Question(prepared, job))] * TIMES
    )
    # With what is decided on whole packages, too.
    measured.seconds["all options exact"], exact = _median(
        [lambda: option_prices.previews(Question(prepared, job))] * 3
    )
    measured.sizes["options left inexact"] = sum(
        int((~each).sum()) for each in exact.exact.values()
    )
    measured.seconds["cheapest"], measured.price = _median(
        [lambda: queries.cheapest_price(Question(prepared, job))] * TIMES
    )
    measured.possible = sum(int((prices >= 0).sum()) for prices in previews.prices.values())
    dearest = _dearest(prepared, previews)[:TIMES]
    clicks = [
        replace(job, fixed={**job.fixed, position: model.options[position][number].key})
        for position, number in dearest
    ]
    if clicks:
        measured.seconds["a click"], _ = _median(
            [
                lambda clicked=clicked: queries.previews(Question(prepared, clicked))
                for clicked in clicks
            ],
            before=lambda: queries.previews(Question(prepared, job)),
        )
        # As on a screen: the options of one position are looked at, those of the next here.
        order = list(model.options)
        views = {p: [order[(order.index(p) + 1) % len(order)]] for p, _ in dearest}
        measured.seconds["a click, position in view"], _ = _median(
            [
                lambda clicked=clicked, seen=views[p]: queries.previews(
                    Question(prepared, clicked), seen
                )
                for clicked, (p, _) in zip(clicks, dearest, strict=True)
            ],
            before=lambda: queries.previews(Question(prepared, job)),
        )
        position = dearest[0][0]
        measured.clicked = (position, clicks[0].fixed[position])
        measured.click = queries.cheapest_price(Question(prepared, clicks[0]))
    return measured, prepared


def _median(
    tasks: Sequence[Callable[[], Any]], before: Callable[[], Any] | None = None
) -> tuple[float, Any]:
    """Give the median of the seconds that tasks take, and what the first of them gave.

    ``before`` is done before each of them and not timed: a click adds one wish to what was
    answered last.
    """
    took: list[float] = []
    first: Any = None
    for task in tasks:
        if before is not None:
            before()
        begun = time.perf_counter()
        result = task()
        took.append(time.perf_counter() - begun)
        # The others go at once, as on a page: one that kept them all would wait for memory.
        first = result if first is None else first
    return statistics.median(took), first


def _unasked(prepared: Prepared) -> Iterator[Prepared]:
    """Give the case as it is before the first question, several times."""
    for _ in range(TIMES):
        nodes, leaf_rows = prepared.circuit.nodes, prepared.circuit.leaf_rows
        yield replace(prepared, circuit=Circuit(nodes, leaf_rows), lately=Lately())


def _dearest(prepared: Prepared, previews: queries.Previews) -> list[tuple[str, int]]:
    """At each position the part that makes the package around it the dearest; that one first."""
    dearest = []
    for position, prices in previews.prices.items():
        number = int(prices.argmax())
        if position not in prepared.evaluation.case.job.fixed and prices[number] >= 0:
            dearest.append((-int(prices[number]), position, number))
    return [(position, number) for _, position, number in sorted(dearest)]
