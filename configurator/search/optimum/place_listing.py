"""Packages with an option listed in the order of a bound, for several options side by side.

To ask rules of many packages at once takes hardly longer than of one: so a few are drawn for each
option, and the rules are asked of all of them together.
"""

from __future__ import annotations

import itertools
from dataclasses import replace
from typing import TYPE_CHECKING, Protocol

import numpy as np

from configurator.model.jobs import Goal
from configurator.model.parts import Missing
from configurator.search.circuit.semirings import CHEAPEST_64
from configurator.search.optimum import k_best, queries
from configurator.search.optimum.known_prices import together
from configurator.search.optimum.weighing import Packages

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.search.optimum.known_prices import KnownPrices
    from configurator.search.optimum.resource_constraints import LinearLimit
    from configurator.search.optimum.weighing import PricingProblem

    Flags = NDArray[np.bool_]

# Options whose packages are listed side by side: each keeps a pass over the circuit.
ABREAST = 8


class Listed(Protocol):
    """Prices for which packages are listed: see `constrained_prices.Pricing`."""

    problem: PricingProblem
    prices: KnownPrices
    used: list[LinearLimit]

    def kept(self, packages: Packages) -> Flags:
        """Say of each of some packages whether it keeps all that is decided on whole packages."""

    def best_by(self, place: int) -> tuple[int, ...]:
        """Give the multipliers that bound the price of a place best."""

    def listed_by(self, by: Sequence[int]) -> tuple[dict[str, NDArray[np.int64]], int, int]:
        """Give weights of options by which packages are listed, and what their weights mean."""


def list_packages(pricing: Listed, places: Sequence[int], most: int) -> list[int]:
    """List packages for some places until the price of each is known, so many at most for each.

    Returns
    -------
    list
        How many were looked at for each place.
    """
    looked: list[int] = []
    for first in range(0, len(places), ABREAST):
        listings = [_PlaceListing(pricing, p, most) for p in places[first : first + ABREAST]]
        going = [listing for listing in listings if listing.draw()]
        while going:
            every = together([listing.drawn for listing in going])
            kept = np.split(pricing.kept(every), np.cumsum([len(each.bounds) for each in going]))
            for listing, own in zip(going, kept, strict=False):
                listing.note(own)
            going = [listing for listing in going if not listing.done and listing.draw()]
        looked += [listing.looked for listing in listings]
    return looked


class _PlaceListing:
    """Packages listed for a place."""

    def __init__(self, pricing: Listed, place: int, most: int) -> None:
        self._pricing, self._place, self._most = pricing, place, most
        self._by = pricing.best_by(place)
        self._costs, self._scale, self._offset = pricing.listed_by(self._by)
        self.looked, self.done = 0, False
        self.bounds: list[int] = []
        self.drawn: Packages
        self._listing = self._begin()

    def _begin(self) -> Iterator[tuple[int, Mapping[str, int]]]:
        pricing, problem, prices = self._pricing, self._pricing.problem, self._pricing.prices
        question, costs = problem.goals_only, self._costs
        number = int(prices.position[self._place])
        if number >= 0:
            where, option = problem.places[number], int(prices.option[self._place])
            if where not in costs:
                value = queries.goal_values(problem.prepared, where)[option]
                if isinstance(value, str | Missing | frozenset):
                    self.done = True  # no goal asks for that
                    return iter(())
                goal = Goal(where, at_least=float(value), at_most=float(value))
                goals = (*question.job.goals, goal)
                question = question.about(replace(question.job, goals=goals))
            else:
                own = problem.weighed(self._scale, pricing.used, self._by).options[where]
                costs[where] = np.full(len(own), CHEAPEST_64.impossible)
                costs[where][option] = own[option]
        return k_best.numbers_in_order(question, costs, self._scale)

    def draw(self) -> bool:
        """Draw as many as were looked at so far, and one more; False where none is left."""
        if self.done:
            return False
        many = min(self.looked + 1, self._most - self.looked + 1)
        listed = list(itertools.islice(self._listing, many))
        if not listed:  # the one before was the last
            prices, place = self._pricing.prices, self._place
            prices.least[place] = max(int(prices.least[place]), int(prices.known[place]))
            self.done = True
            return False
        self.bounds = [weight + self._offset for weight, _ in listed]
        self.drawn = self._put_together([numbers for _, numbers in listed])
        return True

    def _put_together(self, listed: Sequence[Mapping[str, int]]) -> Packages:
        """Put packages that were listed side by side, with their prices."""
        pricing = self._pricing
        chosen = {
            p: np.array([numbers[p] for numbers in listed], np.intp)
            for p in pricing.problem.positions
        }
        beside = np.zeros(len(listed), np.int64)
        if self._by:
            excess = Packages(chosen, beside).excess(pricing.used)
            beside = np.array(self._by, np.int64) @ excess
        return Packages(chosen, (np.array(self.bounds, np.int64) - beside) // self._scale)

    def note(self, kept: Flags) -> None:
        """Note what was drawn, and which of it keeps everything."""
        prices, place = self._pricing.prices, self._place
        for at, bound in enumerate(self.bounds):
            least = max(int(prices.least[place]), -(-bound // self._scale))
            # What follows is no cheaper than the best that is known: that is the price.
            prices.least[place] = min(least, int(prices.known[place]))
            if self.looked >= self._most or not prices.open_at(place):
                self.done = True
                return
            self.looked += 1
            alone = np.arange(len(self.bounds)) == at
            prices.note(np.full(len(self.bounds), place), self.drawn, kept & alone)
