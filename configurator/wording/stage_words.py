"""Stages in words and as plain data."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from configurator.wording.quantities import money_record, money_words
from configurator.wording.sentences import goal_words

if TYPE_CHECKING:
    from collections.abc import Callable

    from configurator.evaluation.evaluator import Evaluation
    from configurator.evaluation.packages import Package
    from configurator.questions.staging import BestSplit, PartStep, Stage, StagePlan
    from configurator.wording.quantities import System

HEADING = "Stage {number}: {price}"
FITTED = "Fitted: {parts}."
NOTHING = "Nothing is fitted in this stage."
WORK = "Work for {price}: {operations}."
REACHED = "Goals reached by it: {goals}."
STILL_MET = "Goals met before and after: {goals}."
LOST = "No longer met until a later stage: {goals}."
NONE_MET = "No goal is met yet."
LEFT = "{money} of the budget is left."
TOTAL = "All stages together cost {price}; built at once it is {once}."
TWICE = "Done more than once, and paid for each time: {operations}."
SAFE = "The vehicle keeps every rule that could be checked after each stage."
CANNOT = "This package cannot be built within these budgets, stage by stage."
AT_ONCE = "At once or not at all: {parts}. With what they need they cost {price}."
AT_ONCE_LAST = (
    "At once or not at all: {parts}. With what they need they cost {price}; as the last stage, "
    "with all else fitted before, {last}."
)
WAITING_SAVES = (
    "Waiting with the parts that no goal hangs on yet would save {price}: work that is then done "
    "only once."
)
FIRST = "The smallest first step costs {price}: {parts}."
WITH = "{parts}: not without {others}; {price} together."
GROUP = "{parts}: all of them or none; {price} together."
GROUP_WITH = "{parts}: all of them or none, and not without {others}; {price} together."
BECAUSE = "Alone, {part} would break: {rules}."
ALONE = "{parts}: by itself, {price}."
SUMMARY = "In all"
TOGETHER = "What can be fitted by itself, and what only together"
CHEAPEST_IS_BEST = (
    "Of the {count} cheapest packages the cheapest is the best to split: none reaches more of the "
    "goals sooner, and none costs less in stages."
)
REACHES_MORE = (
    "Of the {count} cheapest packages this one is the best to split: stage {number} already "
    "reaches {goals}, which the cheapest reaches later. Built at once it costs {more} more than "
    "the cheapest."
)
COSTS_LESS = (
    "Of the {count} cheapest packages this one is the best to split: it reaches as much as early "
    "as the cheapest, and its stages cost {less} less. Built at once it costs {more} more than "
    "the cheapest."
)
ONLY_THIS = (
    "Of the {count} cheapest packages this one is the best to split; the cheapest cannot be built "
    "within these budgets. Built at once this one costs {more} more."
)
NONE_OF_SEVERAL = (
    "None of the {count} cheapest packages can be built within these budgets; this is the cheapest."
)
UNPROVEN = (
    "More vehicles in between are possible than were looked at: there may be a better way to split."
)


def stage_lines(
    evaluation: Evaluation, package: Package, stage: Stage, system: System | None = None
) -> list[str]:
    """Say what a stage fits, what work that is, and what it reaches."""
    parts = "; ".join(
        f"{position}: {package.choice[position].part.title}" for position in stage.positions
    )
    lines = [FITTED.format(parts=parts) if parts else NOTHING]
    if stage.operations:
        names = ", ".join(operation.name for operation in stage.operations)
        price = money_words(stage.work, evaluation.case.job.currency)
        lines.append(WORK.format(price=price, operations=names))
    return [*lines, *outcome_lines(evaluation, stage, system)]


def outcome_lines(
    evaluation: Evaluation,
    stage: Stage,
    system: System | None = None,
    price_as: Callable[[int, str], str] = money_words,
) -> list[str]:
    """Say what a stage reaches and leaves; its parts and its work stand elsewhere."""
    lines = []
    for template, goals in (
        (REACHED, [goal for goal in stage.met if goal not in stage.met_before]),
        (STILL_MET, [goal for goal in stage.met if goal in stage.met_before]),
        (LOST, [goal for goal in stage.met_before if goal not in stage.met]),
    ):
        if goals:
            words = "; ".join(goal_words(evaluation, goal, system) for goal in goals)
            lines.append(template.format(goals=words))
    if evaluation.case.job.goals and not stage.met:
        lines.append(NONE_MET)
    if stage.left:
        lines.append(LEFT.format(money=price_as(stage.left, evaluation.case.job.currency)))
    return lines


def together_lines(
    evaluation: Evaluation, plan: StagePlan, price_as: Callable[[int, str], str] = money_words
) -> list[str]:
    """Say which parts can be fitted by themselves, which only together, and by which rules."""
    currency = evaluation.case.job.currency
    lines = []
    for steps in _blocks(plan):
        price = price_as(steps[0].price, currency)
        parts = ", ".join(step.position for step in steps)
        if not steps[0].others:
            lines.append(ALONE.format(parts=parts, price=price))
            continue
        members = {step.position for step in steps}
        others = ", ".join(other for other in steps[0].others if other not in members)
        template = (GROUP_WITH if others else GROUP) if len(steps) > 1 else WITH
        lines.append(template.format(parts=parts, others=others, price=price))
        lines += [
            BECAUSE.format(part=step.position, rules="; ".join(step.rules))
            for step in steps
            if step.rules
        ]
    return lines


def summary_lines(
    evaluation: Evaluation, plan: StagePlan, price_as: Callable[[int, str], str] = money_words
) -> list[str]:
    """Say what all stages come to, or that the package cannot be split so and what can be first."""
    currency = evaluation.case.job.currency
    lines = []
    if plan.stages:
        total, once = (price_as(amount, currency) for amount in (plan.price, plan.once))
        lines.append(TOTAL.format(price=total, once=once))
        if plan.waiting_saves:
            lines.append(WAITING_SAVES.format(price=price_as(plan.waiting_saves, currency)))
        if plan.twice:
            names = ", ".join(operation.name for operation in plan.twice)
            lines.append(TWICE.format(operations=names))
        lines.append(SAFE)
    else:
        lines.append(CANNOT)
        if plan.together:
            least = plan.together[0]
            parts = ", ".join((least.position, *least.others))
            lines.append(FIRST.format(price=price_as(least.price, currency), parts=parts))
    block = _largest_block(plan)
    if len(block) > 1:
        parts = ", ".join(step.position for step in block)
        price, last = block[0].price, max(step.last for step in block)
        template = AT_ONCE_LAST if last < price else AT_ONCE
        lines.append(
            template.format(
                parts=parts, price=price_as(price, currency), last=price_as(last, currency)
            )
        )
    if not plan.proven:
        lines.append(UNPROVEN)
    return lines


def _blocks(plan: StagePlan) -> list[list[PartStep]]:
    """Gather the parts that need the same step, the cheapest step first."""
    blocks: dict[frozenset[str], list[PartStep]] = {}
    for step in plan.together:
        blocks.setdefault(frozenset((step.position, *step.others)), []).append(step)
    return list(blocks.values())


def _largest_block(plan: StagePlan) -> list[PartStep]:
    """Return the dearest step of several parts of which none goes without the others."""
    several = [steps for steps in _blocks(plan) if len(steps) > 1]
    return max(several, key=lambda steps: steps[0].price, default=[])


def choice_words(
    evaluation: Evaluation,
    split: BestSplit,
    price_as: Callable[[int, str], str] = money_words,
    system: System | None = None,
) -> list[str]:
    """Say which of several packages was split; nothing where only one was looked at."""
    if split.looked_at < 2:
        return []
    if not split.plan.stages:
        return [NONE_OF_SEVERAL.format(count=split.looked_at)]
    if split.plan == split.cheapest:
        return [CHEAPEST_IS_BEST.format(count=split.looked_at)]
    more = price_as(split.more, evaluation.case.job.currency)
    if not split.cheapest.stages:
        return [ONLY_THIS.format(count=split.looked_at, more=more)]
    for number, (stage, other) in enumerate(
        zip(split.plan.stages, split.cheapest.stages, strict=True), 1
    ):
        if gained := [goal for goal in stage.met if goal not in other.met]:
            goals = "; ".join(goal_words(evaluation, goal, system) for goal in gained)
            return [
                REACHES_MORE.format(count=split.looked_at, number=number, goals=goals, more=more)
            ]
    less = price_as(split.cheapest.price - split.plan.price, evaluation.case.job.currency)
    return [COSTS_LESS.format(count=split.looked_at, less=less, more=more)]


def stages_record(
    evaluation: Evaluation, split: BestSplit, system: System | None = None
) -> dict[str, Any]:
    """Return the same as plain data."""
    currency = evaluation.case.job.currency
    package, plan = split.package, split.plan
    return {
        "packages_looked_at": split.looked_at,
        "more_than_cheapest": money_record(split.more, currency),
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
                "goals_met_before": [
                    goal_words(evaluation, goal, system) for goal in stage.met_before
                ],
            }
            for stage in plan.stages
        ],
        "waiting_saves": money_record(plan.waiting_saves, currency),
        "done_twice": [operation.name for operation in plan.twice],
        "together": [
            {
                "position": step.position,
                "with": list(step.others),
                "price": money_record(step.price, currency),
                "price_last": money_record(step.last, currency),
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
