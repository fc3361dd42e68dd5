"""Packages like an earlier one, against every package of a small case."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from configurator.core.errors import FitwrightError
from configurator.evaluation.packages import make_package
from configurator.questions.case_cache import posed
from configurator.questions.like_before import packages_like
from configurator.search.optimum import preparing, verification
from tests.search.random_cases import make


def all_packages(evaluation, job):
    domains = {position: evaluation.options(position) for position in evaluation.families}
    return [
        make_package(evaluation, choice)
        for choice in verification.packages(evaluation, job, domains)
    ]


@pytest.mark.parametrize("seed", range(30))
def test_the_fewest_changes_the_cheapest_and_the_hull_between(seed):
    made = make(seed)
    evaluation, job = made.evaluation, replace(made.case.job, budget=None)
    if any(goal.as_possible for goal in job.goals):
        job = replace(job, goals=tuple(replace(g, as_possible=None) for g in job.goals))
    figures = list(dict.fromkeys(goal.figure for goal in job.goals))
    prepared = posed(preparing.prepare(evaluation, figures), job)
    chance = random.Random(seed)
    before = {
        position: chance.choice(evaluation.options(position)).key
        for position in evaluation.families
    }

    def changes(choice):
        return sum(choice[position].key != key for position, key in before.items())

    points = [(changes(p.choice), p.price) for p in all_packages(evaluation, job)]
    alike = packages_like(prepared, before)
    if not points:
        assert alike == []
        return
    fewest = min(count for count, _ in points)
    assert (len(alike[0].changes), alike[0].package.price) == min(points)
    assert alike[0].changes.keys() <= before.keys()
    assert len(alike[0].changes) == fewest
    assert alike[-1].package.price == min(price for _, price in points)
    for item in alike:
        here = (len(item.changes), item.package.price)
        assert here in points
        assert here[1] == min(price for count, price in points if count <= here[0])


def test_an_earlier_package_of_another_vehicle_is_refused():
    made = make(3)
    prepared = preparing.prepare(made.evaluation, [])
    with pytest.raises(FitwrightError, match="nothing of the kind"):
        packages_like(prepared, {"nothing of the kind": "a/b"})
