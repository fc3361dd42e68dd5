"""Why something is not possible, and what would have to give."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from configurator.core.progress import Cancelled
from configurator.model.requirements import Wish
from configurator.search.explanation import conflicts, correction_sets
from configurator.search.explanation.option_reasons import OptionReason, option_reasons
from configurator.search.optimum import lexicographic
from configurator.search.optimum.availability import available
from configurator.search.optimum.preparing import Question

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Mapping, Sequence

    from configurator.search.explanation.conflicts import Reason, Repair
    from configurator.search.optimum.preparing import Prepared


@dataclass(frozen=True, slots=True)
class Explanation:
    """Why something is not possible, and what would have to give."""

    possible: bool
    conflict: tuple[Reason, ...]
    repairs: tuple[Repair, ...]


def why(
    prepared: Prepared,
    position: str | None = None,
    part: str | None = None,
    *,
    partial: bool = False,
) -> Explanation:
    """Explain why a job cannot be met, or why one part cannot be in a package that meets it.

    Parameters
    ----------
    prepared
        From `ready`.
    position, part
        The option asked about; the job itself if not given.
    partial
        Whether a stop gives the reasons without the ways out, once the reasons are known.
    """
    return why_for(Question.of(prepared), position, part, partial=partial)


def why_for(
    question: Question,
    position: str | None = None,
    part: str | None = None,
    *,
    partial: bool = False,
) -> Explanation:
    """Explain as `why` does, for a job with other wishes than the one that was prepared."""
    insist: Sequence[Wish] = ()
    if position is not None and part is not None:
        insist = [Wish("fixed", position, part=part)]
    reasons = conflicts.explain(question, insist)
    if not reasons:
        return Explanation(True, (), ())
    repairs = ways_out(question, insist, partial=partial)
    return Explanation(False, tuple(reasons), repairs)


def ways_out(
    question: Question, insist: Sequence[Wish], *, partial: bool, needs: int | None = None
) -> tuple[Repair, ...]:
    """Say what would have to give; nothing where a stop comes first and that may be.

    ``needs`` is the price of the cheapest package without the budget, if that is known.
    """
    try:
        repairs = conflicts.repairs(question, insist, needs)
        return tuple(correction_sets.representative(question, insist, repairs))
    except Cancelled:
        if not partial:
            raise
        return ()


def reasons_for_options(
    prepared: Prepared,
    *,
    so_far: Callable[[Mapping[str, Mapping[str, OptionReason]]], None] | None = None,
) -> dict[str, dict[str, OptionReason]]:
    """Say of every option that does not fit why, in one rule or wish: the first found.

    Parameters
    ----------
    prepared
        From `answers.ready`.
    so_far
        Called once with what is known before options of which no single rule is found at once are
        tried one by one, which takes longer: they are given as ``"together"`` then.

    Returns
    -------
    dict
        Position → key of the part → reason; what fits, over the budget or not, is not in it.
    """
    question = lexicographic.settle(Question.of(prepared))
    whatever_it_costs = question.about(replace(question.job, budget=None))
    possible = available(whatever_it_costs).possible
    missing = {position: np.flatnonzero(~own).tolist() for position, own in possible.items()}
    options = prepared.model.options
    reasons: dict[str, dict[str, OptionReason]] = {position: {} for position in missing}

    def before_each(left: Mapping[str, Collection[int]]) -> None:
        if so_far is not None:
            together = OptionReason("together")
            so_far(
                {
                    position: {
                        **own,
                        **{options[position][n].key: together for n in left[position]},
                    }
                    for position, own in reasons.items()
                }
            )

    for position, number, reason in option_reasons(question, missing, before_each):
        reasons[position][options[position][number].key] = reason
    return reasons
