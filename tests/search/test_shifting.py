"""Cost moved between tables: it cancels on every package, and raises bounds."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from configurator.search.circuit import cost_shifting, elimination
from configurator.search.circuit.mini_buckets import Loose
from configurator.search.circuit.passes import answer, forward
from configurator.search.circuit.semirings import CHEAPEST_64
from configurator.search.encoding.tables import Table
from configurator.search.limits import Limits
from configurator.search.optimum import preparing, queries
from configurator.search.optimum.preparing import Question
from tests.search.narrow import NARROW
from tests.search.random_cases import make
from tests.search.test_against_enumeration import everything

IMPOSSIBLE = CHEAPEST_64.impossible


def column(*codes):
    return np.array(codes, np.int32)


def bound(circuit, weights, base=0):
    return int(answer(forward(circuit, weights, CHEAPEST_64), CHEAPEST_64)) + base


@pytest.fixture
def rims():
    """Tyres and wheels in two rim diameters, taken apart at the diameter."""
    given = [
        Table("tyres", (0,), (column(0, 1),), 2),
        Table("wheels", (0,), (column(0, 1),), 2),
    ]
    circuit, apart = elimination.make_loose(given, [2], [0], {0, 1}, Limits(apart_pairs=1))
    assert apart == (0,)
    return Loose(tuple(given), (2,), (0,), apart, ("tyres",)), circuit


def test_a_mismatch_that_was_cheap_costs_what_the_cheapest_match_does(rims):
    loose, circuit = rims
    # Cheap tyres in one diameter, cheap wheels in the other.
    weights = {0: np.array([100, 900]), 1: np.array([700, 200])}
    assert bound(circuit, weights) == 300
    shift = cost_shifting.look_for(loose, circuit, weights, CHEAPEST_64)
    moved = cost_shifting.move(loose, weights, shift, CHEAPEST_64)
    assert 790 <= bound(circuit, moved.weights, moved.base) <= 800
    for row, price in enumerate((800, 1100)):  # tyre and wheel of one diameter
        assert sum(int(own[row]) for own in moved.weights.values()) + moved.base == price


def test_what_is_impossible_stays_so_and_nothing_is_below_zero(rims):
    loose, circuit = rims
    weights = {0: np.array([100, IMPOSSIBLE]), 1: np.array([700, 200])}
    shift = cost_shifting.Shift({(0, 0): np.array([-5000, 300]), (0, 1): np.array([5000, -300])})
    moved = cost_shifting.move(loose, weights, shift, CHEAPEST_64)
    assert moved.weights[0].tolist() == [0, IMPOSSIBLE]
    assert moved.weights[1].min() == 0
    assert bound(circuit, moved.weights, moved.base) <= 800


def test_amounts_of_one_value_add_up_to_nothing_and_bounds_rise():
    raised = looked_at = 0
    for seed in range(60):
        random_case = make(seed)
        job = random_case.case.job
        prepared = preparing.prepare(
            random_case.evaluation, queries.goal_figures(job), limits=NARROW
        )
        if prepared.loose is None:
            continue
        weighed = queries.weigh(Question(prepared, job))
        shift = queries.shift_for(Question(prepared, job), weighed)
        if not shift.amounts:
            continue
        looked_at += 1
        for variable in prepared.loose.apart:
            of_one = [own for (v, _), own in shift.amounts.items() if v == variable]
            assert not np.sum(of_one, axis=0).any(), seed
        given = (prepared.loose, weighed.weights, shift, prepared.semiring)
        moved = cost_shifting.move(*given)
        plain = bound(prepared.circuit, weighed.weights)
        now = bound(prepared.circuit, moved.weights, moved.base)
        assert plain <= now, seed
        for price in everything(random_case.evaluation, job).values():
            assert now + prepared.model.fixed_cost <= price, seed
        raised += now > plain
    assert looked_at > 10
    assert raised > 4


def test_a_job_with_another_part_fixed_has_the_same_amounts():
    """A click is answered without looking for amounts again."""
    asked = 0
    for seed in range(60):
        random_case = make(seed)
        job = random_case.case.job
        prepared = preparing.prepare(
            random_case.evaluation, queries.goal_figures(job), limits=NARROW
        )
        shift = queries.shift_for(Question(prepared, job))
        if not shift.amounts:
            continue
        asked += 1
        for position in list(prepared.model.options)[:2]:
            key = prepared.model.options[position][0].key
            clicked = replace(job, fixed={**job.fixed, position: key})
            assert queries.shift_for(Question(prepared, clicked)) is shift
    assert asked > 10
