"""What is proven of a price, and which grade is asked for, in words."""

from __future__ import annotations

from configurator.core.money import exponent
from configurator.ui.talk.talk_words import money


def money_down(minor: int, currency: str) -> str:
    """Say a price in whole units, never more than it is.

    Examples
    --------
    >>> money_down(1223980, "EUR")
    '€12,239'
    """
    unit = 10 ** exponent(currency)
    return money(minor // unit * unit, currency)


def grade_step(*, sure: bool) -> str:
    """Name the step that asks for another grade of limits on law, plates and clearances.

    Examples
    --------
    >>> grade_step(sure=False)
    'law, plates and clearances as calculated'
    """
    return f"law, plates and clearances {'sure within tolerances' if sure else 'as calculated'}"


def gap_words(least: int, price: int | None, currency: str) -> str:
    """Say what is proven of a price that was not proven to be the cheapest.

    Examples
    --------
    >>> gap_words(1200000, 1250000, "EUR")
    'There may be a cheaper package, by €500 at most: none costs less than €12,000.'
    >>> gap_words(0, 1250000, "EUR"), gap_words(1200000, None, "EUR")
    ('There may be a cheaper package.', 'If there is a package, it costs €12,000 or more.')
    """
    if price is None:
        floor = f"it costs {money_down(least, currency)} or more"
        return f"If there is a package, {floor}." if least else ""
    if not least:
        return "There may be a cheaper package."
    return (
        f"There may be a cheaper package, by {money(price - least, currency)} at most: "
        f"none costs less than {money_down(least, currency)}."
    )
