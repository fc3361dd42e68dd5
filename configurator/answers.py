"""The questions a workshop asks, answered: find a package, what is still possible, why not.

This is the library's front door; the command line and the pages say what it returns.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from configurator.evaluation import Evaluation
from configurator.packages import NotChecked, Package, not_checked
from configurator.search import conflicts, queries, referee, totals
from configurator.wishes import Wish

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from configurator.evaluation import Option
    from configurator.jobs import Case, Job
    from configurator.search.conflicts import Reason, Repair
    from configurator.search.queries import Prepared
    from configurator.trade import Trade

Outcome = Literal["found", "nothing fits", "best found"]
State = Literal["available", "over budget", "impossible"]


@dataclass(frozen=True, slots=True)
class Answer:
    """What came of a job.

    Parameters
    ----------
    outcome
        ``"found"`` if the packages are proven to be the cheapest, ``"best found"`` if the search
        ran out of patience before that (perhaps with no package at all), ``"nothing fits"``.
    job
        The job with *as high as possible* settled to what can be had.
    packages
        The cheapest first.
    conflict, repairs
        Where nothing fits: why, and what would have to give.
    not_checked
        Rules that could not be checked on the first package (or on the vehicle as it stands).
    """

    outcome: Outcome
    job: Job
    packages: tuple[Package, ...]
    conflict: tuple[Reason, ...]
    repairs: tuple[Repair, ...]
    not_checked: tuple[NotChecked, ...]


@dataclass(frozen=True, slots=True)
class OptionState:
    """What can be said of one option of one position.

    Parameters
    ----------
    option
        The option.
    state
        ``"available"``, ``"over budget"`` or ``"impossible"``.
    price
        Of the cheapest package with it that meets everything asked for but the budget; None if
        there is none.
    if_freed
        The same if what is decided at this very position were open again; differs from ``price``
        only where a part is fixed, kept or ruled out here. A lower bound where sums are limited.
    exact
        Whether ``price`` is exact; otherwise it is *at least* that.
    """

    option: Option
    state: State
    price: int | None
    if_freed: int | None
    exact: bool = True


def ready(case: Case, trade: Trade, *, keep: bool = True) -> Prepared:
    """Prepare a case for any number of questions.

    Parameters
    ----------
    case, trade
        The job with everything it names, and what plugins declare.
    keep
        Whether to keep the plan on disk for the next time, and to use one that is there.

    Raises
    ------
    PluginError
        If a rule fails.
    """
    return queries.prepare(Evaluation(case, trade), queries.goal_figures(case.job), keep=keep)


def find(prepared: Prepared, cheapest: int = 1) -> Answer:
    """Find the cheapest packages that meet a job.

    Parameters
    ----------
    prepared
        From `ready`.
    cheapest
        How many packages at most.
    """
    evaluation = prepared.evaluation
    asked = evaluation.case.job
    job = queries.settle(prepared, asked)
    packages: list[Package] = []
    proven = True
    try:
        for price, choice, sure in totals.in_order(prepared, job):
            if job.budget is not None and price > job.budget:
                break
            proven = proven and sure
            packages.append(referee.confirm(evaluation, job, choice))
            if len(packages) == cheapest:
                break
    except totals.Undecided:
        proven = False
    if packages or not proven:
        unknown = not_checked(evaluation, packages[0].choice if packages else evaluation.fitted)
        outcome: Outcome = "found" if proven else "best found"
        return Answer(outcome, job, tuple(packages), (), (), tuple(unknown))
    return Answer(
        "nothing fits",
        job,
        (),
        tuple(conflicts.explain(prepared, asked)),
        tuple(conflicts.repairs(prepared, asked)),
        tuple(not_checked(evaluation, evaluation.fitted)),
    )


def options(
    prepared: Prepared, positions: Collection[str] | None = None, *, close: bool = True
) -> dict[str, list[OptionState]]:
    """Say of every option whether it is possible and what the cheapest package with it costs.

    Parameters
    ----------
    prepared
        From `ready`.
    positions
        Positions to answer for; all by default.
    close
        Whether to work on prices that sums over everything leave as a lower bound until they are
        exact; a click does not wait for that.
    """
    job = queries.settle(prepared, prepared.evaluation.case.job)
    found = totals.previews(prepared, job, positions)
    prices = {position: array.copy() for position, array in found.prices.items()}
    exact = {position: array.copy() for position, array in found.exact.items()}
    if close:
        for position, number, price, proven in totals.close(prepared, job, found):
            prices[position][number] = price
            exact[position][number] = proven
    return {
        position: [
            OptionState(
                option,
                _state(int(prices[position][number]), job.budget),
                _or_none(prices[position][number]),
                _or_none(found.if_freed[position][number]),
                bool(exact[position][number]),
            )
            for number, option in enumerate(prepared.model.options[position])
        ]
        for position in prices
    }


def _or_none(price: int) -> int | None:
    return None if price < 0 else int(price)


def _state(price: int, budget: int | None) -> State:
    if price < 0:
        return "impossible"
    return "available" if budget is None or price <= budget else "over budget"


def cannot_stay(prepared: Prepared, package: Package) -> list[str]:
    """List the positions whose present part is in no package that meets the job.

    Parameters
    ----------
    prepared
        From `ready`.
    package
        Any package that meets the job: what it keeps can stay.
    """
    job = queries.settle(prepared, prepared.evaluation.case.job)
    found = []
    for position, option in package.choice.items():
        if option.changed:
            kept = replace(job, keep=(*job.keep, position))
            answer = totals.cheapest(prepared, kept)
            if answer.price is None and answer.proven:
                found.append(position)
    return found


@dataclass(frozen=True, slots=True)
class Explanation:
    """Why something is not possible, and what would have to give."""

    possible: bool
    conflict: tuple[Reason, ...]
    repairs: tuple[Repair, ...]


def why(prepared: Prepared, position: str | None = None, part: str | None = None) -> Explanation:
    """Explain why a job cannot be met, or why one part cannot be in a package that meets it.

    Parameters
    ----------
    prepared
        From `ready`.
    position, part
        The option asked about; the job itself if not given.
    """
    return why_for(prepared, prepared.evaluation.case.job, position, part)


def why_for(
    prepared: Prepared, job: Job, position: str | None = None, part: str | None = None
) -> Explanation:
    """Explain as `why` does, for a job with other wishes than the one that was prepared."""
    insist: Sequence[Wish] = ()
    if position is not None and part is not None:
        insist = [Wish("fixed", position, part=part)]
    reasons = conflicts.explain(prepared, job, insist)
    if not reasons:
        return Explanation(True, (), ())
    return Explanation(False, tuple(reasons), tuple(conflicts.repairs(prepared, job, insist)))
