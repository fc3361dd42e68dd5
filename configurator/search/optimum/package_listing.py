"""Packages in the order of a bound on their price, for what is decided on whole packages."""

from __future__ import annotations

import heapq
import itertools
import math
from typing import TYPE_CHECKING

import numpy as np

from configurator.core.progress import Cancelled
from configurator.evaluation.packages import make_package
from configurator.search.encoding import option_columns
from configurator.search.optimum import k_best
from configurator.search.optimum.branch_and_bound import Halted, Undecided
from configurator.search.optimum.late_rules import kept_by
from configurator.search.optimum.resource_constraints import late_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.evaluation.evaluator import Option
    from configurator.search.optimum.constrained_prices import Pricing
    from configurator.search.optimum.preparing import Question

    InOrder = Iterator[tuple[int, dict[str, Option], bool]]
    Listed = tuple[int, Mapping[str, int]]

# How many packages are listed in about the time that it takes to look at a case.
A_CASE = 4
# Packages that rules are asked of at once, at most.
AT_ONCE = 1000
# How many times as long a package takes where they are asked of one after the other.
ALONE = 3


class Listing:
    """Packages listed in the order of a bound, each given once nothing cheaper can follow.

    Parameters
    ----------
    question
        The case, and whose goals count; the budget is left aside.
    patience
        How many packages to look at without a proof.
    partial
        Whether a stop ends the patience, so that what was found is given, instead of the search.
    upto
        A price beyond which no package is asked for [minor units].
    """

    def __init__(
        self, question: Question, patience: int, *, partial: bool, upto: float = math.inf
    ) -> None:
        self.upto = upto
        self.question = question
        self.loose = question.prepared.loose is not None  # there each takes a while to list
        self.patience = patience // ALONE if self.loose else patience
        self.partial = partial
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

    def _kept(self, packages: Sequence[Mapping[str, int]]) -> list[bool]:
        """Say of each package whether it keeps everything; hardly slower for many than for one."""
        if not packages:
            return []
        numbers = {
            p: np.array([package[p] for package in packages], np.intp)
            for p in self.question.model.options
        }
        question = self.question
        kept: list[bool] = kept_by(question.evaluation, question.job, self.late, numbers).tolist()
        return kept

    def _put_kept(self, numbers: Mapping[str, int]) -> None:
        choice = k_best.chosen(self.question.prepared, numbers)
        self.put(make_package(self.question.evaluation, choice).price, numbers)

    def packages(self) -> InOrder:
        """Give the packages in order of price.

        Yields
        ------
        tuple
            As `option_prices.in_order`.

        Raises
        ------
        Undecided
            After ``patience`` packages without a proof; what was found has been given by then.
        """
        looked = reached = 0
        proven = False
        listed = k_best.numbers_in_order(
            self.question, self.costs, self.scale, patience=self.patience // A_CASE
        )
        ended: BaseException | None = None
        while ended is None and not proven and looked < self.patience:
            some = min(1 if self.loose else looked + 1, self.patience - looked, AT_ONCE)
            drawn, ended = _drawn(listed, some)
            proven = ended is None and len(drawn) < some
            for (weight, numbers), kept in zip(
                drawn, self._kept([numbers for _, numbers in drawn]), strict=True
            ):
                reached = weight + self.offset
                while self._waiting and self._waiting[0][0] * self.scale <= reached:
                    price, _, choice = heapq.heappop(self._waiting)
                    yield price, choice, True
                if reached > self.upto * self.scale:
                    return
                looked += 1
                if kept:
                    self._put_kept(numbers)
        stopped = ended if isinstance(ended, Cancelled) else None
        if stopped is not None and not self.partial:
            raise stopped
        if isinstance(ended, Undecided | Halted):
            reached = max(reached, ended.least + self.offset)
            beside = [numbers for _, numbers in ended.packages]
            for numbers, kept in zip(beside, self._kept(beside), strict=True):
                if kept:
                    self._put_kept(numbers)
        while self._waiting:
            price, _, choice = heapq.heappop(self._waiting)
            yield price, choice, proven
        if not proven:
            raise Undecided(looked, least=max(0, -(-reached // self.scale))) from stopped


def _drawn(listed: Iterator[Listed], some: int) -> tuple[list[Listed], BaseException | None]:
    """Draw so many packages, or those before the listing gave up and why it did."""
    drawn: list[Listed] = []
    try:
        for package in itertools.islice(listed, some):
            drawn.append(package)
    except (Undecided, Cancelled) as ended:
        return drawn, ended
    return drawn, None
