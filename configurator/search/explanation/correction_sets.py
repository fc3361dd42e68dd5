"""What would have to give, so that every wish is kept in one way out and given up in another.

The cheapest repair alone lets one wish look like the culprit. Here all smallest sets of wishes
whose giving up helps are found, of whatever size, as the smallest sets that meet every conflict;
of them so many are added to the cheapest ones that each wish that stands in the way is given up in
one and kept in another, where that can be.

References
----------
.. [1] B. O'Sullivan, A. Papadopoulos, B. Faltings and P. Pu, *Representative explanations for
   over-constrained problems*, AAAI 2007.
.. [2] R. Reiter, *A theory of diagnosis from first principles*, Artificial Intelligence 32 (1987):
   what helps are the sets that hit every conflict.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from configurator.model.requirements import with_wishes
from configurator.search.explanation import conflicts
from configurator.search.explanation.conflicts import Repair
from configurator.search.explanation.quickxplain import smallest

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from configurator.model.requirements import Wish
    from configurator.search.optimum.preparing import Question

# Sets that are tried before those found must do.
TRIED = 60
# Packages to look at, for each set, before sums over everything are called undecided.
PATIENCE = 500


def representative(
    question: Question,
    insist: Sequence[Wish] = (),
    known: Sequence[Repair] = (),
) -> list[Repair]:
    """Add to repairs until each wish in the way is given up in one and kept in another.

    Parameters
    ----------
    question, insist
        As for `configurator.search.explanation.conflicts.repairs`.
    known
        What that found.

    Returns
    -------
    list of Repair
        The known ones first. A wish that cannot be kept at all is given up in all of them.
    """
    job = question.job
    wishes = conflicts.open_wishes(job, insist)

    helps = [{wish for wish, _ in repair.given_up} for repair in known]

    def holds(these: Iterable[Wish]) -> bool:
        these = list(these)
        if any(given_up.isdisjoint(these) for given_up in helps):
            return True  # as is known
        return conflicts.can_hold(question.about(with_wishes(job, these)), PATIENCE)

    correction_sets = ways_out(wishes, lambda these: holds([*insist, *these]))
    shown = list(known)
    given = [frozenset(wish for wish, _ in repair.given_up) for repair in known]
    for wish in wishes:
        for without in (True, False):
            if any((wish in entry) is without for entry in given):
                continue
            able = sorted(
                (
                    correction_set
                    for correction_set in correction_sets
                    if (wish in correction_set) is without
                ),
                key=len,
            )
            for dropped in able:
                rest = with_wishes(job, [*insist, *(w for w in wishes if w not in dropped)])
                given_up = [w for w in wishes if w in dropped]
                repair = conflicts.repair_by(question.prepared, rest, given_up, PATIENCE)
                if repair is not None:
                    shown.append(repair)
                    given.append(dropped)
                    break
    return shown


def ways_out(members: Sequence[Any], holds: Callable[[list[Any]], bool]) -> list[frozenset[Any]]:
    """Find all smallest sets of members without which the rest can hold.

    Parameters
    ----------
    members
        What may be given up.
    holds
        Whether a list of them can hold together; must be monotone.

    Returns
    -------
    list of frozenset
        The smallest first; empty if nothing helps.

    Examples
    --------
    >>> def holds(these):
    ...     return not ({1, 2} <= set(these) or {2, 3} <= set(these))
    >>> [sorted(one) for one in ways_out([1, 2, 3], holds)]
    [[2], [1, 3]]
    """
    sets: list[frozenset[Any]] = [frozenset()]
    correction_sets: list[frozenset[Any]] = []
    for _ in range(TRIED):
        waiting = [item for item in sets if item not in correction_sets]
        if not waiting:
            break
        dropped = min(waiting, key=lambda item: (len(item), sorted(map(members.index, item))))
        rest = [member for member in members if member not in dropped]
        if holds(rest):
            correction_sets.append(dropped)
            continue
        conflict = smallest([], rest, holds)
        if not conflict:
            return []  # not even without any of them
        sets = _hitting(sets, conflict)
    return sorted(correction_sets, key=len)


def _hitting(sets: Sequence[frozenset[Any]], conflict: Sequence[Any]) -> list[frozenset[Any]]:
    """Make sets that meet all conflicts so far meet one more, as small as can be."""
    wider = {
        members if not members.isdisjoint(conflict) else members | {member}
        for members in sets
        for member in conflict
    }
    return [wider_set for wider_set in wider if not any(other < wider_set for other in wider)]
