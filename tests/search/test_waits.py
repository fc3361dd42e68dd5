"""Parts that are there too late are left out, and nothing else is: against full enumeration."""

from __future__ import annotations

import itertools
import random
from dataclasses import replace

import pytest

from configurator.evaluation.evaluator import Evaluation
from configurator.evaluation.lead_times import longest_wait, too_late, wait_of
from configurator.evaluation.packages import not_checked
from configurator.model.requirements import wishes_of
from configurator.questions.edits import repaired
from configurator.search.counting import model_counting
from configurator.search.explanation import conflicts
from configurator.search.optimum import k_best, option_prices, preparing, queries, verification
from configurator.search.optimum.preparing import Question
from tests.search.random_cases import make
from tests.search.test_against_enumeration import everything
from tests.search.test_conflicts import holds

WAITS = (None, 0, 3, 10, 10, 21, 60)


def waiting(seed, **kind):
    """A random case whose parts have waits, some with pieces on the shelf, and a job that minds."""
    random_case = make(seed, **kind)
    chance = random.Random(f"waits {seed}")
    parts = {
        family: tuple(
            replace(
                option, lead_time=chance.choice(WAITS), stock=chance.choice((None, None, 0, 2, 8))
            )
            for option in those
        )
        for family, those in random_case.case.parts.items()
    }
    job = replace(
        random_case.case.job,
        parts_within=chance.choice((0, 5, 10, 30, 100)),
        vehicles=chance.choice((1, 1, 3)),
    )
    return Evaluation(replace(random_case.case, parts=parts, job=job), random_case.trade), job


def in_time(evaluation, job, choice):
    """By the lists alone: what a package takes off the shelf, and how long the rest takes."""
    for position, key in choice:
        option = next(o for o in evaluation.options(position) if o.key == key)
        if not option.changed or key == "none" or option.part.lead_time is None:
            continue
        family = evaluation.families[position]
        places = sum(key in {o.key for o in evaluation.options(p.name)} for p in family.positions)
        needed = evaluation.pieces(family) * places * job.vehicles
        if (option.part.stock or 0) < needed and option.part.lead_time > job.parts_within:
            return False
    return True


@pytest.mark.parametrize("batch", range(6))
def test_what_is_left_is_what_is_there_in_time(batch):
    for seed in range(batch * 20, batch * 20 + 20):
        evaluation, job = waiting(seed)
        every = everything(evaluation, replace(job, parts_within=None))
        expected = {key: price for key, price in every.items() if in_time(evaluation, job, key)}
        prepared = preparing.prepare(evaluation, queries.goal_figures(job))
        assert queries.cheapest_price(Question(prepared, job)) == min(
            expected.values(), default=None
        ), seed
        listed = list(itertools.islice(k_best.in_order(Question(prepared, job)), len(expected) + 1))
        assert {
            tuple((p, o.key) for p, o in sorted(choice.items())): price for price, choice in listed
        } == expected, seed
        for _, choice in listed[:2]:
            verification.confirm(evaluation, job, choice)
        assert model_counting.count(Question(prepared, job)).total == len(expected)
        previews = queries.previews(Question(prepared, job))
        for position, options in prepared.model.options.items():
            for number, option in enumerate(options):
                prices = [c for key, c in expected.items() if (position, option.key) in key]
                assert previews.prices[position][number] == min(prices, default=-1), (seed, option)


def test_the_random_jobs_rule_some_packages_out_for_the_wait_alone():
    fewer = none = 0
    for seed in range(120):
        evaluation, job = waiting(seed)
        every = everything(evaluation, replace(job, parts_within=None))
        left = sum(in_time(evaluation, job, key) for key in every)
        fewer += 0 < left < len(every)
        none += left == 0 < len(every)
    assert fewer > 8
    assert none > 3


@pytest.mark.parametrize("start", range(0, 120, 30))
def test_a_wait_in_the_way_is_in_the_conflict_and_accepting_more_helps(start):
    for seed in range(start, start + 30):
        evaluation, job = waiting(seed, families=4)
        if holds(evaluation, job):
            continue
        prepared = preparing.prepare(evaluation, queries.goal_figures(job))
        reasons = conflicts.explain(Question(prepared, job))
        assert reasons, seed
        for reason in reasons:
            if reason.wish is not None and reason.wish.kind == "parts within" and reason.has:
                assert reason.has > reason.needs == job.parts_within, seed
        for repair in conflicts.repairs(Question(prepared, job)):
            ((wish, nearest), *more) = repair.given_up
            if wish.kind != "parts within" or more:
                continue
            # So many days are enough, and one day less is not.
            assert nearest > job.parts_within
            longer = repaired(job, repair)
            assert longer.parts_within == nearest
            assert holds(evaluation, longer), seed
            assert not holds(evaluation, replace(job, parts_within=nearest - 1)), seed


@pytest.mark.parametrize("seed", range(0, 40))
def test_the_shortest_wait_is_the_shortest(seed):
    evaluation, job = waiting(seed, families=4)
    prepared = preparing.prepare(evaluation, queries.goal_figures(job))
    least_wait = conflicts.least_wait(Question(prepared, job))
    able = [
        n for n in sorted({0, 3, 10, 21, 60}) if holds(evaluation, replace(job, parts_within=n))
    ]
    assert least_wait == (able[0] if able else None)


@pytest.mark.parametrize("seed", range(0, 24))
def test_limited_sums_are_kept_as_well(seed):
    evaluation, job = waiting(seed, families=4, sums=True)
    every = everything(evaluation, replace(job, parts_within=None))
    expected = [price for key, price in every.items() if in_time(evaluation, job, key)]
    prepared = preparing.prepare(evaluation, queries.goal_figures(job))
    assert option_prices.cheapest(Question(prepared, job)).price == min(expected, default=None)


def test_a_wait_that_nobody_knows_rules_nothing_out_but_is_said():
    compared = 0
    for seed in range(40):
        evaluation, job = waiting(seed)
        for choice in itertools.islice(
            verification.packages(
                evaluation, job, {p: evaluation.options(p) for p in evaluation.families}
            ),
            3,
        ):
            unknown = longest_wait(choice, job.vehicles)[1]
            missing_rules = [
                missing
                for missing in not_checked(evaluation, choice)
                if "all parts in" in missing.rule
            ]
            assert bool(missing_rules) == bool(unknown)
            for position in unknown:
                assert not too_late(job, choice[position])
                assert position in missing_rules[0].why
                compared += 1
    assert compared > 5


def test_the_shelf_is_not_counted_twice():
    evaluation = waiting(0)[0]
    position, option = next(
        (p, o) for p in evaluation.families for o in evaluation.options(p) if o.changed and o.pieces
    )
    assert option.position == position
    two = replace(option, everywhere=2 * option.pieces)
    for stock, vehicles, wait in (
        (option.pieces, 1, 30),
        (2 * option.pieces, 1, 0),
        (2 * option.pieces, 2, 30),
        (4 * option.pieces, 2, 0),
        (None, 1, 30),
    ):
        part = replace(option.part, stock=stock, lead_time=30)
        assert wait_of(replace(two, part=part), vehicles) == wait


def test_the_wait_is_a_wish_like_any_other():
    _, job = waiting(1)
    (wish,) = (wish_of_job for wish_of_job in wishes_of(job) if wish_of_job.kind == "parts within")
    assert wish.name == "parts within"
    assert wish.bound == job.parts_within
    assert queries.without_wishes(job).parts_within is None
