"""Small random tables, and what values meet them all, listed one by one."""

from __future__ import annotations

import itertools

import numpy as np

from configurator.search.encoding.tables import Table


def random_tables(chance):
    """A few tables of two or three variables each, in rings and without."""
    sizes = [chance.choice((1, 2, 3)) for _ in range(chance.randint(2, 6))]
    tables = []
    for number in range(chance.randint(1, 7)):
        variables = tuple(
            chance.sample(range(len(sizes)), min(len(sizes), chance.choice((1, 2, 2, 3))))
        )
        every = list(itertools.product(*(range(sizes[v]) for v in variables)))
        rows = chance.sample(every, max(1, round(len(every) * chance.choice((0.4, 0.6, 0.9)))))
        columns = tuple(np.array(column, np.int32) for column in zip(*rows, strict=True))
        tables.append(Table(f"table {number}", variables, columns, len(rows)))
    return tables, sizes


def meeting_rows(tables, sizes):
    """For each choice of values that meets all tables, the row of each table."""
    rows = [
        {row: n for n, row in enumerate(zip(*map(np.ndarray.tolist, t.columns), strict=True))}
        for t in tables
    ]
    for values in itertools.product(*map(range, sizes)):
        picked = [
            own.get(tuple(values[v] for v in table.variables))
            for table, own in zip(tables, rows, strict=True)
        ]
        if None not in picked:
            yield picked
