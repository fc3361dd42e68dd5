"""When a package is built: parts as they come, working days, and so many lifts.

A vehicle stands on one lift with one fitter, who does at any time what can be done: what must come
before is finished and the parts are there. Work is done from Monday to Friday; parts travel every
day. Several identical vehicles are shared out among the lifts, one after the other on each.
"""

from __future__ import annotations

import datetime
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from configurator.evaluation.work_plan import HOURS_A_DAY, precedence, work_plan

if TYPE_CHECKING:
    from configurator.evaluation.evaluator import Evaluation
    from configurator.evaluation.packages import Package
    from configurator.evaluation.work_plan import WorkPlan, WorkStep

SATURDAY = 5


@dataclass(frozen=True, slots=True)
class Schedule:
    """When the work of a package begins and ends.

    Parameters
    ----------
    begun, finished
        Day on which the first work is done, and the last.
    waits
        Days on which the lift waits for parts once work has begun, on the first vehicle.
    last_part
        The part that is there last; empty where no part is awaited.
    unknown
        Parts whose lead time no list gives: with them it may be later.
    """

    begun: datetime.date
    finished: datetime.date
    waits: int
    last_part: str
    unknown: tuple[str, ...]


def schedule_of(
    evaluation: Evaluation,
    package: Package,
    ordered: datetime.date,
    lifts: int = 1,
) -> Schedule:
    """Return when a package is built for all vehicles of the job.

    Parameters
    ----------
    evaluation, package
        The case, and what is built.
    ordered
        Day on which the parts are ordered.
    lifts
        How many lifts, each with a fitter.

    Raises
    ------
    ValueError
        If there is no lift.
    """
    if lifts < 1:
        message = "work needs a lift"
        raise ValueError(message)
    plan = work_plan(evaluation, package)
    before = precedence(evaluation.trade.operations.values(), evaluation.trade.phases)
    vehicles = evaluation.case.job.vehicles
    on_one_lift = math.ceil(vehicles / lifts)
    moment, begun, waits = Clock(ordered, HOURS_A_DAY), None, 0
    for number in range(on_one_lift):
        first, waited = _build(plan, before, ordered, moment)
        if number == 0:
            begun, waits = first, waited
    arrivals = [wait for step in plan.steps for wait in step.waits_for if wait.days is not None]
    last = max(arrivals, key=lambda wait: wait.days or 0, default=None)
    finished = moment.day
    if plan.held_by is not None and plan.held_by.days is not None and not plan.chain:
        # A part that no work waits for is handed over with the vehicle all the same.
        finished = max(finished, ordered + datetime.timedelta(days=plan.held_by.days))
        last = plan.held_by
    return Schedule(
        begun or moment.day,
        finished,
        waits,
        "" if last is None or not last.days else last.title,
        tuple(wait.title for wait in plan.unknown),
    )


class Clock:
    """A moment in working time.

    Parameters
    ----------
    day
        On which it begins, at the first hour worked; a weekend is passed over.
    hours_a_day
        Hours worked in a day.

    Examples
    --------
    >>> friday = Clock(datetime.date(2026, 12, 4), 8.0)
    >>> friday.work(10.0)
    >>> friday.day.isoformat(), friday.hour
    ('2026-12-07', 2.0)
    """

    def __init__(self, day: datetime.date, hours_a_day: float) -> None:
        self.day, self.hour, self._whole = day, 0.0, hours_a_day
        self._to_working_day()

    def _to_working_day(self) -> None:
        while self.day.weekday() >= SATURDAY:
            self.day, self.hour = self.day + datetime.timedelta(days=1), 0.0

    def work(self, hours: float) -> None:
        """Go on by hours of work."""
        left = hours
        while left > 1e-9:
            if self.hour >= self._whole - 1e-9:
                self.day, self.hour = self.day + datetime.timedelta(days=1), 0.0
                self._to_working_day()
            today = min(left, self._whole - self.hour)
            self.hour += today
            left -= today

    def wait_until(self, day: datetime.date) -> int:
        """Go on to a day, if it is later; return how many days that is."""
        if day <= self.day:
            return 0
        passed = (day - self.day).days
        self.day, self.hour = day, 0.0
        self._to_working_day()
        return passed


def _build(
    plan: WorkPlan, before: dict[str, set[str]], ordered: datetime.date, moment: Clock
) -> tuple[datetime.date, int]:
    """Build one vehicle; return the first day of work, and on how many days the lift waited."""
    waiting: list[WorkStep] = list(plan.steps)
    first: datetime.date | None = None
    waited = 0
    while waiting:
        names = {step.operation.name for step in waiting}
        ready = [step for step in waiting if not before[step.operation.name] & names]
        days = {
            step.operation.name: ordered
            + datetime.timedelta(days=max((w.days or 0 for w in step.waits_for), default=0))
            for step in ready
        }
        there = [step for step in ready if days[step.operation.name] <= moment.day]
        if not there:
            passed = moment.wait_until(min(days.values()))
            waited += passed if first is not None else 0
            continue
        step = there[0]
        waiting.remove(step)
        if step.operation.hours:
            if first is None:
                first = moment.day
            moment.work(step.operation.hours)
    return first or moment.day, waited
