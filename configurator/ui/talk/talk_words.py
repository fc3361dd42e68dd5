"""The sentences of the talk: every template that its data carries to the page.

Labels that never change (headings, names of buttons) stand in the scripts that draw them.
"""

from __future__ import annotations

from functools import lru_cache
from math import ceil, floor
from typing import TYPE_CHECKING

from babel.numbers import get_currency_symbol

from configurator.core import units
from configurator.core.money import amount, exponent
from configurator.model.parts import NOTHING
from configurator.model.sure_goals import shown_name
from configurator.wording.quantities import counted, grouped, printed, unit_in, with_unit, words
from configurator.wording.sentences import begun, part_words

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from configurator.evaluation.effects import Effect
    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.model.jobs import Goal
    from configurator.model.parts import Value
    from configurator.model.requirements import Wish
    from configurator.wording.quantities import System

LOCALE = "en_GB"
MOST_NAMED = 3


@lru_cache(maxsize=64)
def symbol(currency: str) -> str:
    """Return the sign of a currency as it stands before an amount.

    Examples
    --------
    >>> symbol("EUR"), symbol("CHF")
    ('€', 'CHF ')
    """
    sign = str(get_currency_symbol(currency, LOCALE))
    return f"{sign} " if sign[-1:].isalpha() else sign


def money(minor: int, currency: str) -> str:
    """Say a price in whole units, never less than it is.

    Examples
    --------
    >>> money(1223920, "EUR"), money(1200, "JPY")
    ('€12,240', 'JP¥1,200')
    """
    whole = ceil(minor / 10 ** exponent(currency))
    return f"{'−' if minor < 0 else ''}{symbol(currency)}{abs(whole):,}"


def exact_money(minor: int, currency: str) -> str:
    """Say an amount to the cent, for lines that add up.

    Examples
    --------
    >>> exact_money(1223920, "EUR")
    '€12,239.20'
    """
    text = amount(abs(minor), currency)
    return f"{'−' if minor < 0 else ''}{symbol(currency)}{grouped(text)}"


def more_or_less(price: int, before: int, currency: str) -> str:
    """Say by how much a price differs from another, with its sign: what those shown differ by.

    Examples
    --------
    >>> more_or_less(590914, 579114, "EUR"), more_or_less(579114, 590914, "EUR")
    ('+€118', '−€118')
    >>> more_or_less(8640, 8610, "EUR"), more_or_less(8600, 8600, "EUR")
    ('+€0.30', 'same price')
    """
    if price == before:
        return "same price"
    sign, unit = "+" if price > before else "−", 10 ** exponent(currency)
    whole = abs(ceil(price / unit) - ceil(before / unit))
    if whole:
        return f"{sign}{symbol(currency)}{whole:,}"
    return f"{sign}{exact_money(abs(price - before), currency)}"


def value(number: Value | None, unit: str, system: System | None = None) -> str:
    """Say a value of a figure, grouped.

    Examples
    --------
    >>> value(1.78, "mm"), value(True, "")
    ('1,780 mm', 'yes')
    """
    return words(number, unit, system, grouped)


def weighed(number: Value | None, unit: str, system: System | None = None) -> str:
    """Say a value; what may still be loaded in whole units, never more than it is.

    Examples
    --------
    >>> weighed(701.5, "kg"), weighed(1.68, "mm")
    ('701 kg', '1,680 mm')
    """
    if unit == "kg" and isinstance(number, float):
        shown = unit_in(unit, system)
        return with_unit(grouped(str(floor(units.from_si(number, shown)))), shown)
    return value(number, unit, system)


def bare(number: float, unit: str, system: System | None = None) -> str:
    """Say a number in the unit shown, for a field: no unit, no grouping.

    Examples
    --------
    >>> bare(1.78, "mm"), bare(0.3, "mm", "imperial")
    ('1780', '11.81')
    """
    return printed(units.from_si(number, unit_in(unit, system)))


def unit_words(unit: str, system: System | None = None) -> str:
    """Say the unit in which something is shown.

    Examples
    --------
    >>> unit_words("deg"), unit_words("mm", "imperial"), unit_words("")
    ('°', 'in', '')
    """
    return with_unit("", unit_in(unit, system)).strip()


def moved(before: float, after: float, unit: str, system: System | None = None) -> str:
    """Say a difference with its sign; empty where nothing is to be seen of it.

    Examples
    --------
    >>> moved(0.505, 0.6, "mm"), moved(50.0, 45.5, ""), moved(1.0, 1.0, "mm")
    ('+95 mm', '−4.5', '')
    """
    shown = unit_in(unit, system)
    difference = units.from_si(after, shown) - units.from_si(before, shown)
    text = printed(abs(difference), 3)
    if text == "0":
        return ""
    return f"{'+' if difference > 0 else '−'}{with_unit(grouped(text), shown)}"


def effect(effect_on: Effect, unit: str, system: System | None = None) -> str:
    """Say what a part does by itself: *clearance under front axle +11 mm*."""
    return f"{effect_on.figure} {moved(effect_on.before, effect_on.after, unit, system) or '±0'}"


def option_title(option: Option) -> str:
    """Say what stands at a position, without its number."""
    if option.key == NOTHING:
        return "not fitted"
    return option.part.title


def pairs(positions: Iterable[str]) -> list[str]:
    """Say positions, front and rear of the same kind at once.

    Examples
    --------
    >>> pairs(["wheels", "front half-shafts", "rear half-shafts", "rear gears"])
    ['wheels', 'front and rear half-shafts', 'rear gears']
    """
    names = list(positions)
    sentences: list[str] = []
    for name in names:
        axle, _, kind = name.partition(" ")
        if axle == "front" and f"rear {kind}" in names:
            sentences.append(f"front and rear {kind}")
        elif not (axle == "rear" and f"front {kind}" in names):
            sentences.append(name)
    return sentences


def enumerated(names: Sequence[str], most: int = MOST_NAMED) -> str:
    """Say a few names, and how many more there are.

    Examples
    --------
    >>> enumerated(["wheels"]), enumerated(["a", "b"]), enumerated(list("abcde"), 2)
    ('wheels', 'a and b', 'a, b and 3 more')
    """
    shown, more = list(names[:most]), len(names) - most
    if more > 0:
        return f"{', '.join(shown)} and {more} more"
    return " and ".join([", ".join(shown[:-1]), shown[-1]] if len(shown) > 1 else shown)


def changed_since(positions: Sequence[str]) -> str:
    """Say what parts the last step changed.

    Examples
    --------
    >>> changed_since(["wheels", "front half-shafts", "rear half-shafts"])
    'since the last step: wheels and front and rear half-shafts changed'
    >>> changed_since([])
    'and the same parts since the last step'
    """
    named = pairs(positions)
    parts = f"{enumerated(named)} changed" if named else "the same parts"
    return f"since the last step: {parts}" if named else f"and {parts} since the last step"


def goal_title(figure: str) -> str:
    """Begin a figure's name with a capital."""
    return begun(figure)


def asked_words(goal: Goal, unit: str, system: System | None) -> str:
    """Say what a goal asks, without the figure: *at least 300 mm*."""
    sentences = []
    if goal.at_least is not None:
        sentences.append(f"at least {value(goal.at_least, unit, system)}")
    if goal.at_most is not None:
        sentences.append(f"at most {value(goal.at_most, unit, system)}")
    if goal.as_possible is not None:
        sentences.append(f"as {goal.as_possible} as possible")
    return " and ".join(sentences)


def spare(goal: Goal, has: float, unit: str, system: System | None) -> str:
    """Say by how much a goal is met or missed."""
    gaps = []
    if goal.at_least is not None:
        gaps.append(has - goal.at_least)
    if goal.at_most is not None:
        gaps.append(goal.at_most - has)
    if not gaps:
        return ""
    least = min(gaps)
    by = moved(0.0, abs(least), _difference_unit(unit), system).lstrip("+")
    if least < 0:
        return f"missed by {by}" if by else "missed"
    return f"met, {by} to spare" if by else "just met"


def _difference_unit(unit: str) -> str:
    """Return the unit in which a difference is said; of a temperature it has no zero point."""
    return {"degC": "kelvin"}.get(unit, unit)


# Whether a job asks for it → what can be worked out of it.
CERTAINTY_OF = {
    True: "Asked for, and in the price: law, plates and clearances within usual tolerances, or no "
    "worse than before. What that adds, and what it would cost to be sure of each goal:",
    False: "What it would cost that law, plates and clearances hold within usual tolerances, and "
    "each goal:",
}
WHAT_CERTAINTY_COSTS = "Working out what certainty costs"


def within_words(within: str, source: str = "") -> str:
    """Say how far a value may be off, and which source of that counts most.

    Examples
    --------
    >>> within_words("16 mm"), within_words("16 mm", "tyres: overall diameter ±1 %")
    ('Within ±16 mm.', 'Within ±16 mm, mostly from tyres: overall diameter ±1 %.')
    """
    return f"Within ±{within}, mostly from {source}." if source else f"Within ±{within}."


def surely(value: str) -> str:
    """Say that a value holds within tolerances.

    Examples
    --------
    >>> surely("270 mm")
    '270 mm within tolerances'
    """
    return f"{value} within tolerances"


def has_words(now: str, package: str) -> str:
    """Say what there is and what the package has.

    Examples
    --------
    >>> has_words("235 mm", "325 mm"), has_words("235 mm", "")
    ('Now 235 mm. This package 325 mm.', 'Now 235 mm.')
    """
    return f"Now {now}. This package {package}." if package else f"Now {now}."


def at_least(price: str) -> str:
    """Say a price that is not known exactly."""
    return f"at least {price}"


def reach(farthest: str, price: str, *, better: str | None, alone: bool, sure: bool = True) -> str:
    """Say how far one could go, and from which price; of what is not ``sure``, that it may be.

    Examples
    --------
    >>> reach("445 mm", "€25,300", better="high", alone=False)
    'Up to 445 mm is possible, from €25,300.'
    >>> reach("445 mm", at_least("€25,300"), better="high", alone=False, sure=False)
    'Up to 445 mm may be possible, from at least €25,300.'
    """
    possible = "is possible" if sure else "may be possible"
    if alone:
        return f"With the other goals only {farthest} {possible}, from {price}."
    how = "Down to" if better == "low" else "Up to"
    return f"{how} {farthest} {possible}, from {price}."


def repair(
    evaluation: Evaluation, wish: Wish, nearest: float | None, system: System | None, price: str
) -> str:
    """Say what to change so that the rest works, as one would ask for it."""
    if wish.kind == "budget":
        return f"Raise the budget to {price}" if nearest is not None else "Leave the budget open"
    if wish.kind == "parts within":
        if nearest is None:
            return "Leave the delivery time open"
        return f"Wait {counted(round(nearest), 'day')} for the parts"
    if wish.kind in {"at least", "at most"}:
        if nearest is None:
            return f"Remove the goal on {shown_name(wish.subject)}"
        unit = evaluation.definition(wish.subject).unit
        return f"Settle for {value(nearest, unit, system)} {shown_name(wish.subject)}"
    if wish.kind == "fixed":
        return f"Choose another part for {wish.subject}"
    if wish.kind == "keep":
        return f"Let the {wish.subject} be changed"
    return f"Allow {part_title(evaluation, wish.subject)} again"


def part_title(evaluation: Evaluation, key: str) -> str:
    """Return the title of a part by its key."""
    for parts in evaluation.case.parts.values():
        for part in parts:
            if part.key == key:
                return part.title
    return key


def chosen_words(evaluation: Evaluation, position: str, key: str) -> str:
    """Say which part is chosen at a position, for an undo: *tyres: Moorlark Fellside*."""
    title = part_words(evaluation, position, key)
    return f"{position}: {title.rpartition(' (')[0] or title}"


def days_words(days: int | None, unknown: int) -> str:
    """Say how long one waits for the parts.

    Examples
    --------
    >>> days_words(21, 0), days_words(0, 0), days_words(None, 0), days_words(None, 2)
    ('parts in 21 days', 'parts in stock', 'no parts to wait for', 'delivery time not known')
    """
    if days is None:
        return "delivery time not known" if unknown else "no parts to wait for"
    wanted = "parts in stock" if days == 0 else f"parts in {counted(days, 'day')}"
    return f"{wanted} or more" if unknown else wanted


def days_brief(days: int | None, unknown: int) -> str:
    """Say the same where there is room for a word or two.

    Examples
    --------
    >>> days_brief(21, 0), days_brief(21, 1), days_brief(0, 0), days_brief(None, 0)
    ('21 days', '21 days or more', 'in stock', '')
    """
    if days is None:
        return "days not known" if unknown else ""
    wanted = "in stock" if days == 0 else counted(days, "day")
    return f"{wanted} or more" if unknown else wanted


def bare_money(minor: int, currency: str) -> str:
    """Say an amount for a field: no sign, no cents where there are none.

    Examples
    --------
    >>> bare_money(1850000, "EUR"), bare_money(1850050, "EUR")
    ('18,500', '18,500.50')
    """
    text = grouped(amount(minor, currency))
    whole, _, cents = text.partition(".")
    return whole if not cents.strip("0") else text
