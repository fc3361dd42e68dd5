"""How long one waits for a part, and which parts are there too late for a job.

What is meant is the time from the order until all parts are in the workshop. The work itself takes
its own time on top; `configurator.evaluation.work_plan` adds both up.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.model.parts import NOTHING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.evaluation.evaluator import Option
    from configurator.model.jobs import Job


def wait_of(option: Option, vehicles: int = 1) -> int | None:
    """Return how long one waits for a part [day]; None where no list says.

    Nothing is waited for where the present part stays or comes off, nor for what lies on the
    shop's shelf in as many pieces as all positions that the part is made for take, on all
    vehicles: fewer might be used up at another position of the same package.

    Parameters
    ----------
    option
        The part at a position.
    vehicles
        How many identical vehicles are built.
    """
    if not option.changed or option.key == NOTHING:
        return 0
    stock = option.part.stock
    if stock is not None and stock >= max(option.pieces, option.everywhere) * vehicles:
        return 0
    return option.part.lead_time


def too_late(job: Job, option: Option) -> bool:
    """Whether a part is known to be there later than a job asks; a wait not known is not."""
    if job.parts_within is None:
        return False
    wait = wait_of(option, job.vehicles)
    return wait is not None and wait > job.parts_within


def longest_wait(choice: Mapping[str, Option], vehicles: int = 1) -> tuple[int | None, list[str]]:
    """Return the longest wait among the new parts [day], and the positions where none is known.

    Returns
    -------
    days : int or None
        None where no new part has a wait that is known.
    unknown : list of str
        Positions.
    """
    waits = {
        position: wait_of(option, vehicles)
        for position, option in choice.items()
        if option.changed and option.key != NOTHING
    }
    known = [wait for wait in waits.values() if wait is not None]
    return max(known, default=None), [place for place, wait in waits.items() if wait is None]
