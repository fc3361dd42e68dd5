"""Makes cases ready for a session: whole, or narrowed to its job where that is sooner.

Who changes the use of the vehicle waits for a case of its own. Where its tables are many rows to
join, what the job's goals and picks leave of them is joined in a fraction of the time, and says
exactly what the cheapest package is. All else is asked of the whole case, which follows.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from configurator.evaluation.evaluator import Evaluation
from configurator.questions.curves_beside import can_widen, widened
from configurator.search.limits import LIMITS
from configurator.search.optimum import preparing, queries
from configurator.search.optimum.goal_narrowing import narrowed_to_goals

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
        """Make a job's case, unless it is there.

        Raises
        ------
        InputError
            With everything that is wrong with what the job names.
        PluginError
            If a rule fails.
        """
        with self.shelf.preparing(job):
            whole = self.shelf.find(job)
            if whole is None:
                whole = self._whole(job)
                self.shelf.put(job, whole)
            if whole.loose is not None and not self.shelf.tried_for_goals(job):
                self.shelf.put_for_goals(job, narrowed_to_goals(whole, job))

    def is_made(self, job: Job) -> bool:
        """Whether `make` has nothing to do."""
        whole = self.shelf.find(job)
        return whole is not None and (whole.loose is None or self.shelf.tried_for_goals(job))

    def _whole(self, job: Job) -> Prepared:
        figures = self._figures_for(job)
        narrowed = self.shelf.model_for(job, figures)
        if narrowed is not None:
            return preparing.whole_of(narrowed)
        evaluation = Evaluation(self.open_case(job), self.trade)
        return preparing.prepare(
            evaluation, figures, sure=job.sure, keep=self.keep, limits=self.limits
        )

    def make_first(self, job: Job) -> None:
        """Make what tells a job's cheapest package soonest: a narrowed case, or the whole one.

        Raises
        ------
        InputError
            With everything that is wrong with what the job names.
        PluginError
            If a rule fails.
        """
        with self.shelf.preparing(job, narrowed=True):
            if self.shelf.find(job) is not None or self.shelf.find_narrowed(job) is not None:
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
