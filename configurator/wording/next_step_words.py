"""The next better level of a goal, in words and as data."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from configurator.wording import explanation_templates as say
from configurator.wording.quantities import apart, money_record, money_words, plain, unit_in

if TYPE_CHECKING:
    from configurator.evaluation.evaluator import Evaluation
    from configurator.questions.next_steps import NextStep
    from configurator.wording.quantities import System


def next_step_words(evaluation: Evaluation, step: NextStep, system: System | None = None) -> str:
    """Say what the next step is and costs."""
    job = evaluation.case.job
    unit = evaluation.definition(step.figure).unit
    has, level = apart(step.has, step.level, unit, system)
    template = say.NEXT_STEP if step.exact else say.NEXT_STEP_OR_MORE
    return template.format(
        budget=money_words(job.budget or 0, job.currency),
        figure=step.figure,
        has=has,
        level=level,
        price=money_words(step.price, job.currency),
    )


def next_step_record(
    evaluation: Evaluation, step: NextStep, system: System | None = None
) -> dict[str, Any]:
    """Return the next step as data."""
    unit = evaluation.definition(step.figure).unit
    return {
        "figure": step.figure,
        "has": plain(step.has, unit, system),
        "level": plain(step.level, unit, system),
        "unit": unit_in(unit, system),
        "price": money_record(step.price, evaluation.case.job.currency),
        "exact": step.exact,
        "says": next_step_words(evaluation, step, system),
    }
