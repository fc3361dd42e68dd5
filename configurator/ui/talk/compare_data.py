"""Up to four packages compared: what differs, as differences, better or worse for each goal."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from configurator.evaluation.lead_times import longest_wait
from configurator.evaluation.operations import operations_of
from configurator.evaluation.packages import broken_rules, cautions_of, make_package
from configurator.search.optimum.verification import meets, permitted
from configurator.ui.talk import talk_words as say
from configurator.ui.talk.held_packages import as_it_is_now, called, of_vehicle, same_choice
from configurator.ui.talk.part_data import ordered
from configurator.wording.quantities import counted
from configurator.wording.sentences import begun

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from configurator.evaluation.evaluator import Evaluation
    from configurator.evaluation.packages import Package
    from configurator.model.jobs import Goal
    from configurator.ui.visit import Held, Visit


@dataclass(frozen=True, slots=True)
class Column:
    """A package that is compared."""

    name: str
    package: Package
    number: int


def compare(visit: Visit, evaluation: Evaluation, package: Package | None) -> dict[str, Any]:
    """Return the comparison: names of packages, rows that differ, and what is left out."""
    columns, gone = _columns(visit, evaluation)
    here = package is not None and any(
        same_choice(column.package.choice, package.choice) for column in columns
    )
    return {
        "names": [
            {"name": column.name, "number": column.number, "first": k == 0,
             "now": package is not None and same_choice(column.package.choice, package.choice)}
            for k, column in enumerate(columns)
        ],
        "rows": _rows(visit, evaluation, columns) if columns else [],
        "gone": gone,
        "canAdd": package is not None and not here and len(columns) < 4,
        "holds": here,
        "nameNow": called(visit.talk.history),
    }  # fmt: skip


def _columns(visit: Visit, evaluation: Evaluation) -> tuple[list[Column], list[dict[str, Any]]]:
    columns, gone = [], []
    here = of_vehicle(visit)
    for number, held in enumerate(visit.beside):
        choice = as_it_is_now(evaluation, held) if held in here else None
        if choice is None:
            gone.append({"name": held.name, "number": number, "words": _why_gone(held, here)})
        else:
            columns.append(Column(held.name, make_package(evaluation, choice), number))
    return columns, gone


def _why_gone(held: Held, here: Sequence[Held]) -> str:
    if held in here:
        return "The lists of this job do not have all of its parts."
    return f"It is for another vehicle: {held.vehicle}."


def _rows(visit: Visit, evaluation: Evaluation, columns: Sequence[Column]) -> list[dict[str, Any]]:
    packages = [column.package for column in columns]
    job = visit.job
    rows = [_money_row("Total", packages, job.currency, lambda p: p.price)]
    rows.append(_plain("Meets the goals", [_meets(visit, evaluation, p) for p in packages]))
    for goal in job.goals:
        rows.append(_goal_row(visit, evaluation, packages, goal))
    rows.append(_money_row("Work", packages, job.currency, lambda p: p.work))
    hours = [sum(o.hours for o in operations_of(evaluation, p.choice)) for p in packages]
    rows.append(_number_row("Hours of work", hours, lambda h: f"{h:.3g} h", lambda d: f"{d:.3g} h"))
    rows.append(_plain("Parts there", [_wait(p, job.vehicles) for p in packages]))
    cautions = [len(cautions_of(evaluation, p.choice)) for p in packages]
    rows.append(_number_row("Cautions", cautions, str, str))
    for position, _ in ordered(evaluation):
        titles = [
            say.option_title(p.choice[position])
            + ("" if p.choice[position].changed else ", unchanged")
            for p in packages
        ]
        if len({p.choice[position].key for p in packages}) > 1:
            rows.append(_plain(begun(position), titles) | {"part": True})
    return [row for row in rows if row["differs"] or row["name"] in ("Total", "Meets the goals")]


def _plain(name: str, texts: Sequence[str]) -> dict[str, Any]:
    cells = [
        {"text": text, "mark": "" if text == texts[0] else "differs"} for text in texts
    ]  # fmt: skip
    return {"name": name, "cells": cells, "differs": len(set(texts)) > 1}


def _number_row(
    name: str,
    numbers: Sequence[float],
    whole: Callable[[Any], str],
    part: Callable[[Any], str],
) -> dict[str, Any]:
    cells = []
    for number in numbers:
        off = number - numbers[0]
        sign = "+" if off > 0 else "−"
        more = f"{sign}{part(abs(off))}" if abs(off) > 1e-9 else ""
        mark = "" if not more else "worse" if off > 0 else "better"
        cells.append({"text": whole(number), "off": more, "mark": mark})
    return {"name": name, "cells": cells, "differs": any(cell["off"] for cell in cells)}


def _money_row(
    name: str, packages: Sequence[Package], currency: str, of: Callable[[Package], int]
) -> dict[str, Any]:
    cells = []
    for package in packages:
        off = of(package) - of(packages[0])
        more = say.more_or_less(of(package), of(packages[0]), currency) if off else ""
        mark = "" if not off else "worse" if off > 0 else "better"
        cells.append({"text": say.money(of(package), currency), "off": more, "mark": mark})
    return {"name": name, "cells": cells, "differs": any(cell["off"] for cell in cells)}


def _goal_row(
    visit: Visit, evaluation: Evaluation, packages: Sequence[Package], goal: Goal
) -> dict[str, Any]:
    unit = evaluation.definition(goal.figure).unit
    values = [evaluation.figure(goal.figure, package.choice) for package in packages]
    cells = []
    for number in values:
        text = say.value(number, unit, visit.system)
        off, mark = "", ""
        if isinstance(number, int | float) and isinstance(values[0], int | float):
            off = say.moved(float(values[0]), float(number), unit, visit.system)
            mark = _better(goal, float(values[0]), float(number)) if off else ""
        if not meets(goal, number) and goal.as_possible is None:
            text = f"{text}, not met"
        cells.append({"text": text, "off": off, "mark": mark})
    name = f"{begun(goal.figure)} ({say.asked_words(goal, unit, visit.system)})"
    return {"name": name, "cells": cells, "differs": any(cell["off"] for cell in cells)}


def _better(goal: Goal, first: float, value: float) -> str:
    """Say whether a value serves a goal better than the first one; of a band, being inside."""
    if goal.at_least is not None and goal.at_most is not None and goal.as_possible is None:
        was, now = meets(goal, first), meets(goal, value)
        return "" if was == now else "better" if now else "worse"
    low = goal.as_possible == "low" or (goal.as_possible is None and goal.at_most is not None)
    return "better" if (value < first) == low else "worse"


def _wait(package: Package, vehicles: int) -> str:
    days, unknown = longest_wait(package.choice, vehicles)
    if unknown:
        return "not known" if days is None else f"{counted(days, 'day')} or more"
    return "nothing to wait for" if days is None else counted(days, "day")


def _meets(visit: Visit, evaluation: Evaluation, package: Package) -> str:
    """Say whether a package still answers the job, or what it is that it does not meet."""
    job = visit.job
    missed = [
        goal.figure
        for goal in job.goals
        if not meets(goal, evaluation.figure(goal.figure, package.choice))
    ]
    missed += [
        f"{position} as chosen"
        for position, option in package.choice.items()
        if not permitted(job, option)
    ]
    missed += [rule.name for rule in broken_rules(evaluation, package.choice)]
    if job.budget is not None and package.price > job.budget:
        missed.append(f"budget of {say.money(job.budget, job.currency)}")
    return f"no: {'; '.join(missed)}" if missed else "yes"
