"""The handover sheet: what the driver must know of the changed vehicle, in plain words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.documents import document_templates as say
from configurator.documents.goals_asked import asked_goals
from configurator.documents.layout import Cell, Section, Sheet, SheetColumn, SheetTable, ToFill
from configurator.documents.letterheads import (
    letterhead,
    receiver,
    signatures,
    vehicle_lines,
)
from configurator.documents.margin_table import margin_table
from configurator.documents.notes import assumed, local_rules, not_translated, unchecked
from configurator.documents.number_style import (
    Writing,
    before_and_after,
    date,
    distance,
    quantity,
    writing_for,
)
from configurator.documents.torques import source_words, torques_of
from configurator.evaluation.packages import cautions_of
from configurator.model.parts import NOTHING, Missing
from configurator.model.references import ConditionValue
from configurator.wording.felt import FELT, UNCHANGED, felt_value
from configurator.wording.sentences import begun

if TYPE_CHECKING:
    import datetime
    from collections.abc import Sequence

    from babel import Locale

    from configurator.drawings import Drawing
    from configurator.evaluation.evaluator import Evaluation
    from configurator.evaluation.packages import Package
    from configurator.model.rules import Caution
    from configurator.wording.quantities import System

__all__ = ["FELT", "handover_sheet"]

# Re-torque distances that always hold, km: common practice, no source.
WHEEL_NUTS = ((50.0, "wheel nuts"), (100.0, "wheel nuts"))
RETORQUE = "Torque all wheel nuts crosswise with a torque wrench (common practice, no source)."
_KM = 1000.0  # metres


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
        How numbers and dates are written, and in which language.
    day
        Of the sheet.
    system
        Units of the driver.
    drawings
        Before and after, to scale.
    """
    case = evaluation.case
    how = writing_for(evaluation, locale, system)
    cautions = cautions_of(evaluation, package.choice)
    sections = (
        _changed(evaluation, package, how),
        _felt(evaluation, package, how),
        asked_goals(evaluation, package, how),
        margin_table(evaluation, package, how),
        Section(how.text(say.MIND), items=tuple(_plainly(cautions, how))),
        _later(package, cautions, how),
        Section(how.text(say.PRESSURE), items=tuple(_pressure(evaluation, package, how))),
        Section(how.text(say.APPROVAL), items=tuple(_approvals(evaluation, cautions, how))),
        # That none was checked stands under approval.
        Section("") if case.local_rules is None else local_rules(evaluation, package, how),
        assumed(evaluation, package, how),
        unchecked(evaluation, package, how),
        signatures(how, say.RECEIVED_HEADING, say.RECEIVED, (say.HANDED_OVER_BY, say.RECEIVED_BY)),
        Section(how.text(say.DRAWINGS), drawings=tuple(drawings)),
    )
    return Sheet(
        how.text(say.HANDOVER),
        case.job.title,
        (how.say(say.DATE, date=date(how, day)), *vehicle_lines(evaluation, how)),
        (*sections, not_translated(how)),
        how.paper,
        letterhead(evaluation, how),
        receiver(evaluation),
        how.dates.language,
    )


def _changed(evaluation: Evaluation, package: Package, how: Writing) -> Section:
    rows: list[tuple[Cell, ...]] = [
        (
            how.text(position),
            how.text("not fitted")
            if evaluation.fitted[position].key == NOTHING
            else evaluation.fitted[position].part.title,
            how.text(say.REMOVED_ONLY) if option.key == NOTHING else option.part.title,
        )
        for position, option in package.choice.items()
        if option.changed
    ]
    columns = (
        SheetColumn(how.text(say.WHERE), 0.7),
        SheetColumn(how.text(say.BEFORE_CHANGE), 1),
        SheetColumn(how.text(say.NOW), 1),
    )
    items = () if rows else (how.text(say.NOTHING_CHANGED),)
    return Section(
        how.text(say.CHANGED_HEADING), items=items, table=SheetTable(columns, tuple(rows))
    )


def _felt(evaluation: Evaluation, package: Package, how: Writing) -> Section:
    known = {**evaluation.trade.figures, **evaluation.trade.totals}
    rows: list[tuple[Cell, ...]] = []
    changed = False
    for name, words in FELT.items():
        if name not in known:
            continue
        unit = evaluation.definition(name).unit
        before, after = (
            evaluation.figure(name, choice) for choice in (evaluation.fitted, package.choice)
        )
        had, has = (felt_value(name, value, unit) for value in (before, after))
        changed = changed or had != has
        if had != has or name in UNCHANGED:
            stood, stands = before_and_after(how, had, has, unit)
            # What did not apply before has no value there.
            stood = "–" if isinstance(had, Missing) else stood
            rows.append((how.text(words), stood, stands))
    rows = rows if changed else []
    columns = (
        SheetColumn(how.text(say.WHAT), 1),
        SheetColumn(how.text(say.BEFORE_CHANGE), 0, right=True),
        SheetColumn(how.text(say.NOW), 0, right=True),
    )
    sentences = (how.text(say.FELT_SENTENCE),) if rows else ()
    table = SheetTable(columns, tuple(rows))
    return Section(how.text(say.FELT_HEADING), sentences, table=table)


def _plainly(cautions: Sequence[Caution], how: Writing) -> list[str]:
    """Say each caution once, without what the workshop inspects."""
    names: dict[str, list[str]] = {}
    for caution in cautions:
        names.setdefault(caution.says, []).append(how.text(caution.name))
    sentences = [
        how.say("{names}: {says}", names=begun(", ".join(of)), says=how.text(says))
        for says, of in names.items()
    ]
    return [*sentences, how.text(say.NOTICE)]


def _later(package: Package, cautions: Sequence[Caution], how: Writing) -> Section:
    """List what is to be done after so many kilometres, with boxes to tick."""
    torques = torques_of(package.choice)
    due: dict[tuple[float, str], None] = {}
    for caution in cautions:
        for kilometres, what in caution.again:
            due[kilometres, how.text(what)] = None
    for torque in torques:
        if torque.again is None:
            continue
        about = {"position": how.text(torque.position), "part": torque.title}
        if torque.torque is None:
            what = how.say(say.AGAIN_PART, **about)
        else:
            source = source_words(torque, how)
            newton_metres = quantity(how, torque.torque, "N*m")
            what = how.say(say.AGAIN_TORQUE, torque=newton_metres, source=source, **about)
        due[torque.again / _KM, what] = None
    touched = any(option.changed for option in package.choice.values())
    wheels = any(caution.again for caution in cautions) or any(
        torque.again is not None for torque in torques if torque.position == "wheel nuts"
    )
    if touched and not wheels:
        for kilometres, _ in WHEEL_NUTS:
            due[kilometres, how.text(RETORQUE)] = None
    rows: list[tuple[Cell, ...]] = [
        (distance(how, kilometres * _KM), what, ToFill(), ToFill("room"))
        for kilometres, what in sorted(due)
    ]
    rest = [
        how.text(torque.position)
        for torque in torques
        if torque.again is None and torque.position != "wheel nuts"
    ]
    columns = (
        SheetColumn(how.text(say.AT), 0, right=True),
        SheetColumn(how.text(say.DO), 1),
        SheetColumn(how.text(say.DONE), 0),
        SheetColumn(how.text(say.BY), 0),
    )
    sentences = [how.text(say.LATER_SENTENCE)] if rows else []
    if rest:
        sentences.append(how.say(say.AGAIN_UNKNOWN, positions=", ".join(rest)))
    table = SheetTable(columns, tuple(rows))
    return Section(how.text(say.LATER), tuple(sentences), table=table, key="later")


def _pressure(evaluation: Evaluation, package: Package, how: Writing) -> list[str]:
    name = "tyre pressure"
    declared = evaluation.trade.conditions.get(name)
    value = evaluation.constant(ConditionValue(name))
    if declared is None or not isinstance(value, int | float):
        return [how.text(say.PRESSURE_UNKNOWN)]
    template = say.PRESSURE_JOB if name in evaluation.case.job.conditions else say.PRESSURE_USUAL
    sentences = [how.say(template, pressure=quantity(how, value, declared.unit))]
    tyres = package.choice.get("tyres")
    if tyres is not None and tyres.changed:
        sentences.append(how.text(say.PRESSURE_NEW))
    return sentences


def _approvals(evaluation: Evaluation, cautions: Sequence[Caution], how: Writing) -> list[str]:
    by_whom: dict[str, list[str]] = {}
    for caution in cautions:
        if caution.approve:
            by_whom.setdefault(caution.approve, []).append(how.text(caution.name))
    rules = evaluation.case.local_rules
    local = (
        how.say(say.LOCAL_CHECKED, rules=rules.title)
        if rules is not None
        else how.text(say.LOCAL_NOT_CHECKED)
    )
    return [
        *(
            how.say(say.APPROVAL_BY, approve=how.text(whom), names="; ".join(names))
            for whom, names in by_whom.items()
        ),
        local,
        how.text(say.INSURER),
    ]
