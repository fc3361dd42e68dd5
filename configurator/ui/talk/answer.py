"""All that the talk shows, as plain data: one record for the component that draws it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from configurator.core.money import exponent
from configurator.evaluation.contradictions import contradictions_of
from configurator.evaluation.packages import make_package
from configurator.ui.talk import talk_words as say
from configurator.ui.talk.again_data import again
from configurator.ui.talk.alternatives import alternatives
from configurator.ui.talk.begin_data import begin
from configurator.ui.talk.behind import BEHIND, follow
from configurator.ui.talk.build_data import build, drawing
from configurator.ui.talk.clash_data import ask, clash, why
from configurator.ui.talk.compare_data import compare
from configurator.ui.talk.goal_data import goals
from configurator.ui.talk.goal_grades import goal_grades
from configurator.ui.talk.head_data import head
from configurator.ui.talk.idea_data import idea
from configurator.ui.talk.part_data import part_names, parts
from configurator.ui.talk.part_filters import filtered
from configurator.ui.talk.ready_data import ready
from configurator.ui.talk.reasons_short import QUIET, look_for_reasons
from configurator.ui.talk.stage_data import stages
from configurator.ui.visit import TALK

if TYPE_CHECKING:
    from configurator.evaluation.evaluator import Evaluation
    from configurator.ui.tasks import Task
    from configurator.ui.visit import Visit


def answer(visit: Visit, waiting: Task | None) -> tuple[dict[str, Any], bytes | None]:
    """Return what the talk shows, and the names of parts that go with it.

    Parameters
    ----------
    visit
        The visitor's page.
    waiting
        What prepares the job, where it is not ready: the last answer stays in sight until it is.
    """
    now = {
        "done": visit.done,
        "refused": list(visit.refused),
        "notes": dict(visit.notes),
        "part": visit.part,
        "turned": [*visit.turned, visit.view],
        "begun": visit.begun,
        "updating": _updating(waiting),
        "tasks": [
            {"name": name, "what": task.what, "so": task.progress.words, "seconds": task.seconds}
            for name, task in visit.tasks.items()
            if task.state == "running" and name not in (*QUIET, *BEHIND)
        ],
    }
    if not visit.begun:
        return {**now, "begin": begin(visit, None, None)}, None
    if waiting is not None:
        stays = {key: value for key, value in visit.last.items() if key not in now}
        if "begin" in stays or not stays:
            stays["begin"] = begin(visit, None, None)
        return {**stays, **now}, None
    return _whole(visit, now)


def plans(visit: Visit, evaluation: Evaluation) -> dict[str, Any]:
    """Return what stands below the build: stages, the day it is ready, and last time."""
    return {
        "stages": stages(visit, evaluation),
        "ready": ready(visit),
        "again": again(visit, evaluation),
    }


def _updating(waiting: Task | None) -> dict[str, Any] | None:
    if waiting is None:
        return None
    error = "" if waiting.error is None else str(waiting.error)
    return {"state": waiting.state, "what": waiting.what, "error": error.split("\n")}


def _whole(visit: Visit, now: dict[str, Any]) -> tuple[dict[str, Any], bytes]:
    evaluation, cheapest = visit.talk.evaluation, visit.talk.cheapest()
    package = None if cheapest.choice is None else make_package(evaluation, cheapest.choice)
    keys = {} if package is None else {p: o.key for p, o in package.choice.items()}
    visit.answered(cheapest.price, keys)
    grades = goal_grades(visit, evaluation, package)
    trouble = clash(visit, cheapest.price, proven=cheapest.proven)
    if trouble and visit.why is None:
        ask(visit)
    elif not trouble and visit.why == ("", ""):
        visit.why = None
    # Its titles stay while the case does: making them anew at each tap is no use.
    known = visit.talk.asked(
        "names of parts", lambda ready, _: part_names(ready.evaluation), narrowed=True
    )
    data: dict[str, Any] = {
        **now,
        "currency": [say.symbol(visit.job.currency), exponent(visit.job.currency)],
        "version": known[0],
        "head": head(visit, evaluation, cheapest, package, grades),
        "clash": trouble,
        "why": why(visit, evaluation),
        "idea": idea(visit, evaluation),
    }
    contradictions = visit.talk.asked(
        "contradictions", lambda ready, _: contradictions_of(ready.evaluation), narrowed=True
    )
    if visit.part == TALK:
        coming = follow(visit, evaluation)
        if visit.view == "parts" and visit.talk.is_ready:
            look_for_reasons(visit)
        every = parts(visit, evaluation)
        data |= {
            "coming": coming,
            "begin": begin(visit, evaluation, package) if visit.view == "begin" else None,
            "goals": goals(visit, evaluation, cheapest, package, grades),
            "parts": None if every is None else every | {"filter": filtered(visit)},
            "build": build(visit, evaluation, package),
            "compare": compare(visit, evaluation, package),
            "plans": plans(visit, evaluation) if package is not None else None,
            "alternatives": alternatives(visit, evaluation),
            "noticed": [str(note) for note in (*contradictions, *evaluation.case.warnings)],
        }
        if visit.drawing and package is not None:
            last = visit.last.get("drawing")
            # Where nobody looks at it, the last one stays.
            stays = visit.view != "build" and last is not None and last["name"] == visit.drawing
            data["drawing"] = last if stays else drawing(visit, evaluation, package, visit.drawing)
    visit.last = data
    return data, known[1]
