"""Random problems whose limits on sums bind: as tight as can be, middling, and one on another."""

from __future__ import annotations

import random
from dataclasses import dataclass, replace
from functools import cache
from typing import TYPE_CHECKING

from configurator.evaluation.evaluator import Evaluation
from configurator.model.jobs import Goal, Job
from tests.search.random_cases import make
from tests.search.test_against_enumeration import everything

if TYPE_CHECKING:
    from tests.search.random_cases import RandomCase

# Position and key of each part → price [minor units].
Packages = dict[tuple[tuple[str, str], ...], int]
SUMS = ("mass", "moment")
# How loose a limit is: as tight as the package that is to keep it, up to nearly not binding.
GRADES = (0.0, 0.0, 0.1, 0.3, 0.7)


@dataclass(frozen=True)
class TightCase:
    """A random case with goals on its sums, and every package of it with its price."""

    random_case: RandomCase
    evaluation: Evaluation
    job: Job
    packages: Packages


def tight_case(seed: int, families: int = 5) -> TightCase | None:
    """Make one; None where nothing fits even without goals on sums."""
    drawn = _drawn(seed, families)
    if drawn is None:
        return None
    random_case, job, packages = drawn
    return TightCase(random_case, random_case.evaluation, job, dict(packages))


@cache
def _drawn(seed: int, families: int) -> tuple[RandomCase, Job, Packages] | None:
    """Draw goals and list packages, once for all tests of a process."""
    random_case = make(seed, sums=True, families=families)
    evaluation, job = random_case.evaluation, random_case.case.job
    chance = random.Random(f"tight {seed}")
    free = without_sums(job)
    packages = list(everything(evaluation, free))
    if not packages:
        return None
    domains = {p: {o.key: o for o in evaluation.options(p)} for p in evaluation.families}
    # Mostly one package keeps all limits; some limits are as tight as it, some looser.
    kept = chance.choice(packages)
    goals = list(free.goals)
    for name in SUMS:
        values = {
            key: value
            for key in packages
            if isinstance(
                value := evaluation.figure(name, {p: domains[p][k] for p, k in key}), float
            )
        }
        if not values or chance.random() < 0.2:
            continue
        ordered = sorted(values.values())
        at = ordered.index(values[kept]) if kept in values else 0
        share = chance.choice(GRADES)
        most = ordered[at + int((len(ordered) - 1 - at) * share)]
        least = ordered[at - int(at * share)]
        both = chance.random() < 0.3
        goals.append(Goal(name, least if both or chance.random() < 0.2 else None, most))
    job = replace(job, goals=tuple(goals))
    return random_case, job, everything(evaluation, job)


def without_sums(job: Job) -> Job:
    return replace(job, goals=tuple(goal for goal in job.goals if goal.figure not in SUMS))
