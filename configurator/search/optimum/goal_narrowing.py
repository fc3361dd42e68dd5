"""Exact prices for a job's goals where tables are too wide to be joined with all goals free."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from configurator.search.optimum.preparing import is_small_enough, narrowed_to

if TYPE_CHECKING:
    from configurator.model.jobs import Job
    from configurator.search.optimum.preparing import Prepared


def narrowed_to_goals(prepared: Prepared, job: Job) -> Prepared | None:
    """Join what a job's goals leave of tables that are too wide to be joined as they are.

    Parameters
    ----------
    prepared
        The whole case, of bounds.
    job
        Its picks may move; its goals and its grade may not.

    Returns
    -------
    Prepared or None
        A case of exact prices; None where goals leave too much for that, or there are none.
    """
    model, limits = prepared.model, prepared.limits
    if prepared.loose is None or not job.goals or not is_small_enough(model, limits):
        return None
    free = replace(job, fixed={}, keep=(), excluded=(), parts_within=None, budget=None)
    narrowed = narrowed_to(prepared, free)
    return None if narrowed.loose is not None or narrowed.within is None else narrowed
