"""Why some prices can only be said as *at least*."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.search.optimum import cp_sat

if TYPE_CHECKING:
    from configurator.search.circuit.join import TooWide
    from configurator.search.optimum.preparing import Prepared

# Names that are told of those that are taken apart.
_TOLD = 4


def why_at_least(prepared: Prepared) -> str:
    """Say in a clause what prices of a case that are bounds leave out.

    Returns
    -------
    str
        To follow a colon, without a full stop.
    """
    if prepared.loose is None:
        return "limits on sums over the whole vehicle, such as axle loads, are counted in part"
    names = prepared.loose.names
    more = f" and {len(names) - _TOLD} more" if len(names) > _TOLD else ""
    return (
        "these lists are so long that rules which many parts have a say in are each weighed by "
        f"themselves ({', '.join(names[:_TOLD])}{more}); every part that you choose brings them "
        "closer"
    )


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
    return (
        f"these lists are too long to make every price exact ({refused.rows:,} rows and more); "
        "leave catalogs out of the job, or go on with prices that are at least so much: every "
        "part that you choose brings them closer"
    )


def solver_words(prepared: Prepared) -> str:
    """Say what would prove more where lists are too long and nothing was proven; empty if nothing.

    That is the general solver, where it is not installed.
    """
    if prepared.loose is None or cp_sat.there():
        return ""
    return (
        "These lists are too long to prove it case by case. The solver that comes with "
        "pip install 'fitwright[long-lists]' may; so may fitwright exact-prices."
    )
