"""What a case may leave out that is made ready for one job: what its wishes forbid anyway.

Whoever looks for packages of a job needs no rows that its goals and picks forbid, and without them
tables are joined in a fraction of the time. Such a case answers only jobs that wish for the same
and more.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from configurator.model.sure_goals import lowered, parted
from configurator.search.optimum.verification import meets, permitted

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.model.jobs import Goal, Job
    from configurator.search.encoding.constraint_model import Model
    from configurator.search.encoding.row_marks import RowsLeft
    from configurator.search.limits import Limits

    Rows = Mapping[int, NDArray[np.int32]]


def steady(model: Model, job: Job) -> Job:
    """Give of a job what can be left out of a case: its picks, grade, and goals that do not move.

    Goals on a figure that is to be as high or low as possible move, as its levels are looked
    through; those on sums are decided on whole packages. Others stand in it lowered. A job that is
    to be sure asks for nothing more where no limit is marked.
    """
    goals = lowered(job).goals
    moving = {parted(goal.figure)[0] for goal in goals if goal.as_possible is not None}
    inside = model.goal_tables.keys() | model.fixed_figures.keys()
    kept = [g for g in goals if g.figure in inside and parted(g.figure)[0] not in moving]
    return replace(job, goals=tuple(kept), sure=job.sure and bool(model.sure_rows))


def covers(within: Job, job: Job, *, picks: bool) -> bool:
    """Whether a case narrowed to one job has every package of another, as far as ``picks`` say.

    Values of a figure that all meet the goal on it are not told apart any more: it must stay.
    """
    about = {goal.figure for goal in within.goals}
    asked = {goal for goal in lowered(job).goals if goal.figure in about}
    return (
        (job.sure or not within.sure)
        and asked == set(within.goals)
        and (
            not picks
            or (
                within.fixed.items() <= job.fixed.items()
                and set(within.keep) <= set(job.keep)
                and set(within.excluded) <= set(job.excluded)
                # What lies on the shelf is enough for some vehicles only.
                and within.parts_within in (None, job.parts_within)
                and (within.parts_within is None or within.vehicles == job.vehicles)
            )
        )
    )


def rows_within(within: Job, limits: Limits) -> RowsLeft:
    """Give what a job leaves of tables that are small enough for them to be narrowed to it."""

    def left(model: Model) -> Rows | None:
        if not is_small_enough(model, limits):
            return None
        asked = steady(model, within)
        return rows_left(model, asked.goals, asked)

    return left


def is_small_enough(model: Model, limits: Limits) -> bool:
    """Whether tables are small enough for it to pay that they are narrowed to a job."""
    return sum(table.rows for table in model.tables) <= limits.narrowed_rows


def rows_left(model: Model, goals: Sequence[Goal], within: Job | None) -> Rows | None:
    """Give the rows that goals which do not move, a job's picks and grade leave of their tables.

    Parameters
    ----------
    model
        The case.
    goals
        They do not move.
    within
        The job whose picks and grade do not move either; None where all may.

    Returns
    -------
    dict or None
        Number of the table → its rows; a table that keeps all is not named. None if nothing is
        left.
    """
    left: dict[int, NDArray[np.int32]] = {}
    for goal in goals:
        if goal.figure in model.fixed_figures:
            if not meets(goal, model.fixed_figures[goal.figure]):
                return None
        elif goal.figure in model.goal_tables:
            number = model.goal_tables[goal.figure]
            table = model.tables[number]
            met = np.array([meets(goal, v) for v in model.values[table.variables[0]]], np.bool_)
            left[number] = np.flatnonzero(met[table.columns[0]]).astype(np.int32)
    if within is None:
        return left
    for position, options in model.options.items() if _picks(within) else ():
        permit = np.array([permitted(within, option) for option in options], np.bool_)
        if not permit.all():
            classes = model.classes[position]
            some = [row for row, members in enumerate(classes) if permit[members].any()]
            left[model.position_tables[position]] = np.array(some, np.int32)
    for number, sure in model.sure_rows.items() if within.sure else ():
        rows = left.get(number)
        left[number] = np.flatnonzero(sure).astype(np.int32) if rows is None else rows[sure[rows]]
    return left


def _picks(job: Job) -> bool:
    return bool(job.fixed or job.keep or job.excluded or job.parts_within is not None)
