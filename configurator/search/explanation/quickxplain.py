"""Smallest sets that cannot hold together: nothing can be left out of them.

References
----------
.. [1] U. Junker, *QuickXplain: preferred explanations and relaxations for over-constrained
   problems*, AAAI 2004.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence


def smallest(
    background: Sequence[Any], members: Sequence[Any], holds: Callable[[list[Any]], bool]
) -> list[Any]:
    """Find a smallest set of members that cannot hold with the background (QuickXplain).

    Parameters
    ----------
    background
        What is not up for discussion.
    members
        In order of preference: the first are kept out of the conflict last.
    holds
        Whether a list of them can hold together; must be monotone. Where it says so without
        knowing, what is found still cannot hold, but something might be left out of it.

    Returns
    -------
    list
        A conflict that is minimal: without any one member, the rest can hold. Empty if the
        background alone cannot; None is never returned.

    Examples
    --------
    >>> smallest([], [1, 2, 3, 4], lambda these: not {2, 4} <= set(these))
    [2, 4]
    """

    def narrow(given: list[Any], added: bool, among: list[Any]) -> list[Any]:
        if added and not holds(given):
            return []
        if len(among) == 1:
            return among
        middle = len(among) // 2
        first, second = among[:middle], among[middle:]
        of_second = narrow(given + first, bool(first), second)
        of_first = narrow(given + of_second, bool(of_second), first)
        return of_first + of_second

    if not holds(list(background)):
        return []
    return narrow(list(background), False, list(members)) if members else []
