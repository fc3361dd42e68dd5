"""Makes cases ready for a session: whole, or narrowed to its job where that is sooner.

Who changes the use of the vehicle waits for a case of its own. Where its tables are many rows to
join, what the job's goals and picks leave of them is joined in a fraction of the time, and says
exactly what the cheapest package is. What its goals alone leave says what each part costs. All else
is asked of the whole case, which follows; where the order that is known for its tables does not
serve, it is put off: looking for another takes a minute or more, and may show that there is none.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from configurator.core.progress import part_known
from configurator.evaluation.evaluator import Evaluation
from configurator.questions.case_cache import posed
from configurator.questions.curves_beside import can_widen, widened
from configurator.search.circuit.join import TooWide
from configurator.search.limits import LIMITS
from configurator.search.optimum import preparing, queries
from configurator.search.optimum.goal_narrowing import narrowed_to_goals, without_picks
from configurator.search.optimum.known_orders import order_is_known

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from configurator.model.jobs import Case, Job
    from configurator.model.knowledge import Trade
    from configurator.questions.case_cache import Shelf
    from configurator.search.limits import Limits
    from configurator.search.optimum.preparing import Prepared

# Rows of joins up to which the whole case is there about as soon as a narrowed one: of the bundled
# vehicles, 0.5 million take 0.06 s longer, 1.2 million 0.4 s, 4.7 million 3 s.
SOON_ROWS = 800_000


@dataclass(frozen=True, slots=True)
class CaseMaker:
    """Makes cases, and puts them on the shelf.

    Parameters
    ----------
    trade
        What plugins declare.
    open_case
        Reads what a job names.
    shelf
        Where cases are put.
    keep
        Whether plans are kept on disk.
    figures
        That cases are made for, beside those of goals.
    limits
        How much the search may try and keep.
    """

    trade: Trade
    open_case: Callable[[Job], Case]
    shelf: Shelf
    keep: bool = True
    figures: Sequence[str] = ()
    limits: Limits = LIMITS

    def make(self, job: Job) -> None:
        """Make a job's case, unless it is there: one for its goals, and the whole one if soon.

        Raises
        ------
        InputError
            With everything that is wrong with what the job names.
        PluginError
            If a rule fails.
        """
        with self.shelf.preparing(job):
            if self.shelf.find(job) is None:
                self._make_soon(job)
            self._make_exact(job)

    def make_whole(self, job: Job) -> None:
        """Make a job's whole case, however long that takes.

        Raises
        ------
        InputError, PluginError
            As `make`.
        """
        with self.shelf.preparing(job, "whole"):
            if self.shelf.find(job) is None:
                self.shelf.put(job, preparing.whole_of(self._begun(job)))
            self._make_exact(job)

    def prepared(self, job: Job, *, for_goals: bool = False) -> Prepared:
        """Return the case that a job is asked of; ``for_goals``: of it only picks may move.

        Raises
        ------
        InputError, PluginError
            As `make`.
        """
        find = self.shelf.find_for_goals if for_goals else self.shelf.find
        answer = find(job)
        if answer is None or (for_goals and answer.loose is not None and not self.is_made(job)):
            self.make(job)
            answer = find(job)
        if answer is None:
            self.make_whole(job)
            answer = find(job)
        if answer is None:  # another session's case has pushed it out at once
            message = "too many cases at a time: make the shelf larger"
            raise RuntimeError(message)
        return posed(answer, job)

    def nearest(self, job: Job) -> Prepared | None:
        """Return a job's case; as long as it is not there, one that is narrowed to it."""
        return self.shelf.find_for_goals(job) or self.shelf.find_narrowed(job)

    def narrowed(self, job: Job) -> Prepared:
        """Return the case that is nearest; the one that is there first where a whole is put off.

        Raises
        ------
        InputError, PluginError
            As `make`.
        """
        if self.nearest(job) is None and self.shelf.instead_of_whole(job) is not None:
            self.make_first(job)
        nearest = self.nearest(job)
        return self.prepared(job) if nearest is None else posed(nearest, job)

    def for_curves(self, job: Job) -> Prepared:
        """Return the whole case, or one to make those of that curves are read off instead.

        Raises
        ------
        InputError, PluginError
            As `make`.
        """
        instead = self.shelf.instead_of_whole(job)
        return self.prepared(job) if instead is None else posed(instead, job)

    def is_made(self, job: Job) -> bool:
        """Whether `make` has nothing to do."""
        whole = self.shelf.find(job)
        if whole is None:
            put_off = self.shelf.is_put_off(job, self._figures_for(job))
            return put_off and self.shelf.has_for_goals(job)
        return whole.loose is None or self.shelf.tried_for_goals(job)

    def _make_soon(self, job: Job) -> None:
        """Make a case for a job's goals, then the whole one, which may be put off for that."""
        figures = self._figures_for(job)
        case = self._begun(job)
        if case.within is None:
            self.shelf.put(job, case)
            return
        put_off = self.shelf.is_put_off(job, figures)
        for_goals = None
        if put_off or not order_is_known(case.model):
            for_goals = self._made_for_goals(case, job, soon=True)
        if not put_off:
            with suppress(TooWide):
                self.shelf.put(job, preparing.whole_of(case, soon=True))
                return
        if for_goals is None and self._made_for_goals(case, job) is None:
            self.shelf.put(job, preparing.whole_of(case))
        else:
            self.shelf.put_off(job, figures)

    def _made_for_goals(self, case: Prepared, job: Job, *, soon: bool = False) -> Prepared | None:
        """Make a case for a job's goals of one that is narrowed to the job, and put it there."""
        for_goals = narrowed_to_goals(case, job, soon=soon)
        if for_goals is not None:
            # What it is made of is kept beside it: others are made of that.
            self.shelf.put_narrowed(job, case)
            self.shelf.put_for_goals(job, for_goals)
            part_known()
        return for_goals

    def _make_exact(self, job: Job) -> None:
        """Where a whole case is one of bounds, make one of exact prices for a job's goals."""
        whole = self.shelf.find(job)
        if whole is not None and whole.loose is not None and not self.shelf.tried_for_goals(job):
            self.shelf.put_for_goals(job, narrowed_to_goals(whole, job))

    def _begun(self, job: Job) -> Prepared:
        """Give a case that has a job's tables: narrowed to its goals where there is none yet."""
        figures = self._figures_for(job)
        known = self.shelf.model_for(job, figures)
        if known is not None:
            return known
        evaluation = Evaluation(self.open_case(job), self.trade)
        return preparing.prepare(
            evaluation, figures, within=without_picks(job) if job.goals else None,
            few_rows=SOON_ROWS, sure=job.sure, keep=self.keep, limits=self.limits,
        )  # fmt: skip

    def make_first(self, job: Job) -> None:
        """Make what tells a job's cheapest package soonest: a narrowed case, or the whole one.

        Raises
        ------
        InputError
            With everything that is wrong with what the job names.
        PluginError
            If a rule fails.
        """
        with self.shelf.preparing(job, "first"):
            if self.nearest(job) is not None:
                return
            figures = self._figures_for(job)
            within = replace(job, budget=None)
            known = self.shelf.model_for(job, figures)
            if known is not None:
                first = preparing.narrowed_to(known, within)
            else:
                first = preparing.prepare(
                    Evaluation(self.open_case(job), self.trade), figures, within=within,
                    few_rows=SOON_ROWS, sure=job.sure, keep=self.keep, limits=self.limits,
                )  # fmt: skip
            if first.within is None:
                self.shelf.put(job, first)
            else:
                self.shelf.put_narrowed(job, first)

    def tighten(self, job: Job, prepared: Prepared) -> None:
        """Make prices of a case exact that are bounds, and put it in its place.

        Raises
        ------
        TooWide
            If the lists are too long even for that.
        """
        tight = preparing.tighten(prepared, keep=self.keep)
        with self.shelf.preparing(job):
            known = self.shelf.find(job)
            if known is None or known.loose is not None:
                self.shelf.put(job, tight)

    def widen(self, job: Job, prepared: Prepared, figures: Sequence[str]) -> None:
        """Prepare a case for goals on more figures, where that is little work.

        Raises
        ------
        PluginError
            If a rule fails.
        """
        if not can_widen(prepared, figures):
            return
        with self.shelf.preparing(job):
            wider = widened(prepared, [*self._figures_for(job), *figures])
            if wider.loose is None:
                self.shelf.put(job, wider, instead_of=prepared)

    def _figures_for(self, job: Job) -> list[str]:
        return list(dict.fromkeys([*queries.goal_figures(job), *self.figures]))
