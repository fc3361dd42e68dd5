"""What is done to a circuit once so that passes are quicker changes no answer."""

from __future__ import annotations

from configurator.search.circuit.nodes import Circuit
from configurator.search.circuit.passes import answer, forward
from configurator.search.circuit.pruning import in_joined_order
from configurator.search.circuit.semirings import CHEAPEST_64, CountModulo
from configurator.search.optimum import preparing, queries
from configurator.search.optimum.preparing import Question
from tests.search.random_cases import make

SEEDS = range(60)


def prepared_of(seed):
    made = make(seed)
    return made.case.job, preparing.prepare(made.evaluation, queries.goal_figures(made.case.job))


def indices(circuit):
    return sum(
        index is not None for node in circuit.nodes for index in (node.from_left, node.from_right)
    )


def test_prices_are_the_same_as_without(monkeypatch):
    quick = [prepared_of(seed) for seed in SEEDS]
    with monkeypatch.context() as patch:
        patch.setattr(preparing, "in_joined_order", lambda circuit, _: circuit)
        patch.setattr(Circuit, "make_ready", lambda _: None)
        plain = [prepared_of(seed) for seed in SEEDS]
    fewer = 0
    for (job, prepared), (_, other) in zip(quick, plain, strict=True):
        previews, expected = (
            queries.previews(Question(prepared, job)),
            queries.previews(Question(other, job)),
        )
        assert previews.cheapest == expected.cheapest
        for prices, others in (
            (previews.prices, expected.prices),
            (previews.if_freed, expected.if_freed),
        ):
            for position in others:
                assert prices[position].tolist() == others[position].tolist()
        fewer += indices(prepared.circuit) < indices(other.circuit)
    assert fewer >= 10


def test_leaves_that_may_not_be_moved_stay(monkeypatch):
    monkeypatch.setattr(preparing, "in_joined_order", lambda circuit, _: circuit)
    moved = 0
    for seed in SEEDS:
        _, prepared = prepared_of(seed)
        circuit = prepared.circuit
        before = [list(rows) for rows in circuit.leaf_rows]
        assert indices(in_joined_order(circuit, ())) == indices(circuit)
        of_positions = set(prepared.model.position_tables.values())
        reordered = in_joined_order(circuit, of_positions)
        assert [list(rows) for rows in circuit.leaf_rows] == before
        for number, rows in enumerate(reordered.leaf_rows):
            same = [row.tolist() for row in rows] == [row.tolist() for row in before[number]]
            assert same or number in of_positions
            moved += not same
    assert moved > 10


def test_short_segments_are_added_as_long_ones_are():
    compared = 0
    for seed in SEEDS:
        job, prepared = prepared_of(seed)
        weighed = queries.weigh(Question(prepared, job), semiring=CHEAPEST_64)
        if not weighed.possible:
            continue
        sizes = {
            prepared.model.position_tables[position]: each
            for position, each in queries.class_sizes(prepared).items()
        }
        for semiring, weights in ((CHEAPEST_64, weighed.weights), (CountModulo(2**31 - 1), sizes)):
            quick = answer(forward(prepared.circuit, weights, semiring), semiring)
            kept = [node.outer for node in prepared.circuit.nodes]
            for node in prepared.circuit.nodes:
                node.outer = None
            plain = answer(forward(prepared.circuit, weights, semiring), semiring)
            for node, outer in zip(prepared.circuit.nodes, kept, strict=True):
                node.outer = outer
            assert quick == plain
            compared += any(outer is not None for outer in kept)
    assert compared > 20
