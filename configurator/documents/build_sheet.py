"""The build sheet: what the fitter does in which order, tightens, looks at and measures."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from configurator.as_built import Supposed, measurable, tolerance_of
from configurator.documents import document_templates as common
from configurator.documents import workshop_templates as say
from configurator.documents.goals_asked import asked_goals
from configurator.documents.layout import Cell, Section, Sheet, SheetColumn, SheetTable, ToFill
from configurator.documents.letterheads import letterhead, vehicle_lines
from configurator.documents.margin_table import margin_table
from configurator.documents.notes import (
    assumed,
    cautions_whole,
    local_rules,
    not_translated,
    unchecked,
)
from configurator.documents.number_style import (
    Writing,
    count,
    date,
    days,
    distance,
    figure,
    quantity,
    writing_for,
)
from configurator.documents.quotation import materials
from configurator.documents.torques import source_words, torques_of
from configurator.documents.upgrade_lines import forced_lines
from configurator.evaluation.lead_times import wait_of
from configurator.evaluation.packages import cautions_of
from configurator.evaluation.work_plan import work_plan
from configurator.model.parts import NOTHING
from configurator.wording.sentences import begun

if TYPE_CHECKING:
    import datetime
    from collections.abc import Sequence

    from babel import Locale

    from configurator.consequences.upgrade_records import Forced
    from configurator.drawings import Drawing
    from configurator.evaluation.evaluator import Evaluation
    from configurator.evaluation.packages import Package
    from configurator.evaluation.work_plan import WorkPlan, WorkStep
    from configurator.model.rules import Caution
    from configurator.wording.quantities import System

REASONS_KEY = "reasons"
TICK, ROOM = ToFill(), ToFill("room")


def build_sheet(
    evaluation: Evaluation,
    package: Package,
    *,
    locale: Locale,
    day: datetime.date,
    system: System | None = None,
    forced: Sequence[Forced] | None = None,
    drawings: Sequence[Drawing] = (),
) -> Sheet:
    """Lay out a build sheet.

    Parameters
    ----------
    evaluation, package
        What is built.
    locale
        How numbers and dates are written.
    day
        Of the sheet.
    system
        Units of the workshop.
    forced
        What else each changed part needs; None if that was not worked out, which is then said.
    drawings
        Before and after, to scale.
    """
    case = evaluation.case
    vehicles = case.job.vehicles
    how = writing_for(evaluation, locale, system)
    plan = work_plan(evaluation, package)
    lines = [how.say(common.DATE, date=date(how, day)), *vehicle_lines(evaluation, how)]
    if case.job.vehicles > 1:
        lines.append(how.say(say.EACH_VEHICLE, number=case.job.vehicles))
    lines.append(how.say(say.WORKING_TIME, hours=count(how, round(plan.hours, 6)).text))
    cautions = cautions_of(evaluation, package.choice)
    sections = (
        Section(how.text(say.BEFORE_ALL), sentences=(how.text(say.LOCAL_CODES),)),
        _parts(package, how, vehicles),
        _sequence(evaluation, plan, how),
        _torques(package, how),
        _look_at(cautions, how),
        replace(asked_goals(evaluation, package, how), heading=how.text(say.GOALS)),
        margin_table(evaluation, package, how),
        _measure(evaluation, package, how),
        _reasons(evaluation, forced, how),
        Section(how.text(common.CAUTIONS), items=tuple(cautions_whole(cautions, how))),
        local_rules(evaluation, package, how),
        assumed(evaluation, package, how),
        unchecked(evaluation, package, how),
        Section(how.text(common.DRAWINGS), drawings=tuple(drawings)),
        _signed(how),
    )
    return Sheet(
        how.text(common.BUILD_SHEET),
        case.job.title,
        tuple(line for line in lines if line),
        (*sections, not_translated(how)),
        how.paper,
        letterhead(evaluation, how),
        language=how.dates.language,
    )


def _reasons(evaluation: Evaluation, forced: Sequence[Forced] | None, how: Writing) -> Section:
    if forced is None:
        return Section(how.text(say.REASONS), (how.text(say.NO_REASONS),), key=REASONS_KEY)
    lines = tuple(forced_lines(forced, evaluation, how))
    return Section(how.text(say.REASONS), items=lines, key=REASONS_KEY)


def _parts(package: Package, how: Writing, vehicles: int) -> Section:
    rows: list[tuple[Cell, ...]] = [
        (
            how.text(position),
            option.part.title,
            option.key,
            count(how, option.pieces),
            days(how, wait_of(option, vehicles)),
            TICK,
        )
        for position, option in package.choice.items()
        if option.changed and option.key != NOTHING
    ]
    columns = (
        SheetColumn(how.text(say.POSITION), 0.8),
        SheetColumn(how.text(say.PART), 1.4),
        SheetColumn(how.text(say.NUMBER), 0.9),
        SheetColumn(how.text(say.PIECES), 0, right=True),
        SheetColumn(how.text(say.WAIT), 0, right=True),
        SheetColumn(how.text(say.THERE), 0),
    )
    return Section(
        how.text(say.PARTS_THERE),
        short=how.text(say.PARTS_SHORT),
        table=SheetTable(columns, tuple(rows)),
    )


def _sequence(evaluation: Evaluation, plan: WorkPlan, how: Writing) -> Section:
    rows: list[tuple[Cell, ...]] = [
        (
            count(how, step.number),
            begun(how.text(step.operation.name)),
            ", ".join(how.text(item) for item in (step.operation.station, step.axle) if item),
            _needs(evaluation, step, how),
            count(how, step.operation.hours),
            TICK,
        )
        for step in plan.steps
    ]
    columns = (
        SheetColumn(how.text(say.STEP), 0, right=True),
        SheetColumn(how.text(say.OPERATION), 1.3),
        SheetColumn(how.text(say.STATION), 0.7),
        SheetColumn(how.text(say.NEEDS), 1.3),
        SheetColumn(how.text(say.HOURS_HEADING), 0, right=True),
        SheetColumn(how.text(say.DONE), 0),
    )
    sentences = (how.text(say.SEQUENCE),) if rows else ()
    items = () if rows else (how.text(say.NO_WORK),)
    return Section(how.text(say.WORK_HEADING), sentences, items, SheetTable(columns, tuple(rows)))


def _needs(evaluation: Evaluation, step: WorkStep, how: Writing) -> str:
    parts = [how.text(wait.position) for wait in step.waits_for]
    return "; ".join([*parts, *materials(evaluation, step.uses, how)])


def _torques(package: Package, how: Writing) -> Section:
    rows: list[tuple[Cell, ...]] = []
    for item in torques_of(package.choice):
        torque = (
            how.text(say.TORQUE_NOT_GIVEN)
            if item.torque is None
            else figure(how, item.torque, "N*m")
        )
        again = "" if item.again is None else distance(how, item.again)
        source = source_words(item, how)
        rows.append((how.text(item.position), item.title, torque, again, source, TICK))
    columns = (
        SheetColumn(how.text(say.POSITION), 0.8),
        SheetColumn(how.text(say.PART), 1.2),
        SheetColumn(how.text(say.TORQUE), 1.1),
        SheetColumn(how.text(say.AGAIN_AFTER), 0),
        SheetColumn(how.text(say.FROM), 0.8),
        SheetColumn(how.text(say.DONE), 0),
    )
    sentences = (how.text(say.ONLY_GIVEN),) if rows else ()
    table = SheetTable(columns, tuple(rows))
    return Section(how.text(say.TORQUES), sentences, table=table)


def _look_at(cautions: Sequence[Caution], how: Writing) -> Section:
    by_text: dict[str, list[str]] = {}
    for caution in cautions:
        if caution.inspect:
            by_text.setdefault(how.text(caution.inspect), []).append(how.text(caution.name))
    rows: list[tuple[Cell, ...]] = [
        (text, "; ".join(names), TICK, ROOM) for text, names in by_text.items()
    ]
    columns = (
        SheetColumn(how.text(say.INSPECT), 2),
        SheetColumn(how.text(say.REASON), 1),
        SheetColumn(how.text(say.DONE), 0),
        SheetColumn(how.text(say.BY), 0),
    )
    return Section(how.text(say.INSPECTIONS), table=SheetTable(columns, tuple(rows)))


def _measure(evaluation: Evaluation, package: Package, how: Writing) -> Section:
    exact = Supposed(evaluation, package.choice)
    rows: list[tuple[Cell, ...]] = []
    for item in measurable(evaluation, package.choice):
        unit = evaluation.definition(item.figure).unit
        expected = exact.figure(item.figure, package.choice)
        if not isinstance(expected, int | float):
            continue
        tolerance = tolerance_of(item, float(expected))
        low, high = (_edge(how, expected + side * tolerance, unit) for side in (-1, 1))
        promised = figure(how, evaluation.figure(item.figure, package.choice), unit)
        between = how.say(say.FROM_TO, low=low, high=high)
        rows.append((how.text(item.figure), promised, between, how.text(item.how), ROOM))
    columns = (
        SheetColumn(how.text(say.FIGURE), 1),
        SheetColumn(how.text(say.PROMISED), 0, right=True),
        SheetColumn(how.text(say.SHOULD_BE), 0),
        SheetColumn(how.text(say.HOW), 1.8),
        SheetColumn(how.text(say.MEASURED), 0),
    )
    sentences = (how.text(say.TOLERANCES),) if rows else ()
    table = SheetTable(columns, tuple(rows))
    return Section(how.text(say.TO_MEASURE), sentences, table=table)


def _edge(how: Writing, value: float, unit: str) -> str:
    """Write an edge of a tolerance; tenths of a per cent are as fine as anybody reads."""
    return quantity(how, round(value, 3) if unit == "%" else value, unit)


def _signed(how: Writing) -> Section:
    columns = tuple(
        SheetColumn(how.text(heading), 1)
        for heading in (say.DONE_BY, say.CHECKED_BY, say.DATE_HEADING)
    )
    return Section(how.text(say.SIGNED), table=SheetTable(columns, ((" ", " ", " "),)))
