"""Exact prices for a job's goals, sooner than tables are joined with all goals free, or at all."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from configurator.search.circuit.join import TooWide
from configurator.search.optimum.narrowing import covers, is_small_enough
from configurator.search.optimum.preparing import narrowed_to

if TYPE_CHECKING:
    from configurator.model.jobs import Job
    from configurator.search.optimum.preparing import Prepared


def without_picks(job: Job) -> Job:
    """Ask for a job's goals and grade alone."""
    return replace(job, fixed={}, keep=(), excluded=(), parts_within=None, budget=None)


def narrowed_to_goals(prepared: Prepared, job: Job, *, soon: bool = False) -> Prepared | None:
    """Join what a job's goals leave of the tables of a case.

    Parameters
    ----------
    prepared
        A case of bounds, or one that is narrowed to the job.
    job
        Its picks may move; its goals and its grade may not.
    soon
        Whether to give up where the order that is known for the tables does not serve.

    Returns
    -------
    Prepared or None
        A case of exact prices; None where goals leave too much for that, or there are none.
    """
    model, limits, free = prepared.model, prepared.limits, without_picks(job)
    within = prepared.within
    if not job.goals or not is_small_enough(model, limits):
        return None
    if prepared.loose is None and (within is None or covers(within, free, picks=True)):
        return prepared
    try:
        narrowed = narrowed_to(prepared, free, soon=soon)
    except TooWide:
        if soon:
            return None
        raise
    return None if narrowed.loose is not None or narrowed.within is None else narrowed
