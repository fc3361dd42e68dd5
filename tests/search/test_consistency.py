"""Rows without a partner: what is dropped, held against the definition on random tables."""

from __future__ import annotations

import random

import numpy as np

from configurator.search.encoding import tables
from configurator.search.encoding.reducing import consistent
from configurator.search.encoding.tables import Table


def drawn(seed):
    """A few tables over a few variables, some of which have one value only."""
    chance = random.Random(seed)
    sizes = [chance.choice((1, 2, 3, 4)) for _ in range(6)]
    given = []
    for number in range(chance.randint(2, 6)):
        variables = tuple(sorted(chance.sample(range(6), chance.randint(0, 4))))
        every = {tuple(chance.randrange(sizes[v]) for v in variables) for _ in range(9)}
        rows = np.array(sorted(every), np.int32).reshape(len(every), len(variables))
        columns = tuple(np.ascontiguousarray(column) for column in rows.T)
        given.append(Table(f"t{number}", variables, columns, len(every)))
    return given, sizes


def by_definition(given, sizes):
    """Drop rows without a partner in any one table, pair by pair, until nothing changes."""
    kept = [np.ones(table.rows, np.bool_) for table in given]
    changed = True
    while changed:
        changed = False
        for number, table in enumerate(given):
            for other, beside in enumerate(given):
                left = tables.select(beside, np.flatnonzero(kept[other]).astype(np.int32))
                inside = kept[number] & tables.supported(table, left, sizes)
                if other != number and not np.array_equal(inside, kept[number]):
                    kept[number], changed = inside, True
    return [np.flatnonzero(rows) for rows in kept]


def test_the_rows_that_stay_are_those_of_the_definition():
    dropped = empty = 0
    for seed in range(400):
        given, sizes = drawn(seed)
        expected = by_definition(given, sizes)
        rows = consistent(given, sizes)
        if any(not len(kept) for kept in expected):
            assert rows is None, seed
            empty += 1
            continue
        assert rows is not None, seed
        assert [kept.tolist() for kept in rows] == [kept.tolist() for kept in expected], seed
        dropped += any(len(kept) < table.rows for kept, table in zip(rows, given, strict=True))
    assert empty > 10
    assert dropped > 60


def test_where_some_tables_lose_rows_afterwards_the_same_rows_stay():
    followed = 0
    for seed in range(400):
        given, sizes = drawn(seed)
        rows = consistent(given, sizes)
        if rows is None:
            continue
        chance = random.Random(seed)
        left = [tables.select(table, own) for table, own in zip(given, rows, strict=True)]
        fewer = chance.sample(range(len(left)), chance.randint(1, 2))
        for number in fewer:
            left[number] = tables.select(
                left[number], np.arange(chance.randint(0, left[number].rows))
            )
        expected = consistent(left, sizes)
        after = consistent(left, sizes, fewer)
        assert (after is None) == (expected is None), seed
        if after is None or expected is None:
            continue
        assert [kept.tolist() for kept in after] == [kept.tolist() for kept in expected], seed
        followed += any(
            len(kept) < table.rows
            for number, (kept, table) in enumerate(zip(after, left, strict=True))
            if number not in fewer
        )
    assert followed > 40
