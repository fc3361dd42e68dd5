"""The customer's goals on a quotation: what each comes to, within what, and how sure that is."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from configurator.documents import document_templates as say
from configurator.documents.layout import Section, SheetColumn, SheetTable
from configurator.documents.letterheads import delivery_line
from configurator.documents.number_style import asked, before_and_after, days, number
from configurator.evaluation.how_sure import goals_within
from configurator.evaluation.lead_times import longest_wait
from configurator.evaluation.worst_state import decisive_figure
from configurator.search.optimum.verification import met_by
from configurator.wording.certainty import goal_grade, rule_lines, within_value
from configurator.wording.quantities import system_for, words
from configurator.wording.sentences import goal_words

if TYPE_CHECKING:
    from configurator.documents.layout import Cell
    from configurator.documents.number_style import Writing
    from configurator.evaluation.evaluator import Evaluation
    from configurator.evaluation.packages import Package
    from configurator.model.jobs import Goal
    from configurator.wording.quantities import System


def asked_goals(evaluation: Evaluation, package: Package, how: Writing) -> Section:
    """Lay out the goals: as the vehicle stands, with the package, within what, and how sure."""
    sure = _how_sure(evaluation, package, how)
    rows: list[tuple[Cell, ...]] = []
    for goal in evaluation.case.job.goals:
        unit = evaluation.definition(goal.figure).unit
        before = evaluation.figure(goal.figure, evaluation.fitted)
        after = evaluation.figure(goal.figure, package.choice)
        as_asked = replace(how, system=system_for(goal.written_in, how.system))
        values = before_and_after(as_asked, before, after, unit)
        named = decisive_figure(evaluation, goal.figure, package.choice)
        title = asked(as_asked, goal, unit)
        title = how.say(say.DECIDED_BY, goal=title, figure=how.text(named)) if named else title
        rows.append((title, *values, *sure[goal]))
    job = evaluation.case.job
    if job.parts_within is not None:
        wait, unknown = longest_wait(package.choice, job.vehicles)
        promised = days(how, None if unknown else wait or 0)
        rows.append((_wait_asked(how, job.parts_within), "", promised, "", ""))
    columns = (
        SheetColumn(how.text(say.GOAL), 3),
        SheetColumn(how.text(say.BEFORE), 0, right=True),
        SheetColumn(how.text(say.AFTER), 0, right=True),
        SheetColumn(how.text(say.WITHIN), 0, right=True),
        SheetColumn(how.text(say.HOW_SURE), 2),
    )
    return Section(how.text(say.GOALS), table=SheetTable(columns, tuple(rows)))


def calculated_only(evaluation: Evaluation, package: Package, how: Writing) -> Section:
    """List the limits on law, plates and contact that hold as calculated only, and why."""
    lines = rule_lines(evaluation, package.choice, how)
    return Section(how.text(say.AS_CALCULATED), items=tuple(lines), short=how.text(say.HOW_SURE))


def goal_records(
    evaluation: Evaluation, package: Package, how: Writing, system: System | None
) -> list[dict[str, str]]:
    """Return the goals as plain data, to be saved."""
    job = evaluation.case.job
    sure = _how_sure(evaluation, package, how)
    goals = []
    for goal in job.goals:
        unit = evaluation.definition(goal.figure).unit
        before, after = (
            words(evaluation.figure(goal.figure, choice), unit, system)
            for choice in (evaluation.fitted, package.choice)
        )
        within, grade = sure[goal]
        asks = goal_words(evaluation, goal, system)
        goals.append(
            {"goal": asks, "before": before, "after": after, "within": within, "grade": grade}
        )
    if job.parts_within is not None:
        wait, unknown = longest_wait(package.choice, job.vehicles)
        asks, after = _wait_asked(how, job.parts_within), delivery_line(how, wait, unknown)
        goals.append({"goal": asks, "before": "", "after": after, "within": "", "grade": ""})
    return goals


def _how_sure(
    evaluation: Evaluation, package: Package, how: Writing
) -> dict[Goal, tuple[str, str]]:
    """Say of each goal within what its value is, and how sure it is to be met; empty if missed."""
    goals = evaluation.case.job.goals
    known = {item.goal: item for item in goals_within(evaluation, package.choice, goals)}
    words_of = {}
    for goal in goals:
        item, grade = known.get(goal), goal_grade(known, goal, how) or ()
        if item is None:
            words_of[goal] = "", ""
            continue
        within = ""
        if item.within:
            unit = evaluation.definition(goal.figure).unit
            within = f"±{within_value(how, item.within, unit)}"
        met = met_by(evaluation, replace(goal, sure=False), package.choice)
        words_of[goal] = within, " ".join(grade) if met else how.text(say.MISSED)
    return words_of


def _wait_asked(how: Writing, wait: int) -> str:
    template = say.PARTS_IN_GOAL_DAY if wait == 1 else say.PARTS_IN_GOAL
    return how.say(template, days=number(how, str(wait)))
