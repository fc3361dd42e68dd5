"""Fields for numbers that show a rounded value and write back only what somebody typed."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import streamlit as st

from configurator.core import units
from configurator.wording.quantities import unit_in, with_unit

if TYPE_CHECKING:
    from collections.abc import Callable

    from configurator.wording.quantities import System

DIGITS = 4


def decimals(number: float) -> int:
    """So many decimals that four digits count.

    Examples
    --------
    >>> decimals(1780.0), decimals(70.08), decimals(0.0)
    (0, 2, 1)
    """
    if number == 0 or not math.isfinite(number):
        return 1
    return min(4, max(0, DIGITS - 1 - math.floor(math.log10(abs(number)))))


def fewest(shown: float | None, places: int) -> int:
    """So many decimals, up to ``places``, that no zero trails.

    Examples
    --------
    >>> fewest(255.0, 1), fewest(10.04, 2), fewest(10.5, 2), fewest(None, 2)
    (0, 2, 1, 2)
    """
    if shown is None:
        return places
    return next((n for n in range(places) if round(shown, n) == round(shown, places)), places)


def number(
    label: str,
    value: float | None,
    unit: str,
    system: System | None,
    key: str,
    write: Callable[[float | None], None],
    *,
    about: float | None = None,
    help: str | None = None,
    placeholder: str = "no limit",
) -> None:
    """Show a field for a number in SI.

    Parameters
    ----------
    label
        What it is.
    value
        In SI; None for an empty field.
    unit, system
        Declared unit, and the system to show it in.
    key
        Of the field.
    write
        Called with SI, or None, only where the number in the field was edited.
    about
        A number of the size to be expected [SI]: decides decimals where there is no value.
    help
        Longer words.
    placeholder
        What an empty field means.
    """
    shown_in = unit_in(unit, system)
    number_ = None if value is None else units.from_si(value, shown_in)
    guide = number_ if number_ else (units.from_si(about, shown_in) if about else 0.0)
    places = decimals(guide)
    shown = None if number_ is None else round(number_, places)
    key = f"{key} {shown_in}"

    def edited() -> None:
        typed = st.session_state[key]
        if typed != shown:
            write(None if typed is None else units.to_si(typed, shown_in))

    # The job owns the value: after an undo, or a change of units, the field follows.
    st.session_state[key] = shown
    st.number_input(
        f"{label} [{with_unit('', shown_in).strip()}]" if shown_in else label,
        key=key,
        value=None,
        step=10.0**-places if places < 3 else 10.0 ** (1 - places),
        format=f"%.{fewest(shown, places)}f",
        on_change=edited,
        help=help,
        placeholder=placeholder,
    )


def out_of_bounds(
    value: float | None, unit: str, at_least: float | None, at_most: float | None
) -> str:
    """Say why a number in SI cannot be; empty where it can. Bounds are in the unit.

    Examples
    --------
    >>> out_of_bounds(0.1, "mm", 200.0, None)
    'it must be at least 200 mm'
    >>> out_of_bounds(0.3, "mm", 200.0, None)
    ''
    """
    if value is None:
        return ""
    shown = units.from_si(value, unit)
    if at_least is not None and shown < at_least:
        return f"it must be at least {with_unit(f'{at_least:g}', unit)}"
    if at_most is not None and shown > at_most:
        return f"it must be at most {with_unit(f'{at_most:g}', unit)}"
    return ""
