"""What stands at the head and at the foot of a document: shop, customer, vehicle, signatures."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.core import units
from configurator.documents import document_templates as say
from configurator.documents.layout import Letterhead, Section, SheetColumn, SheetTable, ToFill
from configurator.documents.number_style import days_words, number
from configurator.wording.quantities import unit_in, with_unit

if TYPE_CHECKING:
    from collections.abc import Sequence

    from configurator.documents.number_style import Writing
    from configurator.evaluation.evaluator import Evaluation


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
        mileage = mileage_words(how, customer.mileage)
        lines.append(how.say(say.MILEAGE, mileage=mileage))
    if customer.reference:
        lines.append(how.say(say.YOUR_REFERENCE, reference=customer.reference))
    return lines


def mileage_words(how: Writing, metres: float) -> str:
    """Write what an odometer shows, in whole kilometres or miles."""
    shown = unit_in("km", how.system)
    return with_unit(number(how, f"{units.from_si(metres, shown):.0f}"), shown)


def delivery_line(how: Writing, wait: int | None, unknown: Sequence[str]) -> str:
    """Say when all parts are in; empty where nothing is ordered."""
    parts = ", ".join(how.text(position) for position in unknown)
    if wait is None:
        return how.say(say.DELIVERY_UNKNOWN, parts=parts) if unknown else ""
    days = days_words(how, wait)
    if unknown:
        return how.say(say.DELIVERY_PARTLY, days=days, parts=parts)
    return how.say(say.DELIVERY, days=days)


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
