"""What each delivery time costs, worked out when somebody asks."""

from __future__ import annotations

import copy
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from configurator.questions.history import begun
from configurator.search.optimum.preparing import Question
from configurator.search.pareto.delivery_times import waits
from configurator.ui.talk import talk_words as say
from configurator.wording.quantities import counted

if TYPE_CHECKING:
    from configurator.core.progress import Progress
    from configurator.questions.session import Session
    from configurator.search.pareto.delivery_times import PriceByDelivery
    from configurator.ui.visit import Visit

TASK = "waits"
KNOWN = "price of each wait"


def delivery(visit: Visit) -> dict[str, Any]:
    """Return what each delivery time costs, as far as it was asked for."""
    known, task = _known(visit), visit.tasks.get(TASK)
    state = "none" if task is None else task.state
    if known is None:
        return {"state": state, "lines": []}
    currency = visit.job.currency
    return {
        "state": "done",
        "lines": [
            [
                str(level.days),
                counted(level.days, "day"),
                say.money(level.price, currency) + ("" if level.proven else " or less"),
            ]
            for level in known
        ],
    }


def rest_of(talk: Session) -> Session:
    """Talk about the same job without what it says of waiting and money."""
    rest = copy.copy(talk)
    rest.history = begun(replace(talk.job, parts_within=None, budget=None))
    return rest


def _known(visit: Visit) -> list[PriceByDelivery] | None:
    result: list[PriceByDelivery] | None = rest_of(visit.talk).known(KNOWN)
    return result


def look(visit: Visit) -> None:
    """Begin to work them out."""
    visit.tasks.pop(TASK, None)
    visit.work(TASK, "Working out what each delivery time costs", find)


def find(talk: Session, progress: Progress) -> list[PriceByDelivery]:
    """Work out what each wait costs, once for all that is asked of waiting and money."""
    progress.template = "{done} of up to {of} waits"
    return rest_of(talk).asked(KNOWN, lambda prepared, job: waits(Question(prepared, job)))
