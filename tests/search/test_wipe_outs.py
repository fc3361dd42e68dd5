"""Tables that leave each other nothing, against asking all of them together."""

from __future__ import annotations

import random

from configurator.search.explanation.joint_consistency import met_together
from configurator.search.explanation.wipe_outs import conflicting_tables

from .test_availability import random_tables


def test_what_is_traced_cannot_be_met_together_and_nothing_is_traced_where_all_can():
    traced = missed = narrower = 0
    for seed in range(1500):
        chance = random.Random(f"wipe-outs {seed}")
        tables, sizes = random_tables(chance)
        begin = chance.sample(range(len(tables)), chance.randint(0, len(tables)))
        numbers = conflicting_tables(tables, sizes, begin)
        if met_together(tables, sizes):
            assert numbers is None, seed
        elif numbers is None:
            missed += 1
        else:
            traced += 1
            narrower += len(numbers) < len(tables)
            assert met_together([tables[n] for n in sorted(numbers)], sizes) is False, seed
    assert traced > 150
    assert narrower > 50
    assert missed < traced  # rings that no single value gives away are left to others


def test_a_table_without_rows_conflicts_with_nothing_but_itself():
    tables, sizes = random_tables(random.Random(1))
    empty = tables[0].__class__("empty", (0,), (tables[0].columns[0][:0],), 0)
    assert conflicting_tables([*tables, empty], sizes, [len(tables)]) == {len(tables)}
