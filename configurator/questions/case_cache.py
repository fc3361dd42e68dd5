"""Prepared cases kept for several sessions, and what of a job tells whether one serves it.

Most wishes only ask other questions of a prepared case; conditions, measures, catalogs, or a goal
on a figure that was not asked about before, need a case of their own. Until that is made, one that
is narrowed to the job answers what the job's cheapest package is.
"""

from __future__ import annotations

import copy
from collections import OrderedDict
from collections.abc import Mapping
from contextlib import contextmanager
from dataclasses import fields, replace
from threading import Lock
from typing import TYPE_CHECKING, Any, Literal
from weakref import WeakValueDictionary

from configurator.core.progress import check
from configurator.questions.answer_cache import AnswerCache
from configurator.search.optimum import queries
from configurator.search.optimum.goal_narrowing import without_picks
from configurator.search.optimum.narrowing import covers
from configurator.search.optimum.preparing import Question

if TYPE_CHECKING:
    from collections.abc import Collection, Hashable, Iterable, Iterator

    from configurator.model.jobs import Job
    from configurator.search.optimum.preparing import Prepared

# Cases kept ready: a few are in use at a time. Of one vehicle and use they differ by what goals
# are on; those of a job that somebody tries goals on do not push out everybody else's.
CASES_KEPT = 8
KEPT_OF_EACH = 3
# Cases narrowed to a job that tell figures apart on which it has no goals: two for each job, as
# long as they have no more rows in all than one or two whole cases of a large vehicle.
BESIDE_KEPT, BESIDE_ROWS = 8, 3_000_000
# Answers outlive the case they were worked out on: of so many times as many cases.
OUTLIVED = 2
# Prices and packages kept of each, for all who talk about it.
SHARED_ANSWERS = 512
# What only asks other questions of a prepared case; all else in a job makes another case.
MASKS = frozenset(
    {"title", "budget", "goals", "fixed", "keep", "excluded", "vehicles", "parts_within"}
    | {"discount", "customer", "sure"}
)


def key_of(job: Job) -> Hashable:
    """Return something that is equal for equal jobs and can be looked up.

    Examples
    --------
    >>> from configurator.model.jobs import Job
    >>> one = Job("a", "demo/b", ("demo",), fixed={"tyres": "demo/T", "hub_reductions": "none"})
    >>> other = Job("a", "demo/b", ("demo",), fixed={"hub_reductions": "none", "tyres": "demo/T"})
    >>> key_of(one) == key_of(other)
    True
    """
    return (
        basis_of(job),
        job.goals,
        job.sure,
        job.budget,
        frozenset(job.fixed.items()),
        frozenset(job.keep),
        frozenset(job.excluded),
        # What lies on the shelf is enough for some vehicles only.
        None if job.parts_within is None else (job.parts_within, job.vehicles),
    )


def basis_of(job: Job) -> Hashable:
    """Return what a prepared case depends on, its goals' figures aside: all but the masks."""
    return tuple(
        _frozen(getattr(job, field.name)) for field in fields(job) if field.name not in MASKS
    )


def serves_both(job: Job, other: Job) -> bool:
    """Whether a case that is made for one job serves the other as well."""
    figures = set(queries.goal_figures(job))
    return (
        basis_of(job) == basis_of(other)
        and figures.issuperset(queries.goal_figures(other))
        and (job.sure or not other.sure)
    )


def _frozen(value: Any) -> Hashable:
    if isinstance(value, Mapping):
        return frozenset((key, _frozen(element)) for key, element in value.items())
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


def serves(prepared: Prepared, job: Job) -> bool:
    """Whether a job, its grade and every goal of it, can be asked of a prepared case."""
    within = prepared.within
    if within is not None and not covers(within, job, picks=True):
        return False
    return answers_goals(Question(prepared, job))


def answers_goals(question: Question) -> bool:
    """Whether a job, its grade and every goal of it, can be asked of a prepared case."""
    if question.job.sure and not question.model.asks_certainty:
        return False
    return tells_apart(question.prepared, queries.goal_figures(question.job))


def tells_apart(prepared: Prepared, figures: Collection[str]) -> bool:
    """Whether goals on these figures can be asked of a case."""
    evaluation, model = prepared.evaluation, prepared.model
    return all(
        figure in model.goal_tables
        or figure in model.fixed_figures
        or evaluation.late(evaluation.definition(figure))
        for figure in figures
    )


class Shelf:
    """Prepared cases and answers, for any number of sessions; the ones asked for last are kept.

    Parameters
    ----------
    most
        How many cases are kept.
    answers
        How many answers are kept for each.
    """

    def __init__(self, most: int = CASES_KEPT, answers: int = SHARED_ANSWERS) -> None:
        self._most, self._most_answers = most, answers
        self._lock = Lock()
        self._cases: OrderedDict[tuple[Hashable, Hashable], Prepared] = OrderedDict()
        self._answers: OrderedDict[Hashable, AnswerCache] = OrderedDict()
        # Narrowed to a job, until the whole case of its basis is there.
        self._narrowed: OrderedDict[Hashable, Prepared] = OrderedDict()
        # Narrowed to a job's goals, as long as the whole case is not there, or is one of bounds;
        # None where that is too.
        self._for_goals: OrderedDict[tuple[Hashable, Hashable, Hashable], Prepared | None]
        self._for_goals = OrderedDict()
        # Whose whole case is not there soon: figures, and whether it may be asked what is sure.
        self._put_off: OrderedDict[tuple[Hashable, frozenset[str], bool], None] = OrderedDict()
        # Narrowed to a job, with figures that it has no goals on: whoever sets one is answered.
        self._beside: OrderedDict[tuple[Hashable, Hashable], Prepared] = OrderedDict()
        # Only as long as somebody prepares, or waits for who does.
        self._preparing: WeakValueDictionary[Hashable, Lock] = WeakValueDictionary()

    def find(self, job: Job) -> Prepared | None:
        """Return a case on which a job can be asked; None if it must be prepared."""
        basis = basis_of(job)
        with self._lock:
            serving = [
                kept
                for kept, prepared in self._cases.items()
                if kept[0] == basis and serves(prepared, job)
            ]
            if not serving:
                return None
            kept = serving[0]
            if len(serving) > 1:
                kept = min(serving, key=lambda each: self._cases[each].circuit.rows)
            self._cases.move_to_end(kept)
            return self._cases[kept]

    def find_for_goals(self, job: Job) -> Prepared | None:
        """Return a case on which a job can be asked with whatever picks; None if there is none.

        That is the whole case; where that is not there yet, or one of bounds, an exact one that is
        narrowed to no more than the job's goals.
        """
        whole = self.find(job)
        if whole is not None and whole.loose is None:
            return whole
        with self._lock:
            narrowed = self._for_goals.get(_goals_of(job))
        if narrowed is None:
            narrowed = self.find_narrowed(without_picks(job))
        return whole if narrowed is None or narrowed.loose is not None else narrowed

    def tried_for_goals(self, job: Job) -> bool:
        """Whether a case was put here that is narrowed to a job's goals, or found to be none."""
        with self._lock:
            return _goals_of(job) in self._for_goals

    def has_for_goals(self, job: Job) -> bool:
        """Whether one was put here."""
        with self._lock:
            return self._for_goals.get(_goals_of(job)) is not None

    def put_for_goals(self, job: Job, prepared: Prepared | None) -> None:
        """Keep a case that is narrowed to a job's goals; None if there is none of exact prices."""
        with self._lock:
            self._for_goals[_goals_of(job)] = prepared
            self._for_goals.move_to_end(_goals_of(job))
            while len(self._for_goals) > self._most:
                self._for_goals.popitem(last=False)

    def put_off(self, job: Job, figures: Collection[str]) -> None:
        """Note that a job's whole case, which tells these figures apart, is not there soon."""
        with self._lock:
            self._put_off[basis_of(job), frozenset(figures), job.sure] = None
            while len(self._put_off) > OUTLIVED * self._most:
                self._put_off.popitem(last=False)

    def is_put_off(self, job: Job, figures: Collection[str]) -> bool:
        """Whether that was noted of just this case."""
        with self._lock:
            return (basis_of(job), frozenset(figures), job.sure) in self._put_off

    def instead_of_whole(self, job: Job) -> Prepared | None:
        """Return a case of the same basis to make others of, where a whole one was put off.

        Of one that would have served the job; None where none was, or a whole one is there.
        """
        basis, figures = basis_of(job), set(queries.goal_figures(job))
        if self.find(job) is not None:
            return None
        with self._lock:
            if not any(
                other == basis and figures <= apart and (sure or not job.sure)
                for other, apart, sure in self._put_off
            ):
                return None
            alike = [case for (other, *_), case in self._for_goals.items() if other == basis]
        cases = [case for case in alike if case is not None]
        telling = [case for case in cases if tells_apart(case, figures)]
        return next(reversed(telling or cases), None)

    def answers(self, job: Job) -> AnswerCache:
        """Return what is known of jobs of a basis, whoever asked: prices and parts, no names."""
        with self._lock:
            basis = basis_of(job)
            known = self._answers.setdefault(basis, AnswerCache(self._most_answers))
            self._answers.move_to_end(basis)
            while len(self._answers) > OUTLIVED * self._most:
                self._answers.popitem(last=False)
            return known

    def find_narrowed(self, job: Job) -> Prepared | None:
        """Return a case that is narrowed to a job, or to one that asks for less; None if none is.

        It answers what the job's cheapest package is, and what only rules are asked for.
        """
        basis = basis_of(job)
        with self._lock:
            cases = [case for (other, _), case in self._beside.items() if other == basis]
            cases += [self._narrowed[basis]] if basis in self._narrowed else []
        return next((case for case in reversed(cases) if serves(case, job)), None)

    def model_for(self, job: Job, figures: Collection[str]) -> Prepared | None:
        """Return a narrowed case whose tables are those of a job and tell all figures apart."""
        with self._lock:
            prepared = self._narrowed.get(basis_of(job))
        if prepared is None or (job.sure and not prepared.model.asks_certainty):
            return None
        return prepared if tells_apart(prepared, figures) else None

    @contextmanager
    def preparing(
        self, job: Job, what: Literal["first", "soon", "whole"] = "soon"
    ) -> Iterator[None]:
        """Wait until nobody else prepares a case of the job's basis, then keep others waiting.

        Who makes the one that is there first does not wait for who makes all that is there soon,
        nor that one for who makes a whole one that was put off.
        """
        with self._lock:
            lock = self._preparing.setdefault((basis_of(job), what), Lock())
        # In short steps, so that whoever waits can be stopped.
        while not lock.acquire(timeout=0.1):
            check()
        try:
            yield
        finally:
            lock.release()

    def put(self, job: Job, prepared: Prepared, instead_of: Prepared | None = None) -> None:
        """Keep a case in place of the earlier one that tells the same figures apart.

        Parameters
        ----------
        job
            Of the case's basis.
        prepared
            The case.
        instead_of
            A case that tells fewer figures apart, and goes.
        """
        basis = basis_of(job)
        kept = _place_of(basis, prepared)
        with self._lock:
            if instead_of is not None:
                self._cases.pop(_place_of(basis, instead_of), None)
            self._cases[kept] = prepared
            self._cases.move_to_end(kept)
            alike = [other for other in self._cases if other[0] == basis]
            for other in alike[:-KEPT_OF_EACH]:
                del self._cases[other]
            while len(self._cases) > self._most:
                self._cases.popitem(last=False)
            narrowed = self._narrowed.get(basis)
            if narrowed is not None and narrowed.model.goal_tables.keys() <= (
                prepared.model.goal_tables.keys()
            ):
                del self._narrowed[basis]

    def put_narrowed(self, job: Job, prepared: Prepared) -> None:
        """Keep a case that is narrowed to a job, until the whole one is there."""
        with self._lock:
            self._narrowed[basis_of(job)] = prepared
            self._narrowed.move_to_end(basis_of(job))
            while len(self._narrowed) > self._most:
                self._narrowed.popitem(last=False)

    def put_beside(self, job: Job, cases: Iterable[Prepared]) -> None:
        """Keep cases narrowed to a job that tell apart what the job has no goals on yet."""
        exact = [case for case in cases if case.loose is None]
        with self._lock:
            for case in exact:
                kept = basis_of(job), (key_of(job), frozenset(case.model.goal_tables))
                self._beside[kept] = case
                self._beside.move_to_end(kept)
            while len(self._beside) > BESIDE_KEPT or self._rows_beside() > BESIDE_ROWS:
                self._beside.popitem(last=False)

    def _rows_beside(self) -> int:
        return sum(case.circuit.rows for case in self._beside.values())


def _goals_of(job: Job) -> tuple[Hashable, Hashable, Hashable]:
    return basis_of(job), job.goals, job.sure


def _place_of(basis: Hashable, prepared: Prepared) -> tuple[Hashable, Hashable]:
    return basis, (frozenset(prepared.model.goal_tables), prepared.model.asks_certainty)
