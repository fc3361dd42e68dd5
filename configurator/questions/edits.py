"""Changes that keep a job sound: what is fixed is not kept or ruled out as well, and so on."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, TypeVar

from configurator.model.jobs import Goal, Job
from configurator.model.parts import FITTED
from configurator.model.sure_goals import parted

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.model.parts import Value
    from configurator.model.requirements import Wish
    from configurator.search.explanation.conflicts import Repair

Kind = TypeVar("Kind")


def fix(job: Job, position: str, key: str) -> Job:
    """Decide on a part.

    Examples
    --------
    >>> job = Job("a", "demo/b", ("demo",), keep=("tyres",), excluded=("demo/T",))
    >>> fixed = fix(job, "tyres", "demo/T")
    >>> fixed.fixed, fixed.keep, fixed.excluded
    ({'tyres': 'demo/T'}, (), ())
    """
    job = allow(free(job, position), key)
    return replace(job, fixed={**job.fixed, position: key})


def free(job: Job, position: str) -> Job:
    """Leave a position open again."""
    return replace(
        job,
        fixed={p: key for p, key in job.fixed.items() if p != position},
        keep=tuple(p for p in job.keep if p != position),
    )


def keep(job: Job, position: str) -> Job:
    """Decide that the present part stays."""
    job = free(job, position)
    return replace(job, keep=(*job.keep, position))


def rule_out(job: Job, key: str) -> Job:
    """Leave a part out wherever it could be; where it was fixed, the position is open again.

    Examples
    --------
    >>> rule_out(Job("a", "demo/b", ("demo",), fixed={"tyres": "demo/T"}), "demo/T").fixed
    {}
    """
    if key in job.excluded:
        return job
    fixed = {position: pick for position, pick in job.fixed.items() if pick != key}
    return replace(job, fixed=fixed, excluded=(*job.excluded, key))


def allow(job: Job, key: str) -> Job:
    """Allow a part that was ruled out."""
    return replace(job, excluded=tuple(item for item in job.excluded if item != key))


def decided(job: Job, position: str) -> str:
    """Return the key of the part that is decided on at a position; empty where it is open."""
    return FITTED if position in job.keep else job.fixed.get(position, "")


def with_goal(job: Job, goal: Goal) -> Job:
    """Set what is asked of a figure, in its place among the goals; one that asks nothing goes.

    Examples
    --------
    >>> job = Job("a", "demo/b", ("demo",), goals=(Goal("track", at_most=1.8), Goal("mass")))
    >>> [goal.figure for goal in with_goal(job, Goal("track")).goals]
    ['mass']
    >>> with_goal(job, Goal("track", at_most=1.7)).goals[0].at_most
    1.7
    """
    asks = goal.at_least is not None or goal.at_most is not None or goal.as_possible is not None
    goals: list[Goal] = []
    for item in job.goals:
        if item.figure != goal.figure:
            goals.append(item)
        elif asks:
            goals.append(goal)
    if asks and goal not in goals:
        goals.append(goal)
    return replace(job, goals=tuple(goals))


def goal_on(job: Job, figure: str) -> Goal:
    """Return the goal on a figure; one that asks nothing where there is none."""
    return next((goal for goal in job.goals if goal.figure == figure), Goal(figure))


def with_condition(job: Job, name: str, value: float | None) -> Job:
    """Set a condition; None for its default."""
    return replace(job, conditions=_with(job.conditions, name, value))


def with_measured(job: Job, name: str, value: Value | None) -> Job:
    """Correct a measure of this very vehicle; None for what its file says."""
    return replace(job, measured=_with(job.measured, name, value))


def _with(values: Mapping[str, Kind], name: str, value: Kind | None) -> dict[str, Kind]:
    changed = {key: item for key, item in values.items() if key != name}
    if value is not None:
        changed[name] = value
    return changed


def repaired(job: Job, repair: Repair) -> Job:
    """Give up what a repair names, as little of it as it says.

    A goal or a wait stays as near to what was asked as can be had.
    """
    for wish, nearest in repair.given_up:
        job = _given_up(job, wish, nearest)
    return job


def _given_up(job: Job, wish: Wish, nearest: float | None) -> Job:
    if wish.kind == "budget":
        return replace(job, budget=None if nearest is None else round(nearest))
    if wish.kind == "parts within":
        return replace(job, parts_within=None if nearest is None else round(nearest))
    if wish.kind in {"fixed", "keep"}:
        return free(job, wish.subject)
    if wish.kind == "ruled out":
        return allow(job, wish.subject)
    goal = goal_on(job, parted(wish.subject)[0])
    if wish.kind == "at least":
        return with_goal(job, replace(goal, at_least=nearest))
    return with_goal(job, replace(goal, at_most=nearest))
