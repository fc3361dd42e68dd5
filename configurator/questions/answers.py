"""The questions a workshop asks, answered: find a package, what is still possible, why not.

This is the library's front door; the command line and the pages say what it returns.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from configurator.core.progress import Cancelled, report
from configurator.evaluation.evaluator import Evaluation
from configurator.evaluation.packages import Package, not_checked
from configurator.model.sure_goals import as_asked
from configurator.questions.explanations import (
    Explanation,
    reasons_for_options,
    ways_out,
    why,
    why_for,
)
from configurator.questions.job_answer import Answer, Outcome
from configurator.questions.option_states import OptionState, State, cannot_stay, options
from configurator.questions.unknown_goals import refuse_goals_without_values, refuse_unknown_goals
from configurator.search.counting import model_counting
from configurator.search.explanation import conflicts
from configurator.search.limits import LIMITS
from configurator.search.optimum import (
    branch_and_bound,
    lexicographic,
    option_prices,
    preparing,
    queries,
    verification,
)
from configurator.search.optimum.cheapest_package import CheapestPackage
from configurator.search.optimum.preparing import Question
from configurator.search.pareto import diverse as differing

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Sequence

    from configurator.model.jobs import Case, Job
    from configurator.model.knowledge import Trade
    from configurator.search.counting.model_counting import Counts
    from configurator.search.explanation.conflicts import Reason, Repair
    from configurator.search.limits import Limits
    from configurator.search.optimum.preparing import Prepared
    from configurator.search.pareto.diverse import BigChoice

__all__ = [
    "Answer",
    "Different",
    "Explanation",
    "OptionState",
    "Outcome",
    "State",
    "cannot_stay",
    "cheapest",
    "count",
    "different",
    "find",
    "options",
    "ready",
    "reasons_for_options",
    "why",
    "why_for",
]


def ready(
    case: Case,
    trade: Trade,
    *,
    keep: bool = True,
    figures: Iterable[str] = (),
    sure: bool | None = None,
    alone: bool = False,
    limits: Limits = LIMITS,
) -> Prepared:
    """Prepare a case for any number of questions.

    Parameters
    ----------
    case, trade
        The job with everything it names, and what plugins declare.
    keep
        Whether to keep the plan on disk for the next time, and to use one that is there.
    figures
        Figures beside those of the job's goals that `trade_off` will ask about.
    sure
        Whether it may be asked what holds within usual tolerances; by default if the job asks so.
    alone
        Whether only this job will be asked, or one that wishes for the same and more: that takes a
        fraction of the time.
    limits
        How much the search may try and keep.

    Raises
    ------
    InputError
        If a goal asks for a figure that cannot be worked out whatever is chosen: with the
        measures to take, those first that most rules wait for.
    PluginError
        If a rule fails.
    """
    evaluation = Evaluation(case, trade)
    refuse_unknown_goals(evaluation, case.job)
    kept = dict.fromkeys([*queries.goal_figures(case.job), *figures])
    # What the grade costs is asked as well, so both are in it.
    within = replace(case.job, sure=False) if alone else None
    prepared = preparing.prepare(
        evaluation, list(kept), within=within, sure=sure, keep=keep, limits=limits
    )
    refuse_goals_without_values(Question(prepared, case.job))
    return prepared


def find(
    prepared: Prepared,
    cheapest: int = 1,
    *,
    partial: bool = False,
) -> Answer:
    """Find the cheapest packages that meet a job.

    Parameters
    ----------
    prepared
        From `ready`.
    cheapest
        How many packages at most.
    partial
        Whether a stop gives what was found so far, as ``"best found"``; where nothing fits, without
        what was not worked out yet.

    Notes
    -----
    Where nothing fits, which rules stand against it is worked out unless the budget is the only
    thing in the way: that takes many times as long as what would have to give. `why` works it out
    in any case.
    """
    evaluation = prepared.evaluation
    asked = Question.of(prepared)
    question = lexicographic.settle(asked)
    job = as_asked(question.job)
    packages: list[Package] = []
    proven = True
    reached = 0
    needed: int | None = None
    try:
        for price, choice, sure in option_prices.in_order(question, partial=partial):
            proven = proven and sure
            dear = job.budget is not None and price > job.budget
            if dear and not packages:
                needed = price if needed is None else needed
            if not dear and len(packages) < cheapest:
                packages.append(verification.confirm(evaluation, job, choice))
            # Behind packages that nothing is proven of stands how far that may be off.
            if sure and (dear or len(packages) == cheapest):
                break
    except branch_and_bound.Undecided as given_up:
        proven, reached = False, given_up.least
    except Cancelled:
        if not partial:
            raise
        proven = False
    if packages or not proven:
        unknown = not_checked(evaluation, packages[0].choice if packages else evaluation.fitted)
        outcome: Outcome = "found" if proven else "best found"
        least = _least(question, packages, reached, proven=proven)
        return Answer(outcome, job, tuple(packages), (), (), tuple(unknown), least=least)
    reasons: list[Reason] = []
    repairs: tuple[Repair, ...] = ()
    # Where only money is in the way, all other ways out keep within the budget.
    only_money = all(goal.as_possible is None for goal in asked.job.goals)
    needs = needed if only_money else None
    asked = asked.whole(None if needs is None else job.budget)
    try:
        repairs = ways_out(asked, (), partial=partial, needs=needs)
        if needed is None:
            reasons = conflicts.explain(asked)
    except Cancelled:
        if not partial:
            raise
    unknown = not_checked(evaluation, evaluation.fitted)
    return Answer("nothing fits", job, (), tuple(reasons), repairs, tuple(unknown), needed, needed)


def _least(
    question: Question, packages: Sequence[Package], reached: int, *, proven: bool
) -> int | None:
    """Give what no package costs less than, as is proven; None where nothing is known of that."""
    if proven and packages:
        return packages[0].price
    if question.prepared.loose is None:
        reached = max(reached, option_prices.cheapest(question, 0).least)
    least = min(reached, packages[0].price) if packages else reached
    return least or None


def cheapest(
    prepared: Prepared, position: str | None = None, part: str | None = None
) -> CheapestPackage:
    """Find the cheapest package for a job, its budget left aside; with a part if one is named.

    What was decided for the part's position gives way to it.
    """
    question = lexicographic.settle(Question.of(prepared))
    if position is not None and part is not None:
        job = question.job
        with_part = replace(
            job,
            fixed={**job.fixed, position: part},
            keep=tuple(item for item in job.keep if item != position),
            excluded=tuple(key for key in job.excluded if key != part),
        )
        question = question.about(with_part)
    return option_prices.cheapest(question)


def count(
    prepared: Prepared, positions: Collection[str] | None = None, *, partial: bool = False
) -> Counts:
    """Count the packages that meet a job, in all and with each option: exact integers.

    Parameters
    ----------
    prepared
        From `ready`.
    positions
        Positions to count the options of; all by default.
    partial
        Whether a stop leaves a count as the bound that it is by then.
    """
    question = lexicographic.settle(Question.of(prepared))
    return model_counting.count(question, positions, partial=partial)


@dataclass(frozen=True, slots=True)
class Different:
    """A few packages that really differ.

    Parameters
    ----------
    packages
        The cheapest first; each is the cheapest that differs from all before it in at least
        ``least`` of the big choices.
    big
        The big choices, by which packages are told apart.
    least
        In how many of them packages differ.
    proven
        For each package whether that is proven.
    job
        The job with *as high as possible* settled to what can be had.
    """

    packages: tuple[Package, ...]
    big: tuple[BigChoice, ...]
    least: int
    proven: tuple[bool, ...]
    job: Job


def different(
    prepared: Prepared,
    most: int,
    *,
    partial: bool = False,
) -> Different:
    """Find a few packages that differ in what matters, each the cheapest of its kind.

    Parameters
    ----------
    prepared
        From `ready`.
    most
        How many packages at most; all are within the budget.
    partial
        Whether a stop gives those found so far.

    Notes
    -----
    What is meant by different: see `configurator.search.pareto.diverse`. Packages differ in two big
    choices; where no two such packages exist, in one.
    """
    evaluation = prepared.evaluation
    question = lexicographic.settle(Question.of(prepared))
    big = differing.big_choices(question)
    kinds: list[differing.DiversePackage] = []
    least = min(differing.LEAST, max(1, len(big)))
    while True:
        kinds = []
        try:
            for kind in itertools.islice(differing.kinds(question, big, least), most):
                kinds.append(kind)  # what there is when a stop comes, is kept
                report(len(kinds) - 1, most - 1)  # beside the cheapest itself
        except Cancelled:
            if not partial:
                raise
            break
        if len(kinds) > 1 or least == 1 or most == 1:
            break
        least -= 1
    job, proven = as_asked(question.job), tuple(kind.proven for kind in kinds)
    packages = tuple(verification.confirm(evaluation, job, kind.choice) for kind in kinds)
    return Different(packages, tuple(big), least, proven, job)
