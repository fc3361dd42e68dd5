"""The handover sheet: what the driver must know of the changed vehicle, in plain words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.documents.layout import Cell, Section, Sheet, SheetColumn, SheetTable
from configurator.documents.notes import notes_of
from configurator.documents.number_style import Writing, date, figure, quantity
from configurator.documents.torques import torques_of
from configurator.evaluation.packages import cautions_of
from configurator.model.parts import NOTHING
from configurator.model.references import ConditionValue
from configurator.wording.sentences import NOTICE, begun

if TYPE_CHECKING:
    import datetime
    from collections.abc import Sequence

    from babel import Locale

    from configurator.drawings import Drawing
    from configurator.evaluation.evaluator import Evaluation
    from configurator.evaluation.packages import Package
    from configurator.model.rules import Caution
    from configurator.wording.quantities import System

# What a driver feels, in the driver's words.
FELT = {
    "body rise": "The body stands higher by",
    "entry height": "Height of the first step in",
    "front width over tyres": "Width over the front tyres",
    "rear width over tyres": "Width over the rear tyres",
    "turning circle": "Turning circle",
    "clearance under front axle": "Room under the front axle",
    "clearance under rear axle": "Room under the rear axle",
    "running clearance": "Room under the body",
    "approach angle": "Slope it can drive up to",
    "departure angle": "Slope it can drive down from",
    "speedometer error": "The speedometer shows more than the true speed by",
    "engine speed at cruise": "Engine speed at the cruising speed",
    "top speed by gearing": "Most that gears and tyres allow",
    "deceleration at the permitted pedal force": "Hardest stop with the permitted pedal force",
    "side slope that tips it": "Side slope at which it tips, standing still",
    "vehicle mass": "Mass, as it is used",
    "payload left": "What may still be loaded",
    "front axle load": "Load on the front axle",
    "rear axle load": "Load on the rear axle",
}
WHEEL_NUTS = (
    "Wheel nuts: tighten again after 50 to 100 km, and after each of the next wheel changes "
    "(common practice, no source)."
)


def handover_sheet(
    evaluation: Evaluation,
    package: Package,
    *,
    locale: Locale,
    day: datetime.date,
    system: System | None = None,
    drawings: Sequence[Drawing] = (),
) -> Sheet:
    """Lay out a handover sheet.

    Parameters
    ----------
    evaluation, package
        What was built.
    locale
        How numbers and dates are written.
    day
        Of the sheet.
    system
        Units of the driver.
    drawings
        Before and after, to scale.
    """
    case = evaluation.case
    how = Writing(locale, case.job.currency, system, case.workshop.paper)
    cautions = cautions_of(evaluation, package.choice)
    notes = dict(notes_of(evaluation, package))
    return Sheet(
        "Handover",
        case.job.title,
        tuple(item for item in (case.vehicle.title, case.workshop.title, date(how, day)) if item),
        (
            _changed(evaluation, package),
            _felt(evaluation, package, how),
            Section("Please mind", items=tuple(_plainly(cautions))),
            Section("Tighten and look again", items=tuple(_again(package, how))),
            Section("Tyre pressure", items=tuple(_pressure(evaluation, package, how))),
            Section("Approval", items=tuple(_approvals(evaluation, cautions))),
            Section("What was not checked", items=tuple(notes["Not checked"])),
            Section("Before and after", drawings=tuple(drawings)),
        ),
        how.paper,
    )


def _changed(evaluation: Evaluation, package: Package) -> Section:
    rows: list[tuple[Cell, ...]] = [
        (
            position,
            evaluation.fitted[position].part.title,
            "removed" if option.key == NOTHING else option.part.title,
        )
        for position, option in package.choice.items()
        if option.changed
    ]
    columns = (SheetColumn("Where", 0.7), SheetColumn("Before", 1), SheetColumn("Now", 1))
    items = () if rows else ("Nothing.",)
    return Section("What was changed", items=items, table=SheetTable(columns, tuple(rows)))


def _felt(evaluation: Evaluation, package: Package, how: Writing) -> Section:
    known = {**evaluation.trade.figures, **evaluation.trade.totals}
    rows: list[tuple[Cell, ...]] = []
    for name, words in FELT.items():
        if name not in known:
            continue
        unit = evaluation.definition(name).unit
        before, after = (
            evaluation.figure(name, choice) for choice in (evaluation.fitted, package.choice)
        )
        if before != after:
            rows.append((words, figure(how, before, unit), figure(how, after, unit)))
    columns = (
        SheetColumn("What", 1),
        SheetColumn("Before", 0, right=True),
        SheetColumn("Now", 0, right=True),
    )
    sentences = (
        "Worked out, not measured. What is not listed is as it was, or was not worked out.",
    )
    table = SheetTable(columns, tuple(rows))
    return Section("What is different in driving", sentences if rows else (), table=table)


def _plainly(cautions: Sequence[Caution]) -> list[str]:
    """Say each caution once, without what the workshop inspects."""
    names: dict[str, list[str]] = {}
    for caution in cautions:
        names.setdefault(caution.says, []).append(caution.name)
    text = (f"{', '.join(of)}: {says}" for says, of in names.items())
    return [*map(begun, text), NOTICE]


def _again(package: Package, how: Writing) -> list[str]:
    torques = torques_of(package.choice)
    given = [
        f"{begun(torque.position)} ({torque.title}): tighten again after "
        + quantity(how, torque.again, "km")
        + (f" with {quantity(how, torque.torque, 'N*m')}" if torque.torque is not None else "")
        + f" (from {torque.source})."
        for torque in torques
        if torque.again is not None
    ]
    nuts = any(torque.again is not None for torque in torques if torque.position == "wheel nuts")
    touched = any(option.changed for option in package.choice.values())
    rest = [
        torque.position
        for torque in torques
        if torque.again is None and torque.position != "wheel nuts"
    ]
    sentences = [*given, *([] if nuts or not touched else [WHEEL_NUTS])]
    if rest:
        sentences.append(
            f"Not given for {', '.join(rest)}: ask the makers whether and when to tighten again."
        )
    return sentences


def _pressure(evaluation: Evaluation, package: Package, how: Writing) -> list[str]:
    name = "tyre pressure"
    declared = evaluation.trade.conditions.get(name)
    value = evaluation.constant(ConditionValue(name))
    if declared is None or not isinstance(value, int | float):
        return ["Not known: ask the tyre's maker."]
    from_job = name in evaluation.case.job.conditions
    whose = "as the job says" if from_job else "the usual value of this program, not a maker's"
    sentences = [
        f"All figures are worked out for {quantity(how, value, declared.unit)} cold ({whose}). It "
        "is no recommendation: the tyre's maker gives the pressure for the load and speed."
    ]
    tyres = package.choice.get("tyres")
    if tyres is not None and tyres.changed:
        sentences.append("The tyres are new: the pressures on the vehicle's plate no longer apply.")
    return sentences


def _approvals(evaluation: Evaluation, cautions: Sequence[Caution]) -> list[str]:
    by_whom: dict[str, list[str]] = {}
    for caution in cautions:
        if caution.approve:
            by_whom.setdefault(caution.approve, []).append(caution.name)
    rules = evaluation.case.local_rules
    local = (
        f"Local rules that were checked: {rules.title}."
        if rules is not None
        else "No local rules were checked: what this country or state forbids or wants approved "
        "must be asked there."
    )
    return [
        *(f"By {whom}: {'; '.join(names)}." for whom, names in by_whom.items()),
        local,
        "Ask the insurer as well. Until it is approved, where approval is needed, the vehicle may "
        "not be used on the road.",
    ]
