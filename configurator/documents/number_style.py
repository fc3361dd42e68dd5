"""How a sheet writes numbers, dates and money: by locale, in the customer's units.

Headings and sentences are English whatever the locale: catalogs and rules are written in one
language, and half a translation would read worse than none.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from decimal import Decimal
from math import isfinite
from typing import TYPE_CHECKING, Literal

from babel import Locale, UnknownLocaleError
from babel.dates import format_date
from babel.numbers import format_currency, format_decimal

from configurator.core import units
from configurator.core.errors import InputError, Problem
from configurator.core.money import exponent
from configurator.documents.layout import SETS_AS, Number
from configurator.model.parts import Missing
from configurator.wording.quantities import printed, unit_in, with_unit, words

if TYPE_CHECKING:
    from collections.abc import Callable

    from configurator.model.jobs import Goal
    from configurator.model.parts import Value
    from configurator.wording.quantities import System

# Where letter paper is used: CLDR, supplemental data on paper sizes (list from memory).
LETTER = frozenset(
    ["BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE"]
)
# From which spreadsheets count days, ISO/IEC 29500-1, 18.17.4 (from memory).
DAY_NOUGHT = datetime.date(1899, 12, 30)
EXACT = 12  # digits that show a decimal fraction as it was written


def locale_of(name: str) -> Locale:
    """Return a locale such as ``en_GB`` or ``de-AT``.

    Raises
    ------
    InputError
        If there is none of that name.
    """
    try:
        return Locale.parse(name.replace("-", "_"))
    except (ValueError, TypeError, UnknownLocaleError) as problem:
        what = f"there is no locale {name!r}"
        raise InputError([Problem("--locale", what, "write one such as en_GB or de_AT")]) from (
            problem
        )


@dataclass(frozen=True, slots=True)
class Writing:
    """How a sheet writes.

    Parameters
    ----------
    locale
        Of the reader.
    currency
        Of the job.
    system
        Units of the customer; None for those that rules declare.
    prints_on
        What the workshop prints on, as its settings say; empty for what the reader's country uses.
    """

    locale: Locale
    currency: str
    system: System | None = None
    prints_on: str = ""

    @property
    def paper(self) -> str:
        """The workshop's paper, or where it names none, the one of the reader's country."""
        if self.prints_on:
            return SETS_AS[self.prints_on]
        return "us-letter" if self.locale.territory in LETTER else "a4"


def number(how: Writing, text: str) -> str:
    """Write a decimal number as the locale does, with the digits it has.

    Examples
    --------
    >>> how = Writing(locale_of("de_DE"), "EUR")
    >>> number(how, "1780"), number(how, "2.50")
    ('1.780', '2,50')
    """
    places = len(text.partition(".")[2])
    form = "#,##0" + (f".{'0' * places}" if places else "")
    return format_decimal(Decimal(text), format=form, locale=how.locale)


def numbers_of(locale: Locale) -> Callable[[str], str]:
    """Return what writes decimal numbers as the locale does, for drawings on a sheet.

    Examples
    --------
    >>> write = numbers_of(locale_of("de_DE"))
    >>> write("1780.5"), write("no limit")
    ('1.780,5', 'no limit')
    """
    how = Writing(locale, "")
    return lambda text: number(how, text) if _is_number(text) else text


def _is_number(text: str) -> bool:
    return text.lstrip("-").replace(".", "", 1).isdigit()


def quantity(how: Writing, value: Value | None, unit: str, digits: int = 4) -> str:
    """Write a value with its unit.

    Parameters
    ----------
    how
        Locale and units.
    value
        In SI.
    unit
        In which its rule declares it.
    digits
        That count.

    Examples
    --------
    >>> quantity(Writing(locale_of("de_DE"), "EUR"), 1.78, "mm")
    '1.780 mm'
    >>> quantity(Writing(locale_of("en_US"), "USD", "imperial"), 1.78, "mm")
    '70.08 in'
    """
    if value is None or isinstance(value, bool | str | frozenset | Missing):
        return words(value, unit, how.system)
    shown = unit_in(unit, how.system)
    text = printed(units.from_si(float(value), shown), digits)
    return with_unit(number(how, text) if _is_number(text) else text, shown)


def figure(how: Writing, value: Value | None, unit: str) -> Number | str:
    """Return a value as a cell: a number to reckon with, or why there is none.

    A spreadsheet reckons with what is printed: that is what is promised.

    Examples
    --------
    >>> cell = figure(Writing(locale_of("de_DE"), "EUR"), 2.60512, "kg")
    >>> cell.text, cell.value, cell.form
    ('2,605 kg', Decimal('2.605'), '#,##0.000" kg"')
    """
    text = quantity(how, value, unit)
    if not isinstance(value, int | float) or isinstance(value, bool) or not isfinite(value):
        return text
    shown = unit_in(unit, how.system)
    plain = printed(units.from_si(float(value), shown))
    # What `with_unit` puts behind a number: a space and the unit, or the sign of degrees alone.
    return Number(text, Decimal(plain), _form(plain, with_unit("", shown)))


def _form(plain: str, behind: str = "") -> str:
    """Format of a spreadsheet's cell: as many places as are printed, and what stands behind."""
    places = len(plain.partition(".")[2])
    quoted = behind.replace('"', "''")
    return "#,##0" + (f".{'0' * places}" if places else "") + (f'"{quoted}"' if quoted else "")


def money(how: Writing, minor: int) -> Number:
    """Write an amount of money [minor units].

    Examples
    --------
    >>> cell = money(Writing(locale_of("en_GB"), "EUR"), 123450)
    >>> cell.text, cell.form
    ('€1,234.50', '#,##0.00" EUR"')
    """
    places = exponent(how.currency)
    value = Decimal(minor).scaleb(-places)
    text = format_currency(value, how.currency, locale=how.locale)
    return Number(text, value, _form(f"{value:f}", f" {how.currency}"))


def count(how: Writing, value: float) -> Number:
    """Write a count, hours or an amount as it stands."""
    text = printed(value, EXACT)
    return Number(number(how, text), Decimal(text), _form(text))


def days(how: Writing, wait: int | None) -> Number | str:
    """Write a wait, or that nobody knows it.

    Examples
    --------
    >>> how = Writing(locale_of("en_GB"), "EUR")
    >>> days(how, 1).text, days(how, 21).text, days(how, None)
    ('1 day', '21 days', 'not known')
    """
    if wait is None:
        return "not known"
    behind = " day" if wait == 1 else " days"
    return Number(number(how, str(wait)) + behind, Decimal(wait), _form("", behind))


def date(how: Writing, day: datetime.date, length: Literal["long", "medium"] = "long") -> str:
    """Write a date, in full or short enough for a table."""
    return format_date(day, length, locale=how.locale)


def day_cell(how: Writing, day: datetime.date, behind: str = "") -> Number:
    """Write a date for a table, with which a spreadsheet can reckon.

    Examples
    --------
    >>> cell = day_cell(Writing(locale_of("de_DE"), "EUR"), datetime.date(2026, 12, 1), " (late)")
    >>> cell.text, cell.value, cell.form
    ('01.12.2026 (late)', Decimal('46357'), 'yyyy-mm-dd" (late)"')
    """
    form = "yyyy-mm-dd" + (f'"{behind}"' if behind else "")
    return Number(date(how, day, "medium") + behind, Decimal((day - DAY_NOUGHT).days), form)


def asked(how: Writing, goal: Goal, unit: str) -> str:
    """Say what is asked of a figure: *front track at most 1,780 mm*."""
    sentences = []
    if goal.at_least is not None and goal.at_least == goal.at_most:
        sentences.append(f"exactly {quantity(how, goal.at_least, unit)}")
    else:
        if goal.at_least is not None:
            sentences.append(f"at least {quantity(how, goal.at_least, unit)}")
        if goal.at_most is not None:
            sentences.append(f"at most {quantity(how, goal.at_most, unit)}")
    if goal.as_possible is not None:
        sentences.append(f"as {goal.as_possible} as possible")
    return f"{goal.figure} {' and '.join(sentences)}"
