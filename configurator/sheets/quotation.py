"""The quotation of a package: what it costs and promises, as plain data for every kind of paper.

Prices include tax, as a customer is told them; the tax within is shown by the workshop's rate.
"""

from __future__ import annotations

import datetime
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from babel import Locale, UnknownLocaleError
from babel.dates import format_date
from babel.numbers import format_currency, format_decimal

from configurator.errors import InputError, Problem
from configurator.money import exponent
from configurator.packages import cautions_of, not_checked
from configurator.parts import NOTHING
from configurator.saying.quantities import words
from configurator.saying.records import not_priced
from configurator.saying.sentences import NOTICE, catalog_words, caution_words, goal_words
from configurator.work import operations_of, work_cost

if TYPE_CHECKING:
    from configurator.evaluation import Evaluation
    from configurator.packages import Package
    from configurator.saying.quantities import System

# How long a quotation holds: common practice, no source.
VALID_DAYS = 30
PROMISE = (
    "Promised are the parts and the work listed, at these prices, and the values under 'What was "
    "asked for' within what measuring on a level floor can tell. Not promised are approval by any "
    "authority, and figures that hang on what could not be checked."
)


def locale_of(name: str) -> Locale:
    """Return a locale such as ``en_GB`` or ``de-AT``.

    Raises
    ------
    InputError
        If there is none of that name.
    """
    try:
        return Locale.parse(name.replace("-", "_"))
    except (ValueError, UnknownLocaleError) as problem:
        what = f"there is no locale {name!r}"
        raise InputError([Problem("--locale", what, "write one such as en_GB or de_AT")]) from (
            problem
        )


def tax_within(price: int, share: float) -> int:
    """Return the tax in a price that includes it [minor units].

    Examples
    --------
    >>> tax_within(12000, 0.2)
    2000
    """
    return round(price * share / (1 + share))


def quotation(
    evaluation: Evaluation,
    package: Package,
    *,
    locale: Locale,
    day: datetime.date,
    system: System | None = None,
) -> dict[str, Any]:
    """Return a quotation as data: tables of texts, and the amounts beside them.

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
    """
    case = evaluation.case
    currency = case.job.currency

    def money(minor: int) -> dict[str, str]:
        number = Decimal(minor).scaleb(-exponent(currency))
        return {"amount": str(number), "text": format_currency(number, currency, locale=locale)}

    def date(one: datetime.date) -> str:
        return format_date(one, "long", locale=locale)

    parts = [
        {
            "position": position,
            "number": "" if option.key == NOTHING else option.key,
            "title": "removed" if option.key == NOTHING else option.part.title,
            "pieces": option.pieces,
            "price": money(option.price),
        }
        for position, option in package.choice.items()
        if option.changed
    ]
    work = [
        {
            "name": one.name,
            "hours": format_decimal(one.hours, locale=locale),
            "price": money(work_cost(evaluation, one)),
        }
        for one in operations_of(evaluation, package.choice)
    ]
    asked = []
    for goal in case.job.goals:
        unit = evaluation.definition(goal.figure).unit
        before, after = (
            words(evaluation.figure(goal.figure, choice), unit, system)
            for choice in (evaluation.fitted, package.choice)
        )
        asked.append(
            {"goal": goal_words(evaluation, goal, system), "before": before, "after": after}
        )
    share = case.workshop.tax
    rate = format_decimal(round(share * 100, 4), locale=locale)
    sums = [
        {"name": "Parts", "price": money(package.price - package.work)},
        {"name": "Work and consumables", "price": money(package.work)},
        {"name": "Total, tax included", "price": money(package.price)},
        {"name": f"of which tax ({rate} %)", "price": money(tax_within(package.price, share))},
    ]
    if case.job.vehicles > 1:
        whole = money(package.price * case.job.vehicles)
        sums.append({"name": f"For {case.job.vehicles} identical vehicles", "price": whole})
    return {
        "title": case.job.title,
        "vehicle": case.vehicle.title,
        "workshop": case.workshop.title,
        "date": date(day),
        "valid": date(day + datetime.timedelta(days=VALID_DAYS)),
        "parts": parts,
        "work": work,
        "sums": sums,
        "asked": asked,
        "notes": [
            {"heading": "What is promised and what is not", "items": [PROMISE]},
            {
                "heading": "Cautions",
                "items": [*caution_words(cautions_of(evaluation, package.choice)), NOTICE],
            },
            {
                "heading": "Not checked",
                "items": [str(one) for one in not_checked(evaluation, package.choice)],
            },
            {"heading": "Not priced", "items": not_priced(evaluation, package.choice)},
            {
                "heading": "Where prices are from",
                "items": [catalog_words(c) for c in case.catalogs],
            },
        ],
    }
