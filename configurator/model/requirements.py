"""What a job asks for, one wish at a time: so that wishes can be kept, dropped and named."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from configurator.model.jobs import Goal, Job
from configurator.model.sure_goals import lowered

if TYPE_CHECKING:
    from collections.abc import Iterable

WishKind = Literal["fixed", "keep", "ruled out", "at least", "at most", "budget", "parts within"]


@dataclass(frozen=True, slots=True)
class Wish:
    """One thing a customer asks for.

    Parameters
    ----------
    kind
        ``"fixed"`` and ``"keep"`` speak of a position, ``"ruled out"`` of a part, ``"at least"``
        and ``"at most"`` of a figure.
    subject
        The position, the part's key, or the figure; empty for the budget and the wait.
    part
        For ``"fixed"``: the part's key.
    bound
        For goals: in SI. For the budget: minor units. For ``"parts within"``: days.
    """

    kind: WishKind
    subject: str = ""
    part: str = ""
    bound: float = 0.0

    @property
    def name(self) -> str:
        """A short name that is the same every time."""
        if self.kind == "budget":
            return "budget"
        if self.kind == "parts within":
            return "parts within"
        if self.kind == "fixed":
            return f"{self.subject} fixed to {self.part}"
        if self.kind == "keep":
            return f"keep the {self.subject}"
        if self.kind == "ruled out":
            return f"{self.subject} ruled out"
        return f"{self.subject} {self.kind}"


def wishes_of(job: Job) -> list[Wish]:
    """List all wishes of a job, the ones given up last first.

    Examples
    --------
    >>> job = Job("a", "demo/b", ("demo",), budget=100, goals=(Goal("track", at_most=1.78),))
    >>> [wish.name for wish in wishes_of(job)]
    ['track at most', 'budget']
    """
    wishes = [Wish("fixed", position, part=key) for position, key in sorted(job.fixed.items())]
    wishes.extend(Wish("keep", position) for position in job.keep)
    for goal in lowered(job).goals:
        if goal.at_least is not None:
            wishes.append(Wish("at least", goal.figure, bound=goal.at_least))
        if goal.at_most is not None:
            wishes.append(Wish("at most", goal.figure, bound=goal.at_most))
    if job.budget is not None:
        wishes.append(Wish("budget", bound=float(job.budget)))
    if job.parts_within is not None:
        wishes.append(Wish("parts within", bound=float(job.parts_within)))
    wishes.extend(Wish("ruled out", key) for key in job.excluded)
    return wishes


def with_bound(job: Job, wish: Wish) -> Job:
    """Return the job with a bound on a figure in place of the one it may have on that side."""
    goal = next((goal for goal in job.goals if goal.figure == wish.subject), Goal(wish.subject))
    if wish.kind == "at least":
        goal = replace(goal, at_least=wish.bound)
    else:
        goal = replace(goal, at_most=wish.bound)
    others = tuple(other for other in job.goals if other.figure != wish.subject)
    return replace(job, goals=(*others, goal))


def with_wishes(job: Job, wishes: Iterable[Wish]) -> Job:
    """Return the job with these wishes only.

    Goals that ask for as high or as low as possible have no bound and are left out.
    """
    fixed: dict[str, str] = {}
    keep: list[str] = []
    excluded: list[str] = []
    goals: dict[str, Goal] = {}
    budget: int | None = None
    parts_within: int | None = None
    for wish in wishes:
        if wish.kind == "fixed":
            fixed[wish.subject] = wish.part
        elif wish.kind == "keep":
            keep.append(wish.subject)
        elif wish.kind == "ruled out":
            excluded.append(wish.subject)
        elif wish.kind == "budget":
            budget = round(wish.bound)
        elif wish.kind == "parts within":
            parts_within = round(wish.bound)
        else:
            goal = goals.get(wish.subject, Goal(wish.subject))
            if wish.kind == "at least":
                goals[wish.subject] = replace(goal, at_least=wish.bound)
            else:
                goals[wish.subject] = replace(goal, at_most=wish.bound)
    return replace(
        job,
        fixed=fixed,
        keep=tuple(keep),
        excluded=tuple(excluded),
        goals=tuple(goals.values()),
        budget=budget,
        parts_within=parts_within,
    )
