"""Look at length for orders of elimination of the bundled vehicles, and write them into a file.

``python -m tests.benchmarks.orders [JOB ...]`` takes minutes. For each bundled job an order is
planned on the whole case, and variables are moved about in it as long as that gives fewer rows
where the job's goals are asked, which is a tenth of the work. It is kept if the whole case takes
fewer rows in it than in the order that is kept for the vehicle.

``python -m tests.benchmarks.orders --marks JOB ...`` does so for tables in which limits are marked
(`known_orders.WITH_MARKS`). What serves where goals are asked is mostly no order for the whole
there, so variables are moved about in the whole case.
"""

from __future__ import annotations

import json
import random
import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from configurator.core import paths
from configurator.evaluation.evaluator import Evaluation
from configurator.files.job_files import read_case
from configurator.loading import plugin_files
from configurator.search.circuit import elimination, elimination_order
from configurator.search.circuit.cardinality import Guide
from configurator.search.circuit.join import TooWide, absorb, begin
from configurator.search.circuit.order_cost import Rehearsal
from configurator.search.encoding.encoder import make_model
from configurator.search.encoding.reducing import reduce_tables
from configurator.search.encoding.tables import select
from configurator.search.limits import LIMITS
from configurator.search.optimum import known_orders, queries
from configurator.search.optimum.narrowing import rows_left, steady

if TYPE_CHECKING:
    from collections.abc import Sequence

    from configurator.search.encoding.constraint_model import Model
    from configurator.search.encoding.reducing import Reduced

JOBS = paths.catalogs() / "demo" / "jobs"
# Beyond this, an order is none; pairs of rows looked at while variables are moved about.
MOST_ROWS = 20_000_000
PATIENT = replace(LIMITS, orders_tried=20_000)
PARTS = 500


def _reduced(model: Model, *, asked: bool) -> Reduced:
    """Reduce a case's tables, those of its job's goals cut where these are asked."""
    given = list(model.tables)
    moving = set(model.goal_tables.values())
    job = steady(model, model.evaluation.case.job)
    for number, rows in (rows_left(model, job.goals, None) or {}).items() if asked else ():
        given[number] = select(given[number], rows)
        moving.discard(number)
    labels = {number: np.arange(model.tables[number].rows) for number in moving}
    labels.update(model.work_costs)
    labels.update({number: sure.astype(np.int64) for number, sure in model.sure_rows.items()})
    positions = set(model.position_tables.values())
    reduced = reduce_tables(given, model.sizes, model.told_by, positions, labels)
    assert reduced is not None, "nothing fits"
    return reduced


def _followed(model: Model, case: Reduced, order: Sequence[int]) -> tuple[int, list[int]]:
    """Join a case in an order; give the rows it takes, and the order with what it did not have."""
    positions = set(model.position_tables.values())
    draft = begin(case.tables, case.sizes, MOST_ROWS, positions, PATIENT)
    guide = Guide(case.tables, case.sizes, model.told_by, positions, None)
    try:
        assert absorb(draft)
        assert elimination._follow_among(draft, order, guide, MOST_ROWS)
    except TooWide:
        return MOST_ROWS, list(order)
    return draft.rows, draft.order


def _better(model: Model, order: Sequence[int]) -> list[int]:
    """Move variables about where the job's goals are asked, or with marks in the whole case."""
    positions = set(model.position_tables.values())
    case = _reduced(model, asked=not model.sure_rows)
    _, whole = _followed(model, case, order)
    draft = begin(case.tables, case.sizes, MOST_ROWS, positions, PATIENT)
    assert absorb(draft)
    rehearsal = Rehearsal(draft)
    start = [variable for variable in whole if variable in rehearsal.variables]
    moved = elimination_order.improved([rehearsal], start, model.told_by, random.Random(1), PARTS)
    return elimination_order._with_rest(moved or start, order)


def main() -> None:
    """Write what is better than before."""
    trade = plugin_files.load(installed=False).trade
    file = known_orders.bundled_file()
    known: dict[str, Any] = json.loads(file.read_text("utf-8")) if file.is_file() else {}
    marks = "--marks" in sys.argv
    chosen = [name for name in sys.argv[1:] if name != "--marks"]
    for path in sorted(JOBS.glob("*.toml")):
        if chosen and path.stem not in chosen:
            continue
        case = read_case(Path(path), trade)
        goals = queries.goal_figures(case.job)
        model = make_model(Evaluation(case, trade), goals, sure=marks)
        whole = _reduced(model, asked=False)
        positions = set(model.position_tables.values())
        vehicle = case.vehicle.key
        name = f"{vehicle}{known_orders.WITH_MARKS}" if marks else vehicle
        before = known.get(name, known.get(vehicle))
        if before is not None:
            served = known_orders.as_numbers(model, before["order"], before["rows"])
            rows, order = _followed(model, whole, served.order)
        else:
            circuit = elimination.make_circuit(whole.tables, whole.sizes, model.told_by, positions)
            rows, order = circuit.joined_rows, list(circuit.order)
        print(f"{path.stem}: {rows:,} rows", flush=True)
        fewer, other = _followed(model, whole, _better(model, order))
        print(f"{path.stem}: {fewer:,} rows after looking further", flush=True)
        if fewer < rows:
            rows, order = fewer, other
        elif marks:
            continue
        names = [model.variable_names[variable] for variable in order]
        known[name] = {"rows": rows, "order": names}
        file.write_text(json.dumps(known, indent=1, sort_keys=True) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
