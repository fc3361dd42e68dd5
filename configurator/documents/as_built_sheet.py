"""The sheet of promised against measured: for the job's papers, and for whoever plans the next."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from configurator.as_built.as_built_words import (
    SENSITIVITY,
    alike_lines,
    answer_rows,
    carried_rows,
    explained_words,
    left_lines,
    together_lines,
    verdict_words,
)
from configurator.as_built.assumptions import MEASURABLE
from configurator.core import units
from configurator.documents.layout import Cell, Section, Sheet, SheetColumn, SheetTable, ToFill
from configurator.documents.number_style import Writing, date, figure, number, quantity
from configurator.wording.quantities import printed, unit_in, with_unit

if TYPE_CHECKING:
    import datetime
    from collections.abc import Sequence

    from babel import Locale

    from configurator.as_built.ambiguity import Alike
    from configurator.as_built.as_built_words import Say
    from configurator.as_built.carry_over import CarriedChange
    from configurator.as_built.diagnosis import Findings
    from configurator.as_built.joint_causes import Together
    from configurator.evaluation.evaluator import Evaluation
    from configurator.wording.quantities import System

TOLERANCES = (
    "Tolerances are common practice, no source: what a careful second reading differs by. "
    "Promised values are rounded to the safe side; differences are to what was worked out, before "
    "rounding."
)


@dataclass(frozen=True, slots=True)
class About:
    """What a sheet of measurements says beside the figures.

    Parameters
    ----------
    package
        Which one was built: the number of its quotation, or in words.
    day, by, note
        When, by whom, in the fitter's words.
    """

    package: str
    day: datetime.date
    by: str
    note: str = ""


def measured_sheet(
    evaluation: Evaluation,
    findings: Findings,
    about: About,
    *,
    locale: Locale,
    system: System | None = None,
    pairs: Sequence[Alike] = (),
    twos: Sequence[Together] = (),
    changes: Sequence[CarriedChange] = (),
    remarks: Sequence[str] = (),
) -> Sheet:
    """Lay out a sheet of promised against measured.

    Parameters
    ----------
    evaluation
        Of the job.
    findings, pairs, twos
        From `configurator.as_built`.
    about
        When, by whom, of which package.
    locale
        How numbers and dates are written.
    system
        Units of the reader.
    changes, remarks
        What goes into the vehicle's record, and what must be measured again for it.
    """
    case = evaluation.case
    how = Writing(locale, case.job.currency, system, case.workshop.paper)
    lines = (
        case.vehicle.title,
        case.workshop.title,
        about.package,
        f"Measured on {date(how, about.day)} by {about.by}",
        about.note and f"Note: {about.note}",
    )

    def say(value: float, unit: str, _: System | None) -> str:
        return _difference(how, value, unit)

    return Sheet(
        "Promised and measured",
        case.job.title,
        tuple(line for line in lines if line),
        (
            _compared(findings, how),
            Section(
                "Likely cause",
                (verdict_words(findings, system, say),),
                tuple(
                    explained_words(explanation, system, say) for explanation in findings.explained
                ),
            ),
            _answers(findings, how, say) if findings.best else Section("Sensitivity"),
            Section(
                "What these figures cannot tell",
                items=tuple(alike_lines(findings, pairs, system, say)),
            ),
            Section(
                "Not accounted for",
                items=(*left_lines(findings, system, say), *together_lines(twos, system, say)),
            ),
            _carried(changes, remarks, how),
            _how(findings),
            _signed(),
        ),
        how.paper,
    )


def _compared(findings: Findings, how: Writing) -> Section:
    rows: list[tuple[Cell, ...]] = [
        (
            comparison.figure,
            figure(how, comparison.promised, comparison.unit),
            figure(how, comparison.measured, comparison.unit),
            _difference(how, comparison.difference, comparison.unit),
            _difference(how, comparison.tolerance, comparison.unit).lstrip("+"),
            "agrees" if comparison.agrees else "differs",
        )
        for comparison in findings.compared
    ]
    columns = (
        SheetColumn("Figure", 1),
        SheetColumn("Promised", 0, right=True),
        SheetColumn("Measured", 0, right=True),
        SheetColumn("Difference", 0, right=True),
        SheetColumn("Tolerance", 0, right=True),
        SheetColumn("State", 0),
    )
    table = SheetTable(columns, tuple(rows))
    return Section("Promised and measured", (TOLERANCES,), table=table, short="Measured")


def _difference(how: Writing, value: float, unit: str) -> str:
    """Write a difference with its sign as the locale does."""
    shown = unit_in(unit, how.system)
    plain = printed(units.from_si(value, shown) - units.from_si(0.0, shown), 3)
    text = number(how, plain)
    return with_unit(text if plain.startswith("-") or plain == "0" else f"+{text}", shown)


def _answers(findings: Findings, how: Writing, say: Say) -> Section:
    explanation = findings.best[0]
    off = say(explanation.assumption.step, explanation.assumption.unit, how.system)
    columns = (
        SheetColumn("Figure", 1),
        SheetColumn(f"Moves for {off}", 0, right=True),
        SheetColumn("Differed by", 0, right=True),
        SheetColumn("Left", 0, right=True),
        SheetColumn("Tolerance", 0, right=True),
        SheetColumn("State", 0),
    )
    rows = tuple(answer_rows(findings, explanation, how.system, say))
    heading = f"Sensitivity to {explanation.assumption.name}"
    return Section(heading, (SENSITIVITY,), table=SheetTable(columns, rows), short="Sensitivity")


def _carried(changes: Sequence[CarriedChange], remarks: Sequence[str], how: Writing) -> Section:
    columns = (
        SheetColumn("Measure or position", 1),
        SheetColumn("Before the work", 0.8, right=True),
        SheetColumn("After the work", 0.8, right=True),
        SheetColumn("From", 0),
    )
    rows = carried_rows(changes, how.system, lambda value, unit, _: quantity(how, value, unit))
    heading = "For the vehicle's record"
    return Section(
        heading, items=tuple(remarks), table=SheetTable(columns, tuple(rows)), short="Record"
    )


def _how(findings: Findings) -> Section:
    known = {item.figure: item.how for item in MEASURABLE}
    columns = (SheetColumn("Figure", 0.5), SheetColumn("How it is measured", 1))
    rows = tuple(
        (comparison.figure, known.get(comparison.figure, "")) for comparison in findings.compared
    )
    return Section("How it was measured", table=SheetTable(columns, rows), short="How")


def _signed() -> Section:
    columns = (
        SheetColumn("", 0.4),
        SheetColumn("Name", 1),
        SheetColumn("Day", 0.5),
        SheetColumn("Signature", 1),
    )
    room = (ToFill("room"), ToFill("room"), ToFill("room"))
    rows: tuple[tuple[Cell, ...], ...] = (("Measured", *room), ("Seen by", *room))
    return Section("Signed", table=SheetTable(columns, rows))
