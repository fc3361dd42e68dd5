"""The quotation of a package: what it costs and promises, as a sheet and as plain data.

Prices include tax, as a customer is told them; the tax within is shown by the workshop's rate.
"""

from __future__ import annotations

import datetime
from typing import TYPE_CHECKING, Any

from configurator.documents.layout import Number, Section, Sheet, SheetColumn, SheetTable
from configurator.documents.notes import notes_of
from configurator.documents.number_style import (
    Writing,
    asked,
    count,
    date,
    days,
    figure,
    locale_of,
    money,
    number,
)
from configurator.documents.upgrade_lines import forced_lines
from configurator.evaluation.lead_times import longest_wait
from configurator.evaluation.operations import operations_of, work_cost
from configurator.model.parts import NOTHING
from configurator.wording.quantities import words
from configurator.wording.sentences import goal_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from babel import Locale

    from configurator.consequences.upgrade_records import Forced
    from configurator.drawings import Drawing
    from configurator.evaluation.evaluator import Evaluation
    from configurator.evaluation.packages import Package
    from configurator.wording.quantities import System

__all__ = ["labour_and_materials", "locale_of", "quotation", "quotation_sheet", "tax_within"]

AMOUNTS = "Amounts are in the unit that the workshop's price is for, such as a litre or a piece."
# How long a quotation holds: common practice, no source.
VALID_DAYS = 30
REASONS = "Why one part needs another"


def tax_within(price: int, share: float) -> int:
    """Return the tax in a price that includes it [minor units].

    Examples
    --------
    >>> tax_within(12000, 0.2)
    2000
    """
    return round(price * share / (1 + share))


def labour_and_materials(
    evaluation: Evaluation, package: Package
) -> tuple[dict[str, int], dict[str, tuple[float, int]]]:
    """Split the price of the work into hours and what is used up or done outside.

    Returns
    -------
    labour : dict
        Name of an operation → price of its hours [minor units].
    materials : dict
        Name of what is used → amount, price [minor units]. Operations are priced one by one;
        what rounding leaves over is put on the dearest line, so that both add up to
        ``package.work`` exactly.
    """
    workshop = evaluation.case.workshop
    labour: dict[str, int] = {}
    materials: dict[str, tuple[float, float]] = {}
    for operation in operations_of(evaluation, package.choice):
        labour[operation.name] = round(operation.hours * workshop.rate)
        for name, amount in operation.uses.items():
            had, cost = materials.get(name, (0.0, 0.0))
            price = workshop.consumables.get(name, 0)
            materials[name] = had + amount, cost + amount * price
    rounded = {name: (amount, round(cost)) for name, (amount, cost) in materials.items()}
    left = package.work - sum(labour.values()) - sum(cost for _, cost in rounded.values())
    if left and rounded:
        dearest = max(rounded, key=lambda name: rounded[name][1])
        rounded[dearest] = rounded[dearest][0], rounded[dearest][1] + left
    return labour, rounded


def _sums(evaluation: Evaluation, package: Package, how: Writing) -> list[tuple[str, Number]]:
    case = evaluation.case
    share = case.workshop.tax
    rate = number(how, f"{round(share * 100, 4):g}")
    sums = [
        ("Parts", money(how, package.price - package.work)),
        ("Work and consumables", money(how, package.work)),
        ("Total, tax included", money(how, package.price)),
        (f"of which tax ({rate} %)", money(how, tax_within(package.price, share))),
    ]
    if case.job.vehicles > 1:
        whole = money(how, package.price * case.job.vehicles)
        sums.append((f"For {case.job.vehicles} identical vehicles", whole))
    return sums


def quotation(
    evaluation: Evaluation,
    package: Package,
    *,
    locale: Locale,
    day: datetime.date,
    system: System | None = None,
    valid: datetime.date | None = None,
) -> dict[str, Any]:
    """Return what a quotation says as plain data, to be kept.

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
    how = Writing(locale, case.job.currency, system, case.workshop.paper)

    def record(amount: Number) -> dict[str, str]:
        return {"amount": str(amount.value), "text": amount.text}

    goals = []
    for goal in case.job.goals:
        unit = evaluation.definition(goal.figure).unit
        before, after = (
            words(evaluation.figure(goal.figure, choice), unit, system)
            for choice in (evaluation.fitted, package.choice)
        )
        goal_text = goal_words(evaluation, goal, system)
        goals.append({"goal": goal_text, "before": before, "after": after})
    if case.job.ready_within is not None:
        wait, unknown = longest_wait(package.choice, case.job.vehicles)
        goal_text, after = (
            _wait_asked(how, case.job.ready_within),
            _waits_words(how, wait or 0, unknown),
        )
        goals.append({"goal": goal_text, "before": "", "after": after})
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
                "price": record(money(how, work_cost(evaluation, operation))),
            }
            for operation in operations_of(evaluation, package.choice)
        ],
        "sums": [{"name": n, "price": record(p)} for n, p in _sums(evaluation, package, how)],
        "asked": goals,
        "notes": [{"heading": h, "items": i} for h, i in notes_of(evaluation, package)],
    }


def quotation_sheet(
    evaluation: Evaluation,
    package: Package,
    *,
    locale: Locale,
    day: datetime.date,
    system: System | None = None,
    valid: datetime.date | None = None,
    forced: Sequence[Forced] | None = None,
    drawings: Sequence[Drawing] = (),
) -> Sheet:
    """Lay out a quotation.

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
    forced
        What each changed part forces; None if that was not worked out, which is then said.
    drawings
        Before and after, to scale.
    """
    case = evaluation.case
    how = Writing(locale, case.job.currency, system, case.workshop.paper)
    valid = valid or day + datetime.timedelta(days=VALID_DAYS)
    wait, unknown = longest_wait(package.choice, case.job.vehicles)
    lines = [
        case.vehicle.title,
        case.workshop.title,
        f"{date(how, day)}, valid until {date(how, valid)}",
    ]
    if wait is not None or unknown:
        lines.append(f"Longest wait for a part: {_waits_words(how, wait, unknown)}")
    promise, *rest = (
        Section(heading, items=tuple(items)) for heading, items in notes_of(evaluation, package)
    )
    promised = Section(promise.heading, sentences=promise.items)
    why = forced_lines(forced, evaluation, how) if forced is not None else []
    sentences = (
        () if forced is not None else ("What the parts force was not worked out for this sheet.",)
    )
    sums = tuple(_sums(evaluation, package, how))
    return Sheet(
        "Quotation",
        case.job.title,
        tuple(line for line in lines if line),
        (
            Section(
                "Prices",
                table=SheetTable((SheetColumn("Sum", 1), SheetColumn("Price", 0, True)), sums),
            ),
            _asked(evaluation, package, how),
            promised,
            _parts(evaluation, package, how),
            Section(REASONS, sentences=sentences, items=tuple(why)),
            *_work(evaluation, package, how),
            *rest,
            Section("Before and after", drawings=tuple(drawings)),
        ),
        how.paper,
    )


def _waits_words(how: Writing, wait: int | None, unknown: Sequence[str]) -> str:
    sentences = [] if wait is None else [count(how, wait).text + (" day" if wait == 1 else " days")]
    return "; ".join([*sentences, *([f"not known for {', '.join(unknown)}"] if unknown else [])])


def _wait_asked(how: Writing, days: int) -> str:
    return (
        f"all parts in within {number(how, str(days))} {'day' if days == 1 else 'days'} of "
        "ordering; the work comes on top"
    )


def _asked(evaluation: Evaluation, package: Package, how: Writing) -> Section:
    rows = []
    for goal in evaluation.case.job.goals:
        unit = evaluation.definition(goal.figure).unit
        before, after = (
            figure(how, evaluation.figure(goal.figure, choice), unit)
            for choice in (evaluation.fitted, package.choice)
        )
        rows.append((asked(how, goal, unit), before, after))
    job = evaluation.case.job
    if job.ready_within is not None:
        wait, unknown = longest_wait(package.choice, job.vehicles)
        promised = days(how, None if unknown else wait or 0)
        rows.append((_wait_asked(how, job.ready_within), "", promised))
    columns = (
        SheetColumn("Asked", 1),
        SheetColumn("As it stands", 0, True),
        SheetColumn("Promised", 0, True),
    )
    return Section("What was asked for", table=SheetTable(columns, tuple(rows)))


def _parts(evaluation: Evaluation, package: Package, how: Writing) -> Section:
    rows: list[tuple[str | Number, ...]] = []
    for position, option in package.choice.items():
        if option.changed:
            gone = option.key == NOTHING
            title = f"{evaluation.fitted[position].part.title}: removed" if gone else None
            rows.append(
                (
                    position,
                    title or option.part.title,
                    "" if gone else option.key,
                    count(how, option.pieces),
                    money(how, option.price),
                )
            )
    if rows:
        pieces = sum(o.pieces for o in package.choice.values() if o.changed)
        total = money(how, package.price - package.work)
        rows.append(("Sum", "", "", count(how, pieces), total))
    columns = (
        SheetColumn("Position", 0.7),
        SheetColumn("Part", 1.3),
        SheetColumn("Number", 0.9),
        SheetColumn("Pieces", 0, True),
        SheetColumn("Price", 0, True),
    )
    return Section("Parts", table=SheetTable(columns, tuple(rows), last=True))


def _work(evaluation: Evaluation, package: Package, how: Writing) -> list[Section]:
    labour, materials = labour_and_materials(evaluation, package)
    operations = operations_of(evaluation, package.choice)
    work: list[tuple[str | Number, ...]] = [
        (operation.name, count(how, operation.hours), money(how, labour[operation.name]))
        for operation in operations
    ]
    if work:
        hours = round(sum(operation.hours for operation in operations), 6)
        work.append(("Sum", count(how, hours), money(how, sum(labour.values()))))
    used: list[tuple[str | Number, ...]] = [
        (name, count(how, round(amount, 6)), money(how, cost))
        for name, (amount, cost) in sorted(materials.items())
    ]
    if used:
        used.append(("Sum", "", money(how, sum(cost for _, cost in materials.values()))))
    rate = evaluation.case.workshop.rate
    sentences = (f"An hour costs {money(how, rate).text}, tax included.",) if rate and work else ()
    return [
        Section(
            "Work",
            sentences=sentences,
            table=SheetTable(
                (
                    SheetColumn("Operation", 1),
                    SheetColumn("Hours", 0, True),
                    SheetColumn("Price", 0, True),
                ),
                tuple(work),
                last=True,
            ),
        ),
        Section(
            "Consumables, machining and outside work",
            sentences=(AMOUNTS,) if used else (),
            short="Consumables and machining",
            table=SheetTable(
                (
                    SheetColumn("What", 1),
                    SheetColumn("Amount", 0, True),
                    SheetColumn("Price", 0, True),
                ),
                tuple(used),
                last=True,
            ),
        ),
    ]
