"""How a sheet writes sentences, numbers, dates and money: by locale, in the customer's units.

Sentences and headings are in the reader's language where it has been translated, otherwise in
English; dates then are English as well, so that a sheet does not mix two languages.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field
from decimal import Decimal
from math import floor, isfinite
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from babel import Locale, UnknownLocaleError
from babel.dates import format_date
from babel.numbers import format_currency, format_decimal

from configurator.core import units
from configurator.core.errors import InputError, Problem
from configurator.core.filled_text import FilledText, ShownQuantity, fill
from configurator.core.money import exponent
from configurator.documents import document_templates as say
from configurator.documents.layout import SETS_AS, Number
from configurator.model.parts import Missing
from configurator.wording.quantities import printed, unit_in, with_unit, words
from configurator.wording.sentences import goal_sentence
from configurator.wording.translation import FOLDER, SOURCE, Translator, translator

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from configurator.evaluation.evaluator import Evaluation
    from configurator.model.jobs import Goal
    from configurator.model.parts import Value
    from configurator.wording.quantities import System

# Where letter paper is used: CLDR, supplemental data on paper sizes (list from memory).
LETTER = frozenset(
    ["BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE"]
)
# Units that are words of a language.
WORDS = frozenset({"rpm"})
# Decimals of imperial units where two values stand side by side.
PLACES = {"in": 2, "ft": 1, "ft/s^2": 1, "mph": 0}
# From which spreadsheets count days, ISO/IEC 29500-1, 18.17.4 (from memory).
DAY_NOUGHT = datetime.date(1899, 12, 30)
# Digits that count in a sentence: what is rounded to the safe side is not rounded once more.
IN_SENTENCES = 6
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
    speech
        Says sentences in the reader's language.
    """

    locale: Locale
    currency: str
    system: System | None = None
    prints_on: str = ""
    speech: Translator = field(default_factory=Translator)

    @property
    def dates(self) -> Locale:
        """In which dates are written: the reader's, where the sentences are in it too."""
        return self.locale if self.speech.spoken else Locale("en", "GB")

    def text(self, message: str) -> str:
        """Return a message in the reader's language, its quantities as the reader writes them."""
        if not isinstance(message, FilledText):
            return self.speech.text(message)
        values = {
            name: _in_sentence(self, value) if isinstance(value, ShownQuantity) else value
            for name, value in message.values.items()
        }
        return fill(self.speech.text(message.template), values)

    def say(self, template: str, **values: object) -> str:
        """Return a sentence in the reader's language, with its named values."""
        return self.speech.say(template, **values)

    def value(self, value: Value | None, unit: str) -> str:
        """Write a value [SI] with its unit."""
        return quantity(self, value, unit)

    def price(self, minor: int) -> str:
        """Write an amount of money [minor units]."""
        return money(self, minor).text

    def day(self, day: str) -> str:
        """Write a day that is given as ``YYYY-MM-DD``; as it is where it is no day."""
        try:
            return date(self, datetime.date.fromisoformat(day))
        except ValueError:
            return day

    @property
    def paper(self) -> str:
        """The workshop's paper, or where it names none, the one of the reader's country."""
        if self.prints_on:
            return SETS_AS[self.prints_on]
        return "us-letter" if self.locale.territory in LETTER else "a4"


def writing_for(
    evaluation: Evaluation,
    locale: Locale,
    system: System | None = None,
) -> Writing:
    """Return how a sheet of a case writes: with the sentences of the reader's language.

    Parameters
    ----------
    evaluation
        The case: its plugins bring translations of what they say.
    locale
        Of the reader.
    system
        Units of the reader; None for those that rules declare.
    """
    folders = (Path(__file__).with_name(FOLDER), *evaluation.trade.translations)
    speech = translator(locale.language or SOURCE, folders)
    case = evaluation.case
    return Writing(locale, case.job.currency, system, case.workshop.paper, speech)


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
    if value is None or isinstance(value, bool | Missing):
        return how.text(words(value, unit, how.system))
    if isinstance(value, str | frozenset):
        return words(value, unit, how.system)
    shown = unit_in(unit, how.system)
    text = printed(units.from_si(float(value), shown), digits)
    return with_unit(number(how, text) if _is_number(text) else text, _unit(how, shown))


def _in_sentence(how: Writing, shown: ShownQuantity) -> str:
    """Write a quantity in a sentence: with all its digits, unless its unit is another here."""
    same = unit_in(shown.unit, how.system) == shown.unit
    return quantity(how, shown.value, shown.unit, IN_SENTENCES if same else 4)


def _unit(how: Writing, unit: str) -> str:
    """Return a unit as the reader writes it: most are the same everywhere."""
    return how.text(unit) if unit in WORDS else unit


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
    return Number(text, Decimal(plain), _form(plain, with_unit("", _unit(how, shown))))


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
        return how.text(say.NOT_KNOWN)
    text = days_words(how, wait)
    return Number(text, Decimal(wait), _form("", text.removeprefix(number(how, str(wait)))))


def days_words(how: Writing, wait: int) -> str:
    """Write a number of days."""
    return how.say(say.DAY if wait == 1 else say.DAYS, days=number(how, str(wait)))


def distance(how: Writing, metres: float) -> Number:
    """Write a distance driven after which something is due: never later than it is given.

    Examples
    --------
    >>> distance(Writing(locale_of("en_GB"), "EUR"), 50e3).text
    '50 km'
    >>> distance(Writing(locale_of("en_US"), "USD", "imperial"), 50e3).text
    '31 mi (50 km)'
    """
    metric = quantity(Writing(how.locale, how.currency), metres, "km")
    if unit_in("km", how.system) == "km":
        return Number(metric, Decimal(printed(metres / 1000.0)), _form("", " km"))
    miles = floor(units.from_si(metres, "mi"))
    text = f"{with_unit(number(how, str(miles)), 'mi')} ({metric})"
    return Number(text, Decimal(miles), _form("", " mi"))


def date(how: Writing, day: datetime.date, length: Literal["long", "medium"] = "long") -> str:
    """Write a date, in full or short enough for a table."""
    return format_date(day, length, locale=how.dates)


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
    return goal_sentence(goal, lambda value: quantity(how, value, unit), how.text)


def before_and_after(
    how: Writing, before: Value | None, after: Value | None, unit: str
) -> tuple[Number | str, Number | str]:
    """Return two values of a row: with as many decimals each, metric behind where it is asked for.

    Examples
    --------
    >>> how = Writing(locale_of("en_US"), "USD", "imperial")
    >>> [cell.text for cell in before_and_after(how, 0.235, 0.3251, "mm")]
    ['9.25 in (235 mm)', '12.80 in (325 mm)']
    """
    cells = [figure(how, value, unit) for value in (before, after)]
    numbers = [cell for cell in cells if isinstance(cell, Number)]
    if how.system != "imperial" or unit_in(unit, how.system) == unit or not numbers:
        return _alike(how, cells, unit)
    shown = unit_in(unit, how.system)
    both: list[Number | str] = []
    for cell, value in zip(cells, (before, after), strict=True):
        if isinstance(cell, Number) and isinstance(value, int | float):
            places = PLACES.get(shown)
            there = units.from_si(float(value), shown)
            inch = str(cell.value) if places is None else f"{there:.{places}f}"
            first = with_unit(number(how, inch), shown)
            metric = quantity(Writing(how.locale, how.currency), round(float(value), 3), unit, 3)
            both.append(Number(f"{first} ({metric})", Decimal(inch), _form(inch, f" {shown}")))
        else:
            both.append(cell)
    return both[0], both[1]


def _alike(
    how: Writing, cells: Sequence[Number | str], unit: str
) -> tuple[Number | str, Number | str]:
    """Give two numbers as many decimals as the finer of them has."""
    numbers = [cell for cell in cells if isinstance(cell, Number)]
    places = max((-int(n.value.normalize().as_tuple().exponent) for n in numbers), default=0)
    places = max(0, places)
    behind = with_unit("", _unit(how, unit_in(unit, how.system)))
    same = [
        Number(
            f"{number(how, f'{cell.value:.{places}f}')}{behind}",
            cell.value,
            _form(f"{cell.value:.{places}f}", behind),
        )
        if isinstance(cell, Number)
        else cell
        for cell in cells
    ]
    return same[0], same[1]
