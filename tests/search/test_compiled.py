"""Compiled passes against those of numpy: the same numbers, node for node."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from configurator.search.circuit import compiled
from configurator.search.circuit.passes import backward, forward
from configurator.search.circuit.semirings import CHEAPEST_32, CHEAPEST_64, Count
from configurator.search.limits import LIMITS, Limits
from configurator.search.optimum import preparing, queries
from tests.search.random_cases import make

SEEDS = range(40)


# All circuits are compiled, and run in threads.
COMPILED = Limits(compiled_from_rows=0, threaded_from_rows=0, threads=3)


def circuits(limits):
    for seed in SEEDS:
        case = make(seed)
        prepared = preparing.prepare(
            case.evaluation, queries.goal_figures(case.case.job), limits=limits
        )
        if prepared.circuit.nodes:
            yield seed, prepared.circuit


def weights_of(circuit, semiring, seed):
    """Weigh leaves by chance; some not at all, and some rows are impossible."""
    chance = np.random.default_rng(seed)
    result = {}
    for number, rows in enumerate(circuit.leaf_rows):
        if chance.random() < 0.8:
            own = chance.integers(0, 90_000, len(rows))
            own[chance.random(len(rows)) < 0.1] = semiring.impossible
            result[number] = own.astype(semiring.dtype)
    return result


def both_passes(circuit, weights, semiring, wanted):
    values = forward(circuit, weights, semiring)
    return values, backward(circuit, values, semiring, wanted)


@pytest.mark.parametrize("semiring", [CHEAPEST_32, CHEAPEST_64])
def test_numbers_are_those_of_numpy(semiring):
    pytest.importorskip("numba")
    expected = {}
    for seed, circuit in circuits(LIMITS):
        weights = weights_of(circuit, semiring, seed)
        wanted = set(range(len(circuit.leaf_rows)))
        expected[seed] = weights, wanted, *both_passes(circuit, weights, semiring, wanted)
    held = 0
    for seed, circuit in circuits(COMPILED):
        assert compiled.passes_for(circuit, semiring) is not None
        weights, wanted, values, below = expected[seed]
        values_compiled, found_below = both_passes(circuit, weights, semiring, wanted)
        for compiled_values, other in zip(values_compiled, values, strict=True):
            assert (compiled_values is None) == (other is None)
            assert compiled_values is None or np.array_equal(compiled_values, other)
            held += compiled_values is not None and compiled_values.dtype == other.dtype
        assert found_below.keys() == below.keys()
        for number, rows in below.items():
            assert np.array_equal(found_below[number], rows), seed
    assert held > 400


def test_only_prices_are_compiled_and_only_where_numba_is(monkeypatch):
    pytest.importorskip("numba")
    _, circuit = next(circuits(COMPILED))
    assert compiled.passes_for(circuit, CHEAPEST_32) is not None
    assert compiled.passes_for(circuit, Count()) is None
    larger = replace(COMPILED, compiled_from_rows=circuit.rows + 1)
    assert compiled.passes_for(replace(circuit, limits=larger), CHEAPEST_32) is None
    monkeypatch.setattr(compiled, "find_spec", lambda _: None)
    assert compiled.passes_for(circuit, CHEAPEST_32) is None
