"""How sure each goal is that is met, and in few words all of them."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypedDict

from configurator.evaluation.how_sure import goals_within
from configurator.search.optimum.verification import meets
from configurator.ui.talk import talk_words as say
from configurator.wording.certainty import goal_grade, source_words, within_value
from configurator.wording.style import English

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.evaluation.evaluator import Evaluation
    from configurator.evaluation.packages import Package
    from configurator.model.jobs import Goal
    from configurator.model.parts import Missing, Value
    from configurator.ui.visit import Visit


class GradeShown(TypedDict):
    """How sure a goal is: its grade, mark and words for it, and what decides it."""

    state: str
    mark: str
    words: str
    why: str


def state_of(goal: Goal, has: Value | Missing | None) -> str:
    """Say whether a goal is met by what a figure comes to; without a package it is open."""
    if has is None:
        return "open"
    if goal.as_possible is not None and goal.at_least is None and goal.at_most is None:
        return "met"
    return "met" if meets(goal, has) else "missed"


def goal_grades(
    visit: Visit, evaluation: Evaluation, package: Package | None
) -> dict[Goal, GradeShown]:
    """Return how sure each goal is that the package meets; none where nothing is known of it."""
    if package is None:
        return {}
    choice, style = package.choice, English(system=visit.system)
    met = [
        goal
        for goal in visit.job.goals
        if state_of(goal, evaluation.figure(goal.figure, choice)) == "met"
    ]
    known = {item.goal: item for item in goals_within(evaluation, choice, met)}
    grades: dict[Goal, GradeShown] = {}
    for goal in met:
        grade = goal_grade(known, goal, style)
        if grade is None:
            continue
        item, unit = known[goal], evaluation.definition(goal.figure).unit
        decided = item.margin.decided_by
        source = "" if decided is None else source_words(evaluation, choice, decided, style)
        why = say.within_words(within_value(style, item.within, unit), source)
        grades[goal] = {"state": item.grade, "mark": grade[0], "words": grade[1], "why": why}
    return grades


def all_of_them(grades: Mapping[Goal, GradeShown], goals: int) -> dict[str, str] | None:
    """Say of so many goals how many are as calculated only; where none is, how many are sure."""
    unsure = [grade for grade in grades.values() if grade["state"] != "sure"]
    if not grades:
        return None
    known = "sure" if len(grades) == goals else f"{len(grades)} sure"
    words = f"{len(unsure)} as calculated" if unsure else known
    shown = unsure[0] if unsure else next(iter(grades.values()))
    return {"mark": shown["mark"], "words": words, "state": shown["state"]}
