"""The package in stages, each within its budget: what is fitted when, and what goes together."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from configurator.core import money
from configurator.core.errors import FitwrightError
from configurator.evaluation.packages import make_package
from configurator.questions import answers
from configurator.questions.case_cache import posed
from configurator.questions.staging import best_split
from configurator.ui.talk import plan_state, typed
from configurator.ui.talk import plan_words as words
from configurator.ui.talk import talk_words as say
from configurator.wording import stage_words
from configurator.wording.quantities import counted
from configurator.wording.sentences import begun

if TYPE_CHECKING:
    from collections.abc import Sequence

    from configurator.core.progress import Progress
    from configurator.evaluation.evaluator import Evaluation
    from configurator.questions.session import Session
    from configurator.questions.staging import BestSplit, Stage
    from configurator.ui.visit import Visit

TASK = "stages"
BUDGETS, PACKAGES = "stage budgets", "stage packages"
# How many packages are looked at: the cheapest alone, or some more of them.
COUNTS = {"1": "the cheapest", "5": "one of the 5 cheapest"}


def budgets_of(text: str, currency: str) -> list[int]:
    """Read the budgets of stages, with a currency or without [minor units].

    Raises
    ------
    NotReadError
        If there is none, or one cannot be read.

    Examples
    --------
    >>> budgets_of("6,000 EUR, 6500", "EUR"), budgets_of("6000; 6500,50", "EUR")
    ([600000, 650000], [600000, 650050])
    """
    amounts = [typed.amount(piece, currency) for piece in money.listed(text)]
    budgets = [amount for amount in amounts if amount is not None]
    if not budgets or len(budgets) < len(amounts):
        raise typed.NotReadError(words.BUDGETS_EMPTY)
    return budgets


def look(visit: Visit) -> None:
    """Begin to split the package, or the best of several.

    Raises
    ------
    NotReadError
        If the budgets cannot be read.
    """
    budgets = budgets_of(visit.plans.get(BUDGETS, ""), visit.job.currency)
    count = int(visit.plans.get(PACKAGES, "1"))
    question = f"{TASK} {count} {budgets}"
    visit.plans["stages asked"] = " + ".join(
        say.exact_money(budget, visit.job.currency) for budget in budgets
    )
    plan_state.begin(
        visit,
        TASK,
        words.STAGES,
        question,
        lambda talk, progress: _answered(talk, question, budgets, count, progress),
    )


def _answered(
    talk: Session, question: str, budgets: Sequence[int], count: int, progress: Progress
) -> BestSplit:
    """Split, once for a job; its own budget is left aside, those of the stages are the money."""
    cheapest = talk.cheapest()

    def split(prepared: Any, job: Any) -> BestSplit:
        asked = posed(prepared, replace(job, budget=None))
        if cheapest.choice is None:
            raise FitwrightError(words.NO_PACKAGE)
        packages = [make_package(prepared.evaluation, cheapest.choice)]
        if count > 1:
            packages = list(answers.find(asked, count).packages) or packages
        progress.template = words.VEHICLES
        return best_split(asked.evaluation, packages, budgets)

    return talk.asked(question, split)


def stages(visit: Visit, evaluation: Evaluation) -> dict[str, Any]:
    """Return fields, how the work stands, and the stages as far as they were asked for."""
    split: BestSplit | None = plan_state.answer_of(visit, TASK)
    data: dict[str, Any] = {
        "budgets": visit.plans.get(BUDGETS, ""),
        "packages": visit.plans.get(PACKAGES, "1"),
        "counts": list(COUNTS.items()),
        **plan_state.state_of(visit, TASK),
        "answer": None,
    }
    if split is None:
        return data
    plan = split.plan
    data["answer"] = {
        "asked": words.ASKED.format(budgets=visit.plans.get("stages asked", "")),
        "which": stage_words.choice_words(evaluation, split, say.exact_money),
        "cards": [
            _card(visit, evaluation, split, number, stage)
            for number, stage in enumerate(plan.stages, 1)
        ],
        "summary": stage_words.summary_lines(evaluation, plan, say.exact_money),
        "together": [
            begun(line) for line in stage_words.together_lines(evaluation, plan, say.exact_money)
        ],
        "split": bool(plan.stages),
    }
    return data


def _card(
    visit: Visit, evaluation: Evaluation, split: BestSplit, number: int, stage: Stage
) -> dict[str, Any]:
    currency = visit.job.currency
    return {
        "title": words.STAGE.format(number=number),
        "price": say.exact_money(stage.price, currency),
        "parts": [
            [
                begun(position),
                say.option_title(split.package.choice[position]),
                say.exact_money(split.package.choice[position].price, currency),
            ]
            for position in stage.positions
        ],
        "work": words.WORK.format(
            price=say.exact_money(stage.work, currency),
            operations=counted(len(stage.operations), "operation"),
        ),
        "operations": [begun(operation.name) for operation in stage.operations],
        "lines": [
            *([] if stage.positions else [stage_words.NOTHING]),
            *stage_words.outcome_lines(evaluation, stage, visit.system, say.exact_money),
        ],
    }
