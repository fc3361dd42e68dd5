"""Read a kept job again with today's catalogs and rules, and price its quotation anew."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from configurator.core.errors import InputError
from configurator.evaluation.evaluator import Evaluation
from configurator.files.job_files import case_of, read_job
from configurator.questions import answers
from configurator.search.optimum.verification import met_by
from configurator.store.comparison import QuotationComparison, compare

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from configurator.evaluation.packages import Package
    from configurator.loading.plugin_files import Loaded
    from configurator.model.jobs import Case
    from configurator.model.knowledge import Trade
    from configurator.questions.answers import Answer
    from configurator.search.optimum.preparing import Prepared


def kept_case(
    kept: Mapping[str, Any], trade: Trade, search: Sequence[Path], *, lenient: bool = False
) -> Case:
    """Read the job of a snapshot with everything it names, as it is today.

    Parameters
    ----------
    kept
        The snapshot.
    trade, search
        As for `configurator.files.job_files.read_case`.
    lenient
        Whether the job may fix, keep or rule out what is not there any more.

    Raises
    ------
    InputError
        With everything that is wrong with it today.
    """
    job = read_job(str(kept["job"]["file"]), trade)
    where, base = "the kept job", Path()  # its paths are whole ones
    if not lenient:
        return case_of(job, trade, search, base=base, where=where)
    eased = replace(job, fixed={}, keep=(), excluded=())
    case = case_of(eased, trade, search, base=base, where=where)
    again = replace(case.job, fixed=job.fixed, keep=job.keep, excluded=job.excluded)
    return replace(case, job=again)


def look_again(
    kept: Mapping[str, Any], loaded: Loaded, search: Sequence[Path]
) -> tuple[QuotationComparison, Evaluation | None]:
    """Compare a snapshot with today, as far as its catalogs can still be read."""
    try:
        case = kept_case(kept, loaded.trade, search, lenient=True)
    except InputError as problem:
        why = tuple(f"everything: {fault}" for fault in problem.problems)
        return QuotationComparison((), None, (), why), None
    evaluation = Evaluation(case, loaded.trade)
    return compare(kept, evaluation, loaded.plugins), evaluation


@dataclass(frozen=True, slots=True)
class Anew:
    """A kept job priced anew.

    Parameters
    ----------
    answer
        The cheapest package today, or why nothing fits.
    package
        The same parts at today's prices where they still answer the job, otherwise the cheapest
        package; None if nothing fits.
    same
        Whether it is the same parts.
    proven
        Whether ``package`` is proven to be the cheapest.
    """

    answer: Answer
    package: Package | None
    same: bool
    proven: bool


def price_anew(prepared: Prepared, comparison: QuotationComparison) -> Anew:
    """Price a kept job anew.

    Parameters
    ----------
    prepared
        The kept job, strictly read.
    comparison
        Of its snapshot.
    """
    answer = answers.find(prepared)
    same = comparison.same_parts
    if not answer.packages:
        return Anew(answer, None, same=False, proven=answer.outcome != "best found")
    cheapest = answer.packages[0]
    proven = answer.outcome == "found"
    stands = same is not None and not comparison.stands_against
    # What is to be as high as possible may be had higher today: then the same parts fall short.
    if same is None or not stands or not _meets_all(prepared.evaluation, answer, same):
        return Anew(answer, cheapest, same=False, proven=proven)
    return Anew(answer, same, same=True, proven=proven and same.price == cheapest.price)


def _meets_all(evaluation: Evaluation, answer: Answer, package: Package) -> bool:
    return all(met_by(evaluation, goal, package.choice) for goal in answer.job.goals)
