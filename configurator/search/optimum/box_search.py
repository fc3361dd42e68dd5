"""Prices that break a limit decided on whole packages, proven by boxes of options.

What may still better a known price is cut out of the circuit: mostly little is left. Of a box of
options the cheapest package is taken; where it breaks a rule, what packages around it keep of the
rule at best (`first_order`) is a limit on a sum, and the box is priced anew under it. Where that
does not decide, the box is halved: what is open is less, and the limits of each half are tighter.

References
----------
.. [1] R. E. Moore, R. B. Kearfott and M. J. Cloud, *Introduction to Interval Analysis*, SIAM
   (2009), ch. 5 (subdivision; chapter from memory).
"""

from __future__ import annotations

import heapq
import math
from copy import copy
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from configurator.model.jobs import Goal
from configurator.model.parts import Missing
from configurator.model.rules import Limit, Total
from configurator.search.circuit.contracting import contracted
from configurator.search.circuit.nodes import Circuit
from configurator.search.optimum import queries
from configurator.search.optimum.box_pricing import BoxPricing
from configurator.search.optimum.enclosed_values import OptionBox
from configurator.search.optimum.first_order import LimitAround, limit_around
from configurator.search.optimum.label_pricing import cut_out
from configurator.search.optimum.late_rules import PackageColumns
from configurator.search.optimum.place_listing import list_packages
from configurator.search.optimum.preparing import Question, seated
from configurator.search.optimum.uncertain_columns import UncertainColumns
from configurator.search.optimum.weighing import PARTS, WEIGHTS, Packages, PricingProblem

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.search.encoding.joint_values import JointValues
    from configurator.search.optimum.constrained_prices import Pricing
    from configurator.search.optimum.known_prices import KnownPrices
    from configurator.search.optimum.preparing import Prepared
    from configurator.search.optimum.resource_constraints import Late

    Flags = NDArray[np.bool_]
    Masks = dict[str, Flags]

# How much dearer than its bound a price is looked for at first, and then, and at last whatever it
# is: shares of the bound.
BEYOND = (0.05, 0.25, math.inf)


def closed(pricing: Pricing, boxes: int | None = None) -> KnownPrices:
    """Work prices out, by boxes and by packages listed where limits on sums do not decide.

    Parameters
    ----------
    pricing
        Whose prices.
    boxes
        How many are priced in all, at most; by default as many as limits on the search say.
    """
    limits = pricing.problem.prepared.limits
    boxes = limits.boxes if boxes is None else boxes
    prices = pricing.work_out(listing=False)
    if boxes and prices.enough is None:
        places = np.flatnonzero(prices.open).tolist()
        list_packages(pricing, places, min(limits.packages_before_boxes, pricing.listed))
        _search(pricing, boxes)
    pricing.by_listing(prices.open)
    return prices


def _search(pricing: Pricing, boxes: int) -> None:
    """Close the prices that are open, as far as that is done by a number of boxes."""
    judged: dict[bytes, bool] = {}
    prices = pricing.prices
    for beyond in BEYOND:
        which = prices.open
        if not which.any():
            return
        ceilings = prices.looked_below
        if math.isfinite(beyond):
            dearer = prices.least + (prices.least * beyond).astype(np.int64) + 1
            ceilings = np.minimum(ceilings, dearer)
        part = _part(pricing, which, ceilings)
        waiting = np.flatnonzero(which)
        waiting = waiting[np.argsort(prices.least[waiting], kind="stable")]
        for number, place in enumerate(waiting.tolist()):
            ceiling = int(ceilings[place])
            problem = None if part is None else _of_place(pricing, part, place)
            if problem is None and part is not None:
                continue
            least = ceiling
            if problem is not None:
                # Each gets its share, and of what those before it left.
                share = boxes // (len(waiting) - number)
                search = _BoxSearch(problem, pricing.late, judged, ceiling)
                least = search.run(share)
                boxes -= search.looked
                if search.package is not None and search.known < prices.known[place]:
                    prices.known[place] = search.known
                    prices.numbers[:, place] = list(search.package.values())
            prices.least[place] = max(int(prices.least[place]), least)


def _part(pricing: Pricing, which: Flags, ceilings: NDArray[np.int64]) -> Prepared | None:
    """Cut out of a case what costs less than ceilings; None if nothing does."""
    problem, prices = pricing.problem, pricing.prices
    cut = cut_out(problem, [], [()], prices.asked(which, ceilings))
    if cut is None:
        return None
    prepared = problem.prepared
    whole = prepared.circuit.leaf_rows
    rows = [[whole[n][row] for row in own.tolist()] for n, own in enumerate(cut.circuit.leaf_rows)]
    model = prepared.model
    weighed = {*model.position_tables.values()}
    weighed |= {n for n, costs in model.work_costs.items() if any(costs[r[0]] for r in rows[n])}
    # Wishes that move nothing any more weigh nothing; a value that is asked about does.
    weighed |= {n for figure, n in model.goal_tables.items() if figure in problem.places}
    circuit = contracted(Circuit(cut.circuit.nodes, rows), weighed)
    part = seated(model, circuit, None, prepared.limits)
    return replace(part, within=prepared.within)


def _of_place(pricing: Pricing, part: Prepared, place: int) -> PricingProblem | None:
    """Ask for the cheapest package of a place; None where no wish says which value is meant."""
    problem, prices = pricing.problem, pricing.prices
    number = int(prices.position[place])
    where = problem.places[number] if number >= 0 else ""
    job, option = problem.question.job, int(prices.option[place])
    if where and where not in problem.positions:
        value = queries.goal_values(problem.prepared, where)[option]
        if isinstance(value, str | Missing | frozenset):
            return None
        exactly = Goal(where, at_least=float(value), at_most=float(value))
        job = replace(job, goals=(*job.goals, exactly))
    own = PricingProblem(Question(part, job, picks=False))
    for position, seat in part.seats.items():
        own.allowed[position] = problem.allowed[position] & seat.inside
    if where in own.allowed:
        alone = np.arange(len(own.allowed[where])) == option
        own.allowed[where] = part.seats[where].inside & alone
    return own


def _many(box: Masks) -> int:
    """Count the options of a box."""
    return sum(int(own.sum()) for own in box.values())


class _BoxSearch:
    """The search for the cheapest package of a problem that costs less than a ceiling."""

    def __init__(
        self, problem: PricingProblem, late: Late, judged: dict[bytes, bool], ceiling: int
    ) -> None:
        self.problem, self.late, self._judged = problem, late, judged
        self.evaluation = problem.prepared.evaluation
        self.known = ceiling
        self.looked = 0
        self.package: dict[str, int] | None = None

    def run(self, most: int) -> int:
        """Price so many boxes at most, and give a price that no package is below.

        That is the price of the cheapest where it is found, and the ceiling if nothing is below it.
        """
        if most:
            self._look_around()
        heap: list[tuple[int, int, Masks]] = [(0, 0, dict(self.problem.allowed))]
        while heap and heap[0][0] < self.known and self.looked < most:
            _, _, box = heapq.heappop(heap)
            self.looked += 1
            for side, (least, half) in enumerate(self._halves(box)):
                heapq.heappush(heap, (least, 2 * self.looked + side, half))
        return min([self.known, *(least for least, _, _ in heap)])

    def _look_around(self) -> None:
        """Note the best of the cheapest packages with each option, for a price to compare with."""
        every = {p: np.flatnonzero(own) for p, own in self.problem.allowed.items()}
        pricing = BoxPricing(self.problem, every, self.late, [], self._judged)
        pricing.look()
        best = int(np.argmin(pricing.prices.known))
        self._note(pricing, best)

    def _note(self, pricing: Pricing, place: int) -> None:
        price = int(pricing.prices.known[place])
        chosen = pricing.prices.numbers[:, place].tolist()
        if price < self.known and min(chosen) >= 0:
            self.known = price
            self.package = dict(zip(self.problem.positions, chosen, strict=True))

    def _halves(self, box: Masks) -> list[tuple[int, Masks]]:
        """Price a box; give nothing if it is decided, else its halves and a bound of both."""
        around: list[LimitAround] = []
        centres: list[dict[str, int]] = []
        tuned = self.problem.prepared.limits
        least = 0
        while True:
            box = self._consistent(box)
            if not all(own.any() for own in box.values()):
                return []
            # A limit is the tighter the less is open: it is made anew where options are left out.
            centres = [c for c in centres if all(box[p][number] for p, number in c.items())]
            limits = [self._limit(box, centre) for centre in centres]
            around = [limit for limit in limits if limit is not None]
            pricing = self._priced(box, around)
            least = max(least, int(pricing.prices.least[-1]))
            if least >= self.known:
                return []
            left = self._within(pricing, look=bool(around))
            before, box = _many(box), left
            if _many(left) < tuned.anew_from_share * before:
                continue
            pricing.problem.allowed = box
            pricing.label()
            self._note(pricing, len(pricing.prices.known) - 1)
            centre = pricing.refused()
            last = centre is None or centre in centres or len(centres) == tuned.limits_around
            if last:
                pricing.listed = tuned.box_packages
                pricing.by_listing(pricing.prices.open)
                self._note(pricing, len(pricing.prices.known) - 1)
            least = max(least, int(pricing.prices.least[-1]))
            if least >= self.known:
                return []
            if last or centre is None:
                return [(least, half) for half in self._halved(box, centre, around)]
            centres.append(centre)

    def _priced(self, box: Masks, around: Sequence[LimitAround]) -> BoxPricing:
        problem = copy(self.problem)
        problem.allowed = box
        linear = [limit.linear for limit in around]
        pricing = BoxPricing(problem, {}, self.late, linear, self._judged)
        pricing.prices.known[-1] = self.known
        pricing.work_out(listing=False)
        self._note(pricing, len(pricing.prices.known) - 1)
        return pricing

    def _within(self, pricing: Pricing, *, look: bool) -> Masks:
        """Leave out options that are in no package cheaper than what is known, as bounds tell.

        Where so asked, the package that bounds each option is looked at first: of these the
        cheapest that keeps everything may be cheaper than what is known.
        """
        problem, limits = pricing.problem, pricing.used
        by = pricing.best_by(len(pricing.prices.least) - 1)
        passed = problem.passed(problem.weighed(PARTS, limits, by), problem.positions)
        if passed is None:
            return {position: np.zeros_like(own) for position, own in problem.allowed.items()}
        least = {position: passed.least(position) for position in problem.positions}
        if look:
            some = {
                p: np.flatnonzero(own & (least[p] < WEIGHTS.impossible))
                for p, own in problem.allowed.items()
            }
            packages = passed.packages({p: own for p, own in some.items() if len(own)}, limits, by)
            self._take_best(packages, pricing.kept(packages))
        beside = sum(multiplier * limit.room for multiplier, limit in zip(by, limits, strict=True))
        most = PARTS * (self.known - problem.prepared.model.fixed_cost - 1) + beside
        return {p: own & (least[p] <= most) for p, own in problem.allowed.items()}

    def _take_best(self, packages: Packages, kept: Flags) -> None:
        """Note the cheapest of some packages that keeps everything."""
        for at in np.flatnonzero(kept & (packages.prices < self.known)).tolist():
            if packages.prices[at] < self.known:
                self.known = int(packages.prices[at])
                self.package = {p: int(own[at]) for p, own in packages.numbers.items()}

    def _consistent(self, box: Masks) -> Masks:
        """Leave out options that are sure with none of the others, where parts decide that."""
        result = dict(box)
        for table in self.late.sure.by_parts if self.late.sure is not None else ():
            sure = table.sure
            for axis, (position, own) in enumerate(table.classes.items()):
                present = np.zeros(sure.shape[axis], np.bool_)
                present[own.class_of[result[position] & (own.class_of >= 0)]] = True
                sure = np.compress(present, sure, axis=axis)
            for axis, (position, own) in enumerate(table.classes.items()):
                others = tuple(other for other in range(sure.ndim) if other != axis)
                some = sure.any(axis=others)
                kept = np.zeros(table.sure.shape[axis] + 1, np.bool_)  # and one for no class
                classes = np.unique(own.class_of[result[position] & (own.class_of >= 0)])
                kept[classes] = some
                result[position] = result[position] & kept[own.class_of]
        return result

    def _limit(self, box: Masks, centre: Mapping[str, int]) -> LimitAround | None:
        """Give the limit around a package that it breaks by most; None where there is none."""
        options = {position: np.flatnonzero(own) for position, own in box.items()}
        numbers = {position: np.array([number]) for position, number in centre.items()}
        late, sure = self.late, self.late.sure
        joints: list[tuple[JointValues | None, list[Limit | Total]]] = []
        columns = PackageColumns(self.evaluation, numbers, late.joint)
        plain = [rule for rule in late.rules if isinstance(rule, Limit | Total)]
        joints.append((None, [rule for rule in plain if not columns.verdicts(rule)[0]]))
        if sure is not None and sure.marked:
            uncertain = UncertainColumns(sure.joint, numbers)
            broken = [rule for rule in sure.by_package if not uncertain.sure(rule)[0]]
            joints.append((sure.joint, broken))
        limits = []
        for joint, rules in joints:
            box_around = OptionBox(options, centre)
            limits += [limit_around(self.evaluation, box_around, rule, joint) for rule in rules]
        package = Packages(numbers, np.zeros(1, np.int64))
        known = [limit for limit in limits if limit is not None]
        over = package.excess([limit.linear for limit in known])[:, 0].tolist()
        return known[int(np.argmax(over))] if max(over, default=0) > 0 else None

    def _halved(
        self, box: Masks, centre: Mapping[str, int] | None, around: Sequence[LimitAround]
    ) -> list[Masks]:
        """Halve a box: where the last limit is loosest, else where most is open."""
        loose = around[-1].loose if around else {}
        several = [p for p, own in box.items() if own.sum() > 1]
        if not several:
            return []
        position = max(several, key=lambda p: (loose.get(p, 0.0), int(box[p].sum())))
        own, lower = box[position], np.zeros(len(box[position]), np.bool_)
        shares = around[-1].linear.shares[position] if around else lower.astype(np.int64)
        some = shares[own]
        if some.min() < some.max():
            lower = own & (2 * shares <= int(some.min()) + int(some.max()))
        else:
            lower[np.flatnonzero(own)[0] if centre is None else centre[position]] = True
        return [{**box, position: half} for half in (lower, own & ~lower)]
