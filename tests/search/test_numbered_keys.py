"""Keys that are numbered, held against numpy's `unique`."""

from __future__ import annotations

import numpy as np
import pytest

from configurator.search.encoding.tables import numbered


@pytest.mark.parametrize("bound", [1, 7, 400, 401, 2**31, 2**61])
@pytest.mark.parametrize("many", [0, 1, 100])
def test_few_keys_and_many_are_numbered_in_order_each_by_its_first_row(bound, many):
    chance = np.random.default_rng(bound + many)
    for _ in range(20):
        some = chance.integers(0, bound, 30)
        keys = chance.choice(some, many)
        _, first, number = np.unique(keys, return_index=True, return_inverse=True)
        rows, own = numbered(keys, bound)
        assert rows.tolist() == first.tolist()
        assert own.tolist() == number.tolist()
        if bound <= 2**31:
            narrow = numbered(keys.astype(np.int32), bound)
            assert [each.tolist() for each in narrow] == [first.tolist(), number.tolist()]
