"""Stages in words and as plain data."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from configurator.wording.quantities import money_record, money_words
from configurator.wording.sentences import goal_words

if TYPE_CHECKING:
    from configurator.evaluation.evaluator import Evaluation
    from configurator.evaluation.packages import Package
    from configurator.questions.staging import PartStep, Stage, StagePlan
    from configurator.wording.quantities import System

HEADING = "Stage {number}: {price}"
FITTED = "Fitted: {parts}."
NOTHING = "Nothing is fitted in this stage."
WORK = "Work for {price}: {operations}."
MET = "Goals met from then on: {goals}."
NONE_MET = "No goal is met yet."
LEFT = "{money} of the budget is left."
TOTAL = "All stages together cost {price}; built at once it is {once}."
TWICE = "Done more than once, and paid for each time: {operations}."
SAFE = "The vehicle keeps every rule that could be checked after each stage."
CANNOT = "This package cannot be built within these budgets, stage by stage."
FIRST = "The smallest first step costs {price}: {parts}."
WITH = "{part}: not without {others}, {price} together"
BECAUSE = " ({rules})"
ALONE = "{part}: by itself, {price}"
SUMMARY = "In all"
TOGETHER = "What must be fitted together"
OF_SEVERAL = "Of the {count} cheapest packages the one that can be split for the least money."
UNPROVEN = (
    "More vehicles in between are possible than were looked at: there may be a better way to split."
)


def stage_lines(
    evaluation: Evaluation, package: Package, stage: Stage, system: System | None = None
) -> list[str]:
    """Say what a stage fits, what work that is, and what it reaches."""
    currency = evaluation.case.job.currency
    lines = [NOTHING]
    if stage.positions:
        parts = "; ".join(
            f"{position}: {package.choice[position].part.title}" for position in stage.positions
        )
        lines = [FITTED.format(parts=parts)]
    if stage.operations:
        names = ", ".join(operation.name for operation in stage.operations)
        lines.append(WORK.format(price=money_words(stage.work, currency), operations=names))
    if stage.met:
        goals = "; ".join(goal_words(evaluation, goal, system) for goal in stage.met)
        lines.append(MET.format(goals=goals))
    elif evaluation.case.job.goals:
        lines.append(NONE_MET)
    if stage.left:
        lines.append(LEFT.format(money=money_words(stage.left, currency)))
    return lines


def together_words(evaluation: Evaluation, package: Package, step: PartStep) -> str:
    """Say what a part needs with it, and by which rules."""
    currency = evaluation.case.job.currency
    part = f"{step.position}, {package.choice[step.position].part.title}"
    price = money_words(step.price, currency)
    if not step.others:
        return ALONE.format(part=part, price=price)
    rules = BECAUSE.format(rules="; ".join(step.rules)) if step.rules else ""
    return WITH.format(part=part, others=", ".join(step.others), price=price) + rules


def summary_lines(evaluation: Evaluation, package: Package, plan: StagePlan) -> list[str]:
    """Say what all stages come to, or that the package cannot be split so and what can be first."""
    currency = evaluation.case.job.currency
    lines = []
    if plan.stages:
        total, once = (money_words(amount, currency) for amount in (plan.price, plan.once))
        lines.append(TOTAL.format(price=total, once=once))
        if plan.twice:
            names = ", ".join(operation.name for operation in plan.twice)
            lines.append(TWICE.format(operations=names))
        lines.append(SAFE)
    else:
        lines.append(CANNOT)
        if plan.together:
            least = plan.together[0]
            parts = ", ".join((least.position, *least.others))
            lines.append(FIRST.format(price=money_words(least.price, currency), parts=parts))
    if not plan.proven:
        lines.append(UNPROVEN)
    return lines


def stages_record(
    evaluation: Evaluation, package: Package, plan: StagePlan, system: System | None = None
) -> dict[str, Any]:
    """Return the same as plain data."""
    currency = evaluation.case.job.currency
    return {
        "proven": plan.proven,
        "once": money_record(plan.once, currency),
        "price": money_record(plan.price, currency) if plan.stages else None,
        "stages": [
            {
                "price": money_record(stage.price, currency),
                "work": money_record(stage.work, currency),
                "left": money_record(stage.left, currency),
                "parts": {p: package.choice[p].key for p in stage.positions},
                "operations": [operation.name for operation in stage.operations],
                "goals_met": [goal_words(evaluation, goal, system) for goal in stage.met],
            }
            for stage in plan.stages
        ],
        "done_twice": [operation.name for operation in plan.twice],
        "together": [
            {
                "position": step.position,
                "with": list(step.others),
                "price": money_record(step.price, currency),
                "rules": list(step.rules),
            }
            for step in plan.together
        ],
    }


def heading(number: int, stage: Stage, currency: str) -> str:
    """Name a stage with its price.

    Examples
    --------
    >>> from configurator.questions.staging import Stage
    >>> heading(1, Stage((), 150000, 0, (), (), 0), "EUR")
    'Stage 1: 1,500.00 EUR'
    """
    return HEADING.format(number=number, price=money_words(stage.price, currency))
