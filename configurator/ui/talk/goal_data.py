"""The goals of the talk: what is, what the package has, what could be had and for how much."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from configurator.core import units
from configurator.evaluation.worst_state import decisive_figure
from configurator.model.sure_goals import name_asked, parted
from configurator.questions.edits import decided
from configurator.ui.talk import talk_words as say
from configurator.ui.talk.asked_often import ASKED_OFTEN, direction_of
from configurator.ui.talk.delivery_prices import delivery
from configurator.ui.talk.goal_grades import state_of
from configurator.ui.talk.price_curves import better_of, curve_of
from configurator.wording.quantities import unit_in

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.evaluation.evaluator import Evaluation
    from configurator.evaluation.packages import Package
    from configurator.model.jobs import Goal
    from configurator.model.parts import Missing, Value
    from configurator.search.optimum.cheapest_package import CheapestPackage
    from configurator.ui.talk.goal_grades import GradeShown
    from configurator.ui.talk.price_curves import Curve, CurveLevel
    from configurator.ui.visit import Visit


def goals(
    visit: Visit,
    evaluation: Evaluation,
    cheapest: CheapestPackage,
    package: Package | None,
    grades: Mapping[Goal, GradeShown],
) -> dict[str, Any]:
    """Return the goals, what else people ask for, use, time and what is chosen."""
    job = visit.job
    return {
        "lines": [_line(visit, evaluation, goal, package, grades.get(goal)) for goal in job.goals],
        "often": often(visit, evaluation),
        "figures": _figures(visit, evaluation),
        "budget": "" if job.budget is None else say.bare_money(job.budget, job.currency),
        "currency": job.currency,
        "use": _use(visit),
        "ready": "" if job.parts_within is None else str(job.parts_within),
        "chosen": _chosen(visit, evaluation),
        "delivery": delivery(visit),
        "title": job.title,
        "vehicles": str(job.vehicles),
        "sure": job.sure,
    }  # fmt: skip


def _line(
    visit: Visit,
    evaluation: Evaluation,
    goal: Goal,
    package: Package | None,
    grade: GradeShown | None,
) -> dict[str, Any]:
    name, system = goal.figure, visit.system
    unit = evaluation.definition(name).unit
    now = evaluation.figure(name, evaluation.fitted)
    has = None if package is None else evaluation.figure(name, package.choice)
    better = better_of(visit.talk, name)
    asked = name_asked(visit.job, name, better)
    curve = curve_of(visit, evaluation, asked)
    reached = None if package is None else evaluation.figure(asked, package.choice)
    return {
        "figure": name,
        "title": say.goal_title(name),
        "unit": say.unit_words(unit, system),
        "least": "" if goal.at_least is None else say.bare(goal.at_least, unit, system),
        "most": "" if goal.at_most is None else say.bare(goal.at_most, unit, system),
        "way": goal.as_possible or "",
        "state": state_of(goal, has),
        "mark": _mark(goal, has, unit, visit),
        "words": _now(visit, unit, now, has) + _lowest(evaluation, name, package),
        **_levels(visit, curve, asked, unit, reached, better),
        "offer": _offer(visit, asked, curve),
        "sure": goal.sure,
        "how": grade,
    }


def _mark(goal: Goal, has: Value | Missing | None, unit: str, visit: Visit) -> str:
    if not isinstance(has, int | float) or isinstance(has, bool):
        return "no package" if has is None else "not known"
    if goal.as_possible is not None and goal.at_least is None and goal.at_most is None:
        return f"as {goal.as_possible} as possible"
    return say.spare(goal, float(has), unit, visit.system)


def _now(visit: Visit, unit: str, now: Value | Missing, has: Value | Missing | None) -> str:
    system = visit.system
    return say.has_words(
        say.value(now, unit, system), "" if has is None else say.value(has, unit, system)
    )


def _levels(
    visit: Visit,
    curve: Curve,
    name: str,
    unit: str,
    has: Value | Missing | None,
    better: str | None,
) -> dict[str, Any]:
    """Return how far one could go, and the price curve; while it is to come, the last one."""
    figure, side = parted(name)
    if curve.coming:
        shown = visit.last.get("goals") or {}
        last: dict[str, Any] = next(
            (line for line in shown.get("lines", ()) if line["figure"] == figure), {}
        )
        return {"far": last.get("far", ""), "curve": last.get("curve"), "coming": True}
    sentence = ""
    if curve.levels:
        best = curve.levels[0 if better == "low" else -1]
        farthest = say.value(best.value, unit, visit.system)
        farthest = farthest if side is None else say.surely(farthest)
        price = _price(visit, best)
        alone = len(curve.levels) == 1
        sentence = say.reach(farthest, price, better=better, alone=alone, sure=best.known)
    if not curve.levels and not curve.on_request:
        sentence = "With the other goals, no package is possible."
    return {"far": sentence, "curve": _drawn(visit, curve, unit, has, better), "coming": False}


def _lowest(evaluation: Evaluation, name: str, package: Package | None) -> str:
    """Name what decides a figure that is the least of several, as what hangs lowest does."""
    decided = "" if package is None else decisive_figure(evaluation, name, package.choice)
    return f" Decided by the {decided}." if decided else ""


def _drawn(
    visit: Visit, curve: Curve, unit: str, has: Value | Missing | None, better: str | None
) -> dict[str, Any] | None:
    """Return a curve as lists: values shown, prices, and where the package stands."""
    if len(curve.levels) < 2:
        return None
    shown = unit_in(unit, visit.system)
    number = isinstance(has, int | float) and not isinstance(has, bool)
    return {
        "better": better or "",
        "values": [round(units.from_si(level.value, shown), 6) for level in curve.levels],
        "said": [say.value(level.value, unit, visit.system) for level in curve.levels],
        "si": [repr(level.value) for level in curve.levels],
        "prices": [level.price for level in curve.levels],
        "exact": [level.exact for level in curve.levels],
        "has": round(units.from_si(float(has), shown), 6) if number else None,  # type: ignore[arg-type]
    }


def _offer(visit: Visit, name: str, curve: Curve) -> str:
    """Say what can be worked out on request."""
    task = visit.tasks.get(f"curve {name}")
    if task is not None and task.state == "running":
        return "running"
    if curve.on_request and not curve.levels:
        return "curve"
    return "" if curve.exact or not curve.levels else "exact"


def often(visit: Visit, evaluation: Evaluation) -> list[dict[str, Any]]:
    """Return figures that people ask for and the job does not: now, and how far one could go."""
    asked = {goal.figure for goal in visit.job.goals}
    shown = (visit.last.get("goals") or {}).get("often", ())
    last = {line["figure"]: line for line in shown}
    result = []
    for name in ASKED_OFTEN:
        if name in asked or name not in evaluation.trade.figures:
            continue
        unit = evaluation.definition(name).unit
        now = evaluation.figure(name, evaluation.fitted)
        if not isinstance(now, int | float) or isinstance(now, bool):
            continue
        better = direction_of(name)
        curve = curve_of(visit, evaluation, name)
        if curve.coming and name in last:
            result.append(last[name] | {"coming": True})
            continue
        curve = replace(curve, levels=tuple(level for level in curve.levels if level.known))
        far = curve.levels[0 if better == "low" else -1] if curve.levels else None
        suggested = _suggested(curve, float(now), better)
        result.append(
            {
                "figure": name,
                "title": say.goal_title(name),
                "unit": say.unit_words(unit, visit.system),
                "now": say.value(now, unit, visit.system),
                "far": "" if far is None else say.value(far.value, unit, visit.system),
                "price": "" if far is None else _price(visit, far),
                "side": "most" if better == "low" else "least",
                "suggested": say.bare(suggested, unit, visit.system),
                "asks": say.value(suggested, unit, visit.system),
                "ahead": far is not None and (far.value < now) == (better == "low"),
                "coming": curve.coming,
            }
        )
    return result


def _price(visit: Visit, level: CurveLevel) -> str:
    price = say.money(level.price, visit.job.currency)
    return price if level.exact else say.at_least(price)


def _suggested(curve: Curve, now: float, better: str) -> float:
    """Return a level about a third of the way to the farthest: a goal to begin with.

    Where no package is better than the vehicle is now, the best there is.
    """
    if not curve.levels:
        return now
    ahead = [
        level.value
        for level in curve.levels
        if (level.value < now if better == "low" else level.value > now)
    ]
    if not ahead:
        return curve.levels[0 if better == "low" else -1].value
    ahead.sort(reverse=better == "low")
    return ahead[len(ahead) // 3]


def _figures(visit: Visit, evaluation: Evaluation) -> list[list[str]]:
    """Return all that a goal can be set on: name, unit shown."""
    asked = {goal.figure for goal in visit.job.goals}
    trade = evaluation.trade
    return [
        [name, say.unit_words(evaluation.definition(name).unit, visit.system)]
        for name in sorted([*trade.figures, *trade.totals])
        if name not in asked
    ]


def _use(visit: Visit) -> list[dict[str, str]]:
    result = []
    for name, condition in visit.shelves.trade.conditions.items():
        number = visit.job.conditions.get(name)
        own = number is not None
        if number is None and condition.default:
            number = units.parse(condition.default, condition.unit)
        result.append(
            {
                "name": name,
                "unit": say.unit_words(condition.unit, visit.system),
                "value": "" if number is None else say.bare(number, condition.unit, visit.system),
                "words": "" if number is None else say.value(number, condition.unit, visit.system),
                "meaning": condition.meaning,
                "own": "yes" if own else "",
            }
        )
    return result


def _chosen(visit: Visit, evaluation: Evaluation) -> list[dict[str, str]]:
    """Return what was decided, each with what takes it back."""
    job = visit.job
    lines = []
    for position in (*job.fixed, *job.keep):
        if position not in evaluation.families:
            continue
        key = decided(job, position)
        words = say.chosen_words(evaluation, position, key)
        lines.append({"words": words, "act": "free", "position": position, "part": key})
    lines += [
        {"words": f"ruled out: {say.part_title(evaluation, key)}", "act": "allow",
         "position": "", "part": key}
        for key in job.excluded
    ]  # fmt: skip
    return lines
