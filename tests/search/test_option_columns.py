"""Options told apart by several columns of codes."""

from __future__ import annotations

import numpy as np

from configurator.search.encoding.option_columns import distinct


def test_rows_are_numbered_as_they_are_met_however_many_codes_there_may_be():
    chance = np.random.default_rng(1)
    for bound in (3, 2**20, 2**31 - 1):  # of four columns: more than an integer holds
        few = chance.integers(0, bound, 3)
        columns = [chance.choice(few, 40).astype(np.int64) for _ in range(4)]
        first, kind = distinct([(column, bound) for column in columns], 40)
        numbers: dict[tuple[int, ...], int] = {}
        rows = list(zip(*(column.tolist() for column in columns), strict=True))
        assert kind.tolist() == [numbers.setdefault(row, len(numbers)) for row in rows]
        assert first.tolist() == [rows.index(row) for row in numbers]


def test_without_columns_all_rows_are_alike():
    first, kind = distinct([], 3)
    assert (first.tolist(), kind.tolist()) == ([0], [0, 0, 0])
