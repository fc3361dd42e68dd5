"""The head of the talk, which stays in sight: price, budget, goals met, what the last step did."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from configurator.evaluation.lead_times import longest_wait
from configurator.evaluation.operations import operations_of
from configurator.search.optimum.verification import meets
from configurator.ui.talk import talk_words as say
from configurator.ui.talk.goal_grades import all_of_them
from configurator.ui.talk.proof_words import gap_words
from configurator.wording.quantities import counted

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.evaluation.evaluator import Evaluation
    from configurator.evaluation.packages import Package
    from configurator.model.jobs import Goal
    from configurator.search.optimum.cheapest_package import CheapestPackage
    from configurator.ui.talk.goal_grades import GradeShown
    from configurator.ui.visit import Visit


def head(
    visit: Visit,
    evaluation: Evaluation,
    cheapest: CheapestPackage,
    package: Package | None,
    grades: Mapping[Goal, GradeShown],
) -> dict[str, Any]:
    """Return what the head shows.

    Parameters
    ----------
    visit
        The visitor's page.
    evaluation
        Of the job as it stands.
    cheapest
        Its cheapest package.
    package
        The same, priced; None where there is none.
    grades
        How sure its goals are.
    """
    job = visit.job
    budget = _budget(visit, cheapest.price)
    about: dict[str, Any] = {
        "title": job.title,
        "vehicle": evaluation.case.vehicle.title,
        "alike": f"{job.vehicles} alike, prices for one" if job.vehicles > 1 else "1 vehicle",
        "budget": budget,
        "undo": visit.talk.history.can_undo,
        "redo": visit.talk.history.can_redo,
        "system": visit.system or "",
    }
    if package is None:
        none = "No package meets this" if cheapest.proven else "No package found yet"
        return about | {
            "total": none, "split": [], "brief": "", "met": "",
            "sure": "" if cheapest.proven else gap_words(cheapest.least, None, job.currency),
            "longer": not cheapest.proven, "delta": "", "last": "", "status": f"{none}.",
            "none": True,
        }  # fmt: skip
    delta, last = _last_step(visit)
    met, of = _met(visit, evaluation, package)
    hours = sum(operation.hours for operation in operations_of(evaluation, package.choice))
    days, unknown = longest_wait(package.choice, job.vehicles)
    total = say.money(package.price, job.currency)
    met_words = f"{met} of {counted(of, 'goal')} met" if of else "no goals yet"
    how = all_of_them(grades, of)
    met_status = met_words if how is None else f"{met_words}, {how['words']}"
    split = [
        f"parts {say.money(package.price - package.work, job.currency)}",
        f"work {say.money(package.work, job.currency)}",
        f"{hours:.3g} h",
        say.days_words(days, len(unknown)),
    ]
    return about | {
        "total": total,
        "split": split,
        "brief": say.days_brief(days, len(unknown)),
        "met": met_words,
        "allMet": met == of,
        "how": how,
        "sure": "" if cheapest.proven else gap_words(cheapest.least, package.price, job.currency),
        "longer": not cheapest.proven,
        "delta": delta,
        "last": last,
        "status": f"{total}. {met_status}. {budget['words']}. {delta} {last}.",
        "none": False,
    }


def _budget(visit: Visit, price: int | None) -> dict[str, Any]:
    job = visit.job
    if job.budget is None:
        return {"words": "no budget set", "share": None, "over": False}
    if price is None:
        return {
            "words": f"budget {say.money(job.budget, job.currency)}", "share": None, "over": False
        }  # fmt: skip
    left = job.budget - price
    gap = say.more_or_less(job.budget, price, job.currency)[1:]
    side = "below" if left > 0 else "over"
    words = f"{gap} {side} budget" if left else "exactly the budget"
    return {
        "words": words,
        "share": round(min(1.0, price / job.budget), 4) if job.budget else 1.0,
        "over": left < 0,
    }


def _met(visit: Visit, evaluation: Evaluation, package: Package) -> tuple[int, int]:
    goals = visit.job.goals
    met = sum(
        goal.as_possible is not None
        or meets(goal, evaluation.figure(goal.figure, package.choice))
        for goal in goals
    )  # fmt: skip
    return met, len(goals)


def _last_step(visit: Visit) -> tuple[str, str]:
    """Say what the last step changed; empty at the first answer of a job."""
    before, now = visit.before_step, visit.this_step
    if before is None or now is None or now.price is None:
        return "", ""
    if before.price is None:
        return "", "now there is a package"
    changed = [
        position
        for position, key in now.keys.items()
        if before.keys.get(position) != key
    ]  # fmt: skip
    delta = say.more_or_less(now.price, before.price, visit.job.currency)
    return delta, say.changed_since(changed)
