"""What stands at the head and at the foot of every document: shop, customer, vehicle, notes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.documents import document_templates as say
from configurator.documents.layout import Letterhead, Section, SheetColumn, SheetTable, ToFill
from configurator.documents.number_style import days_words, quantity
from configurator.evaluation.packages import not_checked
from configurator.wording.sentences import begun

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from configurator.documents.number_style import Writing
    from configurator.evaluation.evaluator import Evaluation
    from configurator.evaluation.packages import Package
    from configurator.model.rules import Caution


def letterhead(evaluation: Evaluation, how: Writing) -> Letterhead | None:
    """Return the workshop's head; None where its settings say nothing."""
    workshop = evaluation.case.workshop
    paper = workshop.stationery
    lines = [*paper.address, *paper.contact]
    if paper.tax_number:
        lines.append(how.say(say.TAX_NUMBER, number=paper.tax_number))
    if not (workshop.title or lines or paper.logo):
        return None
    png, svg = b"", ""
    if paper.logo is not None and paper.logo.kind == "png":
        png = paper.logo.data
    elif paper.logo is not None:
        svg = paper.logo.data.decode("utf-8", "replace")
    return Letterhead(workshop.title, tuple(lines), png, svg)


def receiver(evaluation: Evaluation) -> tuple[str, ...]:
    """Return the customer's name and address, as far as the job says them."""
    customer = evaluation.case.job.customer
    if customer is None:
        return ()
    return tuple(line for line in (customer.name, *customer.address) if line)


def vehicle_lines(evaluation: Evaluation, how: Writing) -> list[str]:
    """Return which vehicle it is, as far as the job says."""
    case = evaluation.case
    lines = [how.say(say.VEHICLE, vehicle=case.vehicle.title)]
    if case.job.vehicles > 1:
        lines.append(how.say(say.IDENTICAL, number=case.job.vehicles))
    customer = case.job.customer
    if customer is None:
        return lines
    if customer.registration:
        lines.append(how.say(say.REGISTRATION, registration=customer.registration))
    if customer.vin:
        lines.append(how.say(say.VIN, vin=customer.vin))
    if customer.mileage is not None:
        mileage = quantity(how, customer.mileage, "km", digits=7)
        lines.append(how.say(say.MILEAGE, mileage=mileage))
    if customer.reference:
        lines.append(how.say(say.YOUR_REFERENCE, reference=customer.reference))
    return lines


def delivery_line(how: Writing, wait: int | None, unknown: Sequence[str]) -> str:
    """Say when all parts are in; empty where nothing is ordered."""
    parts = ", ".join(how.text(position) for position in unknown)
    if wait is None:
        return how.say(say.DELIVERY_UNKNOWN, parts=parts) if unknown else ""
    days = days_words(how, wait)
    if unknown:
        return how.say(say.DELIVERY_PARTLY, days=days, parts=parts)
    return how.say(say.DELIVERY, days=days)


def cautions_whole(cautions: Iterable[Caution], how: Writing) -> list[str]:
    """Say cautions whole: what has changed, what to inspect, who approves; what is alike once."""
    names: dict[tuple[str, str, str], list[str]] = {}
    for caution in cautions:
        key = (caution.says, caution.inspect, caution.approve)
        names.setdefault(key, []).append(how.text(caution.name))
    lines = []
    for (says, inspect, approve), of in names.items():
        line = how.say("{names}: {says}", names=begun(", ".join(of)), says=how.text(says))
        if inspect:
            line += " " + how.say("Inspect: {inspect}", inspect=how.text(inspect))
        if approve:
            line += " " + how.say("Needs approval by {approve}.", approve=how.text(approve))
        lines.append(line)
    return [*lines, how.text(say.NOTICE)]


def unchecked(evaluation: Evaluation, package: Package, how: Writing) -> list[str]:
    """Say which rules could not be checked, and why."""
    return [
        how.say("{rule}: {why}", rule=how.text(note.rule), why=how.text(note.why))
        for note in not_checked(evaluation, package.choice)
    ]


def signatures(how: Writing, heading: str, sentence: str, people: Sequence[str]) -> Section:
    """Return room for signatures, one for each of the people."""
    rows = tuple((how.text(who), ToFill("line"), ToFill("line")) for who in people)
    columns = (
        SheetColumn("", 0.7),
        SheetColumn(how.text(say.PLACE_DATE), 1),
        SheetColumn(how.text(say.SIGN), 1.4),
    )
    sentences = (how.text(sentence),) if sentence else ()
    return Section(how.text(heading), sentences, table=SheetTable(columns, rows), key="signatures")


def not_translated(how: Writing) -> Section:
    """Say how much of a document is in English because nobody has translated it."""
    speech = how.speech
    if not speech.spoken or not speech.missing:
        return Section("")
    sentence = how.say(say.NOT_TRANSLATED, missing=len(speech.missing), asked=len(speech.asked))
    return Section("English", sentences=(sentence,))
