"""What came of a job: packages, or why nothing fits and what would have to give."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from configurator.evaluation.packages import NotChecked, Package
    from configurator.model.jobs import Job
    from configurator.search.explanation.conflicts import Reason, Repair

Outcome = Literal["found", "nothing fits", "best found"]


@dataclass(frozen=True, slots=True)
class Answer:
    """What came of a job.

    Parameters
    ----------
    outcome
        ``"found"`` if the packages are proven to be the cheapest, ``"best found"`` if the search
        ran out of patience before that (perhaps with no package at all), ``"nothing fits"``.
    job
        The job with *as high as possible* settled to what can be had.
    packages
        The cheapest first.
    conflict, repairs
        Where nothing fits: why, unless only money is in the way, and what would have to give.
    not_checked
        Rules that could not be checked on the first package (or on the vehicle as it stands).
    only_money
        Where the budget is the only thing in the way: what the cheapest package costs, in minor
        units.
    least
        No package costs less, as is proven; with ``"best found"`` that says how far the first one
        may be off. None where nothing is known of that.
    """

    outcome: Outcome
    job: Job
    packages: tuple[Package, ...]
    conflict: tuple[Reason, ...]
    repairs: tuple[Repair, ...]
    not_checked: tuple[NotChecked, ...]
    only_money: int | None = None
    least: int | None = None
