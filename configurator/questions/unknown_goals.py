"""Goals that cannot be worked out on this vehicle: said at once, with what to measure."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.core.errors import InputError, Problem
from configurator.evaluation.unknown import gaps_of, goals_not_known, measures_to_take
from configurator.model.parts import Missing
from configurator.model.sure_goals import parted

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from configurator.evaluation.evaluator import Evaluation
    from configurator.evaluation.unknown import Gap
    from configurator.model.jobs import Job
    from configurator.search.optimum.preparing import Question


def refuse_unknown_goals(evaluation: Evaluation, job: Job) -> None:
    """Refuse a job with a goal on a figure that nobody can work out: it is not *nothing fits*.

    Raises
    ------
    InputError
        With every such goal, and what to measure.
    """
    missing = goals_not_known(evaluation, job)
    if missing:
        raise InputError(unknown_goal_problems(evaluation, missing))


def refuse_goals_without_values(question: Question) -> None:
    """Refuse a job with a goal on a figure that no combination of parts gave a value.

    Raises
    ------
    InputError
        With every such goal, and what to measure.
    """
    model, evaluation = question.model, question.evaluation
    missing = {}
    for goal in question.job.goals:
        values = [model.fixed_figures[goal.figure]] if goal.figure in model.fixed_figures else []
        if goal.figure in model.goal_tables:
            (variable,) = model.tables[model.goal_tables[goal.figure]].variables
            values = model.values[variable]
        if values and all(value is Missing.UNKNOWN for value in values):
            figure = evaluation.definition(goal.figure)
            missing[parted(goal.figure)[0]] = gaps_of(evaluation, figure, evaluation.fitted)
    if missing:
        raise InputError(unknown_goal_problems(evaluation, missing))


def unknown_goal_problems(
    evaluation: Evaluation, missing: Mapping[str, Sequence[Gap]]
) -> list[Problem]:
    """Say of goals that cannot be worked out what is missing, and what to do first.

    Parameters
    ----------
    evaluation
        The case and the trade.
    missing
        Figure → what is not known, from `goals_not_known`.
    """
    measures, waiting = evaluation.trade.measures, dict(measures_to_take(evaluation))
    problems = []
    for figure, gaps in missing.items():
        ordered = sorted(gaps, key=lambda gap: -len(waiting.get(gap.name, ())))
        steps = []
        for gap in ordered:
            step = str(gap)
            if gap.kind == "measure":
                rules = len(waiting.get(gap.name, ()))
                also = f"; {rules} rules wait for it as well" if rules > 1 else ""
                step = f"{step} ({measures[gap.name].how}{also})"
            steps.append(step)
        where = f"{evaluation.case.vehicle.place or 'vehicle'}, goal {figure!r}"
        problems.append(Problem(where, "cannot be worked out", ", then ".join(steps)))
    return problems
