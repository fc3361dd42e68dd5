"""A job under discussion: every change can be undone, and only what depends on it is asked again.

A session holds what an adviser and a customer agree on, step by step. Most steps only ask other
questions of a prepared case: moving a goal, fixing a part, the budget. A few need a case of its
own: conditions, measures, catalogs, a goal on a figure that was not asked about before. Which is
which is decided here, so that pages, scripts and notebooks need not know.
"""

from __future__ import annotations

import copy
from collections import OrderedDict
from collections.abc import Mapping
from contextlib import contextmanager
from dataclasses import dataclass, fields, replace
from threading import Lock
from typing import TYPE_CHECKING, Any, TypeVar
from weakref import WeakValueDictionary

from configurator import answers
from configurator.errors import FitwrightError
from configurator.evaluation import Evaluation
from configurator.saying.bounds import too_long_words
from configurator.search import conflicts, lagrange, preparing, queries, settling, sums, totals
from configurator.search.joining import TooWide
from configurator.wishes import Wish

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable, Iterator

    from configurator.answers import Explanation, OptionState, State
    from configurator.jobs import Case, Job
    from configurator.search.conflicts import Repair
    from configurator.search.preparing import Prepared
    from configurator.search.queries import Level
    from configurator.search.totals import Cheapest
    from configurator.trade import Trade

Answer = TypeVar("Answer")

# Answers kept for going back and forth, and cases kept ready: a few of each are in use at a time.
ANSWERS_KEPT = 96
CASES_KEPT = 8
STEPS_KEPT = 200
# What only asks other questions of a prepared case; all else in a job makes another case.
MASKS = frozenset(
    {"title", "budget", "goals", "fixed", "keep", "excluded", "vehicles", "ready_within"}
)
# Packages looked at before a click is answered with the best found; `closing` looks longer.
CLICK_PATIENCE = 300


@dataclass(frozen=True, slots=True)
class Step:
    """A job, and in words what made it of the one before."""

    job: Job
    said: str


@dataclass(frozen=True, slots=True)
class History:
    """All steps, and which of them is now.

    Examples
    --------
    >>> from configurator.jobs import Job
    >>> first = Job("a", "demo/b", ("demo",))
    >>> history = begun(first)
    >>> history = went_on(history, replace(first, budget=100), "set the budget")
    >>> undone(history).job.budget, redone(undone(history)).job.budget
    (None, 100)
    """

    steps: tuple[Step, ...]
    at: int = 0

    @property
    def job(self) -> Job:
        """The job as it stands."""
        return self.steps[self.at].job

    @property
    def can_undo(self) -> str:
        """What an undo takes back; empty where there is nothing."""
        return self.steps[self.at].said if self.at else ""

    @property
    def can_redo(self) -> str:
        """What a redo brings back; empty where there is nothing."""
        return self.steps[self.at + 1].said if self.at + 1 < len(self.steps) else ""


def begun(job: Job) -> History:
    """Begin a history."""
    return History((Step(job, ""),))


def went_on(history: History, job: Job, said: str) -> History:
    """Take a step; what was undone before it is gone. A step that changes nothing is none."""
    if job == history.job:
        return history
    steps = (*history.steps[: history.at + 1], Step(job, said))[-STEPS_KEPT:]
    return History(steps, len(steps) - 1)


def undone(history: History) -> History:
    """Go one step back, if there is one."""
    return replace(history, at=max(0, history.at - 1))


def redone(history: History) -> History:
    """Go one step forward again, if there is one."""
    return replace(history, at=min(len(history.steps) - 1, history.at + 1))


def key_of(job: Job) -> Hashable:
    """Return something that is equal for equal jobs and can be looked up.

    Examples
    --------
    >>> from configurator.jobs import Job
    >>> one = Job("a", "demo/b", ("demo",), fixed={"tyres": "demo/T", "hubs": "none"})
    >>> other = Job("a", "demo/b", ("demo",), fixed={"hubs": "none", "tyres": "demo/T"})
    >>> key_of(one) == key_of(other)
    True
    """
    return (
        basis_of(job),
        job.goals,
        job.budget,
        frozenset(job.fixed.items()),
        frozenset(job.keep),
        frozenset(job.excluded),
        # What lies on the shelf is enough for some vehicles only.
        None if job.ready_within is None else (job.ready_within, job.vehicles),
    )


def basis_of(job: Job) -> Hashable:
    """Return what a prepared case depends on, its goals' figures aside: all but the masks."""
    return tuple(
        _frozen(getattr(job, field.name)) for field in fields(job) if field.name not in MASKS
    )


def _frozen(value: Any) -> Hashable:
    if isinstance(value, Mapping):
        return frozenset((key, _frozen(one)) for key, one in value.items())
    return value  # type: ignore[no-any-return]


def posed(prepared: Prepared, job: Job) -> Prepared:
    """Return a prepared case that asks for another job of the same basis.

    Tables and circuit are shared; nothing is worked out again.

    Examples
    --------
    The job of the result is the new one, the old one's is untouched::

        posed(prepared, replace(job, budget=None)).evaluation.case.job.budget is None
    """
    evaluation = copy.copy(prepared.evaluation)
    evaluation.case = replace(evaluation.case, job=job)
    return replace(prepared, model=replace(prepared.model, evaluation=evaluation))


def answers_goals(prepared: Prepared, job: Job) -> bool:
    """Whether every goal of a job can be asked of a prepared case."""
    evaluation, model = prepared.evaluation, prepared.model
    return all(
        figure in model.goal_tables
        or figure in model.fixed_figures
        or evaluation.late(evaluation.definition(figure))
        for figure in queries.goal_figures(job)
    )


class Shelf:
    """Prepared cases, for any number of sessions; the ones asked for last are kept.

    Parameters
    ----------
    most
        How many are kept.
    """

    def __init__(self, most: int = CASES_KEPT) -> None:
        self._most = most
        self._lock = Lock()
        self._cases: OrderedDict[Hashable, list[Prepared]] = OrderedDict()
        # Only as long as somebody prepares, or waits for who does.
        self._preparing: WeakValueDictionary[Hashable, Lock] = WeakValueDictionary()

    def find(self, job: Job) -> Prepared | None:
        """Return a case on which a job can be asked; None if it must be prepared."""
        with self._lock:
            basis = basis_of(job)
            for prepared in self._cases.get(basis, []):
                if answers_goals(prepared, job):
                    self._cases.move_to_end(basis)
                    return prepared
        return None

    @contextmanager
    def preparing(self, job: Job) -> Iterator[None]:
        """Wait until nobody else prepares a case of the job's basis, then keep others waiting."""
        with self._lock:
            lock = self._preparing.setdefault(basis_of(job), Lock())
        # In short steps, so that whoever waits can be stopped.
        while not lock.acquire(timeout=0.1):
            pass
        try:
            yield
        finally:
            lock.release()

    def figures(self, job: Job) -> list[str]:
        """Name the figures that cases of the job's basis have been asked about."""
        with self._lock:
            known = self._cases.get(basis_of(job), [])
            return [name for one in known for name in one.model.goal_tables]

    def put(self, job: Job, prepared: Prepared) -> None:
        """Keep a case; it has all figures of the earlier ones of its basis and replaces them."""
        with self._lock:
            self._cases[basis_of(job)] = [prepared]
            self._cases.move_to_end(basis_of(job))
            while len(self._cases) > self._most:
                self._cases.popitem(last=False)


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
    """

    def __init__(
        self,
        job: Job,
        trade: Trade,
        open_case: Callable[[Job], Case],
        shelf: Shelf | None = None,
        *,
        keep: bool = True,
    ) -> None:
        self.trade = trade
        self.history = begun(job)
        self.shelf = shelf if shelf is not None else Shelf()
        self._open_case = open_case
        self._keep = keep
        self._lock = Lock()
        self._answers: OrderedDict[Hashable, Any] = OrderedDict()

    # -- steps ----------------------------------------------------------------------------------

    @property
    def job(self) -> Job:
        """The job as it stands."""
        return self.history.job

    def change(self, job: Job, said: str) -> None:
        """Go on with another job; ``said`` is what an undo names."""
        self.history = went_on(self.history, job, said)

    def undo(self) -> None:
        """Take the last step back."""
        self.history = undone(self.history)

    def redo(self) -> None:
        """Take a step again that was undone."""
        self.history = redone(self.history)

    # -- preparing ------------------------------------------------------------------------------

    @property
    def is_ready(self) -> bool:
        """Whether questions about the job as it stands are answered without preparing."""
        return self.shelf.find(self.job) is not None

    def prepare(self, job: Job | None = None) -> None:
        """Make ready for questions about a job, the one that stands by default.

        Raises
        ------
        InputError
            With everything that is wrong with what the job names.
        PluginError
            If a rule fails.
        """
        job = self.job if job is None else job
        with self.shelf.preparing(job):
            if self.shelf.find(job) is not None:
                return
            figures = list(dict.fromkeys([*self.shelf.figures(job), *queries.goal_figures(job)]))
            evaluation = Evaluation(self._open_case(job), self.trade)
            self.shelf.put(job, preparing.prepare(evaluation, figures, keep=self._keep))

    def tighten(self, told: Callable[[int, int], None] | None = None) -> None:
        """Make prices exact that are bounds because lists are too long; of all jobs on these lists.

        Parameters
        ----------
        told
            Called with how much is done, and of how much. It may take minutes in all.

        Raises
        ------
        FitwrightError
            If the lists are too long even for that.
        """
        job = self.job
        prepared = self.prepared(job)
        if prepared.loose is None:
            return
        try:
            tight = preparing.tighten(prepared, told, keep=self._keep)
        except TooWide as problem:
            raise FitwrightError(too_long_words(problem)) from problem
        with self.shelf.preparing(job):
            known = self.shelf.find(job)
            if known is None or known.loose is not None:
                self.shelf.put(job, tight)

    def prepared(self, job: Job | None = None) -> Prepared:
        """Return the case that a job is asked of, the job as it stands by default."""
        job = self.job if job is None else job
        found = self.shelf.find(job)
        if found is None:
            self.prepare(job)
            found = self.shelf.find(job)
            if found is None:  # another session's case has pushed it out at once
                message = "too many cases at a time: make the shelf larger"
                raise RuntimeError(message)
        return posed(found, job)

    # -- answers --------------------------------------------------------------------------------

    def cheapest(self) -> Cheapest:
        """Find the cheapest package for the job, its budget left aside.

        Looks at few packages: it answers a click.
        """
        return self.asked("cheapest", self._cheapest)

    def _cheapest(self, prepared: Prepared, job: Job) -> Cheapest:
        settled = settling.settle(prepared, job)
        return totals.cheapest(prepared, settled, CLICK_PATIENCE, self._outlook())

    def look_longer(self) -> Cheapest:
        """Find the cheapest package with all patience; `cheapest` answers with it from then on.

        May take minutes where lists are long or sums close to their limits.
        """
        asked = self.job
        before = self.cheapest()
        prepared = self.prepared(asked)
        job = settling.settle(prepared, asked)
        found = totals.cheapest(prepared, job, known=self._outlook())
        worse = before.price is not None and (found.price is None or found.price > before.price)
        if found.proven or not worse:
            self._remember(_key_on(prepared, "cheapest", asked), found)
        return self.cheapest()

    def _outlook(self) -> lagrange.Outlook | None:
        """Work out what sums mean for the job: most of the time that its questions take."""
        return self.asked(
            "outlook",
            lambda prepared, job: lagrange.outlook_of(prepared, settling.settle(prepared, job)),
        )

    def options(self) -> dict[str, list[OptionState]]:
        """Say of every option what is known at once; `closing` makes prices exact."""
        exact = self.known("exact options")
        if exact is not None:
            return exact  # type: ignore[no-any-return]
        known = self._outlook()
        return self.asked(
            "options", lambda ready, _: answers.options(ready, close=False, known=known)
        )

    def curve(self, figure: str) -> list[Level]:
        """Give the cheapest price at every value of a figure that the rest of the job leaves."""
        return self.asked(f"curve {figure}", lambda ready, job: _curve(ready, job, figure))

    @property
    def curves_are_exact(self) -> bool:
        """Whether prices of curves are exact; where sums have limits, they are *at least* that."""

        def exact(prepared: Prepared, job: Job) -> bool:
            late = sums.late_of(prepared, job)
            return not sums.has_late(prepared.evaluation, job, late)

        return self.asked("curves are exact", exact)

    def repairs(self, position: str = "", part: str = "") -> list[Repair]:
        """Say what could give, for the job or for one part; sooner there than `why`."""
        return self.asked(
            f"repairs {position}\n{part}",
            lambda ready, job: conflicts.repairs(ready, job, _insist(position, part)),
        )

    def why(self, position: str = "", part: str = "") -> Explanation:
        """Explain why the job, or one part, is not possible. May take long."""
        return self.asked(
            f"why {position}\n{part}",
            lambda ready, job: answers.why(ready, position or None, part or None),
        )

    def closing(self) -> Iterator[tuple[int, int]]:
        """Make the prices of all options exact.

        Yields
        ------
        tuple
            How many are done, and how many there are to do. When the last is done, `options`
            gives the exact ones.
        """
        if self.known("exact options") is not None:
            return
        asked = self.job
        prepared = self.prepared(asked)
        job = settling.settle(prepared, asked)
        outlook = self._outlook()
        first = totals.previews(prepared, job, known=outlook)
        todo = sum(int((~exact).sum()) for exact in first.exact.values())
        found = {position: list(states) for position, states in self.options().items()}
        for done, (position, number, price, proven) in enumerate(
            totals.close(prepared, job, first, known=outlook), 1
        ):
            before = found[position][number]
            found[position][number] = replace(
                before,
                price=None if price < 0 else price,
                state=_state(price, job.budget),
                exact=proven,
            )
            yield done, todo
        self._remember(_key_on(prepared, "exact options", asked), found)

    def asked(self, question: str, answer: Callable[[Prepared, Job], Answer]) -> Answer:
        """Answer a question about the job as it stands once; a later time from what is kept.

        Parameters
        ----------
        question
            Its name.
        answer
            Called with the case and the job if the answer is not known.
        """
        job = self.job
        key = self._key(question, job)
        with self._lock:
            if key in self._answers:
                self._answers.move_to_end(key)
                kept: Answer = self._answers[key]
                return kept
        prepared = self.prepared(job)
        found = answer(prepared, job)
        self._remember(_key_on(prepared, question, job), found)
        return found

    def known(self, question: str) -> Any:
        """Return the answer to a question about the job as it stands; None if not known yet."""
        key = self._key(question, self.job)
        with self._lock:
            return self._answers.get(key)

    def _key(self, question: str, job: Job) -> Hashable:
        return _key_on(self.shelf.find(job), question, job)

    def _remember(self, key: Hashable, answer: Any) -> None:
        with self._lock:
            self._answers[key] = answer
            self._answers.move_to_end(key)
            while len(self._answers) > ANSWERS_KEPT:
                self._answers.popitem(last=False)


def _key_on(prepared: Prepared | None, question: str, job: Job) -> Hashable:
    """Name an answer: one from bounds is none any more once prices are exact."""
    return question, key_of(job), prepared is not None and prepared.loose is not None


def _curve(prepared: Prepared, job: Job, figure: str) -> list[Level]:
    if prepared.evaluation.late(prepared.evaluation.definition(figure)):
        return []  # decided on whole packages: there is no curve to read off
    settled = settling.settle(prepared, queries.without_goal(job, figure))
    return queries.curve(prepared, settled, figure)


def _state(price: int, budget: int | None) -> State:
    if price < 0:
        return "impossible"
    return "available" if budget is None or price <= budget else "over budget"


def _insist(position: str, part: str) -> list[Wish]:
    return [Wish("fixed", position, part=part)] if position else []
