"""A job under discussion: every change can be undone, and only what depends on it is asked again.

A session holds what an adviser and a customer agree on, step by step. Most steps only ask other
questions of a prepared case: moving a goal, fixing a part, the budget. A few need a case of its
own (`case_cache`). Which is which is decided here, so that pages, scripts and notebooks need not
know.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, TypeVar

from configurator.model.requirements import Wish
from configurator.questions import answers, closed_prices
from configurator.questions.case_cache import Shelf, posed
from configurator.questions.case_making import CaseMaker
from configurator.questions.closed_prices import BOXED, CLOSED, closed_one_by_one
from configurator.questions.curves_beside import curve_of, is_prepared_for, levels_beside
from configurator.questions.history import begun, redone, undone, went_on
from configurator.questions.remembered_answers import (
    CHEAPEST,
    CHEAPEST_OPEN,
    CURVE,
    EXACT,
    OPTIONS,
    RememberedAnswers,
)
from configurator.search.explanation import conflicts
from configurator.search.limits import LIMITS
from configurator.search.optimum import lexicographic, option_prices, sure_ceilings
from configurator.search.optimum.preparing import Question

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from configurator.evaluation.evaluator import Evaluation
    from configurator.model.jobs import Case, Job
    from configurator.model.knowledge import Trade
    from configurator.questions.answers import Explanation, OptionState
    from configurator.search.explanation.conflicts import Repair
    from configurator.search.limits import Limits
    from configurator.search.optimum.cheapest_package import CheapestPackage
    from configurator.search.optimum.levels import Level
    from configurator.search.optimum.preparing import Prepared

Answer = TypeVar("Answer")

# Prices that are made exact before somebody sees them.
SHOWN_EVERY = 20
# What is known once it was tried to prepare for more figures.
WIDENED = "prepared for more figures"
_UNKNOWN = object()


class Session:
    """A job under discussion.

    Parameters
    ----------
    job
        To begin with.
    trade
        What plugins declare.
    open_case
        Reads what a job names; asked again only where a change needs it.
    shelf
        Cases that other sessions have prepared.
    keep
        Whether plans are kept on disk.
    figures
        Beside those of the job's goals: asking about them later needs no other case.
    limits
        How much the search may try and keep.
    """

    def __init__(
        self,
        job: Job,
        trade: Trade,
        open_case: Callable[[Job], Case],
        shelf: Shelf | None = None,
        *,
        keep: bool = True,
        figures: Sequence[str] = (),
        limits: Limits = LIMITS,
    ) -> None:
        self.trade = trade
        self.history = begun(job)
        self.shelf = shelf if shelf is not None else Shelf()
        self._remembered = RememberedAnswers(self.shelf)
        self._cases = CaseMaker(trade, open_case, self.shelf, keep, tuple(figures), limits)

    # -- steps ----------------------------------------------------------------------------------

    @property
    def job(self) -> Job:
        """The job as it stands."""
        return self.history.job

    def change(self, job: Job, name: str) -> None:
        """Go on with another job; ``name`` is what an undo names."""
        self.history = went_on(self.history, job, name)

    def undo(self) -> None:
        """Take the last step back."""
        self.history = undone(self.history)

    def redo(self) -> None:
        """Take a step again that was undone."""
        self.history = redone(self.history)

    # -- preparing ------------------------------------------------------------------------------

    @property
    def is_ready(self) -> bool:
        """Whether questions are answered without preparing; ``is_put_off``: not on other goals."""
        return self._cases.is_made(self.job)

    @property
    def is_put_off(self) -> bool:
        """Whether its whole case is put off: it is made for whoever asks for other goals."""
        return self.is_ready and self.shelf.find(self.job) is None

    @property
    def knows_prices(self) -> bool:
        """Whether prices of its parts are asked without preparing."""
        case = self.shelf.find_for_goals(self.job)
        return case is not None and (case.loose is None or self.is_ready)

    @property
    def knows_cheapest(self) -> bool:
        """Whether its cheapest package is: then the case may be one that is narrowed to the job."""
        return self._cases.nearest(self.job) is not None

    def prepare(self, job: Job | None = None) -> None:
        """Make ready for questions about a job, the one that stands by default.

        Raises
        ------
        InputError
            With everything that is wrong with what the job names.
        PluginError
            If a rule fails.
        """
        self._cases.make(self.job if job is None else job)

    def prepare_whole(self) -> None:
        """Make its whole case ready, which `prepare` puts off where that takes long."""
        self._cases.make_whole(self.job)

    def prepare_first(self) -> None:
        """Make ready to say what the job's cheapest package is: `prepare` may take much longer.

        Raises
        ------
        InputError, PluginError
            As `prepare`.
        """
        self._cases.make_first(self.job)

    def tighten(self) -> None:
        """Make prices exact that are bounds because lists are too long; of all jobs on these lists.

        It may take minutes in all.

        Raises
        ------
        TooWide
            If the lists are too long even for that.
        """
        job = self.job
        prepared = self.prepared(job)
        if prepared.loose is None:
            return
        self._cases.tighten(job, prepared)

    def prepared(self, job: Job | None = None, *, for_goals: bool = False) -> Prepared:
        """Return the case that a job is asked of, the job as it stands by default.

        With ``for_goals`` one that is narrowed to its goals will do: only its picks may move.
        """
        return self._cases.prepared(self.job if job is None else job, for_goals=for_goals)

    @property
    def evaluation(self) -> Evaluation:
        """The rules, the vehicle and the parts, asked about the job as it stands."""
        prepared = self._cases.nearest(self.job)
        return (self.prepared() if prepared is None else posed(prepared, self.job)).evaluation

    # -- answers --------------------------------------------------------------------------------

    def cheapest(self) -> CheapestPackage:
        """Find the cheapest package for the job, its budget left aside.

        Looks at few packages: it answers a click; `look_longer` looks at more.
        """
        nearest = self._cases.nearest(self.job)
        narrowed = nearest is not None and self.shelf.find(self.job) is None
        name = CHEAPEST_OPEN if narrowed and self.known(CHEAPEST) is None else CHEAPEST
        package = self.asked(name, _cheapest_at_a_click, narrowed=True)
        if name == CHEAPEST_OPEN and nearest is not None and package.proven:
            self._remembered.remember(nearest, CHEAPEST, self.job, package)
        return package

    def look_longer(self) -> CheapestPackage:
        """Find the cheapest package with all patience; `cheapest` answers with it from then on.

        May take minutes where lists are long or sums close to their limits.
        """
        asked = self.job
        before = self.cheapest()
        prepared = self.prepared(asked, for_goals=True)
        longer = option_prices.cheapest(lexicographic.settle(Question(prepared, asked)))
        worse = before.price is not None and (longer.price is None or longer.price > before.price)
        if longer.proven or not worse:
            self._remembered.remember(prepared, CHEAPEST, asked, longer)
        return self.cheapest()

    def options(self) -> dict[str, list[OptionState]]:
        """Say of every option what it costs; `closing` makes the few exact that are not at once."""
        exact = self.known(EXACT)
        if exact is not None:
            return exact  # type: ignore[no-any-return]
        return self.asked(
            OPTIONS, lambda ready, _: answers.options(ready, close=False), for_goals=True
        )

    def price_boxes(self) -> None:
        """Make prices of `options` exact that boxes of options decide within seconds."""

        def answer(prepared: Prepared, job: Job) -> bool:
            states = closed_prices.priced_by_boxes(prepared, self.options())
            self._remembered.remember(prepared, OPTIONS, job, states)
            return True

        self.asked(BOXED, answer, for_goals=True)

    def curve(self, figure: str) -> list[Level]:
        """Give the cheapest price at every value of a figure that the rest of the job leaves."""
        name, job = CURVE + figure, self.job
        if self.known(name) is None:
            prepared = self._cases.for_curves(job)
            self._remembered.remember(prepared, name, job, curve_of(prepared, job, figure))
        return self.known(name)  # type: ignore[no-any-return]

    def curves_beside(self, figures: Sequence[str]) -> None:
        """Work out curves of figures without goals, for `curve`: one, or all where that pays.

        Each call knows at least one more of them.
        """
        job = self.job
        prepared = self._cases.for_curves(job)
        unknown = [figure for figure in figures if self.known(CURVE + figure) is None]
        beside = [figure for figure in unknown if not is_prepared_for(prepared, figure)]
        if len(beside) < len(unknown):
            self.curve(next(figure for figure in unknown if figure not in beside))
        elif beside:
            curves, cases = levels_beside(prepared, job, beside)
            self.shelf.put_beside(job, cases)
            for figure, levels in curves.items():
                self._remembered.remember(prepared, CURVE + figure, job, levels)

    def widen(self, figures: Sequence[str]) -> None:
        """Prepare for goals on more figures where that is little work: asking them is at once then.

        Otherwise the case stays as it is, and a goal on another figure needs one of its own.
        """

        def answer(prepared: Prepared, job: Job) -> bool:
            self._cases.widen(job, prepared, figures)
            return True

        self.asked(WIDENED, answer, for_goals=True)

    def repairs(self, position: str = "", part: str = "") -> list[Repair]:
        """Say what could give, for the job or for one part; sooner there than `why`."""
        return self.asked(
            f"repairs {position}\n{part}",
            lambda ready, job: conflicts.repairs(Question(ready, job), _insist(position, part)),
        )

    def why(self, position: str = "", part: str = "") -> Explanation:
        """Explain why the job, or one part, is not possible. May take long."""
        return self.asked(
            f"why {position}\n{part}",
            lambda ready, job: answers.why(ready, position or None, part or None),
        )

    @property
    def joins_long_lists(self) -> bool:
        """Whether `tighten` makes prices exact; else `closing` does, one by one."""
        prepared = self.prepared(for_goals=True)
        return prepared.loose is not None and not self.certainty_is_apart

    @property
    def certainty_is_apart(self) -> bool:
        """Whether lists are so long that what is sure is known up to a price only."""
        return sure_ceilings.apart(Question(self.prepared(for_goals=True), self.job))

    def closing(
        self, first: tuple[str, int] | None = None, *, patience: int = option_prices.PATIENCE
    ) -> Iterator[tuple[int, int]]:
        """Make the prices of options exact that are not at once.

        It may be left and begun again: what is done by then is in `options`.

        Parameters
        ----------
        first
            Position and number of an option that somebody looks at: it comes first.
        patience
            How many packages to look at for each.

        Yields
        ------
        tuple
            How many are done, and how many there are to do. When the last is done, `options`
            gives the exact ones.
        """
        if self.known(EXACT) is not None:
            return
        asked = self.job
        prepared = self.prepared(asked, for_goals=True)
        question = lexicographic.settle(Question(prepared, asked))
        states = {position: list(each) for position, each in self.options().items()}
        closed = set(self.known(CLOSED) or ())
        if not closed and all(state.exact for each in states.values() for state in each):
            return
        for left in closed_one_by_one(question, states, closed, patience, first):
            if len(closed) % SHOWN_EVERY == 0:
                self._closed(prepared, asked, states, closed)
            yield len(closed), len(closed) + left
        self._closed(prepared, asked, states, closed)
        self._remembered.remember(prepared, EXACT, asked, states)

    def _closed(
        self,
        prepared: Prepared,
        asked: Job,
        result: dict[str, list[OptionState]],
        closed: set[tuple[str, int]],
    ) -> None:
        """Let `options` give what is exact by now."""
        states = {position: list(each) for position, each in result.items()}
        self._remembered.remember(prepared, OPTIONS, asked, states)
        self._remembered.remember(prepared, CLOSED, asked, frozenset(closed))

    def asked(
        self,
        question: str,
        answer: Callable[[Prepared, Job], Answer],
        *,
        narrowed: bool = False,
        for_goals: bool = False,
    ) -> Answer:
        """Answer a question about the job as it stands once; a later time from what is kept.

        Parameters
        ----------
        question
            Its name.
        answer
            Called with the case and the job if the answer is not known.
        narrowed
            Whether a case that is narrowed to the job will do: it asks for nothing but packages
            that meet the job, or for rules alone.
        for_goals
            Whether one that is narrowed to the job's goals will do, as it asks with other picks
            only.
        """
        job = self.job
        answered = self._remembered.recalled(question, job, _UNKNOWN)
        if answered is _UNKNOWN:
            if narrowed:
                prepared = self._cases.narrowed(job)
            else:
                prepared = self.prepared(job, for_goals=for_goals)
            answered = answer(prepared, job)
            self._remembered.remember(prepared, question, job, answered)
        return answered  # type: ignore[no-any-return]

    def known(self, question: str) -> Any:
        """Return the answer to a question about the job as it stands; None if not known yet."""
        return self._remembered.recalled(question, self.job, None)


def _cheapest_at_a_click(prepared: Prepared, job: Job) -> CheapestPackage:
    question = lexicographic.settle(Question(prepared, job))
    return option_prices.cheapest(question, prepared.limits.click_packages)


def _insist(position: str, part: str) -> list[Wish]:
    return [Wish("fixed", position, part=part)] if position else []
