"""The package that is most like an earlier one: fewest changes first, then the price of each.

A change is a position where the part is another one than before. Every package is weighed by its
price and so much for each change: with nothing for a change the cheapest comes first, with more
than any package costs the one with the fewest; amounts in between find those that some price of a
change makes best (the lower convex hull of changes against price).
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import islice
from typing import TYPE_CHECKING

import numpy as np

from configurator.core.errors import FitwrightError
from configurator.search.optimum import k_best, lexicographic, verification
from configurator.search.optimum.preparing import Question
from configurator.search.optimum.resource_constraints import keeps_late, late_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from configurator.evaluation.packages import Package
    from configurator.search.optimum.preparing import Prepared

# Packages looked at for one weight of a change before it is left open.
PATIENCE = 5000


@dataclass(frozen=True, slots=True)
class LikeBefore:
    """A package beside an earlier one.

    Parameters
    ----------
    package
        What it is now.
    changes
        Position → key before; only where it is another part now.
    proven
        Whether none is better for the price of a change it was found with.
    """

    package: Package
    changes: Mapping[str, str]
    proven: bool


def packages_like(prepared: Prepared, before: Mapping[str, str]) -> list[LikeBefore]:
    """Return packages that meet the job, from the fewest changes to the cheapest.

    Parameters
    ----------
    prepared
        The job, ready for questions; its budget is left aside.
    before
        Position → key of the part in the earlier package, as ``find --json`` gives ``parts``.

    Returns
    -------
    list of LikeBefore
        Each cheaper than the one before it; empty where nothing fits.

    Raises
    ------
    FitwrightError
        If the earlier package has a position that the vehicle does not.
    """
    unknown = sorted(set(before) - set(prepared.evaluation.families))
    if unknown:
        message = f"the earlier package has positions that are not known: {', '.join(unknown)}"
        raise FitwrightError(message)
    search = _Search(lexicographic.settle(Question.of(prepared)), before)
    fewest, cheapest = search.best(search.most), search.best(0)
    if fewest is None or cheapest is None:
        return []
    return search.between(fewest, cheapest)


class _Search:
    def __init__(self, question: Question, before: Mapping[str, str]) -> None:
        self.question, self.before = question, before
        self.late = late_of(question)
        model = question.model
        self.differs: dict[str, NDArray[np.int64]] = {
            position: np.array(
                [position in before and option.key != before[position] for option in options],
                np.int64,
            )
            for position, options in model.options.items()
        }
        work = sum(int(costs.max(initial=0)) for costs in model.work_costs.values())
        # More than any package costs: one change less is worth it whatever it costs.
        self.most = 1 + work + sum(int(costs.max(initial=0)) for costs in model.costs.values())

    def best(self, change: int) -> LikeBefore | None:
        """Return the best package where each change counts so much; None if there is none."""
        costs = {
            position: costs + change * self.differs[position]
            for position, costs in self.question.model.costs.items()
        }
        evaluation = self.question.evaluation
        listed = k_best.numbers_in_order(self.question, costs)
        for _, numbers in islice(listed, PATIENCE):
            choice = k_best.chosen(self.question.prepared, numbers)
            if keeps_late(evaluation, self.question.job, self.late, choice):
                package = verification.confirm(evaluation, self.question.job, choice)
                changes = {
                    position: key
                    for position, key in self.before.items()
                    if choice[position].key != key
                }
                return LikeBefore(package, changes, proven=True)
        return None

    def between(self, fewer: LikeBefore, cheaper: LikeBefore) -> list[LikeBefore]:
        """List what lies between two packages, both included."""
        more = len(cheaper.changes) - len(fewer.changes)
        saved = fewer.package.price - cheaper.package.price
        if more <= 0 or saved <= 0:
            return [fewer]
        middle = self.best(saved // more)
        ends = {len(fewer.changes), len(cheaper.changes)}
        inside = (
            middle is not None
            and len(middle.changes) not in ends
            and cheaper.package.price < middle.package.price < fewer.package.price
        )
        if middle is None or not inside:
            return [fewer, cheaper]
        return [*self.between(fewer, middle)[:-1], *self.between(middle, cheaper)]
