"""Which limits have marks in tables, against what reducing the tables shows."""

from __future__ import annotations

import numpy as np
import pytest

from configurator.core import paths
from configurator.evaluation.evaluator import Evaluation
from configurator.files.job_files import read_case
from configurator.search.encoding import encoder, row_marks
from configurator.search.encoding.reducing import reduce_tables
from configurator.search.encoding.tables import select
from configurator.search.optimum import queries
from tests import bundled
from tests.search.test_certainty import with_tolerances


def reduced(model, sure_rows):
    """Reduce tables of which some have their sure rows only."""
    tables = [
        select(table, np.flatnonzero(sure_rows[number])) if number in sure_rows else table
        for number, table in enumerate(model.tables)
    ]
    labels = {n: np.arange(model.tables[n].rows) for n in model.goal_tables.values()}
    labels |= model.work_costs
    positions = set(model.position_tables.values())
    return reduce_tables(tables, model.sizes, model.told_by, positions, labels)


def by_reducing(model, sure_rows):
    calculated, certain = reduced(model, {}), reduced(model, sure_rows)
    return {
        number
        for number in sure_rows
        if calculated.tables[number].variables
        or (certain is not None and not certain.tables[number].variables)
    }


@pytest.fixture
def compared(monkeypatch):
    """The limits that are marked and those that are not, in every model that is made."""
    listed = []
    worth_marking = row_marks.worth_marking

    def held_against(model, kept, sure_rows, few_rows):
        marked = worth_marking(model, kept, sure_rows, 0)
        assert marked == by_reducing(model, sure_rows)
        listed.append((marked, sure_rows.keys() - marked))
        return worth_marking(model, kept, sure_rows, few_rows)

    monkeypatch.setattr(row_marks, "worth_marking", held_against)
    return listed


def test_they_are_those_that_reducing_tables_leaves(compared):
    for seed in range(150):
        given = with_tolerances(seed, sums=bool(seed % 2))
        encoder.make_model(given.evaluation, queries.goal_figures(given.case.job), sure=True)
    assert sum(bool(marked) for marked, _ in compared) > 50
    assert sum(bool(idle) for _, idle in compared) > 10


def test_they_are_so_on_a_vehicle_of_the_demo(compared):
    path = paths.catalogs() / "demo" / "jobs" / "touring-wagon-first-step.toml"
    case = read_case(path, bundled.trade())
    encoder.make_model(Evaluation(case, bundled.trade()), queries.goal_figures(case.job), sure=True)
    ((marked, idle),) = compared
    assert marked
    assert idle
