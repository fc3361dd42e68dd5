"""What is sure, of long lists: decided among the parts that are in packages up to a price.

To mark which combinations of parts hold within usual tolerances takes minutes for some thousand
parts, nearly all of them of packages far dearer than what is asked for. A package that is sure is
one that holds as calculated, too: prices as calculated bound its own. So the parts are left that
are in some package up to a ceiling as calculated, and a case of these alone is marked. Every sure
package up to the ceiling is in it: what it prices so far is exact, and nothing else that is sure
costs less than the ceiling. Where no package is found, or more are asked for, the ceiling is raised
until the parts are too many.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np

from configurator.core.progress import check
from configurator.search.optimum import ceiling_previews, queries
from configurator.search.optimum.preparing import Question, prepare
from configurator.search.optimum.price_ceiling import Within, serves

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterator


# How far above the cheapest package as calculated ceilings are.
MARGINS = (0.1, 0.3, 0.8, 2.0)
# Jobs whose cases are kept: ways out of a clash ask of many.
KEPT = 16


def apart(question: Question) -> bool:
    """Whether a job asks for what is sure of a case in which that is not marked."""
    model = question.model
    return question.job.sure and not model.limits_marked and not model.broken


def ceilings(question: Question) -> Iterator[Within]:
    """Give cases up to higher and higher ceilings; it ends where the next has too many parts."""
    rank = 0
    while (within := certain(question).within(rank)) is not None:
        yield _asked_by(question, within)
        rank += 1


def previews(
    question: Question,
    positions: Collection[str] | None,
    exact_previews: Callable[[Question], queries.Previews],
) -> queries.Previews:
    """Price every option where certainty is not marked: exactly up to a ceiling.

    Parameters
    ----------
    question, positions
        As for `queries.previews`.
    exact_previews
        Prices the options of these positions on a case in which it is marked.
    """
    cases = certain(question)
    within = cases.latest()
    plain = question.about(replace(question.job, sure=False))
    bounds = as_calculated(plain, positions)
    exact = {position: own < 0 for position, own in bounds.prices.items()}
    freed = {position: own < 0 for position, own in bounds.if_freed.items()}
    bounds = replace(bounds, exact=exact, freed_exact=freed)
    if within is None:
        return bounds
    inside = Question(_asked_by(question, within).prepared, question.job)
    return ceiling_previews.merged(question, bounds, exact_previews(inside), within)


def as_calculated(
    question: Question, positions: Collection[str] | None, dearer: float | None = None
) -> queries.Previews:
    """Bound the price of each option by what it costs as calculated, limits on sums left aside.

    Parameters
    ----------
    question, positions
        As for `queries.previews`.
    dearer
        How many times the cheapest package bounds need be close.
    """
    if question.prepared.loose is None:
        return queries.previews(question, positions)
    return ceiling_previews.previews(question, positions, queries.previews, dearer)


def _asked_by(question: Question, within: Within) -> Within:
    """Ask a case that is kept for a job that may have other picks."""
    model = replace(within.prepared.model, evaluation=question.evaluation)
    return replace(within, prepared=replace(within.prepared, model=model))


def certain(question: Question) -> CertainCases:
    """Give the cases in which a job, or one that asks for less, is asked what is sure."""
    lately = question.prepared.lately
    kept: tuple[CertainCases, ...] = lately.certain
    for known in reversed(kept):
        if serves(known.question.job, question.job):
            return known
    made = CertainCases(question.about(replace(question.job, budget=None)))
    lately.certain = (*kept[1 - KEPT :], made)
    return made


@dataclass(slots=True)
class CertainCases:
    """Cases of the parts that are in some package of a job up to a price, as calculated.

    Parameters
    ----------
    question
        The job, its budget left aside, and the case in which nothing is marked.

    Attributes
    ----------
    bounds
        Of the job as calculated: prices, or what no package with an option costs less than.
    """

    question: Question
    bounds: queries.Previews = field(init=False)
    _made: list[Within] = field(init=False, default_factory=list)
    _full: bool = field(init=False, default=False)

    def __post_init__(self) -> None:
        """Bound the price of each option."""
        job = replace(self.question.job, sure=False)
        self.bounds = as_calculated(self.question.about(job), None, dearer=1 + MARGINS[0])

    def within(self, rank: int) -> Within | None:
        """Give the case up to a ceiling, the lowest first; None where parts are too many."""
        while len(self._made) <= rank:
            last = self._made[-1] if self._made else None
            if self._full or (last is not None and last.ceiling is None):
                return None
            check()
            self._make_next()
        return self._made[rank]

    def latest(self) -> Within | None:
        """Give the highest ceiling that is there, or the lowest that there can be."""
        self.within(0)
        return self._made[-1] if self._made else None

    def _make_next(self) -> None:
        """Make the next case; where it would have too many parts, one of as many as can be."""
        cheapest = self.bounds.cheapest
        if cheapest is None:
            self._full = True
            return
        before = self._made[-1].ceiling if self._made else None
        before = cheapest - 1 if before is None else before
        most = self.question.prepared.limits.marked_options
        prices = np.sort(np.concatenate([own[own >= 0] for own in self.bounds.prices.values()]))
        higher = (int(cheapest * (1 + margin)) for margin in MARGINS)
        ceiling = next((price for price in higher if before < price < prices[-1]), None)
        if (len(prices) if ceiling is None else int(np.sum(prices <= ceiling))) > most:
            self._full = True
            ceiling = int(prices[most]) - 1
            if ceiling <= before:
                return
        self._made.append(self._case(ceiling))

    def _case(self, ceiling: int | None) -> Within:
        """Mark the parts up to a ceiling."""
        question = self.question
        prepared, job = question.prepared, question.job
        most = np.inf if ceiling is None else ceiling
        left = {
            position: np.flatnonzero((own >= 0) & (own <= most)).tolist()
            for position, own in self.bounds.prices.items()
        }
        made = prepare(
            question.evaluation,
            queries.goal_figures(job),
            allowed=left,
            sure=True,
            within=replace(job, fixed={}, keep=(), excluded=(), parts_within=None),
            keep=prepared.keep,
            limits=replace(prepared.limits, marked_options=sum(map(len, left.values()))),
        )
        return Within(made, ceiling)
