"""Packages listed in the order of a bound, each given once nothing cheaper can follow."""

from __future__ import annotations

import heapq
from typing import TYPE_CHECKING

from configurator.core.progress import Cancelled
from configurator.evaluation.packages import make_package
from configurator.search.encoding import option_columns
from configurator.search.optimum import k_best
from configurator.search.optimum.branch_and_bound import Halted, Undecided
from configurator.search.optimum.resource_constraints import keeps_late, late_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    import numpy as np
    from numpy.typing import NDArray

    from configurator.evaluation.evaluator import Option
    from configurator.search.optimum.constrained_prices import Pricing
    from configurator.search.optimum.preparing import Question

    InOrder = Iterator[tuple[int, dict[str, Option], bool]]

# How many packages are listed in about the time that it takes to look at a case.
A_CASE = 4


class Listing:
    """Packages listed in the order of a bound, each given once nothing cheaper can follow."""

    def __init__(self, question: Question, patience: int, *, partial: bool) -> None:
        self.question = question
        self.patience, self.partial = patience, partial
        self.late = late_of(question)
        self.costs: Mapping[str, NDArray[np.int64]] | None = None
        self.scale, self.offset = 1, question.model.fixed_cost
        self.given: set[tuple[int, ...]] = set()
        # Found but not yet proven, the cheapest first; the second number keeps ties in order.
        self._waiting: list[tuple[int, int, dict[str, Option]]] = []

    def weigh_by(self, pricing: Pricing) -> None:
        """List in the order of the best bound that a pricing came by."""
        by = pricing.best_by(len(pricing.prices.least) - 1)
        self.costs, self.scale, self.offset = pricing.listed_by(by)

    def note(self, choice: Mapping[str, Option]) -> bool:
        """Note a package that is given otherwise; False if it was given before."""
        numbers = option_columns.numbers_of(self.question.evaluation, choice)
        key = tuple(int(numbers[position][0]) for position in self.question.model.options)
        new = key not in self.given
        self.given.add(key)
        return new

    def put(self, price: int, numbers: Mapping[str, int]) -> None:
        """Note a package that keeps everything, unless it was given or noted before."""
        key = tuple(numbers[p] for p in self.question.model.options)
        if key not in self.given:
            self.given.add(key)
            entry = (price, len(self.given), k_best.chosen(self.question.prepared, numbers))
            heapq.heappush(self._waiting, entry)

    def _look(self, numbers: Mapping[str, int]) -> None:
        choice = k_best.chosen(self.question.prepared, numbers)
        if keeps_late(self.question.evaluation, self.question.job, self.late, choice):
            self.put(make_package(self.question.evaluation, choice).price, numbers)

    def packages(self) -> InOrder:
        """Give price and package, and whether it is proven that none is left out before it.

        Raises
        ------
        Undecided
            After as many packages as patience allows without a proof.
        """
        looked = reached = 0
        proven = False
        stopped: Cancelled | None = None
        try:
            listed = k_best.numbers_in_order(
                self.question,
                self.costs,
                self.scale,
                patience=self.patience // A_CASE,
            )
            for weight, numbers in listed:
                reached = weight + self.offset
                while self._waiting and self._waiting[0][0] * self.scale <= reached:
                    price, _, choice = heapq.heappop(self._waiting)
                    yield price, choice, True
                if looked == self.patience:
                    break
                looked += 1
                self._look(numbers)
            else:
                proven = True
        except (Undecided, Cancelled) as given_up:
            if isinstance(given_up, Cancelled):
                if not self.partial:
                    raise
                stopped = given_up
            if isinstance(given_up, Undecided | Halted):
                reached = max(reached, given_up.least + self.offset)
            packages = given_up.packages if isinstance(given_up, Undecided | Halted) else []
            for _, numbers in packages:
                self._look(numbers)
        while self._waiting:
            price, _, choice = heapq.heappop(self._waiting)
            yield price, choice, proven
        if not proven:
            raise Undecided(looked, least=max(0, -(-reached // self.scale))) from stopped
