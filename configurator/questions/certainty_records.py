"""What certainty costs, as it is worked out: of all that must hold, and of each goal."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from configurator.model.jobs import Goal
    from configurator.search.explanation.conflicts import Repair
    from configurator.search.optimum.cheapest_package import CheapestPackage


@dataclass(frozen=True, slots=True)
class CertaintyPrice:
    """The two totals of a job, its budget left aside.

    Parameters
    ----------
    calculated
        The cheapest package that keeps everything as calculated.
    sure
        The cheapest one that keeps law, plates and clearances within usual tolerances.
    differing
        Positions at which the two differ, in order.
    instead
        Where no package is sure: what would have to give so that one is.
    """

    calculated: CheapestPackage
    sure: CheapestPackage
    differing: tuple[str, ...] = ()
    instead: tuple[Repair, ...] = ()

    def in_grade(self, sure: bool) -> CheapestPackage:
        """Return the cheapest package of a job that asks for what is sure, or of one that not."""
        return self.sure if sure else self.calculated


@dataclass(frozen=True, slots=True)
class GoalCertainty:
    """What it costs that one goal is met within usual tolerances, the others as the job has them.

    Parameters
    ----------
    goal
        The goal as it would be asked, with one bound.
    price
        Of the cheapest package that meets it surely, in minor units, the budget left aside; None
        where there is none.
    proven
        Whether that is so.
    promised, promised_for
        Where there is none: the value nearest to what is asked that is sure with some package [SI],
        and what that package costs; None where none is, or that is not read off.
    """

    goal: Goal
    price: int | None
    proven: bool
    promised: float | None = None
    promised_for: int | None = None
