"""Tables that leave each other nothing, against listing what meets all of them."""

from __future__ import annotations

import random

import numpy as np

from configurator.search.encoding.table_propagation import TablePropagation
from configurator.search.explanation.case_splits import met_by_cases

from .random_tables import meeting_rows, random_tables


def conflicting_tables(tables, sizes, begin):
    """Tables that carrying on single values shows to leave nothing, looked at in some order."""
    state = TablePropagation(tables, sizes)
    conflict = state.carry_on(begin) or state.carry_on(range(len(tables)))
    return None if conflict is None else conflict.tables


def can_be_met(tables, sizes):
    return next(meeting_rows(tables, sizes), None) is not None


def test_what_is_traced_cannot_be_met_together_and_nothing_is_traced_where_all_can():
    traced = missed = narrower = 0
    for seed in range(1500):
        chance = random.Random(f"wipe-outs {seed}")
        tables, sizes = random_tables(chance)
        begin = chance.sample(range(len(tables)), chance.randint(0, len(tables)))
        numbers = conflicting_tables(tables, sizes, begin)
        if can_be_met(tables, sizes):
            assert numbers is None, seed
        elif numbers is None:
            missed += 1
        else:
            traced += 1
            narrower += len(numbers) < len(tables)
            assert not can_be_met([tables[n] for n in sorted(numbers)], sizes), seed
    assert traced > 150
    assert narrower > 50
    assert missed < traced  # rings that no single value gives away are left to cases


def test_a_table_without_rows_conflicts_with_nothing_but_itself():
    tables, sizes = random_tables(random.Random(1))
    empty = tables[0].__class__("empty", (0,), (tables[0].columns[0][:0],), 0)
    assert conflicting_tables([*tables, empty], sizes, [len(tables)]) == {len(tables)}


def within(tables, sizes, costs, most):
    """Whether rows meet some tables, and what they cost is not too much."""
    return any(
        sum(int(costs[n][row]) for n, row in enumerate(rows) if n in costs) <= most
        for rows in meeting_rows(tables, sizes)
    )


def test_by_cases_all_is_known_whatever_rows_cost():
    refuted = narrower = 0
    for seed in range(1500):
        chance = random.Random(f"cases {seed}")
        tables, sizes = random_tables(chance)
        split = list(range(len(tables)))
        costs = {
            number: np.array([chance.randint(0, 9) for _ in range(table.rows)], np.int64)
            for number, table in enumerate(tables)
            if chance.random() < 0.6
        }
        every = [
            sum(int(costs[n][row]) for n, row in enumerate(rows) if n in costs)
            for rows in meeting_rows(tables, sizes)
        ]
        least = min(every, default=5)
        most = chance.choice((least - 1, least - 1, least, least + 3))
        begin = chance.sample(split, chance.randint(0, len(split)))
        outcome = met_by_cases(
            tables, sizes, split, begin=begin, costs=costs, most=most, cases=1000
        )
        if every and (min(every) <= most or not costs):
            assert outcome.rows is not None, seed
            rows = [outcome.rows[number] for number in split]
            assert rows in list(meeting_rows(tables, sizes)), seed
            paid = sum(int(costs[n][row]) for n, row in enumerate(rows) if n in costs)
            assert paid <= most or not costs, seed
            continue
        assert outcome.conflict is not None, seed
        refuted += 1
        numbers = sorted(outcome.conflict)
        narrower += len(numbers) < len(tables)
        # A table that is not named counts with its cheapest row.
        rest = sum(int(each.min()) for n, each in costs.items() if n not in numbers)
        few = [tables[n] for n in numbers]
        own = {at: costs[n] for at, n in enumerate(numbers) if n in costs}
        if costs:
            assert not within(few, sizes, own, most - rest), seed
        else:
            assert not can_be_met(few, sizes), seed
    assert refuted > 300
    assert narrower > 100


def test_where_cases_are_too_many_nothing_is_known():
    for seed in range(300):
        chance = random.Random(f"few cases {seed}")
        tables, sizes = random_tables(chance)
        outcome = met_by_cases(tables, sizes, list(range(len(tables))), cases=0)
        if outcome.conflict is None and outcome.rows is None:
            return
    raise AssertionError
