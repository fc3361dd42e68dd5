"""The build sheet: what the fitter does in which order, tightens, looks at and measures."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.as_built import Supposed, measurable, tolerance_of
from configurator.documents.layout import Cell, Section, Sheet, SheetColumn, SheetTable, ToFill
from configurator.documents.letterheads import letterhead, vehicle_lines
from configurator.documents.notes import assumed, cautions_whole, local_rules, unchecked
from configurator.documents.number_style import (
    Writing,
    count,
    date,
    days,
    figure,
    quantity,
    writing_for,
)
from configurator.documents.quotation import materials
from configurator.documents.torques import NOT_GIVEN, torques_of
from configurator.documents.upgrade_lines import forced_lines
from configurator.evaluation.lead_times import wait_of
from configurator.evaluation.packages import cautions_of
from configurator.evaluation.work_plan import work_plan
from configurator.model.parts import NOTHING

if TYPE_CHECKING:
    import datetime
    from collections.abc import Sequence

    from babel import Locale

    from configurator.consequences.upgrade_records import Forced
    from configurator.drawings import Drawing
    from configurator.evaluation.evaluator import Evaluation
    from configurator.evaluation.packages import Package
    from configurator.evaluation.work_plan import WorkPlan, WorkStep
    from configurator.wording.quantities import System

REASONS, REASONS_KEY = "Why one part needs another", "reasons"
NO_REASONS = "Not worked out for this sheet; fitwright build-sheet --reasons does."
TICK, ROOM = ToFill(), ToFill("room")
LOCAL_CODES = (
    "The makers' fitting instructions and local codes come first. Work on brakes, steering and "
    "axles is for licensed people; what is done wrong there kills."
)


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
    how = writing_for(evaluation, locale, system, translated=False)
    plan = work_plan(evaluation, package)
    lines = [f"Date: {date(how, day)}", *vehicle_lines(evaluation, how)]
    if case.job.vehicles > 1:
        lines.append(f"One sheet for each of the {case.job.vehicles} vehicles.")
    lines.append(f"Working time {count(how, round(plan.hours, 6)).text} hours")
    return Sheet(
        "Build sheet",
        case.job.title,
        tuple(line for line in lines if line),
        (
            Section("Before anything else", sentences=(LOCAL_CODES,)),
            _parts(package, how, vehicles),
            _sequence(evaluation, plan, how),
            _torques(package, how),
            _look_at(evaluation, package),
            _measure(evaluation, package, how),
            _reasons(evaluation, forced, how),
            Section(
                "Cautions",
                items=tuple(cautions_whole(cautions_of(evaluation, package.choice), how)),
            ),
            local_rules(evaluation, package, how),
            assumed(evaluation, package, how),
            unchecked(evaluation, package, how),
            Section("Before and after", drawings=tuple(drawings)),
            _signed(),
        ),
        how.paper,
        letterhead(evaluation, how),
        language=how.dates.language,
    )


def _reasons(evaluation: Evaluation, forced: Sequence[Forced] | None, how: Writing) -> Section:
    if forced is None:
        return Section(REASONS, sentences=(NO_REASONS,), key=REASONS_KEY)
    lines = tuple(forced_lines(forced, evaluation, how))
    return Section(REASONS, items=lines, key=REASONS_KEY)


def _parts(package: Package, how: Writing, vehicles: int) -> Section:
    rows: list[tuple[Cell, ...]] = [
        (
            position,
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
        SheetColumn("Position", 0.8),
        SheetColumn("Part", 1.4),
        SheetColumn("Number", 0.9),
        SheetColumn("Pieces", 0, right=True),
        SheetColumn("Wait", 0, right=True),
        SheetColumn("There", 0),
    )
    return Section(
        "Parts that must be there", short="Parts", table=SheetTable(columns, tuple(rows))
    )


def _sequence(evaluation: Evaluation, plan: WorkPlan, how: Writing) -> Section:
    rows: list[tuple[Cell, ...]] = [
        (
            count(how, step.number),
            step.operation.name,
            ", ".join(item for item in (step.operation.station, step.axle) if item),
            _needs(evaluation, step, how),
            count(how, step.operation.hours),
            TICK,
        )
        for step in plan.steps
    ]
    columns = (
        SheetColumn("No.", 0, right=True),
        SheetColumn("Operation", 1.3),
        SheetColumn("Where", 0.7),
        SheetColumn("Parts and consumables", 1.3),
        SheetColumn("Hours", 0, right=True),
        SheetColumn("Done", 0),
    )
    sentences = ("In an order that works: nothing waits for a later step.",) if rows else ()
    items = () if rows else ("No work: nothing is changed, or no operation is known for it.",)
    return Section("Work", sentences=sentences, items=items, table=SheetTable(columns, tuple(rows)))


def _needs(evaluation: Evaluation, step: WorkStep, how: Writing) -> str:
    parts = [wait.position for wait in step.waits_for]
    return "; ".join([*parts, *materials(evaluation, step.uses, how)])


def _torques(package: Package, how: Writing) -> Section:
    rows: list[tuple[Cell, ...]] = []
    for item in torques_of(package.choice):
        torque = NOT_GIVEN if item.torque is None else figure(how, item.torque, "N*m")
        again = "" if item.again is None else figure(how, item.again, "km")
        rows.append((item.position, item.title, torque, again, item.source, TICK))
    columns = (
        SheetColumn("Position", 0.8),
        SheetColumn("Part", 1.2),
        SheetColumn("Torque", 1.1),
        SheetColumn("Again after", 0),
        SheetColumn("From", 0.8),
        SheetColumn("Done", 0),
    )
    sentences = (
        "Only torques that a maker or the vehicle's record gives stand here; no other may be used.",
    )
    table = SheetTable(columns, tuple(rows))
    return Section("Tightening torques", sentences=sentences if rows else (), table=table)


def _look_at(evaluation: Evaluation, package: Package) -> Section:
    by_text: dict[str, list[str]] = {}
    for caution in cautions_of(evaluation, package.choice):
        if caution.inspect:
            by_text.setdefault(caution.inspect, []).append(caution.name)
    rows: list[tuple[Cell, ...]] = [
        (text, "; ".join(names), TICK, ROOM) for text, names in by_text.items()
    ]
    columns = (
        SheetColumn("Inspect", 2),
        SheetColumn("Because", 1),
        SheetColumn("Done", 0),
        SheetColumn("By", 0),
    )
    return Section("Inspections", table=SheetTable(columns, tuple(rows)))


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
        rows.append((item.figure, promised, f"{low} to {high}", item.how, ROOM))
    columns = (
        SheetColumn("Figure", 1),
        SheetColumn("Promised", 0, right=True),
        SheetColumn("Measured should be", 0),
        SheetColumn("How", 1.8),
        SheetColumn("Measured", 0),
    )
    sentences = (
        "Tolerances are common practice, no source. Promised figures are rounded to the safe side. "
        "Enter the values in the as-built check on the page, or with 'fitwright as-built'; both "
        "compare them and name the likely cause.",
    )
    table = SheetTable(columns, tuple(rows))
    heading = "To be measured when finished"
    return Section(heading, sentences=sentences if rows else (), table=table)


def _edge(how: Writing, value: float, unit: str) -> str:
    """Write an edge of a tolerance; tenths of a per cent are as fine as anybody reads."""
    return quantity(how, round(value, 3) if unit == "%" else value, unit)


def _signed() -> Section:
    columns = (SheetColumn("Done by", 1), SheetColumn("Checked by", 1), SheetColumn("Date", 1))
    return Section("Signed", table=SheetTable(columns, ((" ", " ", " "),)))
