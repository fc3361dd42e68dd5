"""How long it takes to make every option's price exact where sums are limited, as ratios.

On the bundled jobs in both grades, and on six of them as calculated with a tightened limit on the
vehicle's mass. The first answer of the circuit is what every option costs without limits on sums;
CP-SAT is asked for one proven optimum of the tables as calculated, without limits too, which is the
easier task.
"""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from configurator.files.job_files import read_case
from configurator.loading import plugin_files
from configurator.model.jobs import Goal
from configurator.questions import answers
from configurator.search.optimum import label_fronts, lexicographic, option_prices, queries
from configurator.search.optimum.preparing import Lately, Question
from tests.benchmarks import instances, others
from tests.benchmarks.commands import JOBS, SUM

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from configurator.model.jobs import Case
    from configurator.model.knowledge import Trade

TIMES = 5
# Where on the front of price against the sum a tightened limit stands: from cheapest to lightest.
TIGHTENED = (0.3, 0.8)
TIGHTENED_JOBS = ("touring-wagon-first-step", "vineyard-trucks", "surveyor-pickup")


@dataclass(frozen=True)
class Exactness:
    """Seconds of processor for a job, and what was left inexact."""

    job: str
    options: int
    open: int
    first_answer: float
    all_exact: float
    cp_sat: float | None = None

    @property
    def ratio(self) -> float:
        """All options exact, of the first answer."""
        return self.all_exact / self.first_answer

    @property
    def faster(self) -> float | None:
        """How many times as long CP-SAT takes for one optimum."""
        return None if self.cp_sat is None else self.cp_sat / self.all_exact


def measure(job: str, trade: Trade, seconds: float, *, tighten: bool) -> list[Exactness]:
    """Measure a bundled job as it is, and with limits tightened if so asked."""
    case = read_case(JOBS / f"{job}.toml", trade, ())
    questions = {
        job if grade else f"{job}, as calculated": _asked(case, trade, sure=grade)
        for grade in (True, False)
    }
    # The solver is given the rules as calculated.
    question = questions[f"{job}, as calculated"]
    theirs = _proof(job, question, seconds)
    if tighten:
        front = label_fronts.front(question, [(SUM, "low")])
        values = sorted((float(point.values[0]) for point in front), reverse=True)
        for share in TIGHTENED:
            most = values[int(share * (len(values) - 1))]
            goals = (*question.job.goals, Goal(SUM, at_most=most))
            tight = question.about(replace(question.job, goals=goals))
            questions[f"{job}, as calculated, {SUM} at most {most:.0f} kg"] = tight
    return [_measured(name, each, theirs) for name, each in questions.items()]


def _asked(case: Case, trade: Trade, *, sure: bool) -> Question:
    graded = replace(case, job=replace(case.job, sure=sure))
    return lexicographic.settle(Question.of(answers.ready(graded, trade, keep=True)))


def _measured(name: str, question: Question, theirs: float | None) -> Exactness:
    first, _ = _least(question, lambda: queries.previews(question))
    exact, measured = _least(question, lambda: option_prices.previews(question))
    asked = sum(int((prices >= 0).sum()) for prices in measured.if_freed.values())
    left = sum(int((~exact_prices).sum()) for exact_prices in measured.freed_exact.values())
    return Exactness(name, asked, left, first, exact, theirs)


def _least(
    question: Question, ask: Callable[[], queries.Previews]
) -> tuple[float, queries.Previews]:
    """Take the least time of some, each as after another click: nothing is left of the last."""
    times = []
    for _ in range(TIMES):
        question.prepared.lately = Lately()
        begun = time.process_time()
        answer = ask()
        times.append(time.process_time() - begun)
    return min(times), answer


def _proof(job: str, question: Question, seconds: float) -> float | None:
    """Have CP-SAT prove one optimum of the tables; None where it does not in its time."""
    instance = instances.take_apart(job, question.model, question.job)
    begun = time.process_time()
    solved = others.cp_sat(instance, seconds, workers=1)
    return time.process_time() - begun if solved.proven else None


def run(*, quick: bool = False, seconds: float = 120.0) -> list[Exactness]:
    """Measure the bundled jobs, and some of them tightened; the quick form, one of them."""
    trade = plugin_files.load(installed=False).trade
    jobs = TIGHTENED_JOBS[:1] if quick else sorted(path.stem for path in JOBS.glob("*.toml"))
    results = []
    for job in jobs:
        results += measure(job, trade, seconds, tighten=job in TIGHTENED_JOBS)
    return results


def table(results: Sequence[Exactness]) -> str:
    """Put results into a table, a line for each job."""
    wide = max(len(result.job) for result in results)
    lines = [
        f"{'milliseconds of processor':<{wide}}  options   open  first answer  all exact  ratio"
        "  CP-SAT, one optimum"
    ]
    for result in results:
        theirs = "not proven"
        if result.cp_sat is not None and result.faster is not None:
            theirs = f"{result.cp_sat * 1000:.0f} ({result.faster:.0f} times as long)"
        lines.append(
            f"{result.job:<{wide}}  {result.options:7}  {result.open:5}"
            f"  {result.first_answer * 1000:12.1f}  {result.all_exact * 1000:9.1f}"
            f"  {result.ratio:5.1f}  {theirs}"
        )
    return "\n".join(lines)
