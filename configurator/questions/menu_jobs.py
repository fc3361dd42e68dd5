"""A menu: every vehicle with every level of its goals and every shared part, priced.

The jobs of a menu are the combinations of what its file lists. Those of one vehicle share a case
that is made ready once; a batch of them is the piece of work that is done at a time, here or on
another machine, and always gives the same rows.
"""

from __future__ import annotations

import hashlib
import itertools
import json
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from configurator.core.errors import FitwrightError, nearest
from configurator.evaluation.evaluator import Evaluation
from configurator.files import job_files
from configurator.files.job_text import read_job
from configurator.questions import answers
from configurator.questions.case_cache import answers_goals, posed
from configurator.search.optimum import queries
from configurator.search.optimum.preparing import Question
from configurator.search.optimum.sent_plans import arrived, to_send

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from pathlib import Path

    from configurator.model.jobs import Job
    from configurator.model.knowledge import Trade
    from configurator.search.optimum.preparing import Prepared
    from configurator.search.optimum.sent_plans import SentPlan

    # Vehicle and figures of goals: jobs that have both alike share a plan.
    Basis = tuple[str, tuple[str, ...]]

# Jobs that are priced before the rows are written down.
BATCH = 50


@dataclass(frozen=True, slots=True)
class MenuJob:
    """A job of a menu.

    Parameters
    ----------
    number
        Its place in the menu, from 0.
    text
        The job as its file would say it.
    labels
        What tells it from the others: vehicle, level of each goal, shared parts.
    """

    number: int
    text: str
    labels: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Batch:
    """Jobs of one vehicle that are priced at a time."""

    jobs: tuple[MenuJob, ...]

    @property
    def vehicle(self) -> str:
        """Whose plan the jobs share."""
        return self.jobs[0].labels["vehicle"]

    @property
    def name(self) -> str:
        """Equal for the same jobs only: what was priced already is known by it."""
        whole = "\n".join(job.text for job in self.jobs)
        return f"{self.jobs[0].number:06d}-{hashlib.sha256(whole.encode()).hexdigest()[:12]}"


def batches_of(jobs: Sequence[MenuJob], size: int = BATCH) -> list[Batch]:
    """Divide the jobs of a menu into batches, each of one vehicle."""
    batches = []
    for _, group in itertools.groupby(jobs, key=lambda job: job.labels["vehicle"]):
        of_vehicle = list(group)
        batches += [
            Batch(tuple(of_vehicle[start : start + size]))
            for start in range(0, len(of_vehicle), size)
        ]
    return batches


class MenuPricer:
    """Prices batches: the case of the last vehicle is kept ready for the next of its jobs.

    Parameters
    ----------
    trade
        What plugins declare.
    search
        Folders of catalogs, before those that come with Fitwright.
    keep
        Whether what is made ready is kept on disk.
    """

    def __init__(self, trade: Trade, search: Sequence[Path] = (), *, keep: bool = True) -> None:
        self._trade, self._search, self._keep = trade, tuple(search), keep
        self._ready: tuple[Basis, Prepared] | None = None

    def priced(self, batch: Batch, plan: SentPlan | None = None) -> list[dict[str, Any]]:
        """Price the jobs of a batch.

        Parameters
        ----------
        batch
            Jobs of one vehicle.
        plan
            Made elsewhere for the vehicle; without it one is made here.

        Returns
        -------
        list of dict
            A row for each job, in order: its number and labels, outcome, price [minor units],
            currency, parts, and what is wrong with it where it cannot be priced. A job that fails
            is named in its row; the others go on.
        """
        return [self._row(job, plan) for job in batch.jobs]

    def plan(self, batch: Batch) -> SentPlan | None:
        """Make the plan of a batch's vehicle, to be sent; None where its first job has none."""
        job = batch.jobs[0]
        try:
            return to_send(self._prepared(job, read_job(job.text, self._trade), None))
        except FitwrightError:
            return None  # the rows will name what is wrong

    def _row(self, job: MenuJob, plan: SentPlan | None) -> dict[str, Any]:
        row: dict[str, Any] = {"job": job.number, **job.labels}
        result: dict[str, Any] = {"outcome": "failed", "price": None, "currency": "", "parts": ""}
        problem = ""
        try:
            asked = read_job(job.text, self._trade)
            prepared = self._prepared(job, asked, plan)
            refuse_unknown_parts(Question(prepared, asked))
            answer = answers.cheapest(posed(prepared, asked))
            result["currency"] = asked.currency
            if answer.price is None:
                result["outcome"] = "nothing fits" if answer.proven else "not decided"
            else:
                within = asked.budget is None or answer.price <= asked.budget
                kind = "cheapest" if answer.proven else "best found"
                result["outcome"] = kind if within else "over budget"
                result["price"] = answer.price
                changed = {p: o.key for p, o in (answer.choice or {}).items() if o.changed}
                result["parts"] = json.dumps(changed, ensure_ascii=False, sort_keys=True)
        except FitwrightError as failure:
            problem = str(failure)
        return {**row, **result, "problem": problem}

    def _prepared(self, job: MenuJob, asked: Job, plan: SentPlan | None) -> Prepared:
        basis = job.labels["vehicle"], tuple(sorted(queries.goal_figures(asked)))
        if self._ready is None or self._ready[0] != basis:
            # Goals, fixed parts and budget come with each question; the case is the vehicle's.
            free = replace(asked, goals=(), fixed={}, budget=None)
            case = job_files.case_of(free, self._trade, self._search)
            ready = None if plan is None else arrived(plan, Evaluation(case, self._trade))
            if ready is None or not answers_goals(Question(ready, asked)):
                ready = answers.ready(case, self._trade, keep=self._keep, figures=basis[1])
            self._ready = basis, ready
        return self._ready[1]


def refuse_unknown_parts(question: Question) -> None:
    """Refuse parts that are in none of the lists: with them nothing would fit, for no reason.

    Raises
    ------
    FitwrightError
        With the first of them.
    """
    for position, key in question.job.fixed.items():
        keys = [option.key for option in question.evaluation.options(position)]
        if key not in keys:
            message = f"{position}: {key!r} is in none of the lists; {nearest(key, keys)}"
            raise FitwrightError(message)


def combinations(
    vehicles: Sequence[str],
    goals: Mapping[str, Mapping[str, Sequence[str]]],
    fixed: Mapping[str, Sequence[str]],
) -> Iterator[tuple[str, dict[str, dict[str, str]], dict[str, str]]]:
    """Yield every vehicle with every level of each goal and every part of each position.

    Examples
    --------
    >>> made = list(combinations(["a", "b"], {"track": {"at_most": ["1 m", "2 m"]}}, {}))
    >>> len(made), made[1]
    (4, ('a', {'track': {'at_most': '2 m'}}, {}))
    """
    levels = [
        [(figure, bound, level) for level in of_bound]
        for figure, bounds in goals.items()
        for bound, of_bound in bounds.items()
    ]
    parts = [[(position, key) for key in keys] for position, keys in fixed.items()]
    for vehicle in vehicles:
        for chosen in itertools.product(*levels, *parts):
            asked: dict[str, dict[str, str]] = {}
            for figure, bound, level in (item for item in chosen if len(item) == 3):
                asked.setdefault(figure, {})[bound] = level
            yield vehicle, asked, {item[0]: item[1] for item in chosen if len(item) == 2}
