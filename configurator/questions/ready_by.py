"""By when a package can be ready, and what an earlier day costs."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from configurator.evaluation.schedule import schedule_of
from configurator.questions import answers
from configurator.questions.case_cache import posed
from configurator.search.optimum.preparing import Question
from configurator.search.pareto import delivery_times

if TYPE_CHECKING:
    import datetime

    from configurator.evaluation.packages import Package
    from configurator.evaluation.schedule import Schedule
    from configurator.search.optimum.preparing import Prepared


@dataclass(frozen=True, slots=True)
class ReadyBy:
    """A package and when it is built.

    Parameters
    ----------
    package
        The cheapest whose parts are there within ``parts_within``.
    parts_within
        How long its parts may take [day].
    schedule
        When its work begins and ends.
    proven
        Whether there is no cheaper one with parts as soon.
    """

    package: Package
    parts_within: int
    schedule: Schedule
    proven: bool


def ready_dates(
    prepared: Prepared,
    ordered: datetime.date,
    lifts: int = 1,
) -> list[ReadyBy]:
    """Return packages by the day on which they are built, each cheaper than all that are sooner.

    For each delivery time at which the price of the cheapest package changes, that package is
    scheduled. A package that costs more and would still be built sooner, with less work, is not
    looked for: days are those of these packages.

    Parameters
    ----------
    prepared
        The job, ready for questions; its budget and its own limit on delivery are left aside.
    ordered
        Day on which the parts are ordered.
    lifts
        How many lifts, each with a fitter.
    """
    job = replace(prepared.evaluation.case.job, budget=None, parts_within=None)
    levels = delivery_times.waits(Question(posed(prepared, job), job))
    dates: list[ReadyBy] = []
    for level in levels:
        asked = posed(prepared, replace(job, parts_within=level.days))
        answer = answers.find(asked)
        if not answer.packages:
            continue
        package = answer.packages[0]
        schedule = schedule_of(asked.evaluation, package, ordered, lifts)
        dates.append(ReadyBy(package, level.days, schedule, level.proven))
    best: list[ReadyBy] = []
    for each in sorted(dates, key=lambda d: (d.schedule.finished, d.package.price)):
        if not best or each.package.price < best[-1].package.price:
            best.append(each)
    return best
