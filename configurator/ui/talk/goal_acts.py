"""What a tap means for the goals."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from configurator.model.jobs import Goal
from configurator.model.sure_goals import name_asked
from configurator.questions import edits
from configurator.ui.talk import price_curves, typed
from configurator.ui.talk import talk_words as say
from configurator.ui.talk.act_arguments import text_of
from configurator.wording.sentences import goal_words

if TYPE_CHECKING:
    from collections.abc import Callable

    from configurator.ui.talk.act_arguments import Sent
    from configurator.ui.visit import Visit


def _goal(visit: Visit, act: Sent) -> None:
    """Set one side of a goal; a goal that asks nothing any more goes."""
    figure, side, text = text_of(act, "figure"), text_of(act, "side"), text_of(act, "text")
    if not _is_figure(visit, figure):
        return
    goal = edits.goal_on(visit.job, figure)
    if side == "way":
        way = text if text in ("high", "low") else None
        _set(visit, replace(goal, as_possible=way))  # type: ignore[arg-type]
        return
    if side == "sure":
        _set_sure(visit, replace(goal, sure=text == "yes"))
        return
    number = typed.number(text, _unit(visit, figure), visit.system)
    if side == "least":
        goal = replace(goal, at_least=number)
    elif side == "most":
        goal = replace(goal, at_most=number)
    if goal.at_least is not None and goal.at_most is not None and goal.at_least > goal.at_most:
        unit = _unit(visit, figure)
        message = (
            f"at least {say.value(goal.at_least, unit, visit.system)} is above at most "
            f"{say.value(goal.at_most, unit, visit.system)}; change the other first"
        )
        raise typed.NotReadError(message)
    _set(visit, goal)


def _set_sure(visit: Visit, goal: Goal) -> None:
    """Ask of a goal that it is met within tolerances, or as calculated."""
    if goal.sure and goal.as_possible is not None and goal.figure in visit.shelves.trade.totals:
        message = (
            f"of {goal.figure}, a sum over the whole vehicle, as {goal.as_possible} as possible "
            "cannot be had surely; ask for a level first"
        )
        raise typed.NotReadError(message)
    _set(visit, goal)


def _is_figure(visit: Visit, figure: str) -> bool:
    return figure in visit.shelves.trade.figures or figure in visit.shelves.trade.totals


def _unit(visit: Visit, figure: str) -> str:
    trade = visit.shelves.trade
    return (trade.figures.get(figure) or trade.totals[figure]).unit


def _set(visit: Visit, goal: Goal) -> None:
    if goal == edits.goal_on(visit.job, goal.figure):
        return
    step = f"remove the goal on {goal.figure}"
    if goal != Goal(goal.figure):
        step = f"ask for {_goal_words(visit, goal)}"
    visit.change(edits.with_goal(visit.job, goal), step)


def _goal_words(visit: Visit, goal: Goal) -> str:
    if visit.talk.knows_cheapest:
        return goal_words(visit.talk.evaluation, goal, visit.system)
    return f"{goal.figure} {say.asked_words(goal, _unit(visit, goal.figure), visit.system)}"


def _level(visit: Visit, act: Sent) -> None:
    """Ask for a level of a price curve."""
    figure, si_text = text_of(act, "figure"), text_of(act, "si")
    if not visit.talk.knows_cheapest or not _is_figure(visit, figure):
        return
    evaluation = visit.talk.evaluation
    asked = name_asked(visit.job, figure, price_curves.better_of(visit.talk, figure))
    at_once = visit.talk.is_ready and not visit.talk.is_put_off
    known = price_curves.levels_are_known(visit.talk, asked) or at_once
    if known and not evaluation.late(evaluation.definition(asked)):
        price_curves.find_levels(visit.talk, asked)
    curve = price_curves.curve_of(visit, evaluation, asked)
    value = next((level.value for level in curve.levels if repr(level.value) == si_text), None)
    if value is not None:
        goal = edits.goal_on(visit.job, figure)
        _set(visit, price_curves.moved_to(goal, value, price_curves.better_of(visit.talk, figure)))


def _remove_goal(visit: Visit, act: Sent) -> None:
    _set(visit, Goal(text_of(act, "figure")))


def _up(visit: Visit, act: Sent) -> None:
    goals = list(visit.job.goals)
    at = next((k for k, goal in enumerate(goals) if goal.figure == text_of(act, "figure")), 0)
    if at:
        goals[at - 1], goals[at] = goals[at], goals[at - 1]
        step = f"{goals[at - 1].figure} matters more"
        visit.change(replace(visit.job, goals=tuple(goals)), step)


def _curve(visit: Visit, act: Sent) -> None:
    figure = text_of(act, "figure")
    if _is_figure(visit, figure):
        better = price_curves.better_of(visit.talk, figure)
        price_curves.work_out(visit, name_asked(visit.job, figure, better))


GOAL_ACTS: dict[str, Callable[[Visit, Sent], None]] = {
    "goal": _goal, "level": _level, "remove goal": _remove_goal, "up": _up, "curve": _curve,
}  # fmt: skip
