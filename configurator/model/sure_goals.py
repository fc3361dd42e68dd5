"""Goals that are to be met within usual tolerances: each as a goal on a figure of its own.

A goal says by ``sure`` that a package must meet it wherever sizes, masses and rates lie within
their tolerances. The search asks that of two figures derived from the one that the goal is on: what
it comes to at the least and at the most. So levels, curves, counts, conflicts and repairs of a goal
that is sure are those of any other.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from configurator.core import units
from configurator.model.jobs import Goal
from configurator.model.references import FigureValue, Input
from configurator.model.rules import Figure, Total
from configurator.model.verdicts import resolution_in_si

if TYPE_CHECKING:
    from collections.abc import Iterable

    from configurator.model.jobs import Direction, Job

Side = Literal["least", "most"]
_ENDINGS: dict[Side, str] = {"least": ", at the least", "most": ", at the most"}
# As a share of a step: a value that close to one lies on it, whatever the last bits say.
ON_A_STEP = 1e-6


def sure_name(figure: str, side: Side) -> str:
    """Name what a figure comes to at the least, or at the most.

    Examples
    --------
    >>> sure_name("track", "most")
    'track, at the most'
    """
    return figure + _ENDINGS[side]


def parted(name: str) -> tuple[str, Side | None]:
    """Give the figure that a name is about, and which side of it; None for its plain value.

    Examples
    --------
    >>> parted("track, at the most"), parted("track")
    (('track', 'most'), ('track', None))
    """
    for side, ending in _ENDINGS.items():
        if name.endswith(ending):
            return name.removesuffix(ending), side
    return name, None


def shown_name(name: str) -> str:
    """Name a figure for people, whether or not it is one that a goal to be sure is asked of.

    Examples
    --------
    >>> shown_name("track, at the most"), shown_name("track")
    ('track within tolerances', 'track')
    """
    figure, side = parted(name)
    return figure if side is None else f"{figure} within tolerances"


def name_asked(job: Job, figure: str, better: Direction | None) -> str:
    """Give the name under which the search knows a figure, as the job's goal on it is asked."""
    side: Side = "most" if better == "low" else "least"
    name = sure_name(figure, side)
    asked = {part.figure for goal in job.goals for part in lowered_goal(goal)}
    return name if name in asked else figure


def sure_figure(base: Figure | Total, side: Side) -> Figure:
    """Derive the figure that says what another one comes to at the least, or at the most.

    Its function gives the plain value: how far that may be off hangs on the parts behind it, and
    comes from the propagation.
    """
    return Figure(
        sure_name(base.name, side),
        base.unit,
        lambda value: value,
        (Input("value", FigureValue(base.name)),),
        base.resolution if isinstance(base, Figure) else 0.0,
        "down" if side == "least" else "up",
        base.meaning,
        base.source,
        base.plugin,
    )


def sure_value(rule: Figure, value: float, exact: float, reserve: float) -> float:
    """Work out what a figure comes to at the least, or at the most.

    Parameters
    ----------
    rule
        From `sure_figure`.
    value, exact
        The figure's value as it is rounded, and unrounded [SI].
    reserve
        How far it may be off [SI]: `tolerances.reserve_of`.

    Returns
    -------
    float
        In SI, rounded to the safe side; never better than the value itself.
    """
    low = rule.rounding == "down"
    bare = exact - reserve if low else exact + reserve
    if rule.resolution:
        step = resolution_in_si(rule.unit, rule.resolution)
        steps = bare / step
        whole = math.floor(steps + ON_A_STEP) if low else math.ceil(steps - ON_A_STEP)
        bare = units.normalise(whole * step)
    else:
        bare = units.normalise(bare)
    return min(value, bare) if low else max(value, bare)


def lowered_goal(goal: Goal) -> list[Goal]:
    """Put a goal that is to be sure as goals on what its figure comes to at the least and most.

    Examples
    --------
    >>> [g.figure for g in lowered_goal(Goal("track", 1.7, 1.8, sure=True))]
    ['track, at the least', 'track, at the most']
    >>> lowered_goal(Goal("track", 1.7)) == [Goal("track", 1.7)]
    True
    """
    if not goal.sure:
        return [goal]
    plain = replace(goal, at_least=None, at_most=None, as_possible=None, sure=False)
    parts = []
    if goal.at_least is not None or goal.as_possible == "high":
        least = sure_name(goal.figure, "least")
        high: Direction | None = "high" if goal.as_possible == "high" else None
        parts.append(replace(plain, figure=least, at_least=goal.at_least, as_possible=high))
    if goal.at_most is not None or goal.as_possible == "low":
        most = sure_name(goal.figure, "most")
        low: Direction | None = "low" if goal.as_possible == "low" else None
        parts.append(replace(plain, figure=most, at_most=goal.at_most, as_possible=low))
    return parts


def lowered(job: Job) -> Job:
    """Put a job's goals as the search asks them; the same job where none is to be sure."""
    if not any(goal.sure for goal in job.goals):
        return job
    return replace(job, goals=tuple(part for goal in job.goals for part in lowered_goal(goal)))


def as_asked(job: Job) -> Job:
    """Put a job's goals as it has them, whatever the search asked."""
    if all(parted(goal.figure)[1] is None for goal in job.goals):
        return job
    return replace(job, goals=raised(job.goals))


def raised(goals: Iterable[Goal]) -> tuple[Goal, ...]:
    """Put goals as a job has them again: what `lowered` took apart is joined.

    Examples
    --------
    >>> goals = (Goal("track", 1.7, 1.8, sure=True), Goal("mass", at_most=900.0))
    >>> raised(part for goal in goals for part in lowered_goal(goal)) == goals
    True
    """
    kept: list[Goal] = []
    places: dict[str, int] = {}
    for goal in goals:
        figure, side = parted(goal.figure)
        if side is None:
            kept.append(goal)
        elif figure not in places:
            places[figure] = len(kept)
            kept.append(replace(goal, figure=figure, sure=True))
        else:
            known = kept[places[figure]]
            kept[places[figure]] = replace(
                known,
                at_least=known.at_least if goal.at_least is None else goal.at_least,
                at_most=known.at_most if goal.at_most is None else goal.at_most,
                as_possible=known.as_possible or goal.as_possible,
            )
    return tuple(kept)
