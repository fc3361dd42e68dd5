"""The quotation of a package: what it costs and promises, as a sheet and as plain data.

Prices include tax, as a customer is told them; the tax within is shown by the workshop's rate.
"""

from __future__ import annotations

import datetime
from typing import TYPE_CHECKING, Any

from configurator.documents import document_templates as say
from configurator.documents.cost_of_certainty import cost_of_certainty
from configurator.documents.discounts import discounted
from configurator.documents.goals_asked import asked_goals, calculated_only, goal_records
from configurator.documents.layout import Number, Section, Sheet, SheetColumn, SheetTable
from configurator.documents.letterheads import (
    delivery_line,
    letterhead,
    receiver,
    signatures,
    vehicle_lines,
)
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
    locale_of,
    money,
    number,
    writing_for,
)
from configurator.evaluation.lead_times import longest_wait
from configurator.evaluation.operations import amounts_of, operations_of, work_cost
from configurator.evaluation.packages import cautions_of
from configurator.model.parts import NOTHING
from configurator.wording.plain_data import not_priced
from configurator.wording.quantities import printed
from configurator.wording.sentences import begun, catalog_words

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from babel import Locale

    from configurator.documents.layout import Cell
    from configurator.drawings import Drawing
    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.evaluation.packages import Package
    from configurator.model.rules import Operation
    from configurator.questions.certainty_records import CertaintyPrice, GoalCertainty
    from configurator.wording.quantities import System

__all__ = ["VALID_DAYS", "locale_of", "price_lines", "quotation", "quotation_sheet", "tax_within"]

# How long a quotation holds: common practice, no source.
VALID_DAYS = 30


def tax_within(price: int, share: float) -> int:
    """Return the tax in a price that includes it [minor units].

    Examples
    --------
    >>> tax_within(12000, 0.2)
    2000
    """
    return round(price * share / (1 + share))


def price_lines(evaluation: Evaluation, package: Package, how: Writing) -> list[tuple[str, Number]]:
    """Return the lines of the price: parts, work, what is taken off, the total, the tax in it."""
    case = evaluation.case
    share = case.workshop.tax
    discount, rounding = discounted(package.price, case.job.discount, case.workshop.round_to)
    total = package.price - discount - rounding
    lines = [
        (how.text(say.PARTS), money(how, package.price - package.work)),
        (how.text(say.WORK), money(how, package.work)),
    ]
    if discount:
        rate = number(how, printed(case.job.discount * 100))
        lines.append((how.say(say.DISCOUNT, share=rate), money(how, -discount)))
    if rounding:
        lines.append((how.text(say.ROUNDING), money(how, -rounding)))
    rate = number(how, f"{round(share * 100, 4):g}")
    lines.append((how.text(say.TOTAL), money(how, total)))
    lines.append((how.say(say.TAX, rate=rate), money(how, tax_within(total, share))))
    if case.job.vehicles > 1:
        whole = money(how, total * case.job.vehicles)
        lines.append((how.say(say.IDENTICAL, number=case.job.vehicles), whole))
    return lines


def quotation(
    evaluation: Evaluation,
    package: Package,
    *,
    locale: Locale,
    day: datetime.date,
    system: System | None = None,
    valid: datetime.date | None = None,
) -> dict[str, Any]:
    """Return what a quotation says as plain data, to be saved.

    Parameters
    ----------
    evaluation, package
        What is quoted.
    locale
        How numbers, dates and money are written.
    day
        Of the quotation.
    system
        Units of the customer.
    valid
        Last day on which the prices hold; 30 days after ``day`` by default.
    """
    case = evaluation.case
    how = writing_for(evaluation, locale, system)

    def record(amount: Number) -> dict[str, str]:
        return {"amount": str(amount.value), "text": amount.text}

    notes = [
        (say.PROMISE_HEADING, [how.text(say.PROMISE)]),
        (say.AS_CALCULATED, calculated_only(evaluation, package, how).items),
        (say.CAUTIONS, cautions_whole(cautions_of(evaluation, package.choice), how)),
        (say.LOCAL_RULES, local_rules(evaluation, package, how).items),
        (say.ASSUMED, assumed(evaluation, package, how).items),
        (say.NOT_CHECKED, unchecked(evaluation, package, how).items),
        (say.NOT_PRICED, not_priced(evaluation, package.choice, how)),
        (say.PRICE_SOURCES, [catalog_words(catalog, how) for catalog in case.catalogs]),
    ]
    return {
        "title": case.job.title,
        "vehicle": case.vehicle.title,
        "workshop": case.workshop.title,
        "date": date(how, day),
        "valid": date(how, valid or day + datetime.timedelta(days=VALID_DAYS)),
        "parts": [
            {
                "position": position,
                "number": "" if option.key == NOTHING else option.key,
                "title": "removed" if option.key == NOTHING else option.part.title,
                "pieces": option.pieces,
                "price": record(money(how, option.price)),
            }
            for position, option in package.choice.items()
            if option.changed
        ],
        "work": [
            {
                "name": operation.name,
                "hours": count(how, operation.hours).text,
                "price": record(money(how, work_cost(evaluation, operation, package.choice))),
            }
            for operation in operations_of(evaluation, package.choice)
        ],
        "sums": [
            {"name": name, "price": record(price)}
            for name, price in price_lines(evaluation, package, how)
        ],
        "asked": goal_records(evaluation, package, how, system),
        "notes": [{"heading": how.text(heading), "items": list(items)} for heading, items in notes],
    }


def quotation_sheet(
    evaluation: Evaluation,
    package: Package,
    *,
    locale: Locale,
    day: datetime.date,
    system: System | None = None,
    valid: datetime.date | None = None,
    drawings: Sequence[Drawing] = (),
    certainty: tuple[CertaintyPrice, Sequence[GoalCertainty]] | None = None,
) -> Sheet:
    """Lay out a quotation.

    Parameters
    ----------
    evaluation, package
        What is quoted.
    locale
        How numbers, dates and money are written, and in which language.
    day
        Of the quotation.
    system
        Units of the customer.
    valid
        Last day on which the prices hold; 30 days after ``day`` by default.
    drawings
        Before and after, to scale.
    certainty
        What it would cost, as a whole and of each goal; None if that was not worked out, which is
        then said.
    """
    case = evaluation.case
    how = writing_for(evaluation, locale, system)
    until = valid or day + datetime.timedelta(days=VALID_DAYS)
    wait, unknown = longest_wait(package.choice, case.job.vehicles)
    lines = [
        how.say(say.VALID_UNTIL, date=date(how, day), valid=date(how, until)),
        *vehicle_lines(evaluation, how),
        delivery_line(how, wait, unknown),
    ]
    lines_of_price = tuple(price_lines(evaluation, package, how))
    total = [name for name, _ in lines_of_price].index(how.text(say.TOTAL))
    paper = case.workshop.stationery
    own = any(option.key in case.job.own for option in package.choice.values())
    sections = (
        Section(
            how.text(say.PRICE_HEADING),
            table=SheetTable(
                (
                    SheetColumn(how.text(say.AMOUNT), 1),
                    SheetColumn(how.text(say.PRICE), 0, right=True),
                ),
                lines_of_price,
                set_apart=(total,),
            ),
        ),
        asked_goals(evaluation, package, how),
        Section(how.text(say.PROMISE_HEADING), sentences=(how.text(say.PROMISE),)),
        calculated_only(evaluation, package, how),
        cost_of_certainty(evaluation, certainty, how),
        *_systems(evaluation, package, how),
        Section(
            how.text(say.CAUTIONS),
            items=tuple(cautions_whole(cautions_of(evaluation, package.choice), how)),
        ),
        local_rules(evaluation, package, how),
        assumed(evaluation, package, how),
        unchecked(evaluation, package, how),
        Section(how.text(say.NOT_PRICED), items=tuple(not_priced(evaluation, package.choice, how))),
        Section(
            how.text(say.PRICE_SOURCES),
            items=tuple(catalog_words(catalog, how) for catalog in case.catalogs),
        ),
        Section(
            how.text(say.TERMS),
            sentences=tuple(
                text for text in (paper.terms, how.text(say.OWN_TERMS) if own else "") if text
            ),
        ),
        Section(how.text(say.PAYMENT), sentences=(paper.payment,) if paper.payment else ()),
        signatures(how, say.ACCEPTANCE, say.ACCEPT, (say.CUSTOMER, say.FOR_WORKSHOP)),
        Section(how.text(say.DRAWINGS), drawings=tuple(drawings)),
    )
    return Sheet(
        how.text(say.QUOTATION),
        case.job.title,
        tuple(line for line in lines if line),
        (*sections, not_translated(how)),
        how.paper,
        letterhead(evaluation, how),
        receiver(evaluation),
        how.dates.language,
    )


# -- parts and work, system by system -------------------------------------------------------------


def _systems(evaluation: Evaluation, package: Package, how: Writing) -> list[Section]:
    """Lay out parts and work under the systems of the vehicle, each with its subtotal."""
    parts: dict[str, list[tuple[str, Option]]] = {}
    for position, option in package.choice.items():
        if option.changed:
            system = evaluation.families[position].system or say.OTHER
            parts.setdefault(system, []).append((position, option))
    work: dict[str, list[Operation]] = {}
    for operation in operations_of(evaluation, package.choice):
        work.setdefault(operation.system or say.OTHER, []).append(operation)
    names = dict.fromkeys((*say.SYSTEMS, *parts, *work))
    systems = [name for name in names if name in parts or name in work]
    sections = []
    for number_of, system in enumerate(systems):
        rows = [_part_row(evaluation, how, *entry) for entry in parts.get(system, ())]
        rows += [
            _work_row(evaluation, how, operation, package.choice)
            for operation in work.get(system, ())
        ]
        price = sum(option.price for _, option in parts.get(system, ()))
        price += sum(
            work_cost(evaluation, operation, package.choice) for operation in work.get(system, ())
        )
        name = how.text(system)
        rows.append((how.say(say.SUBTOTAL, system=name), "", "", money(how, price)))
        columns = (
            SheetColumn(how.text(say.ITEM), 1.5),
            SheetColumn(how.text(say.DETAIL), 1.3),
            SheetColumn(how.text(say.QUANTITY), 0, right=True),
            SheetColumn(how.text(say.PRICE), 0, right=True),
        )
        rate = evaluation.case.workshop.rate
        hourly = how.say(say.HOURLY, rate=money(how, rate).text)
        first = number_of == 0 and rate and work
        table = SheetTable(columns, tuple(rows), last=True)
        sections.append(Section(name, (hourly,) if first else (), table=table))
    return sections


def _part_row(
    evaluation: Evaluation, how: Writing, position: str, option: Option
) -> tuple[Cell, ...]:
    gone = option.key == NOTHING
    part = evaluation.fitted[position].part.title if gone else option.part.title
    if gone:
        part = how.say(say.REMOVED, part=part)
    number_of = "" if gone else option.key
    if option.key in evaluation.case.job.own:
        number_of = how.say(say.OWN_PART, number=option.key)
    item = how.say(say.PART_LINE, position=begun(how.text(position)), part=part)
    pieces = "" if gone else count(how, option.pieces)
    return item, number_of, pieces, money(how, option.price)


def _work_row(
    evaluation: Evaluation, how: Writing, operation: Operation, choice: Mapping[str, Option]
) -> tuple[Cell, ...]:
    used = materials(evaluation, amounts_of(evaluation, operation, choice), how)
    includes = how.say(say.INCLUDES, materials=", ".join(used)) if used else ""
    hours = count(how, round(operation.hours, 6))
    template = say.HOUR if operation.hours == 1 else say.HOURS
    shown = Number(how.say(template, hours=hours.text), hours.value, hours.form)
    price = money(how, work_cost(evaluation, operation, choice))
    return begun(how.text(operation.name)), includes, shown, price


def materials(evaluation: Evaluation, amounts: Mapping[str, float], how: Writing) -> list[str]:
    """Name what an operation uses up, with amount and unit: *2.4 l gear oil*."""
    units_of = evaluation.case.workshop.consumable_units
    used = []
    for name, amount in amounts.items():
        text, unit = number(how, printed(amount, 6)), units_of.get(name, "")
        template = say.MATERIAL if unit else say.MATERIAL_PIECES
        used.append(how.say(template, amount=text, unit=how.text(unit), name=how.text(name)))
    return used
