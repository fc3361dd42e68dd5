"""Small problems with two or three limits on sums that bind, held against enumeration.

All packages of a random case are listed once; then limits are drawn again and again, in all grades
of tightness, and every option's price is compared with the cheapest package in the list that keeps
them. ``python -m tests.search.limited_problems 20000`` draws new cases until so many problems were
held, and says which disagree.
"""

from __future__ import annotations

import itertools
import random
import sys
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np

from configurator.model.jobs import Goal
from configurator.search.limits import LIMITS
from configurator.search.optimum import constrained_prices, preparing, queries
from configurator.search.optimum.preparing import Question
from configurator.search.optimum.weighing import PricingProblem
from tests.search.random_cases import make
from tests.search.test_against_enumeration import everything

if TYPE_CHECKING:
    from configurator.evaluation.evaluator import Evaluation
    from configurator.model.jobs import Job
    from configurator.search.limits import Limits

SUMS = ("mass", "moment", "reach")
# How loose a limit is: as tight as the package that is to keep it, up to nearly not binding.
GRADES = (0.0, 0.05, 0.15, 0.3, 0.5, 0.8)
DRAWS = 10


@dataclass(frozen=True)
class Listed:
    """A random case, and all its packages: what they cost, and their sums [packages, sums]."""

    evaluation: Evaluation
    job: Job
    packages: list[dict[str, str]]
    prices: list[int]
    sums: list[tuple[float, ...]]


@dataclass
class Tally:
    """How many problems were held, and what was in them."""

    held: int = 0
    binding: dict[int, int] = field(default_factory=dict)  # by how many limits bind
    none_fits: int = 0
    wrong: list[tuple[int, int, str]] = field(default_factory=list)

    def with_limits_that_bind(self, least: int) -> int:
        """Say in how many problems so many limits bind, or more."""
        return sum(many for limits, many in self.binding.items() if limits >= least)


def listed(seed: int) -> Listed | None:
    """List the packages of a case; None where there are too few for limits to bind."""
    random_case = make(seed, families=4, sums=True, third=True)
    evaluation = random_case.evaluation
    job = replace(queries.without_wishes(random_case.case.job), budget=None)
    packages = []
    domains = {p: {o.key: o for o in evaluation.options(p)} for p in evaluation.families}
    for key, price in everything(evaluation, job).items():
        choice = {p: domains[p][k] for p, k in key}
        sums = [evaluation.figure(name, choice) for name in SUMS]
        if all(isinstance(amount, float) for amount in sums):
            packages.append((dict(key), price, tuple(sums)))
    if len(packages) < 6:
        return None
    return Listed(evaluation, job, *map(list, zip(*packages, strict=True)))


def drawn(case: Listed, chance: random.Random) -> tuple[Goal, ...]:
    """Draw two or three limits; mostly one package keeps them all."""
    kept = chance.choice(case.sums)
    goals = []
    for at in chance.sample(range(len(SUMS)), chance.choice((2, 3))):
        ordered = sorted(sums[at] for sums in case.sums)
        place, last = ordered.index(kept[at]), len(ordered) - 1
        share = chance.choice(GRADES)
        most = ordered[place + int((last - place) * share)]
        least = ordered[place - int(place * share)]
        side = chance.choice(("most", "most", "least", "both"))
        if chance.random() < 0.1:  # tighter than that package: perhaps no package keeps it
            most, least = most - 0.5, least + 0.5
        goals.append(
            Goal(
                SUMS[at],
                at_least=None if side == "most" else least,
                at_most=None if side == "least" else most,
            )
        )
    return tuple(goals)


def keeps(goals: tuple[Goal, ...], sums: tuple[float, ...]) -> bool:
    """Whether sums keep the limits, by comparison alone: all are whole numbers or halves."""
    amounts = dict(zip(SUMS, sums, strict=True))
    return all(
        (goal.at_least is None or amounts[goal.figure] >= goal.at_least)
        and (goal.at_most is None or amounts[goal.figure] <= goal.at_most)
        for goal in goals
    )


def hold(seed: int, tally: Tally, limits: Limits = LIMITS) -> None:
    """Hold some problems of a case against its list."""
    case = listed(seed)
    if case is None:
        return
    prepared = preparing.prepare(case.evaluation, [], limits=limits)
    chance = random.Random(f"limits {seed}")
    for number in range(DRAWS):
        goals = drawn(case, chance)
        job = replace(case.job, goals=goals)
        every = {p: np.flatnonzero(seat.inside) for p, seat in prepared.seats.items()}
        problem = PricingProblem(Question(prepared, job))
        pricing = constrained_prices.Pricing(problem, every, root=True, listed=100_000)
        prices = pricing.work_out()
        expected: dict[tuple[str, str], int] = {}
        cheapest = None
        for package, price, sums in zip(case.packages, case.prices, case.sums, strict=True):
            if keeps(goals, sums):
                cheapest = price if cheapest is None else min(price, cheapest)
                for place in package.items():
                    expected[place] = min(price, expected.get(place, price))
        tally.held += 1
        tally.none_fits += cheapest is None
        tally.binding[len(pricing.used)] = tally.binding.get(len(pricing.used), 0) + 1
        for at in range(len(prices.least)):
            right = cheapest
            name = "cheapest package"
            if prices.position[at] >= 0:
                position = problem.positions[prices.position[at]]
                option = prepared.model.options[position][prices.option[at]]
                right, name = expected.get((position, option.key)), f"{position}: {option.key}"
            price = None if prices.impossible[at] else int(prices.known[at])
            if prices.open[at] or price != right:
                tally.wrong.append((seed, number, f"{name}: {price}, by enumeration {right}"))


def hold_many(tally: Tally, wanted: int, first: int, limits: Limits = LIMITS) -> None:
    """Hold problems of one case after the other until there are enough."""
    for seed in itertools.count(first):
        hold(seed, tally, limits)
        if tally.held >= wanted:
            return


def main() -> int:
    """Draw cases that no test draws until enough problems were held."""
    wanted = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    tally = Tally()
    first = random.SystemRandom().randrange(10**6, 10**9)
    hold_many(tally, wanted, first)
    print(f"{tally.held} problems from case {first} on, {tally.none_fits} without a package;")
    print("limits that bind:", ", ".join(f"{n}: {k}" for n, k in sorted(tally.binding.items())))
    for seed, number, what in tally.wrong:
        print(f"case {seed}, problem {number}: {what}")
    return bool(tally.wrong)


if __name__ == "__main__":
    sys.exit(main())
