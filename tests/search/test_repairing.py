"""Each wish in the way is kept in one way out and given up in another: by enumeration."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest

from configurator.model.requirements import wishes_of, with_bound, with_wishes
from configurator.questions import answers
from configurator.search.explanation import conflicts, correction_sets
from configurator.search.optimum import preparing, queries
from configurator.search.optimum.preparing import Question
from tests.search.random_cases import make
from tests.search.test_against_enumeration import everything
from tests.search.test_conflicts import unmet


def smallest_sets(members, holds):
    result: list = []
    for size in range(len(members) + 1):
        for dropped in itertools.combinations(members, size):
            if not any(correction <= set(dropped) for correction in result) and holds(
                [member for member in members if member not in dropped]
            ):
                result.append(frozenset(dropped))
    return result


@pytest.mark.parametrize("seed", range(30))
def test_ways_out_are_all_the_smallest_sets(seed):
    import random

    chance = random.Random(seed)
    members = list(range(7))
    bad = [set(chance.sample(members, chance.randint(1, 3))) for _ in range(chance.randint(0, 5))]

    def holds(these):
        return not any(conflict <= set(these) for conflict in bad)

    assert set(correction_sets.ways_out(members, holds)) == set(smallest_sets(members, holds))


def test_nothing_helps_where_nothing_can_hold():
    assert correction_sets.ways_out([1, 2], lambda these: False) == []


@pytest.mark.parametrize("start", range(0, 160, 40))
def test_every_wish_in_the_way_is_given_up_in_one_and_kept_in_another(start):
    for seed, evaluation, job in unmet(range(start, start + 40)):
        prepared = preparing.prepare(evaluation, queries.goal_figures(job))
        known = conflicts.repairs(Question(prepared, job))
        repairs = correction_sets.representative(Question(prepared, job), known=known)
        assert repairs[: len(known)] == known
        wishes = wishes_of(job)

        def price(dropped, near=(), evaluation=evaluation, job=job, wishes=wishes):
            rest = with_wishes(job, [wish for wish in wishes if wish not in dropped])
            for wish, value in near:
                if wish.kind in {"at least", "at most"} and value is not None:
                    rest = with_bound(rest, replace(wish, bound=value))
            prices = [
                price
                for price in everything(evaluation, rest).values()
                if rest.budget is None or price <= rest.budget
            ]
            return min(prices, default=None)

        smallest = smallest_sets(
            wishes,
            lambda these: price([w for w in wishes if w not in these]) is not None,  # noqa: B023
        )
        shown = [frozenset(wish for wish, _ in repair.given_up) for repair in repairs]
        assert set(shown) <= set(smallest), seed
        for repair, dropped in zip(repairs, shown, strict=True):
            assert repair.price == price(dropped, repair.given_up), seed
        for wish in wishes:
            for given_up in (True, False):
                if any((wish in correction) is given_up for correction in smallest):
                    assert any((wish in correction) is given_up for correction in shown), (
                        seed,
                        wish.name,
                    )


def test_more_is_shown_than_the_fewest_wishes():
    more = 0
    for _, evaluation, job in unmet(range(400)):
        prepared = preparing.prepare(evaluation, queries.goal_figures(job))
        known = conflicts.repairs(Question(prepared, job))
        more += len(correction_sets.representative(Question(prepared, job), known=known)) > len(
            known
        )
        if more > 1:
            return
    assert more > 1


def test_an_answer_has_them():
    for seed, _, job in unmet(range(40)):
        random_case = make(seed, families=4)
        prepared = answers.ready(random_case.case, random_case.trade, keep=False)
        known = conflicts.repairs(Question(prepared, job))
        expected = correction_sets.representative(Question(prepared, job), known=known)
        assert list(answers.find(prepared).repairs) == expected
        assert list(answers.why(prepared).repairs) == expected
