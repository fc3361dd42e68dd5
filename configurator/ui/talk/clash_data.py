"""Why something does not fit, and what can change: with the price that each click leads to."""

from __future__ import annotations

import copy
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from configurator.model.parts import FITTED
from configurator.questions import edits
from configurator.questions.history import begun as history_of
from configurator.ui.talk import talk_words as say
from configurator.ui.talk.turns import TURNS
from configurator.wording.sentences import (
    because_of,
    begun,
    input_words,
    inputs_of_reason,
    reason_words,
)

if TYPE_CHECKING:
    from configurator.core.progress import Progress
    from configurator.evaluation.evaluator import Evaluation
    from configurator.model.jobs import Job
    from configurator.questions.answers import Explanation
    from configurator.questions.session import Session
    from configurator.search.explanation.conflicts import Repair
    from configurator.ui.visit import Visit

MOST_REPAIRS = 6
# Work that says in its own place that it goes on, with a way to stop it.
SHOWN_IN_PLACE = ("repairs", "why", "idea")


@dataclass(frozen=True, slots=True)
class PricedRepair:
    """A way out, and what the cheapest package costs once it is taken.

    ``price`` is None where that was not found in the time of a click; ``proven`` says whether
    nothing cheaper is there.
    """

    repair: Repair
    price: int | None
    proven: bool


def ask(visit: Visit, position: str = "", part: str = "") -> None:
    """Ask about a part at a position; about the job itself without."""
    close(visit)
    visit.why = (position, part)


def close(visit: Visit) -> None:
    """Ask nothing more."""
    for name in ("why", "repairs"):
        task = visit.tasks.pop(name, None)
        if task is not None:
            task.stop()
    visit.why, visit.proof = None, False


def after(job: Job, repair: Repair, position: str, part: str) -> Job:
    """Return the job once a repair is taken, and the part that was asked about chosen."""
    job = edits.repaired(job, repair)
    if position and part == FITTED:
        return edits.keep(job, position)
    return edits.fix(job, position, part) if position else job


def priced(talk: Session, position: str, part: str) -> list[PricedRepair]:
    """Find ways out, each with the price that taking it leads to; the cheapest first."""
    priced_repairs = []
    for repair in talk.repairs(position, part)[:MOST_REPAIRS]:
        then = copy.copy(talk)
        then.history = history_of(after(talk.job, repair, position, part))
        answer = then.cheapest()
        priced_repairs.append(PricedRepair(repair, answer.price, answer.proven))
    return sorted(
        priced_repairs,
        key=lambda item: (len(item.repair.given_up), item.price is None, item.price or 0),
    )


def _priced_in_turn(
    talk: Session, progress: Progress, position: str, part: str
) -> list[PricedRepair]:
    """Find them at once; where the whole case was put off, after all that does not ask for it."""
    talk.prepare()
    if talk.is_put_off:
        with TURNS.taken(progress, ahead=True):
            pass
    return priced(talk, position, part)


def why(visit: Visit, evaluation: Evaluation) -> dict[str, Any] | None:
    """Return what was asked and, as far as they are there, ways out and reasons."""
    if visit.why is None:
        return None
    position, part = visit.why
    # The answer is painted first: a choice over budget waits for no way out.
    repairs = visit.work(
        "repairs", "Looking for what can change",
        lambda talk, progress: _priced_in_turn(talk, progress, position, part), wait=0.0,
    )  # fmt: skip
    reasons = None
    if repairs.state == "done" and visit.proof:
        reasons = visit.work(
            "why", "Working out the reasons", lambda talk, _: talk.why(position, part)
        )
    title = "What can change"
    if position:
        named = say.chosen_words(evaluation, position, part)
        title = f"Why not {named}?"
    data: dict[str, Any] = {
        "position": position,
        "part": part,
        "title": title,
        "repairs": [],
        "state": repairs.state,
        "proof": [],
        "proofState": "none" if reasons is None else reasons.state,
        "none": "",
    }
    if repairs.state == "done":
        data["repairs"] = [_repair(visit, evaluation, repair) for repair in repairs.result]
        if not repairs.result:
            data["none"] = "Dropping up to three goals does not help: the rules forbid it."
    elif repairs.state == "failed":
        data["none"] = str(repairs.error)
    if reasons is not None and reasons.state == "done":
        data["proof"] = proof(visit, evaluation, reasons.result)
    return data


def _repair(visit: Visit, evaluation: Evaluation, priced: PricedRepair) -> dict[str, str]:
    currency = visit.job.currency
    price = "" if priced.price is None else say.money(priced.price, currency)
    words = [
        say.repair(
            evaluation, wish, nearest, visit.system,
            say.money(round(nearest or 0), currency) if wish.kind == "budget" else price,
        )
        for wish, nearest in priced.repair.given_up
    ]  # fmt: skip
    text = " and ".join([words[0], *(word[0].lower() + word[1:] for word in words[1:])])
    if [wish.kind for wish, _ in priced.repair.given_up] == ["budget"] and priced.proven:
        price = ""  # it is the budget that is named
    elif priced.price == 0:
        price = "the vehicle meets the rest as it stands"
    elif price and not priced.proven:
        price = f"{price} or less"
    return {"words": text, "price": price}


def apply(visit: Visit, number: int) -> None:
    """Take a way out that is shown; what is not shown any more is ignored."""
    task = visit.tasks.get("repairs")
    if visit.why is None or task is None or task.state != "done":
        return
    if not 0 <= number < len(task.result):
        return
    position, part = visit.why
    evaluation = visit.talk.evaluation
    priced: PricedRepair = task.result[number]
    words = _repair(visit, evaluation, priced)["words"]
    visit.change(after(visit.job, priced.repair, position, part), words[0].lower() + words[1:])


def proof(visit: Visit, evaluation: Evaluation, explained: Explanation) -> list[dict[str, Any]]:
    """Return the members of a conflict with their numbers, for whoever unfolds them."""
    if explained.possible:
        return [{"words": "It is possible after all.", "details": []}]
    if not explained.conflict:
        return [
            {
                "words": "The reasons could not be narrowed down: limits on the weight of the "
                "whole vehicle are checked on whole packages.",
                "details": [],
            }
        ]
    result = []
    for reason in explained.conflict:
        details = []
        if reason.rule is not None:
            because = because_of(reason.rule)
            details = [f"Because {because}."] if because else []
            details += [
                begun(input_words(*value, visit.system))
                for value in inputs_of_reason(reason, evaluation.trade)
            ]
        words = begun(reason_words(evaluation, reason, visit.system))
        result.append({"words": words, "details": details, "goal": reason.wish is not None})
    return result


def clash(visit: Visit, price: int | None, *, proven: bool) -> str:
    """Say that goals clash or cost too much; empty where neither is so."""
    budget = visit.job.budget
    if price is None:
        return "These goals cannot all be met. What can change:" if proven else ""
    if budget is not None and price > budget:
        gap = say.more_or_less(price, budget, visit.job.currency)[1:]
        return f"The cheapest package is {gap} over budget. What can change:"
    return ""
