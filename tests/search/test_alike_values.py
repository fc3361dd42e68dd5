"""Values that nothing tells apart, held against comparing them one with the other."""

from __future__ import annotations

import numpy as np
import pytest

from configurator.search.encoding import alike_values
from configurator.search.encoding.value_columns import ValueColumn


def by_comparing(rounded, exact, effects):
    kinds, kind = {}, []
    for row in range(len(exact)):
        known = rounded[row], exact[row], tuple(np.round(effects[row], 11) + 0.0)
        kind.append(kinds.setdefault(known, len(kinds)))
    return kind


def drawn(seed):
    chance = np.random.default_rng(seed)
    many = int(chance.integers(1, 60))
    exact = ValueColumn.of(
        [[0.5, 1.5, -0.0, 0.0, "axle", 2][k] for k in chance.integers(0, 6, many)]
    )
    rounded = ValueColumn.of([[1.0, 2.0][k] for k in chance.integers(0, 2, many)])
    effects = chance.choice([0.0, -0.0, 0.1, 0.1 + 1e-14, 0.2], (many, int(chance.integers(0, 4))))
    return rounded, exact, effects


@pytest.mark.parametrize("mixed", ["well", "all to the same"])
def test_a_row_of_each_kind_and_the_kind_of_each_row(monkeypatch, mixed):
    if mixed == "all to the same":
        none = lambda listed: np.zeros(len(listed), np.int64)  # noqa: E731
        monkeypatch.setattr(alike_values, "_mixed_bits", none)
    merged = 0
    for seed in range(200):
        given = drawn(seed)
        kept, kind = alike_values.alike(*given)
        expected = by_comparing(*given)
        assert kind.tolist() == expected
        assert kept.tolist() == [expected.index(k) for k in range(len(kept))]
        merged += len(kept) < len(kind)
    assert merged > 100
