"""What is known of the prices of options while they are made exact: between two bounds."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from configurator.search.optimum.label_pricing import Asked
from configurator.search.optimum.weighing import Packages

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.search.optimum.weighing import PricingProblem

    Rows = NDArray[np.intp]
    Flags = NDArray[np.bool_]


# A price at which any package is cheap enough.
ANY = 2**62


class KnownPrices:
    """Options asked about, one after the other, and what is known of the price of each.

    Parameters
    ----------
    problem
        The problem.
    options
        Position → numbers of the options asked about.
    root
        Whether the cheapest package of all is asked for; its place has no option and stands last.
    enough
        A package at this price or less is all that is asked for, at `ANY` price if need be; None
        where the cheapest is.

    Attributes
    ----------
    least
        No package costs less; `WEIGHTS.impossible` where there is none.
    known
        What the cheapest package found so far costs; ``dearest`` where none was found.
    numbers
        Its options, by position: -1 where none was found.
    """

    def __init__(
        self,
        problem: PricingProblem,
        options: Mapping[str, Rows],
        root: bool,
        enough: int | None = None,
    ) -> None:
        self.problem = problem
        self.position = np.repeat(
            np.arange(len(problem.places)),
            [len(options.get(p, ())) for p in problem.places],
        )
        own = [options[p] for p in problem.places if p in options]
        self.option = np.concatenate(own) if own else np.zeros(0, np.intp)
        if root:
            self.position = np.append(self.position, -1)
            self.option = np.append(self.option, -1)
        many = len(self.position)
        prepared = problem.prepared
        self.dearest = prepared.model.fixed_cost + 1
        self.dearest += sum(int(seat.costs.max(initial=0)) for seat in prepared.seats.values())
        self.dearest += sum(int(c.max(initial=0)) for c in prepared.model.work_costs.values())
        self.enough = None if enough is None else min(enough, self.dearest - 1)
        self.least = np.zeros(many, np.int64)
        self.known = np.full(many, self.dearest, np.int64)
        self.numbers = np.full((len(problem.positions), many), -1, np.intp)

    @property
    def open(self) -> Flags:
        """Which prices are not proven yet, or not known to be low enough or not."""
        proven = self.least >= self.known
        if self.enough is not None:
            proven |= (self.known <= self.enough) | (self.least > self.enough)
        return ~proven

    @property
    def impossible(self) -> Flags:
        """Which have no package, as is proven."""
        return (self.least >= self.dearest) & (self.known >= self.dearest)

    @property
    def refused(self) -> Flags:
        """Which have no package, or none at the price that is enough, as is proven."""
        return self.impossible if self.enough is None else self.least > self.enough

    def open_at(self, place: int) -> bool:
        """Whether one price is open still."""
        least, known, enough = int(self.least[place]), int(self.known[place]), self.enough
        return least < known and (enough is None or least <= enough < known)

    @property
    def looked_below(self) -> NDArray[np.int64]:
        """For each the price from which on no package is of use."""
        return self.known if self.enough is None else np.minimum(self.known, self.enough + 1)

    def asked(self, which: Flags, dear: NDArray[np.int64] | None = None) -> Asked:
        """Name some of them for labels, with the price from which on no package is of use."""
        options, known = {}, {}
        dear = self.looked_below if dear is None else dear
        for number, position in enumerate(self.problem.places):
            here = np.flatnonzero(which & (self.position == number))
            if len(here):
                options[position], known[position] = self.option[here], dear[here]
        last = len(which) - 1
        root = bool(last >= 0 and self.position[last] < 0 and which[last])
        return Asked(options, known, int(dear[last]) if root else None)

    def places(self, position: str, options: Rows) -> Rows:
        """Give the places of some options of a position."""
        here = np.flatnonzero(self.position == self.problem.places.index(position))
        place = np.full(len(self.problem.seats[position].row_of), -1, np.intp)
        place[self.option[here]] = here
        return np.asarray(place[options])

    def note(self, places: Rows, packages: Packages, kept: Flags) -> None:
        """Note packages that keep everything, where they are cheaper than what is known."""
        for at in np.flatnonzero(kept).tolist():
            place, price = int(places[at]), int(packages.prices[at])
            if price < self.known[place]:
                self.known[place] = price
                self.numbers[:, place] = [each[at] for each in packages.numbers.values()]


def together(parts: Sequence[Packages]) -> Packages:
    """Put lists of packages one after the other."""
    if len(parts) == 1:
        return parts[0]
    return Packages(
        {p: np.concatenate([part.numbers[p] for part in parts]) for p in parts[0].numbers},
        np.concatenate([part.prices for part in parts]),
    )
