"""The cheapest package and every option's price, whatever is decided on whole packages counted.

On a circuit that is exact, all prices come of the same passes, and of labels where sums have limits
(`constrained_prices`). Packages in order of price are listed from the circuit; where limits bind,
in the order of a bound until it meets the best package found, which is thereby proven. Where tables
are too wide to be joined, prices are exact up to a ceiling and lower bounds beyond, where packages
are proven by cases.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from configurator.core.progress import Cancelled
from configurator.search.optimum import (
    ceiling_previews,
    incumbents,
    k_best,
    price_ceiling,
    queries,
    sure_ceilings,
)
from configurator.search.optimum.box_search import closed
from configurator.search.optimum.branch_and_bound import Undecided
from configurator.search.optimum.cheapest_package import CheapestPackage
from configurator.search.optimum.constrained_prices import LISTED, Pricing
from configurator.search.optimum.package_listing import Listing
from configurator.search.optimum.preparing import Question
from configurator.search.optimum.resource_constraints import has_late, keeps_late, late_of
from configurator.search.optimum.weighing import Packages, PricingProblem, masked_costs

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping

    from configurator.evaluation.evaluator import Option
    from configurator.search.optimum.known_prices import KnownPrices
    from configurator.search.optimum.weighing import Masks

    InOrder = Iterator[tuple[int, dict[str, Option], bool]]

# Packages that are looked at before an answer is called the best found instead of the best.
PATIENCE = 60_000
# Packages that are looked at up to a ceiling, where a higher one follows.
FEW = 500
# Packages in order of price that may break something, one after the other, before limits on sums
# are taken to be in the way.
IN_THE_WAY = 20


def cheapest(
    question: Question, patience: int = PATIENCE, masks: Masks | None = None
) -> CheapestPackage:
    """Find the cheapest package that keeps everything, the budget left aside.

    Parameters
    ----------
    question
        The case, and whose goals count.
    patience
        How many packages to look at without a proof.
    masks
        Position → which of its options may be chosen, beside what the job says; on a circuit that
        is exact.
    """
    prepared = question.prepared
    if prepared.loose is not None or (masks is None and sure_ceilings.apart(question)):
        return _first(in_order(question, patience))
    problem = PricingProblem(question, masks)
    late = late_of(question)
    first = next(k_best.numbers_in_order(question, masked_costs(prepared, masks)), None)
    if first is None or first[0] >= queries.IMPOSSIBLE:
        return CheapestPackage(None, None, proven=True)
    price, choice = first[0] + question.model.fixed_cost, k_best.chosen(prepared, first[1])
    if keeps_late(question.evaluation, question.job, late, choice):
        return CheapestPackage(price, choice, proven=True, least=price)
    pricing = _priced(problem, first[1] if patience > LISTED else None, min(patience, LISTED))
    pricing.listed = patience
    pricing.by_listing(pricing.prices.open)
    return _of_root(pricing.prices)


def _priced(problem: PricingProblem, refused: Mapping[str, int] | None, listed: int) -> Pricing:
    """Price the cheapest package; where none is met, look for one with other parts than a refused.

    That takes as long as to price some options; none is looked for where none is named.
    """
    pricing = Pricing(problem, {}, root=True, listed=listed)
    prices = closed(pricing, 0 if refused is None else None)  # they take longer than a click
    if refused is not None and prices.open[-1] and prices.known[-1] >= prices.dearest:
        met = incumbents.look_among_parts(problem, pricing.late, refused)
        if met is not None:
            numbers = {position: np.array([number]) for position, number in met[1].items()}
            package = Packages(numbers, np.array([met[0]]))
            prices.note(np.array([len(prices.least) - 1]), package, np.ones(1, np.bool_))
    return pricing


def _of_root(prices: KnownPrices) -> CheapestPackage:
    """Take the cheapest package of all, which stands last."""
    least, known = int(prices.least[-1]), int(prices.known[-1])
    proven = least >= known
    if known >= prices.dearest:
        return CheapestPackage(None, None, proven, 0 if proven else least)
    numbers = dict(zip(prices.problem.positions, prices.numbers[:, -1].tolist(), strict=True))
    choice = k_best.chosen(prices.problem.prepared, numbers)
    return CheapestPackage(known, choice, proven, min(least, known))


def _first(packages: InOrder) -> CheapestPackage:
    best: CheapestPackage | None = None
    try:
        for price, choice, proven in packages:
            if proven:
                return CheapestPackage(price, choice, proven=True, least=price)
            best = best or CheapestPackage(price, choice, proven=False)
    except Undecided as given_up:
        if best is None or best.price is None:
            return CheapestPackage(None, None, False, given_up.least)
        return replace(best, least=min(best.price, given_up.least))
    return CheapestPackage(None, None, proven=True)


def some(question: Question, patience: int = PATIENCE) -> CheapestPackage:
    """Find a package that keeps everything, the budget included, or prove that there is none."""
    job = question.job
    package = cheapest(question, patience)
    if package.price is None or job.budget is None or package.price <= job.budget:
        return package
    dearer = package.proven or package.least > job.budget
    return CheapestPackage(None, None, dearer, package.least)


# -- packages in order of price ---------------------------------------------------------------


def in_order(
    question: Question,
    patience: int = PATIENCE,
    *,
    partial: bool = False,
    upto: float = math.inf,
) -> InOrder:
    """Give the packages that keep everything, in order of price, the budget left aside.

    Parameters
    ----------
    question
        The case, and whose goals count.
    patience
        How many packages to look at without a proof.
    partial
        Whether a stop ends the patience, so that what was found is given, instead of the search.
    upto
        A price beyond which no package is asked for, on a circuit that is exact.

    Yields
    ------
    tuple
        Price in minor units, position → option, and whether it is proven that no package is left
        out before it.

    Raises
    ------
    Undecided
        After ``patience`` packages without a proof; what was found has been given by then,
        unproven.
    """
    if sure_ceilings.apart(question):
        yield from _surely(question, patience, partial=partial)
        return
    if question.prepared.loose is not None:
        yield from _below_ceilings(question, patience, partial=partial)
        return
    late = late_of(question)
    given: set[tuple[int, ...]] = set()
    decided_late = has_late(question.evaluation, question.job, late)
    broken = 0
    numbers: Mapping[str, int] = {}
    try:
        for weight, numbers in k_best.numbers_in_order(question):
            if weight + question.model.fixed_cost > upto:
                return
            choice = k_best.chosen(question.prepared, numbers)
            if not decided_late or keeps_late(question.evaluation, question.job, late, choice):
                broken = 0
                given.add(tuple(numbers[p] for p in question.model.options))
                yield weight + question.model.fixed_cost, choice, True
                continue
            broken += 1
            if broken == IN_THE_WAY:
                break
        else:
            return
    except Cancelled as stopped:
        if not partial:
            raise
        raise Undecided(len(given) + broken) from stopped  # all that was found has been given
    pricing = _priced(PricingProblem(question), numbers, 0)
    prices = pricing.prices
    if prices.impossible[-1] or prices.least[-1] > upto:
        return
    listing = Listing(question, patience, partial=partial, upto=upto)
    listing.weigh_by(pricing)
    listing.given = given
    best = _of_root(prices)
    if best.choice is not None and best.price is not None:
        known = dict(zip(pricing.problem.positions, prices.numbers[:, -1].tolist(), strict=True))
        if best.proven and not given:
            given.add(tuple(known[p] for p in question.model.options))
            yield best.price, dict(best.choice), True
        else:
            listing.put(best.price, known)
    yield from listing.packages()


def _below_ceilings(question: Question, patience: int, *, partial: bool) -> InOrder:
    """Give packages where tables are too wide: those up to a ceiling first, then the rest."""
    listing = Listing(question, patience, partial=partial)
    for within in price_ceiling.ceilings(question):
        inside = Question(within.prepared, question.job)
        for price, choice, proven in in_order(inside, patience, partial=partial, upto=within.limit):
            if not within.has(price):
                break
            if listing.note(choice):
                yield price, choice, proven
        if within.ceiling is None:
            return
    yield from listing.packages()


def _surely(question: Question, patience: int, *, partial: bool) -> InOrder:
    """Give packages that are sure of long lists: up to ceilings, and as far as parts are looked at.

    Dearer ones that are met on the way come last, unproven.
    """
    if sure_ceilings.certain(question).bounds.cheapest is None:
        return  # nothing holds as calculated either
    given: set[tuple[str, ...]] = set()
    inside, last, least = question, None, 0
    for within in sure_ceilings.ceilings(question):
        inside, last = Question(within.prepared, question.job), within
        whole = within.ceiling is None
        most = patience if whole else min(patience, FEW)
        decided = True
        try:
            for price, choice, proven in in_order(inside, most, partial=partial, upto=within.limit):
                # What is open below a ceiling the next one decides, which has all of it.
                decided = decided and proven
                if not within.has(price) or not (proven or whole):
                    break
                if _new(choice, given):
                    yield price, choice, proven
        except Undecided as given_up:
            if whole:
                raise
            decided, least = False, max(least, min(given_up.least, within.ceiling or 0))
        if whole:
            return
        if decided and within.ceiling is not None:
            least = within.ceiling + 1
    if last is None:
        raise Undecided(0)
    # With all patience: what is dearer than the last ceiling may have cheaper ones beside it.
    for price, choice, proven in in_order(inside, patience, partial=partial):
        if _new(choice, given):
            yield price, choice, proven and last.has(price)
            if not (proven and last.has(price)):
                break
    raise Undecided(len(given), least=least)


def _new(choice: Mapping[str, Option], given: set[tuple[str, ...]]) -> bool:
    """Note a package; False if it was given before."""
    key = tuple(option.key for option in choice.values())
    new = key not in given
    given.add(key)
    return new


# -- every option ------------------------------------------------------------------------------


def previews(
    question: Question,
    positions: Collection[str] | None = None,
    listed: int = LISTED,
    boxes: int | None = None,
) -> queries.Previews:
    """Price every option, whatever is decided on whole packages counted.

    Parameters
    ----------
    question
        The case, and whose goals count; the budget is left aside.
    positions
        Positions to price; all by default.
    listed, boxes
        Packages looked at, and boxes priced (else as `Limits` say), for what is left open.

    Returns
    -------
    Previews
        Exact but where tables are too wide to be joined, and for what is left open; there prices
        are lower bounds, and `close` may make them exact.
    """
    if sure_ceilings.apart(question) or question.prepared.loose is not None:
        sure = sure_ceilings.apart(question)
        apart = sure_ceilings.previews if sure else ceiling_previews.previews
        return apart(question, positions, lambda q: previews(q, positions, listed, boxes))
    bounds = queries.previews(question, positions)
    late = late_of(question)
    if not has_late(question.evaluation, question.job, late):
        return bounds
    problem = PricingProblem(question)
    asked = {p: np.flatnonzero(array >= 0) for p, array in bounds.if_freed.items()}
    prices = closed(Pricing(problem, asked, listed=listed), boxes)
    cheapest_price: int | None = None
    freed_prices = {p: np.full(len(a), -1, np.int64) for p, a in bounds.if_freed.items()}
    freed_exact = {p: np.ones(len(a), np.bool_) for p, a in bounds.if_freed.items()}
    shown = np.where(prices.impossible, -1, np.where(prices.open, prices.least, prices.known))
    for number, position in enumerate(problem.positions):
        here = prices.position == number
        if position in freed_prices:
            freed_prices[position][prices.option[here]] = shown[here]
            freed_exact[position][prices.option[here]] = ~prices.open[here]
    strict = {p: np.where(problem.allowed[p], a, -1) for p, a in freed_prices.items()}
    exact = {p: a | ~problem.allowed[p] for p, a in freed_exact.items()}
    for each in strict.values():
        left = each[each >= 0]
        if len(left):
            least = int(left.min())
            cheapest_price = least if cheapest_price is None else max(cheapest_price, least)
    if any(not (each >= 0).any() for each in strict.values()):
        cheapest_price = None
    return queries.Previews(cheapest_price, strict, freed_prices, exact, freed_exact)


def close(
    question: Question,
    open_prices: queries.Previews,
    patience: int = PATIENCE,
    first: tuple[str, int] | None = None,
) -> Iterator[tuple[str, int, int, bool]]:
    """Make previews exact that are not, one by one, the cheapest first.

    Parameters
    ----------
    question
        The case, and whose goals count.
    open_prices
        What `previews` gave.
    patience
        How many packages to look at for each.
    first
        Position and number of an option that somebody looks at: it comes before all others.

    Yields
    ------
    tuple
        Position, option number, price in minor units (-1 for impossible), and whether that is
        proven; if not, the price is a lower bound.
    """
    waiting = [
        (int(open_prices.prices[position][number]), position, int(number))
        for position, exact in open_prices.exact.items()
        for number in np.flatnonzero(~exact)
    ]
    for bound, position, number in sorted(waiting, key=lambda item: (item[1:] != first, item)):
        option = question.model.options[position][number]
        fixed = replace(question.job, fixed={**question.job.fixed, position: option.key})
        package = cheapest(question.about(fixed), patience)
        if package.price is not None and package.proven:
            yield position, number, package.price, True
        elif package.proven:
            yield position, number, -1, True
        else:
            yield position, number, max(bound, package.least), False
