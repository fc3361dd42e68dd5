"""Every option's exact price where sums over everything have limits, and the cheapest package.

The cheapest package with each option is known from the passes in prices. Where it keeps all that
is decided on whole packages, the price is exact. Where it exceeds a limit on a sum, labels give the
cheapest package that does not (`label_pricing`). Where it only breaks a rule on several sums,
packages with the option are listed in the order of a bound until one keeps it.
"""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING

import numpy as np

from configurator.search.circuit.labels import TooManyLabels
from configurator.search.circuit.semirings import CHEAPEST_64
from configurator.search.optimum import k_best
from configurator.search.optimum.label_pricing import BEAMS, Asked, LabelPass, cut_out
from configurator.search.optimum.late_rules import kept_by
from configurator.search.optimum.multipliers import CuttingPlanes
from configurator.search.optimum.resource_constraints import late_of, linear_limits
from configurator.search.optimum.weighing import PARTS, WEIGHTS, Packages, Problem

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.evaluation.evaluator import Option
    from configurator.model.jobs import Job
    from configurator.search.optimum.preparing import Prepared
    from configurator.search.optimum.resource_constraints import LinearLimit
    from configurator.search.optimum.weighing import Masks

    Amounts = NDArray[np.int64]
    Rows = NDArray[np.intp]
    Flags = NDArray[np.bool_]

# Passes with better and better multipliers before what matters is cut out.
PASSES = 3
# Packages with an option that are looked at for one that keeps rules on several sums.
LISTED = 200


class Prices:
    """Options asked about, one after the other, and what is known of the price of each.

    Parameters
    ----------
    places
        Position and number of each option; the place of the cheapest package of all has none and
        stands last, if it is asked for.

    Attributes
    ----------
    least
        No package costs less; `WEIGHTS.impossible` where there is none.
    known
        What the cheapest package found so far costs; ``dearest`` where none was found.
    found
        Its options, by position: -1 where none was found.
    """

    def __init__(self, problem: Problem, options: Mapping[str, Rows], root: bool) -> None:
        self.problem = problem
        self.position = np.repeat(
            np.arange(len(problem.positions)),
            [len(options.get(p, ())) for p in problem.positions],
        )
        own = [options[p] for p in problem.positions if p in options]
        self.option = np.concatenate(own) if own else np.zeros(0, np.intp)
        if root:
            self.position = np.append(self.position, -1)
            self.option = np.append(self.option, -1)
        many = len(self.position)
        prepared = problem.prepared
        self.dearest = prepared.model.fixed_cost + 1
        self.dearest += sum(int(seat.costs.max(initial=0)) for seat in prepared.seats.values())
        self.dearest += sum(int(c.max(initial=0)) for c in prepared.model.work_costs.values())
        self.least = np.zeros(many, np.int64)
        self.known = np.full(many, self.dearest, np.int64)
        self.found = np.full((len(problem.positions), many), -1, np.intp)

    @property
    def open(self) -> Flags:
        """Which prices are not proven yet."""
        return self.least < self.known

    @property
    def impossible(self) -> Flags:
        """Which have no package, as is proven."""
        return self.least >= self.dearest

    def asked(self, which: Flags) -> Asked:
        """Name some of them for labels."""
        options, known = {}, {}
        for number, position in enumerate(self.problem.positions):
            here = np.flatnonzero(which & (self.position == number))
            if len(here):
                options[position], known[position] = self.option[here], self.known[here]
        last = len(which) - 1
        root = bool(last >= 0 and self.position[last] < 0 and which[last])
        return Asked(options, known, int(self.known[last]) if root else None)

    def places(self, position: str, options: Rows) -> Rows:
        """Give the places of some options of a position."""
        here = np.flatnonzero(self.position == self.problem.positions.index(position))
        place = np.full(len(self.problem.prepared.seats[position].row_of), -1, np.intp)
        place[self.option[here]] = here
        return np.asarray(place[options])

    def note(self, places: Rows, packages: Packages, kept: Flags) -> None:
        """Note packages that keep everything, where they are cheaper than what is known."""
        for at in np.flatnonzero(kept).tolist():
            place, price = int(places[at]), int(packages.prices[at])
            if price < self.known[place]:
                self.known[place] = price
                self.found[:, place] = [each[at] for each in packages.numbers.values()]


class Pricing:
    """Prices of options of a problem, made exact.

    Parameters
    ----------
    problem
        The problem.
    options
        Position → numbers of options that are in some package as far as the circuit tells. What
        the job decided at an option's own position is left aside.
    root
        Whether the cheapest package of all is asked for.
    listed
        How many packages are looked at for each option that a rule on several sums leaves open.
    """

    def __init__(
        self,
        problem: Problem,
        options: Mapping[str, Rows],
        *,
        root: bool = False,
        listed: int = LISTED,
    ) -> None:
        self.problem = problem
        self.late = late_of(problem.prepared, problem.job)
        self.limits = linear_limits(self.late)
        self.prices = Prices(problem, options, root)
        self.listed = listed
        self.used: list[LinearLimit] = []
        self.multipliers: list[tuple[int, ...]] = []

    def work_out(self) -> Prices:
        """Price all that is asked about, each as exactly as can be."""
        prices = self.prices
        candidates = self._first()
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
        self._by_listing(prices.open)
        return prices

    def _kept(self, packages: Packages) -> Flags:
        problem = self.problem
        return kept_by(problem.prepared.evaluation, problem.job, self.late, packages.numbers)

    def _first(self) -> Packages | None:
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
        passed = problem.passed(weights)
        if passed is None or not len(prices.least):
            return None
        least = np.full(len(prices.least), WEIGHTS.impossible, np.int64)
        for number, position in enumerate(problem.positions):
            here = prices.position == number
            if here.any():
                least[here] = passed.least(position)[prices.option[here]]
        if prices.position[-1] < 0:
            least[-1] = passed.least_of_all()
        possible = least < WEIGHTS.impossible
        prices.least[~possible] = prices.dearest
        packages = self._packages_of(passed, possible, self.limits, ones)
        places = np.flatnonzero(possible)
        prices.least[places] = packages.prices
        prices.note(places, packages, self._kept(packages))
        return self._spread_out(places, packages)

    def _packages_of(
        self, passed: object, which: Flags, limits: Sequence[LinearLimit], by: Sequence[int]
    ) -> Packages:
        """Give the lightest package of each of some places, in order."""
        prices = self.prices
        asked = {}
        for number, position in enumerate(self.problem.positions):
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
        candidates = self._spread_out(
            np.zeros(0, np.intp),
            Packages({p: np.zeros(0, np.intp) for p in self.problem.positions}, prices.least[:0]),
        )
        self._lightest(waiting)
        self._multiply(waiting & prices.open)
        open_still = waiting & prices.open
        for beam in BEAMS:
            asked_for = open_still.copy()
            asked = prices.asked(open_still)
            cut = cut_out(self.problem, self.used, self.multipliers, asked)
            found = [] if cut is None else self._labelled(asked, cut, beam)
            broken = np.zeros(len(waiting), np.bool_)
            for places, packages in found:
                kept = self._kept(packages)
                prices.note(places, packages, kept)
                broken[places] = ~kept
                if beam is None:
                    prices.least[places] = np.maximum(prices.least[places], packages.prices)
                    for position, chosen in packages.numbers.items():
                        candidates.numbers[position][places] = chosen
            if beam is None:
                # Labels that are all there is show that nothing cheaper is left.
                done = asked_for & ~broken
                prices.least[done] = np.maximum(prices.least[done], prices.known[done])
                return candidates, asked_for & broken & prices.open
            open_still = open_still & prices.open
            if not open_still.any():
                break
        return candidates, np.zeros(len(waiting), np.bool_)

    def _labelled(self, asked: Asked, cut: object, beam: int | None) -> list[tuple[Rows, Packages]]:
        prices = self.prices
        labels = LabelPass(self.problem, self.used, asked, cut, beam)  # type: ignore[arg-type]
        found = [(prices.places(p, own), packages) for p, own, packages in labels.cheaper()]
        root = labels.cheapest()
        if root is not None:
            found.append((np.array([len(prices.least) - 1]), root))
        return found

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
            passed = problem.passed(problem.weighed(1, self.used, by))
            if passed is None:
                return
            packages = self._packages_of(passed, which, self.used, by)
            places = np.flatnonzero(which)
            over = packages.excess([limit])[0] > 0
            prices.least[places[over]] = prices.dearest
            prices.note(places, packages, self._kept(packages) & ~over)
            self._seen(places, packages)

    def _seen(self, places: Rows, packages: Packages) -> None:
        if not hasattr(self, "_planes") or self._planes_of != len(self.used):
            many = len(self.prices.least)
            dearest = float(self.prices.dearest * PARTS)
            self._planes = CuttingPlanes(many, len(self.used), dearest)
            self._planes_of = len(self.used)
        excess = packages.excess(self.used).astype(np.float64)
        self._planes.add(places, packages, excess, PARTS)

    def _multiply(self, waiting: Flags) -> None:
        """Look for multipliers that bound the prices of what is open best."""
        problem, prices = self.problem, self.prices
        self.multipliers = []
        begin = [0.0] * len(self.used)
        for _ in range(PASSES):
            which = waiting & prices.open
            if not which.any():
                break
            begin = self._planes.best(begin, which)
            by = [round(one) for one in begin]
            if tuple(by) in self.multipliers:
                break
            passed = problem.passed(problem.weighed(PARTS, self.used, by))
            if passed is None:
                break
            packages = self._packages_of(passed, which, self.used, by)
            places = np.flatnonzero(which)
            prices.note(places, packages, self._kept(packages))
            excess = packages.excess(self.used)
            bound = packages.prices * PARTS + np.array(by, np.int64) @ excess
            prices.least[places] = np.maximum(prices.least[places], -(-bound // PARTS))
            self._seen(places, packages)
            self.multipliers.append(tuple(by))
        self.multipliers = self.multipliers[::-1] or [(0,) * len(self.used)]

    # -- packages one by one ----------------------------------------------------------------------

    def _by_listing(self, which: Flags) -> None:
        """List packages in the order of a bound for what rules on several sums leave open."""
        for place in np.flatnonzero(which).tolist():
            self._list(place)

    def _list(self, place: int) -> None:
        problem, prices = self.problem, self.prices
        by = self.multipliers[0] if self.multipliers else (0,) * len(self.used)
        weights = problem.weighed(PARTS, self.used, by)
        offset = weights.offset + PARTS * problem.prepared.model.fixed_cost
        offset -= sum(m * limit.room for m, limit in zip(by, self.used, strict=True))
        costs = {
            p: np.where(problem.allowed[p], own, CHEAPEST_64.impossible)
            for p, own in weights.options.items()
        }
        number = int(prices.position[place])
        if number >= 0:
            position = problem.positions[number]
            only = np.full(len(costs[position]), CHEAPEST_64.impossible)
            only[prices.option[place]] = weights.options[position][prices.option[place]]
            costs[position] = only
        listed = k_best.numbers_in_order(problem.prepared, problem.goals_only, costs, PARTS)
        for weight, numbers in itertools.islice(listed, self.listed):
            least = -(-(weight + offset) // PARTS)
            prices.least[place] = max(int(prices.least[place]), least)
            if prices.least[place] >= prices.known[place]:
                return
            chosen = {p: np.array([numbers[p]]) for p in problem.positions}
            excess = Packages(chosen, np.zeros(1, np.int64)).excess(self.used)
            beside = sum(m * int(e[0]) for m, e in zip(by, excess, strict=True))
            package = Packages(chosen, np.array([(weight + offset - beside) // PARTS]))
            prices.note(np.array([place]), package, self._kept(package))
        else:
            if self._exhausted(listed):
                prices.least[place] = max(int(prices.least[place]), int(prices.known[place]))

    @staticmethod
    def _exhausted(listed: object) -> bool:
        return next(listed, None) is None  # type: ignore[call-overload,no-any-return]


def together(parts: Sequence[Packages]) -> Packages:
    """Put lists of packages one after the other."""
    if len(parts) == 1:
        return parts[0]
    return Packages(
        {p: np.concatenate([part.numbers[p] for part in parts]) for p in parts[0].numbers},
        np.concatenate([part.prices for part in parts]),
    )
