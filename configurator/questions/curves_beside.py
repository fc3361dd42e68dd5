"""Price curves of figures that a case was not prepared for, from cases of their own.

A case that tells all figures apart that somebody may ask about takes many times as long to be made,
and to be asked, as one that tells those of its goals. But a curve asks for what the job's goals and
picks leave: narrowed to these, tables with any figure are joined in a moment. Where a job asks for
little yet, each figure has a case alone, since together they may be too much.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from configurator.search.optimum import lexicographic, narrowing, preparing, queries
from configurator.search.optimum.levels import levels_of
from configurator.search.optimum.preparing import Question

if TYPE_CHECKING:
    from collections.abc import Sequence

    from configurator.model.jobs import Job
    from configurator.search.optimum.levels import Level
    from configurator.search.optimum.preparing import Prepared

# Inner rows of a circuit with one figure up to which the others are put beside it. On the bundled
# jobs narrowed ones have 10,000 to 270,000 and all figures add 4 to 160 %; 1.3 and 1.5 million
# without goals became 5 million.
TOGETHER_UP_TO = 400_000
# Inner rows of a circuit up to which a case is prepared for figures that nobody has asked for yet.
WIDENED_UP_TO = 200_000


def is_prepared_for(prepared: Prepared, figure: str) -> bool:
    """Whether a case tells the values of a figure apart."""
    model = prepared.model
    return figure in model.goal_tables or figure in model.fixed_figures


def can_widen(prepared: Prepared, figures: Sequence[str]) -> bool:
    """Whether preparing a case for more figures is to do, and little work."""
    return (
        prepared.loose is None
        and prepared.within is None
        and 0 < prepared.circuit.rows <= WIDENED_UP_TO
        and not all(is_prepared_for(prepared, figure) for figure in figures)
    )


def widened(prepared: Prepared, figures: Sequence[str]) -> Prepared:
    """Prepare a case anew for all these figures.

    Raises
    ------
    PluginError
        If a rule fails.
    """
    return preparing.prepare(
        prepared.evaluation,
        list(dict.fromkeys(figures)),
        sure=prepared.model.asks_certainty,
        keep=prepared.keep,
        limits=prepared.limits,
    )


def curve_of(prepared: Prepared, job: Job, figure: str) -> list[Level]:
    """Give the cheapest price at every level of a figure that the rest of a job leaves.

    Raises
    ------
    PluginError
        If a rule fails.
    """
    evaluation = prepared.evaluation
    if evaluation.late(evaluation.definition(figure)):
        return []  # decided on whole packages: there is no curve to read off
    # Where tables are too wide with all goals free, those on other figures narrow them.
    bounds = prepared.loose is not None and narrowing.is_small_enough(
        prepared.model, prepared.limits
    )
    narrowed = prepared.within is not None
    if bounds or narrowed or not is_prepared_for(prepared, figure):
        return levels_beside(prepared, queries.without_goal(job, figure), [figure])[0][figure]
    return _levels(prepared, queries.without_goal(Question(prepared, job).job, figure), figure)


def levels_beside(
    prepared: Prepared, job: Job, figures: Sequence[str]
) -> tuple[dict[str, list[Level]], list[Prepared]]:
    """Give the cheapest price at every level of figures: of the first, and of all where that pays.

    Parameters
    ----------
    prepared
        A case of the job's vehicle, use and lists.
    job
        Its goals and picks count, the budget does not; it has no goals on these figures.
    figures
        None of sums over everything.

    Returns
    -------
    tuple
        Figure → its levels, which are bounds where tables are too wide for all else; and the cases
        they were read off, narrowed to the job: goals on these figures can be asked of them.

    Raises
    ------
    PluginError
        If a rule fails.
    """
    first, others = figures[0], figures[1:]
    cases = [_narrowed(prepared, job, [first])]
    levels = {first: _levels(cases[0], job, first)}
    if others and cases[0].loose is None and cases[0].circuit.rows <= TOGETHER_UP_TO:
        cases.append(_narrowed(prepared, job, others))
        levels |= {figure: _levels(cases[1], job, figure) for figure in others}
    return levels, cases


def _narrowed(prepared: Prepared, job: Job, figures: Sequence[str]) -> Prepared:
    every = list(dict.fromkeys([*queries.goal_figures(job), *figures]))
    model, within = prepared.model, replace(job, budget=None)
    serves = not model.marked_within and (model.asks_certainty or not job.sure)
    if serves and all(is_prepared_for(prepared, figure) for figure in every):
        return preparing.narrowed_to(prepared, within)
    return preparing.prepare(
        prepared.evaluation,
        every,
        within=within,
        sure=job.sure,
        keep=prepared.keep,
        limits=prepared.limits,
    )


def _levels(case: Prepared, job: Job, figure: str) -> list[Level]:
    """Mark levels as bounds where tables are too wide for limits on sums to be counted."""
    question = lexicographic.settle(Question(case, replace(job, budget=None)))
    levels = levels_of(question, figure)
    if case.loose is None:
        return levels
    return [replace(level, exact=False) for level in levels]
