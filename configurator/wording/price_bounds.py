"""Why some prices can only be said as *at least*."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.search.optimum import cp_sat
from configurator.wording import explanation_templates as say

if TYPE_CHECKING:
    from configurator.search.circuit.join import TooWide
    from configurator.search.optimum.preparing import Prepared

# How many of the rules that are taken apart are named.
_NAMED = 4


def why_at_least(prepared: Prepared) -> str:
    """Say in a clause what prices of a case that are bounds leave out.

    Returns
    -------
    str
        To follow a colon, without a full stop.
    """
    if prepared.loose is None:
        return say.SUMS_IN_PART
    names = prepared.loose.names
    more = max(0, len(names) - _NAMED)
    template = say.LONG_LISTS_MORE if more else say.LONG_LISTS
    return template.format(rules=", ".join(names[:_NAMED]), more=more)


def too_long_words(refused: TooWide) -> str:
    """Say that lists are too long to make every price exact, and what to do.

    Fixing parts does not make them joinable, since what is fixed may be freed again; it makes
    bounds closer.

    Examples
    --------
    >>> from configurator.search.circuit.join import TooWide
    >>> too_long_words(TooWide(("tyres",), 120_000_001)).partition(";")[0]
    'these lists are too long to make every price exact (120,000,001 rows and more)'
    """
    return say.TOO_LONG.format(rows=f"{refused.rows:,}")


def solver_words(prepared: Prepared) -> str:
    """Say what would prove more where lists are too long and nothing was proven; empty if nothing.

    That is the general solver, where it was left out when Fitwright was installed.
    """
    if prepared.loose is None or cp_sat.there():
        return ""
    return (
        "These lists are too long to prove it case by case. The solver OR-Tools may, which is "
        "missing here (pip install ortools); so may fitwright exact-prices."
    )
