"""Many clicks in a row: what an earlier question left on the circuit never shows in an answer."""

from __future__ import annotations

import random
from dataclasses import replace

import numpy as np
import pytest

from configurator.model.jobs import Goal
from configurator.search.circuit.passes import forward
from configurator.search.circuit.semirings import Count
from configurator.search.optimum import k_best, preparing, queries
from configurator.search.optimum.lately import Lately
from configurator.search.optimum.preparing import Question
from tests.search.random_cases import make

CLICKS = 25
KINDS = ("fix", "fix", "free", "keep", "rule out", "allow", "goal", "wait", "start again")
SEEDS = range(40)


def clicked(job, options, chance):
    """Fix, free, keep, rule out, allow again, move a goal, bear another wait, or start again."""
    position = chance.choice(sorted(options))
    key = chance.choice(options[position]).key
    kind = chance.choice(KINDS)
    if kind == "fix":
        return replace(job, fixed={**job.fixed, position: key})
    if kind == "free":
        fixed = {p: k for p, k in job.fixed.items() if p != position}
        return replace(job, fixed=fixed, keep=tuple(p for p in job.keep if p != position))
    if kind == "keep":
        return replace(job, keep=tuple(sorted({*job.keep, position})))
    if kind == "rule out":
        return replace(job, excluded=tuple(sorted({*job.excluded, key})))
    if kind == "allow":
        return replace(job, excluded=job.excluded[1:])
    if kind == "wait":
        return replace(job, parts_within=chance.choice((None, 0, 10)))
    if kind == "start again" or not job.goals:
        return replace(queries.without_wishes(job), goals=job.goals)
    goal = chance.choice(job.goals)
    moved = Goal(goal.figure, at_least=chance.choice((None, -3.0, 0.0, 4.0)), at_most=9.0)
    return replace(
        job, goals=tuple(moved if goal_now is goal else goal_now for goal_now in job.goals)
    )


def the_same(first, other):
    assert first.cheapest == other.cheapest
    for position in other.prices:
        assert first.prices[position].tolist() == other.prices[position].tolist()
        assert first.if_freed[position].tolist() == other.if_freed[position].tolist()


@pytest.mark.parametrize("batch", range(4))
def test_each_click_is_answered_as_if_it_were_the_first(batch):
    answered = 0
    for seed in SEEDS[batch::4]:
        chance = random.Random(f"clicks {seed}")
        random_case = make(seed)
        job = queries.without_wishes(random_case.case.job)
        job = replace(job, goals=random_case.case.job.goals)
        prepared = preparing.prepare(random_case.evaluation, queries.goal_figures(job))
        for _ in range(CLICKS):
            job = clicked(job, prepared.model.options, chance)
            fresh = replace(prepared, lately=Lately())
            positions = chance.choice((None, sorted(prepared.model.options)[:1]))
            previews = queries.previews(Question(prepared, job), positions)
            the_same(previews, queries.previews(Question(fresh, job), positions))
            assert queries.cheapest_price(Question(prepared, job)) == previews.cheapest
            for figure in queries.goal_figures(job):
                fresh = replace(prepared, lately=Lately())
                curve = queries.curve(Question(prepared, job), figure)
                assert curve == queries.curve(Question(fresh, job), figure), (seed, figure)
            first = next(k_best.in_order(Question(prepared, job)), None)
            assert (first and first[0]) == previews.cheapest
            answered += previews.cheapest is not None
    assert answered > CLICKS  # the tests say nothing where nothing fits


def test_a_pass_is_the_same_with_and_without_what_an_earlier_one_left():
    compared = 0
    for seed in SEEDS:
        prepared = preparing.prepare(make(seed).evaluation, [])
        circuit = prepared.circuit
        if not circuit.nodes:
            continue
        numbers = np.random.default_rng(seed)
        weights = {}
        last = None
        for _ in range(10):
            leaf = int(numbers.integers(len(circuit.leaf_rows)))
            rows = len(circuit.leaf_rows[leaf])
            weights[leaf] = numbers.integers(0, 2, rows).astype(np.float64)
            last = forward(circuit, weights, Count(), last)
            for before, other in zip(last, forward(circuit, weights, Count()), strict=True):
                assert (before is None) == (other is None)
                assert before is None or before.tolist() == other.tolist()
                compared += 1
    assert compared > 100


def test_a_part_that_is_fitted_and_listed_is_found_twice():
    """Asking for it by its key leaves both: the one that stays and a new one."""
    for seed in SEEDS:
        random_case = make(seed)
        evaluation, job = random_case.evaluation, random_case.case.job
        prepared = preparing.prepare(evaluation, [])
        for position, options in prepared.model.options.items():
            twin = replace(options[0], part=options[-1].part)
            prepared.model.options[position] = (twin, *options[1:])
            evaluation._options[position] = (twin, *options[1:])
            del evaluation.answers["numbers by key", position]
            asked = replace(queries.without_wishes(job), fixed={position: twin.key})
            mask = queries.allowed(prepared.model, asked, position)
            assert mask.tolist() == [option.key == twin.key for option in (twin, *options[1:])]
            kept = replace(queries.without_wishes(job), keep=(position,))
            mask = queries.allowed(prepared.model, kept, position)
            assert mask.tolist() == [not option.changed for option in (twin, *options[1:])]
