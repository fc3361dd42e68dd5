"""Turn *as high (or low) as possible* into a bound that can be had."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from configurator.model.verdicts import keeps
from configurator.search.optimum import option_prices, resource_constraints
from configurator.search.optimum.queries import curve

if TYPE_CHECKING:
    from collections.abc import Sequence

    from configurator.model.jobs import Goal, Job
    from configurator.search.optimum.preparing import Prepared

# Packages looked at for each level, where it is not read off the circuit whether it can be had.
PATIENCE = 300


def settle(prepared: Prepared, job: Job) -> Job:
    """Turn *as high (or low) as possible* into the best bound that can be had.

    Goals are settled in their order, each within the job's other wishes, those settled before it,
    and the budget; where even the cheapest package is over the budget, the budget is left aside.
    Where sums over everything have limits, or tables are too wide to be joined, a level counts if a
    package with it is found: one that could only be had with much looking may be passed over.
    """
    if all(goal.as_possible is None for goal in job.goals):
        return job
    # Asked several times for one answer.
    picks = (frozenset(job.fixed.items()), frozenset(job.keep), frozenset(job.excluded))
    key = (job.goals, picks, job.budget, job.ready_within, job.vehicles)
    if key not in prepared.settled:
        prepared.settled[key] = _settled(prepared, job)
    return replace(job, goals=prepared.settled[key])


def _settled(prepared: Prepared, job: Job) -> tuple[Goal, ...]:
    for number, goal in enumerate(job.goals):
        if goal.as_possible is None:
            continue
        levels = [
            level
            for level in curve(prepared, job, goal.figure)
            if isinstance(level.value, float | int)
            and keeps(level.value, goal.at_least, goal.at_most) is not False
        ]
        affordable = [level for level in levels if job.budget is None or level.price <= job.budget]
        values = sorted(
            (float(level.value) for level in affordable or levels),  # type: ignore[arg-type]
            reverse=goal.as_possible == "high",
        )
        bounded = replace(goal, as_possible=None)
        if values:
            bounded = _best(prepared, job, number, values)
        job = replace(job, goals=(*job.goals[:number], bounded, *job.goals[number + 1 :]))
    return job.goals


def _best(prepared: Prepared, job: Job, number: int, values: Sequence[float]) -> Goal:
    """Bound a goal by the best of some values, the best first, that a package really has."""
    goal = replace(job.goals[number], as_possible=None)
    high = job.goals[number].as_possible == "high"

    def bounded(at: int) -> Goal:
        if high:
            return replace(goal, at_least=values[at])
        return replace(goal, at_most=values[at])

    def wished(at: int) -> Job:
        goals = (*job.goals[:number], bounded(at), *job.goals[number + 1 :])
        return replace(job, goals=goals)

    if not resource_constraints.has_late(
        prepared.evaluation, job, resource_constraints.late_of(prepared, job)
    ):
        return bounded(0)
    last = len(values) - 1
    least = _price(prepared, wished(last))
    if least is None:
        return bounded(0)  # nothing fits: whoever explains that looks at what was wished for
    # Over the budget in any case: then it is left aside, as where prices are read off.
    budget = job.budget if job.budget is not None and least <= job.budget else None

    def had(at: int) -> bool:
        price = _price(prepared, wished(at))
        return price is not None and (budget is None or price <= budget)

    if had(0):
        return bounded(0)
    # A package that has a level has every lesser one too.
    no, yes = 0, last
    while yes - no > 1:
        middle = (no + yes) // 2
        if had(middle):
            yes = middle
        else:
            no = middle
    return bounded(yes)


def _price(prepared: Prepared, job: Job) -> int | None:
    return option_prices.cheapest(prepared, job, PATIENCE).price
