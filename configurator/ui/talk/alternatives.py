"""Packages that really differ from the cheapest: in what much hangs on, and said in words."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from configurator.model.parts import FITTED, NOTHING
from configurator.questions import answers, edits
from configurator.questions.case_cache import posed
from configurator.ui.talk import held_packages
from configurator.ui.talk import talk_words as say
from configurator.wording.package_differences import (
    big_positions,
    figures_words,
    measure_words,
    parts_words,
)
from configurator.wording.sentences import begun

if TYPE_CHECKING:
    from configurator.core.progress import Progress
    from configurator.evaluation.evaluator import Evaluation
    from configurator.questions.answers import Different
    from configurator.questions.session import Session
    from configurator.ui.visit import Visit

# Parts that a package is named by.
MOST_NAMED = 2
# Packages looked for, the cheapest among them.
MOST = 5
TASK = "others"
# What was found stays known while the job is what it was, also after an undo.
KNOWN = "packages that differ"
OVER = "The cheapest package is over budget: the budget was left out here."
NO_OTHER = "None of them is within the budget, which was left out here."


@dataclass(frozen=True, slots=True)
class Others:
    """What was found, and why the budget was left out for it; empty where it was not."""

    different: Different
    budget_left_out: str = ""


def alternatives(visit: Visit, evaluation: Evaluation) -> dict[str, Any]:
    """Return the packages that differ in what matters, as far as they are known."""
    others: Others | None = visit.talk.known(KNOWN)
    task = visit.tasks.get(TASK)
    halted = task is not None and task.halted
    if others is None and task is not None and task.state == "done":
        others = task.result
        if not halted:
            visit.talk.asked(KNOWN, lambda *_: others)
    state = "none" if task is None else task.state
    if others is None:
        error = "" if task is None or task.error is None else str(task.error)
        return {"state": state, "words": error, "cards": []}
    different = others.different
    words = [measure_words(evaluation, different, len(different.packages) if halted else MOST)]
    if others.budget_left_out:
        words.append(others.budget_left_out)
    if halted:
        words.append("Stopped: these were there by then.")
    names = _names(evaluation, different)
    cards = [
        _card(visit, evaluation, different, number, names[number])
        for number in range(1, len(different.packages))
    ]
    return {"state": "done", "words": " ".join(words), "cards": cards}


def look(visit: Visit) -> None:
    """Begin to look for packages that differ."""
    visit.tasks.pop(TASK, None)
    visit.work(TASK, "Looking for packages that differ", find)


def find(talk: Session, progress: Progress) -> Others:
    """Find packages that differ; stopped, those found so far.

    Where nothing or only the cheapest package is within the budget, the budget is left out.
    """
    job, cheapest = talk.job, talk.cheapest()
    over = job.budget is not None and cheapest.price is not None and cheapest.price > job.budget
    prepared = talk.prepared(for_goals=True)
    open_budget = posed(prepared, replace(job, budget=None))
    progress.template = "{done} of up to {of} found"
    if over:
        return Others(answers.different(open_budget, MOST, partial=True), OVER)
    different = answers.different(prepared, MOST, partial=True)
    if job.budget is not None and len(different.packages) == 1:
        return Others(answers.different(open_budget, MOST, partial=True), NO_OTHER)
    return Others(different)


def _card(
    visit: Visit, evaluation: Evaluation, different: Different, number: int, name: str
) -> dict[str, Any]:
    first, package = different.packages[0], different.packages[number]
    currency, goals = visit.job.currency, [goal.figure for goal in visit.job.goals]
    moved = figures_words(evaluation, package, first, goals, visit.system)
    return {
        "number": number,
        "name": name,
        "price": say.money(package.price, currency),
        "more": say.more_or_less(package.price, first.price, currency),
        "proven": different.proven[number],
        "parts": parts_words(evaluation, different, number, visit.system),
        "result": moved or ["the same in all goals, work and delivery"],
        "each": [
            [position, say.option_title(first.choice[position]), say.option_title(option)]
            for position, option in package.choice.items()
            if option.key != first.choice[position].key
        ],
        "held": any(
            held_packages.same_choice(held.choice, package.choice)
            for held in held_packages.of_vehicle(visit)
        ),
    }


def hold(visit: Visit, number: int) -> None:
    """Compare an alternative; the cheapest package stands first, as what it is compared with."""
    others = _known(visit)
    if others is None or not 0 < number < len(others.different.packages):
        return
    evaluation = visit.talk.evaluation
    if not held_packages.of_vehicle(visit):
        held_packages.hold(visit, "Cheapest package", others.different.packages[0].choice)
    name = _names(evaluation, others.different)[number]
    held_packages.hold(visit, name, others.different.packages[number].choice)


def take(visit: Visit, number: int) -> None:
    """Go on with an alternative: the parts that it differs in are chosen."""
    others = _known(visit)
    if others is None or not 0 < number < len(others.different.packages):
        return
    evaluation = visit.talk.evaluation
    package, job = others.different.packages[number], visit.job
    for position in big_positions(evaluation, others.different, number):
        key = package.choice[position].key
        job = edits.keep(job, position) if key == FITTED else edits.fix(job, position, key)
    name = _names(evaluation, others.different)[number]
    visit.change(job, f"use {name[0].lower()}{name[1:]}")


def _known(visit: Visit) -> Others | None:
    known: Others | None = visit.talk.known(KNOWN)
    task = visit.tasks.get(TASK)
    if known is None and task is not None and task.state == "done":
        known = task.result
    return known


def _names(evaluation: Evaluation, different: Different) -> list[str]:
    """Name packages by the parts in which they differ: the first two, or as many as tell apart.

    Where the same part makes the difference elsewhere too, each with its position.
    """
    numbers = range(len(different.packages))
    plain = [_longer(_titles(evaluation, different, number)) for number in numbers]
    placed = [_longer(_titles(evaluation, different, number, placed=True)) for number in numbers]
    names: list[str] = []
    for number in numbers:
        others = {name for other in numbers if other != number for name in plain[other]}
        alone = (name for name in plain[number] if name not in others)
        where = (name for name in placed[number] if name not in names)
        names.append(next(alone, next(where, f"{plain[number][0]} ({number})")))
    return names


def _longer(titles: list[str]) -> list[str]:
    """Return names made of the first titles, the shortest first."""
    most = max(MOST_NAMED, len(titles))
    return [begun(" · ".join(titles[:count])) for count in range(MOST_NAMED, most + 1)]


def _titles(
    evaluation: Evaluation, different: Different, number: int, *, placed: bool = False
) -> list[str]:
    """Say the parts in which a package differs, each family once; ``placed``: and where."""
    of = {position: big.family for big in different.big for position in big.positions}
    title_of: dict[str, str] = {}
    for position in big_positions(evaluation, different, number):
        option = different.packages[number].choice[position]
        title = evaluation.families[position].title.lower().partition(" (")[0]
        words = (
            f"no {title}" if option.key == NOTHING
            else option.part.title if option.changed
            else f"{title} unchanged"
        )  # fmt: skip
        title_of.setdefault(of[position], f"{position}: {words}" if placed else words)
    return list(title_of.values())
