"""Why some prices can only be said as *at least*."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from configurator.search.preparing import Prepared

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
        f"themselves ({', '.join(names[:_TOLD])}{more}); every part that you fix makes them closer"
    )
