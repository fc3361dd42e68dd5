"""An order that is looked for by trying gives few rows, and every order gives the same answers."""

import random

import numpy as np
import pytest

from configurator.search.circuit.elimination_order import eliminate, improved, look_for
from configurator.search.circuit.join import TooWide, absorb, begin, matches, project
from configurator.search.circuit.nodes import Circuit
from configurator.search.circuit.order_cost import Rehearsal
from configurator.search.circuit.passes import answer, forward
from configurator.search.circuit.semirings import CHEAPEST_64, Count
from configurator.search.encoding.reducing import Reduced
from configurator.search.encoding.tables import Table
from configurator.search.limits import LIMITS, Limits

VALUES = 12


def relation(name, variables, rows):
    columns = tuple(np.array(column, np.int32) for column in zip(*rows, strict=True))
    return Table(name, variables, columns, len(rows))


def ring(many=7, seed=0):
    """Positions, each with one column, and rules between neighbours, all around."""
    chance = random.Random(seed)
    tables = [relation(f"p{v}", (v,), [(k,) for k in range(VALUES)]) for v in range(many)]
    for v in range(many):
        rows = [
            (a, b) for a in range(VALUES) for b in range(VALUES) if a == b or chance.random() < 0.4
        ]
        tables.append(relation(f"r{v}", (v, (v + 1) % many), rows))
    sizes = [VALUES] * many
    return Reduced(tables, sizes, [np.arange(t.rows, dtype=np.int32) for t in tables])


def rehearsal_of(case, positions, limits=LIMITS):
    draft = begin(case.tables, case.sizes, 10**8, positions, limits)
    assert absorb(draft)
    return Rehearsal(draft)


def total(steps):
    return sum(step.rows for step in steps)


def of(case, draft, semiring, weights):
    circuit = Circuit(draft.nodes, [np.arange(t.rows, dtype=np.int32) for t in case.tables])
    return answer(forward(circuit, weights, semiring), semiring)


@pytest.mark.parametrize("seed", range(12))
def test_every_order_gives_the_same_answers(seed):
    case = ring(seed=seed)
    chance = np.random.default_rng(seed)
    prices = {number: chance.integers(1, 99, VALUES) for number in range(7)}
    answers = set()
    for trial in range(6):
        order = random.Random(trial).sample(range(7), trial)  # short ones, too
        draft = begin(case.tables, case.sizes, 10**8, range(7))
        assert eliminate(draft, order)
        assert len(draft.live) == 1
        answers.add((of(case, draft, CHEAPEST_64, prices), of(case, draft, Count(), {})))
    assert len(answers) == 1


@pytest.mark.parametrize("seed", range(6))
def test_what_is_rehearsed_is_what_joining_gives(seed):
    case = ring(seed=seed)
    order = random.Random(seed).sample(range(7), 7)
    draft = begin(case.tables, case.sizes, 10**8, range(7))
    absorb(draft)
    before = draft.rows
    steps = Rehearsal(draft).run(order, 10**8)
    assert before == draft.rows  # rehearsing leaves the tables as they are
    assert {step.variable for step in steps} <= set(order)
    real = begin(case.tables, case.sizes, 10**8, range(7))
    assert eliminate(real, order)
    assert real.rows - before == total(steps)


def test_trying_gives_fewer_rows_and_remembers():
    rehearsal = rehearsal_of(ring(10), range(10))
    orders = [random.Random(seed).sample(range(10), 10) for seed in range(20)]
    poor = max(orders, key=lambda order: total(rehearsal.run(order, 10**8)))
    before = total(rehearsal.run(poor, 10**8))
    work = rehearsal.work
    assert total(rehearsal.run(poor, 10**8)) == before
    assert rehearsal.work == work  # known already
    assert rehearsal.run(poor, before - 1) is None
    better = improved([rehearsal], poor, range(10), random.Random(0), 1)
    assert sorted(better) == list(range(10))
    assert total(rehearsal.run(better, before)) < 0.9 * before


def test_a_start_that_takes_too_many_rows_is_refused():
    rehearsal = rehearsal_of(ring(10), range(10), Limits(order_rows=50))
    assert improved([rehearsal], list(range(10)), range(10), random.Random(0), 1) is None


def test_memory_is_given_back():
    rehearsal = rehearsal_of(ring(), range(7), Limits(remembered_values=0))
    first = total(rehearsal.run(range(7), 10**8))
    assert total(rehearsal.run(range(7), 10**8)) == first
    better = improved([rehearsal], list(range(7)), range(7), random.Random(0), 1)
    assert total(rehearsal.run(better, 10**8)) <= first


def test_an_order_for_several_cases_knows_what_is_open_in_any_of_them():
    def without(case, variable):
        """The case with one value of a variable left."""
        rows = [
            t.columns[t.variables.index(variable)] == 0
            if variable in t.variables
            else np.ones(t.rows, np.bool_)
            for t in case.tables
        ]
        tables = [
            Table(t.name, t.variables, tuple(c[k] for c in t.columns), int(k.sum()))
            for t, k in zip(case.tables, rows, strict=True)
        ]
        sizes = [1 if v == variable else size for v, size in enumerate(case.sizes)]
        return Reduced(tables, sizes, case.rows)

    whole = ring(9, seed=3)
    cases = [without(whole, 2), without(whole, 6), whole]
    order = look_for(cases, range(9), range(9), 9)
    assert sorted(order) == list(range(9))
    assert order == look_for(cases, range(9), range(9), 9)  # the same on every run
    for case in cases:
        draft = begin(case.tables, case.sizes, 20_000, range(9))
        assert eliminate(draft, order)
    # A million such cases are far more than a thousand rows, whatever the order.
    with pytest.raises(TooWide) as refused:
        look_for(cases, range(9), range(9), 10**6, 1000)
    assert refused.value.rows > 10**6


def test_nothing_to_look_for_gives_no_order():
    alone = Reduced([relation("p", (0,), [(0,), (1,)])], [2], [np.arange(2, dtype=np.int32)])
    assert look_for([alone], [0], [0], 1) == []


def test_an_order_that_is_too_dear_says_so():
    case = ring(10)
    draft = begin(case.tables, case.sizes, 500, range(10))
    with pytest.raises(TooWide):
        eliminate(draft, [0, 5, 2, 7, 4, 9, 1, 3, 6, 8])


def test_what_a_join_gives_is_counted_anew_where_a_table_was_projected():
    tables = [relation(name, (k, k + 2), [(v, v) for v in range(5)]) for k, name in enumerate("ab")]
    tables += [relation("c", (2,), [(v,) for v in range(5)]), relation("d", (3,), [(0,), (1,)])]
    draft = begin(tables, [5] * 4, 10**8)
    assert matches(draft, 0, 1) == 25
    project(draft, 0, ())
    assert matches(draft, 0, 1) == 5
