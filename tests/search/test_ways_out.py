"""What would have to give, with true prices and values in both grades: against every package."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from configurator.evaluation.how_sure import is_sure
from configurator.evaluation.packages import make_package
from configurator.model.jobs import Goal
from configurator.model.requirements import wishes_of, with_wishes
from configurator.search.explanation import conflicts
from configurator.search.optimum import preparing, queries, verification
from configurator.search.optimum.preparing import Question
from tests.search.test_certainty import with_tolerances


def packages_of(evaluation, job):
    """Give all packages that meet a job in its grade and its budget, with their prices."""
    domains = {p: evaluation.options(p) for p in evaluation.families}
    met = verification.packages(evaluation, replace(job, sure=False, budget=None), domains)
    priced = [(choice, make_package(evaluation, choice).price) for choice in met]
    return [
        (choice, price)
        for choice, price in priced
        if (job.budget is None or price <= job.budget)
        and not (job.sure and not is_sure(evaluation, choice))
    ]


def too_poor(evaluation, job, seed):
    """Ask for a high value of a figure, and for less money than it costs; None if nothing does."""
    chance = random.Random(seed)
    free = replace(job, goals=(), budget=None)
    packages = packages_of(evaluation, free)
    names = [n for n in evaluation.trade.figures if not evaluation.late(evaluation.definition(n))]
    chance.shuffle(names)
    for name in names:
        values = [evaluation.figure(name, choice) for choice, _ in packages]
        numbers = sorted({value for value in values if isinstance(value, float)})
        if len(numbers) < 3:
            continue
        bound = numbers[-1 - chance.randint(0, 1)]
        with_values = zip(values, packages, strict=True)
        prices = [p for v, (_, p) in with_values if isinstance(v, float) and v >= bound]
        low = min(price for _, price in packages)
        if min(prices) > low + 1:
            budget = chance.randint(low, min(prices) - 1)
            return replace(free, goals=(Goal(name, at_least=bound),), budget=budget)
    return None


@pytest.mark.parametrize("sums", [False, True])
@pytest.mark.parametrize("sure", [False, True], ids=["as calculated", "sure"])
def test_prices_and_values_are_those_of_packages(sums, sure):
    nearest = 0
    for seed in range(300 if sums else 100):
        random_case = with_tolerances(seed, sums=sums)
        evaluation = random_case.evaluation
        job = too_poor(evaluation, replace(random_case.case.job, sure=sure), seed)
        if job is None:
            continue
        prepared = preparing.prepare(evaluation, queries.goal_figures(job), sure=sure)
        repairs = conflicts.repairs(Question(prepared, job))
        assert repairs, seed
        for repair in repairs:
            dropped = [wish for wish, _ in repair.given_up]
            rest = with_wishes(job, [w for w in wishes_of(job) if w not in dropped])
            packages = packages_of(evaluation, rest)
            for wish, near in repair.given_up:
                if wish.kind == "budget":
                    assert near == repair.price
                elif wish.kind == "at least":
                    values = [evaluation.figure(wish.subject, choice) for choice, _ in packages]
                    numbers = [value for value in values if isinstance(value, float)]
                    assert near == max(numbers, default=None), (seed, wish.name)
                    nearest += near is not None
                    if near is not None:  # what follows is had together with it
                        packages = [
                            package
                            for package, value in zip(packages, values, strict=True)
                            if value == near
                        ]
            assert repair.price == min(price for _, price in packages), seed
    assert nearest > 5
