"""A column goes when the table says nothing with it that is not said without."""

import itertools
import random

import numpy as np
import pytest

from configurator.search.encoding.implied_columns import choices_left, without_implied
from configurator.search.encoding.reducing import consistent, reduce_tables
from configurator.search.encoding.tables import Table, select

# Two positions of two columns each; a figure of one column of each.
SIZES = [3, 2, 3, 2, 3]
TOLD_BY = [0, 0, 1, 1, 2]
LISTS = [[(0, 0), (0, 1), (1, 0), (2, 1)], [(0, 0), (1, 0), (1, 1), (2, 1)]]


def table(name, variables, rows):
    columns = np.array(rows, np.int32).reshape(len(rows), len(variables)).T
    return Table(name, tuple(variables), tuple(columns), len(rows))


def given(rule, variables):
    lists = [table(f"p{k}", (2 * k, 2 * k + 1), rows) for k, rows in enumerate(LISTS)]
    figure = table("f", (0, 2, 4), [(a, b, max(a, b)) for a in range(3) for b in range(3)])
    return [*lists, figure, table("r", variables, rule)]


def choices(tables):
    return choices_left(tables, SIZES, TOLD_BY)


def packages(tables):
    """All values of the variables that every table allows, but those of columns left out."""
    rows = [
        {tuple(row) for row in zip(*(c.tolist() for c in t.columns), strict=True)} for t in tables
    ]
    return {
        values
        for values in itertools.product(*(range(size) for size in SIZES))
        if all(
            not t.variables or tuple(values[v] for v in t.variables) in listed
            for t, listed in zip(tables, rows, strict=True)
        )
    }


@pytest.mark.parametrize("seed", range(60))
def test_nothing_changes_in_what_fits_together(seed):
    chance = random.Random(seed)
    variables = sorted(chance.sample(range(5), chance.randint(1, 3)))
    rows = list(itertools.product(*(range(SIZES[v]) for v in variables)))
    idle = chance.choice(variables)
    forbidden = [r for r in rows if chance.random() < 0.2]
    if chance.random() < 0.7:  # whatever the value of one column is
        k = variables.index(idle)
        out = {r[:k] + r[k + 1 :] for r in forbidden}
        rows = [r for r in rows if r[:k] + r[k + 1 :] not in out]
    else:
        rows = [r for r in rows if r not in forbidden]
    tables = given(rows, variables)
    kept = consistent(tables, SIZES)
    if kept is None:
        return
    tables = [select(t, rows) for t, rows in zip(tables, kept, strict=True)]
    before = packages(tables)
    fewer = without_implied(tables, 3, SIZES, choices(tables), TOLD_BY, {0, 1})
    if fewer is None and 4 not in variables:
        # By the meaning: leaving any column out would let something else through.
        listed = list(zip(*(c.tolist() for c in tables[3].columns), strict=True))
        for k in range(len(variables)):
            rest = variables[:k] + variables[k + 1 :]
            short = table("r", rest, sorted({row[:k] + row[k + 1 :] for row in listed}))
            assert packages([*tables[:3], short]) != before
    if fewer is not None:
        smaller, new = fewer
        assert packages([*tables[:3], smaller]) == before
        assert set(smaller.variables) < set(variables)
        for number, row in enumerate(new.tolist()):
            for v, column in zip(smaller.variables, smaller.columns, strict=True):
                assert column[row] == tables[3].columns[variables.index(v)][number]


def test_the_list_of_the_position_counts_not_all_combinations():
    # Not every pair of the first position's columns comes, and the rule lists only those that do.
    rows = [(a, b, c) for a, b in LISTS[0] for c in (0, 1, 2) if (b, c) != (1, 2)]
    tables = given(rows, (0, 1, 2))
    smaller, _ = without_implied(tables, 3, SIZES, choices(tables), TOLD_BY, {0, 1})
    assert smaller.variables == (1, 2)
    assert smaller.rows == 5


def test_a_figure_stays_in_the_table_that_defines_it():
    tables = given([(0,), (1,), (2,)], (4,))
    assert without_implied(tables, 2, SIZES, choices(tables), TOLD_BY, {0, 1}) is None
    smaller, _ = without_implied(tables, 3, SIZES, choices(tables), TOLD_BY, {0, 1})
    assert smaller.variables == ()
    assert smaller.rows == 1


def test_what_a_row_costs_is_not_lost():
    rows = [(a, c) for a in range(3) for c in range(3)]
    tables = given(rows, (0, 2))
    by_first = np.array([100 * a for a, _ in rows])
    smaller, new = without_implied(tables, 3, SIZES, choices(tables), TOLD_BY, {0, 1}, by_first)
    assert smaller.variables == (0,)
    assert [100 * int(smaller.columns[0][row]) for row in new] == by_first.tolist()
    by_both = np.array([100 * a + c for a, c in rows])
    assert without_implied(tables, 3, SIZES, choices(tables), TOLD_BY, {0, 1}, by_both) is None


def test_reducing_leaves_no_column_that_forbids_nothing():
    rows = [(a, c) for a in range(3) for c in range(3) if a < 2]
    tables = given(rows, (0, 2))
    reduced = reduce_tables(tables, SIZES, TOLD_BY, {0, 1}, {2: np.arange(9)})
    assert 2 not in reduced.tables[3].variables
    assert reduced.tables[0].rows == 2
