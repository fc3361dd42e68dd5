"""Every option's exact price where sums over everything have limits, and the cheapest package.

The cheapest package with each option is known from the passes in prices. Where it keeps all that
is decided on whole packages, the price is exact. Where it exceeds a limit on a sum, labels give the
cheapest package that does not (`label_pricing`). Where it only breaks a rule on several sums,
packages with the option are listed in the order of a bound until one keeps it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from configurator.search.circuit.labels import TooManyLabels
from configurator.search.circuit.semirings import CHEAPEST_64
from configurator.search.optimum.known_prices import KnownPrices, together
from configurator.search.optimum.label_pricing import (
    BEAMS,
    Asked,
    CutProblem,
    LabelPass,
    cut_out,
)
from configurator.search.optimum.late_rules import kept_by
from configurator.search.optimum.multipliers import CuttingPlanes
from configurator.search.optimum.place_listing import list_packages
from configurator.search.optimum.resource_constraints import late_of, limits_for_prices
from configurator.search.optimum.weighing import PARTS, WEIGHTS, Packages, PricingProblem

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.search.optimum.resource_constraints import Late, LinearLimit

    Amounts = NDArray[np.int64]
    Rows = NDArray[np.intp]
    Flags = NDArray[np.bool_]

# Packages with an option of which none is known that are looked at before labels are made.
TRIED = 30
# Packages that are looked at in all for what rules on several sums leave open.
LISTED = 400


class Pricing:
    """Prices of options of a problem, made exact, or as far as is asked.

    Parameters
    ----------
    problem, enough
        As for `KnownPrices`.
    options
        Position → numbers of options that are in some package as far as the circuit tells. What
        the job decided at an option's own position is left aside.
    root
        Whether the cheapest package of all is asked for.
    listed
        How many packages are looked at in all for what rules on several sums leave open.
    late, around
        What is decided on whole packages, if it is known; and limits that count beside.

    Attributes
    ----------
    beams, bounds, passes
        By how many labels of a row good packages are looked for first; how many multipliers cut
        out what does not matter; and how many are looked for at most. None for all.
    """

    beams: Sequence[int | None] = BEAMS
    bounds: int | None = None
    passes: int | None = None

    def __init__(
        self,
        problem: PricingProblem,
        options: Mapping[str, Rows],
        *,
        root: bool = False,
        listed: int = LISTED,
        enough: int | None = None,
        late: Late | None = None,
        around: Sequence[LinearLimit] = (),
    ) -> None:
        self.problem = problem
        self.late = late_of(problem.question) if late is None else late
        self.limits = [*limits_for_prices(self.late), *around]
        self.prices = KnownPrices(problem, options, root, enough)
        self._asked = list(options)
        self.candidates: Packages | None = None
        self.listed = listed
        self.labelled = True  # whether labels are made, or multipliers looked for only
        self.used: list[LinearLimit] = []
        self.multipliers: list[tuple[int, ...]] = []
        self._planes = CuttingPlanes(0, 0, 0.0)
        # What each would cost if no sum were limited; its highest bound, and what that is by.
        self._cheapest = self.prices.least
        self._bounded: tuple[Amounts, dict[int, tuple[int, ...]]] = (np.zeros(0, np.int64), {})

    def work_out(self, *, listing: bool = True) -> KnownPrices:
        """Price all that is asked about, each as exactly as can be.

        Parameters
        ----------
        listing
            Whether packages are listed for what limits on sums do not decide.
        """
        prices = self.prices
        candidates = self.candidates = self.look()
        if candidates is None:
            prices.least[:] = prices.dearest
            return prices
        waiting = prices.open
        while waiting.any():
            exceeded = self._exceeded(candidates, waiting)
            fresh = [limit for limit in exceeded if not any(limit is u for u in self.used)]
            if not fresh:
                break
            self.used.extend(fresh)
            try:
                candidates, waiting = self._by_labels(waiting)
            except TooManyLabels:
                break
            self.candidates = candidates
        if listing:
            self.by_listing(prices.open)
        return prices

    def kept(self, packages: Packages) -> Flags:
        """Say of each of some packages whether it keeps all that is decided on whole packages."""
        problem = self.problem
        evaluation, job = problem.prepared.evaluation, problem.question.job
        return kept_by(evaluation, job, self.late, packages.numbers)

    def look(self) -> Packages | None:
        """Take the cheapest package with each option, of equally cheap ones the lightest."""
        problem, prices = self.problem, self.prices
        # A sum counts for so little that all together make no difference to a price.
        spread = 1
        ones = []
        for limit in self.limits:
            usual = all(int(np.abs(each).max(initial=0)) < 10**8 for each in limit.shares.values())
            ones.append(int(usual))
            if usual:
                spread += sum(int(np.ptp(each)) for each in limit.shares.values() if len(each))
        weights = problem.weighed(spread, self.limits, ones)
        passed = problem.passed(weights, self._asked)
        if passed is None or not len(prices.least):
            return None
        least = np.full(len(prices.least), WEIGHTS.impossible, np.int64)
        for number, position in enumerate(problem.places):
            here = prices.position == number
            if here.any():
                least[here] = passed.least(position)[prices.option[here]]
        if prices.position[-1] < 0:
            least[-1] = passed.least_of_all()
        possible = least < WEIGHTS.impossible
        prices.least[~possible] = prices.dearest
        if not possible.any():
            return None
        packages = self._packages_of(passed, possible, self.limits, ones)
        places = np.flatnonzero(possible)
        prices.least[places] = packages.prices
        self._cheapest = prices.least.copy()
        prices.note(places, packages, self.kept(packages))
        return self._spread_out(places, packages)

    def _packages_of(
        self, passed: object, which: Flags, limits: Sequence[LinearLimit], by: Sequence[int]
    ) -> Packages:
        """Give the lightest package of each of some places, in order."""
        prices = self.prices
        asked = {}
        for number, position in enumerate(self.problem.places):
            here = which & (prices.position == number)
            if here.any():
                asked[position] = prices.option[here]
        parts = [passed.packages(asked, limits, by)] if asked else []  # type: ignore[attr-defined]
        if prices.position[-1] < 0 and which[-1]:
            parts.append(passed.packages({}, limits, by))  # type: ignore[attr-defined]
        return together(parts)

    def _spread_out(self, places: Rows, packages: Packages) -> Packages:
        """Put packages at their places; where there is none, options are -1."""
        many = len(self.prices.least)
        prices = np.full(many, self.prices.dearest, np.int64)
        prices[places] = packages.prices
        numbers = {}
        for position, chosen in packages.numbers.items():
            numbers[position] = np.full(many, -1, np.intp)
            numbers[position][places] = chosen
        return Packages(numbers, prices)

    def _exceeded(self, candidates: Packages, waiting: Flags) -> list[LinearLimit]:
        """Which limits the cheapest packages of what is open exceed."""
        some = np.flatnonzero(waiting)
        few = Packages({p: each[some] for p, each in candidates.numbers.items()}, some)
        over = few.excess(self.limits) > 0
        return [limit for limit, own in zip(self.limits, over, strict=True) if own.any()]

    def nowhere(self) -> Packages:
        """Give no package for any place."""
        none = {p: np.zeros(0, np.intp) for p in self.problem.positions}
        return self._spread_out(np.zeros(0, np.intp), Packages(none, self.prices.least[:0]))

    # -- labels -----------------------------------------------------------------------------------

    def _by_labels(self, waiting: Flags) -> tuple[Packages, Flags]:
        """Price some places by labels under the limits in use.

        Returns
        -------
        tuple
            For each place the cheapest package that keeps these limits, and which of them break
            something else.
        """
        prices = self.prices
        candidates = self.nowhere()
        dearest = float(prices.dearest * PARTS)
        self._planes = CuttingPlanes(len(waiting), len(self.used), dearest)
        self._lightest(waiting)
        self._multiply(waiting & prices.open)
        if not self.labelled:
            return candidates, np.zeros(len(waiting), np.bool_)
        # Where no package is known, nothing can be cut out: one may be found among the first.
        unseen = waiting & prices.open & (prices.known >= prices.dearest)
        list_packages(self, np.flatnonzero(unseen).tolist(), TRIED)
        broken = np.zeros(len(waiting), np.bool_)
        unknown = prices.known >= prices.dearest
        for group in (waiting & prices.open & ~unknown, waiting & prices.open & unknown):
            if group.any():
                broken |= self.of_group(group, candidates)
        return candidates, broken & prices.open

    def of_group(self, group: Flags, candidates: Packages) -> Flags:
        """Price some places; note their packages, and say which of them break something else."""
        prices = self.prices
        cut: CutProblem | None = None
        for beam in self.beams:
            asked_for = group & prices.open
            if not asked_for.any():
                break
            asked = prices.asked(asked_for)
            by = self.multipliers[: self.bounds]
            cut = cut_out(self.problem, self.used, by, asked, cut)
            broken = np.zeros(len(group), np.bool_)
            for places, packages in [] if cut is None else self._labelled(asked, cut, beam):
                kept = self.kept(packages)
                prices.note(places, packages, kept)
                broken[places] = ~kept
                if beam is None:
                    prices.least[places] = np.maximum(prices.least[places], packages.prices)
                    for position, chosen in packages.numbers.items():
                        candidates.numbers[position][places] = chosen
            if beam is None:
                # Labels that are all there is show that nothing cheaper is left.
                done = asked_for & ~broken
                prices.least[done] = np.maximum(prices.least[done], prices.looked_below[done])
                return broken
        return np.zeros(len(group), np.bool_)

    def _labelled(
        self, asked: Asked, cut: CutProblem, beam: int | None
    ) -> list[tuple[Rows, Packages]]:
        prices = self.prices
        labels = LabelPass(self.problem, self.used, asked, cut, beam)
        result = [(prices.places(p, own), packages) for p, own, packages in labels.cheaper()]
        root = labels.cheapest()
        if root is not None:
            result.append((np.array([len(prices.least) - 1]), root))
        return result

    def _lightest(self, waiting: Flags) -> None:
        """Take the package of least sum with each option: one that keeps it, or none does."""
        problem, prices = self.problem, self.prices
        for at, limit in enumerate(self.used):
            which = waiting & prices.open
            if not which.any():
                return
            by = [0] * len(self.used)
            by[at] = 1
            # So many times the sum, and the price once: of equally light packages the cheapest.
            by[at] = prices.dearest
            passed = problem.passed(problem.weighed(1, self.used, by), self._asked)
            if passed is None:
                return
            packages = self._packages_of(passed, which, self.used, by)
            places = np.flatnonzero(which)
            over = packages.excess([limit])[0] > 0
            prices.least[places[over]] = prices.dearest
            prices.note(places, packages, self.kept(packages) & ~over)
            self._seen(places, packages)

    def _seen(self, places: Rows, packages: Packages) -> None:
        excess = packages.excess(self.used).astype(np.float64)
        self._planes.add(places, packages, excess, PARTS)

    def _multiply(self, waiting: Flags) -> None:
        """Look for multipliers that bound the prices of what is open best."""
        problem, prices = self.problem, self.prices
        self.multipliers = []
        self._bounded = (self._cheapest.copy(), {})
        begin = [0.0] * len(self.used)
        for _ in range(problem.question.prepared.limits.multiplier_passes)[: self.passes]:
            which = waiting & prices.open
            if not which.any():
                break
            begin = self._planes.best(begin, which)
            by = [round(multiplier) for multiplier in begin]
            if tuple(by) in self.multipliers:
                break
            passed = problem.passed(problem.weighed(PARTS, self.used, by), self._asked)
            if passed is None:
                break
            packages = self._packages_of(passed, which, self.used, by)
            places = np.flatnonzero(which)
            prices.note(places, packages, self.kept(packages))
            excess = packages.excess(self.used)
            bound = -(-(packages.prices * PARTS + np.array(by, np.int64) @ excess) // PARTS)
            better = bound > self._bounded[0][places]
            self._bounded[0][places[better]] = bound[better]
            for place in places[better].tolist():
                self._bounded[1][place] = tuple(by)
            prices.least[places] = np.maximum(prices.least[places], bound)
            self._seen(places, packages)
            self.multipliers.append(tuple(by))
        self.multipliers = self.multipliers[::-1] or [(0,) * len(self.used)]

    # -- packages one by one ----------------------------------------------------------------------

    def by_listing(self, which: Flags) -> None:
        """List packages in the order of a bound for what rules on several sums leave open."""
        left = self.listed
        places = np.flatnonzero(which)
        cheapest_first = places[np.argsort(self.prices.least[places], kind="stable")].tolist()
        for done, place in enumerate(cheapest_first):
            # Each gets its share, and of what those before it left.
            most = left // (len(cheapest_first) - done)
            left -= sum(list_packages(self, [place], most)) if most else 0

    def listed_by(self, by: Sequence[int]) -> tuple[dict[str, Amounts], int, int]:
        """Give weights of options by which packages are listed, and what their weights mean.

        Parameters
        ----------
        by
            Multipliers of the limits in use.

        Returns
        -------
        tuple
            Weights; how many times a minor unit counts in them; and what is added to the weight of
            a package: then it is no more than so many times its price, if it keeps the limits.
        """
        problem = self.problem
        weights = problem.weighed(PARTS, self.used, by)
        offset = weights.offset + PARTS * problem.prepared.model.fixed_cost
        offset -= sum(m * limit.room for m, limit in zip(by, self.used, strict=True))
        costs = {
            p: np.where(problem.allowed[p], own, CHEAPEST_64.impossible)
            for p, own in weights.options.items()
        }
        return costs, PARTS, offset

    def best_by(self, place: int) -> tuple[int, ...]:
        """Give the multipliers that bound the price of a place best."""
        return self._bounded[1].get(place, (0,) * len(self.used))
