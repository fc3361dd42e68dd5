"""How long it takes to make every option's price exact where sums are limited, as ratios.

On the bundled jobs in both grades, and on six of them as calculated with a tightened limit on the
vehicle's mass. The first answer of the circuit is what every option costs without limits on sums.
CP-SAT, with one worker, is asked for one proven optimum of the same question as calculated: all
tables, and the same limits on sums. Rules on several sums that no limit on a sum says, and what is
to be sure, it is not told: its task is the easier one in that. What it takes for the tables alone
stands beside it.
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
from configurator.search.optimum.lately import Lately
from configurator.search.optimum.preparing import Question
from configurator.search.optimum.resource_constraints import late_of, limits_for_prices
from tests.benchmarks import instances, others
from tests.benchmarks.commands import JOBS, SUM

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from configurator.model.jobs import Case
    from configurator.model.knowledge import Trade
    from configurator.search.optimum.resource_constraints import LinearLimit

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
    tables_alone: float | None = None
    agrees: bool | None = None

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
    calculated = f"{job}, as calculated"
    questions = {
        job if grade else calculated: _asked(case, trade, sure=grade) for grade in (True, False)
    }
    # The solver is given the rules as calculated.
    question = questions[calculated]
    if tighten:
        front = label_fronts.front(question, [(SUM, "low")])
        values = sorted((float(point.values[0]) for point in front), reverse=True)
        for share in TIGHTENED:
            most = values[int(share * (len(values) - 1))]
            goals = (*question.job.goals, Goal(SUM, at_most=most))
            tight = question.about(replace(question.job, goals=goals))
            questions[f"{calculated}, {SUM} at most {most:.0f} kg"] = tight
    results = [_measured(name, each) for name, each in questions.items()]
    alone, _ = _proof(job, question, seconds, ())
    proofs = {}
    for name, each in questions.items():
        if not each.job.sure:
            limits = limits_for_prices(late_of(each))
            taken, price = _proof(name, each, seconds, limits)
            package = option_prices.cheapest(each)
            same = None if taken is None or not package.proven else package.price == price
            proofs[name] = (taken, same)
    proofs[job] = (proofs[calculated][0], None)
    return [
        replace(each, cp_sat=proofs[each.job][0], tables_alone=alone, agrees=proofs[each.job][1])
        for each in results
    ]


def _asked(case: Case, trade: Trade, *, sure: bool) -> Question:
    graded = replace(case, job=replace(case.job, sure=sure))
    return lexicographic.settle(Question.of(answers.ready(graded, trade, keep=True)))


def _measured(name: str, question: Question) -> Exactness:
    first, _ = _least(question, lambda: queries.previews(question))
    exact, measured = _least(question, lambda: option_prices.previews(question))
    asked = sum(int((prices >= 0).sum()) for prices in measured.if_freed.values())
    left = sum(int((~exact_prices).sum()) for exact_prices in measured.freed_exact.values())
    return Exactness(name, asked, left, first, exact)


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


def _proof(
    job: str, question: Question, seconds: float, limits: Sequence[LinearLimit]
) -> tuple[float | None, int | None]:
    """Have CP-SAT prove one optimum: its seconds, None where it does not, and the price.

    To tell it the tables is not counted, as making ready is not of ours.
    """
    instance = instances.take_apart(job, question.model, question.job, limits)
    begun = time.process_time()
    solved = others.cp_sat(instance, seconds, workers=1)
    taken = time.process_time() - begun - solved.setup
    return (taken if solved.proven else None), solved.price


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
        "  CP-SAT, one optimum under limits on sums (of the tables alone)"
    ]
    for result in results:
        theirs = "not proven"
        if result.cp_sat is not None and result.faster is not None:
            theirs = f"{result.cp_sat * 1000:.0f}, {result.faster:.1f} times as long"
        if result.tables_alone is not None:
            theirs += f" ({result.tables_alone * 1000:.0f})"
        if result.agrees is not None:
            theirs += "; same price" if result.agrees else "; another price: rules left out bind"
        lines.append(
            f"{result.job:<{wide}}  {result.options:7}  {result.open:5}"
            f"  {result.first_answer * 1000:12.1f}  {result.all_exact * 1000:9.1f}"
            f"  {result.ratio:5.1f}  {theirs}"
        )
    return "\n".join(lines)
