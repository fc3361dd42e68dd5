"""An idea, such as longer springs, held against the package without it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from configurator.questions import answers
from configurator.questions.case_cache import posed

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.evaluation.packages import Package
    from configurator.questions.answers import Answer
    from configurator.search.explanation.conflicts import Reason, Repair
    from configurator.search.optimum.preparing import Prepared


@dataclass(frozen=True, slots=True)
class IdeaComparison:
    """The cheapest package with an idea beside the cheapest without it.

    The budget is left aside on both sides, so that an idea that costs too much can be held against
    the other one at all.

    Parameters
    ----------
    idea
        Position → part key that was asked about.
    without, with_idea
        The cheapest packages; None where nothing meets the goals.
    proven
        Whether both are proven to be the cheapest.
    also
        Positions that are otherwise with the idea, beside those of the idea itself.
    conflict, repairs
        Where nothing meets the goals with the idea: why, and what can change.
    """

    idea: Mapping[str, str]
    without: Package | None
    with_idea: Package | None
    proven: bool
    also: tuple[str, ...]
    conflict: tuple[Reason, ...] = ()
    repairs: tuple[Repair, ...] = ()

    @property
    def costs_more(self) -> int | None:
        """What the idea adds to the price [minor units]; None where there is nothing to compare."""
        if self.without is None or self.with_idea is None:
            return None
        return self.with_idea.price - self.without.price


def compare_idea(prepared: Prepared, idea: Mapping[str, str]) -> IdeaComparison:
    """Hold the cheapest package with an idea against the cheapest one without it.

    Parameters
    ----------
    prepared
        From `answers.ready`.
    idea
        Position → part key, ``"none"`` or ``"fitted"``; what the job decides for these positions
        counts for the package without the idea only.

    Returns
    -------
    IdeaComparison
        Without a package on a side where nothing meets the goals.
    """
    job = replace(prepared.evaluation.case.job, budget=None)
    changed = replace(
        job,
        fixed={**job.fixed, **idea},
        keep=tuple(position for position in job.keep if position not in idea),
        excluded=tuple(key for key in job.excluded if key not in idea.values()),
    )
    without = answers.find(posed(prepared, job))
    with_idea = answers.find(posed(prepared, changed))
    first, second = _cheapest(without), _cheapest(with_idea)
    also: tuple[str, ...] = ()
    if first is not None and second is not None:
        also = tuple(
            position
            for position, option in second.choice.items()
            if position not in idea and option.key != first.choice[position].key
        )
    return IdeaComparison(
        dict(idea),
        first,
        second,
        all(answer.outcome != "best found" for answer in (without, with_idea)),
        also,
        with_idea.conflict,
        with_idea.repairs,
    )


def _cheapest(answer: Answer) -> Package | None:
    return answer.packages[0] if answer.packages else None
