"""How many packages there are, in all and with each option: exact integers.

Packages are counted modulo several primes on the circuit; the Chinese remainder theorem makes one
integer of the remainders. A class of parts counts with the number of its parts, so what is counted
are packages of parts. What is decided on whole packages (sums over everything, the budget) is not
in the circuit: where that can bite, packages are listed if they are few, and otherwise counted by
what a sum comes to. Where that does not tell the number, the count is a bound and says so.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from configurator.core.progress import Cancelled
from configurator.search.circuit.passes import answer, backward, forward
from configurator.search.circuit.semirings import Count, CountModulo
from configurator.search.counting.limited_counts import CountBounds, by_price, by_sums, masks_of
from configurator.search.optimum import k_best, queries, resource_constraints
from configurator.search.optimum.weighing import PricingProblem, reach

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.search.circuit.semirings import Semiring
    from configurator.search.optimum.preparing import Question


@dataclass(frozen=True, slots=True)
class Counts:
    """How many packages meet a job, its budget left aside.

    Parameters
    ----------
    total
        In all.
    options
        Position → for each of its options the number of packages with it. What is fixed, kept or
        ruled out has a say here too.
    exact
        Whether these are the numbers; otherwise there are at most so many.
    at_least
        Where the counts are not exact: how many there are at least, in all.
    undecided
        Where the counts are not exact: names of the rules and goals that may strike off more.
    within_budget
        How many of them cost no more than the budget; None if the job has none.
    budget_exact
        Whether that is the number; otherwise there are at least so many.
    budget_at_most
        Where it is not: how many there are at most.
    """

    total: int
    options: Mapping[str, tuple[int, ...]]
    exact: bool = True
    undecided: tuple[str, ...] = ()
    within_budget: int | None = None
    budget_exact: bool = True
    at_least: int | None = None
    budget_at_most: int | None = None


def count(
    question: Question,
    positions: Collection[str] | None = None,
    listed: int | None = None,
    effort: int | None = None,
    *,
    partial: bool = False,
) -> Counts:
    """Count the packages of a job.

    Parameters
    ----------
    question
        The case, and whose goals count.
    positions
        Positions to count the options of; all by default.
    listed
        Up to how many packages may be looked at one by one where sums or a budget call for it; by
        default as the case's limits say.
    effort
        About how many nanoseconds counting by a sum, or by the price, may take; by default as
        the case's limits say.
    partial
        Whether a stop ends the listing: what is known by then is given, as the bound it is.
    """
    limits = question.prepared.limits
    listed = limits.listed_packages if listed is None else listed
    effort = limits.counting_effort if effort is None else effort
    asked = list(question.model.options) if positions is None else list(positions)
    total, options = _on_circuit(question, asked)
    undecided = can_bite(question) if total else ()
    before = total
    loose = question.prepared.loose is not None
    at_least: int | None = 0 if undecided else None
    inside: int | None = None if question.job.budget is None else 0
    sure, inside_at_most = question.job.budget is None, total
    try:
        if undecided and total <= listed and not loose:
            total, options = _by_listing(question, asked)
            undecided, at_least = (), None
        elif undecided and not loose and not _asks_reserve(question):
            counts = by_sums(question, undecided, CountBounds(total, options), asked, effort)
            total, options, at_least = counts.total, dict(counts.options), counts.at_least
            if counts.exact:
                undecided, at_least = (), None
        inside_at_most = total
        if not loose:
            inside, sure = _within_budget(question, total, listed)
        if inside is not None and not sure and not loose:
            least, most = by_price(question, before, effort)
            # All that the sums strike off may have been within the budget.
            struck_off = before - (total if at_least is None else at_least)
            inside = max(inside, least - struck_off)
            inside_at_most = min(total, most)
            sure = inside == inside_at_most
    except Cancelled:
        if not partial:
            raise
    return Counts(
        total,
        options,
        not undecided,
        undecided,
        inside,
        sure,
        at_least,
        None if sure else inside_at_most,
    )


def _asks_reserve(question: Question) -> bool:
    """Whether it is decided on whole packages that some limit holds within tolerances."""
    sure = resource_constraints.late_of(question).sure
    return sure is not None and bool(sure.by_parts or sure.by_package)


def can_bite(question: Question) -> tuple[str, ...]:
    """Name the rules and goals decided on whole packages that some package may break.

    A sum with a bound of its own is left out where the circuit shows that no package breaks it;
    limits on what hangs on several sums cannot be shown to be kept and are always named.
    """
    evaluation = question.evaluation
    late = resource_constraints.late_of(question)
    if not resource_constraints.has_late(evaluation, question.job, late):
        return ()
    names = {rule.name for rule in late.rules}
    if late.sure is not None:
        names |= {table.rule.name for table in late.sure.by_parts}
        names |= {rule.name for rule in late.sure.by_package}
    names |= set(question.prepared.loose.names) if question.prepared.loose is not None else set()
    names |= {
        goal.figure
        for goal in question.job.goals
        if (goal.at_least is not None or goal.at_most is not None)
        and evaluation.late(evaluation.definition(goal.figure))
    }
    bounded: dict[str, list[resource_constraints.Ceiling]] = {}
    for ceiling in late.ceilings:
        bounded.setdefault(ceiling.name, []).append(ceiling)
    # A sum that is never exceeded may still be kept without reserve.
    with_reserve = {rule.name for rule in late.sure.by_package} if late.sure else set()
    for name, ceilings in bounded.items():
        if name in with_reserve:
            continue
        if len(ceilings) == _bounds_on(question, name) and all(
            _never_exceeded(question, ceiling) for ceiling in ceilings
        ):
            names.discard(name)
    return tuple(sorted(names))


def _bounds_on(question: Question, name: str) -> int:
    """How many bounds the rule of a total and the goals on it set together."""
    total = question.evaluation.trade.totals[name]
    goals = [goal for goal in question.job.goals if goal.figure == name]
    in_force = any(rule.name == name for rule in question.model.late)
    bounds: list[Any] = [total.at_least, total.at_most] if in_force else []
    bounds.extend(bound for goal in goals for bound in (goal.at_least, goal.at_most))
    return sum(bound is not None for bound in bounds)


def _never_exceeded(question: Question, ceiling: resource_constraints.Ceiling) -> bool:
    ends = reach(PricingProblem(question), ceiling.shares)
    if ends is None:
        return True
    # A goal is not met by a sum that is not known: with such an option about, nothing is shown.
    known = all(
        int(shares.min(initial=0)) > resource_constraints.NOT_KNOWN
        for shares in ceiling.shares.values()
    )
    # Each share was rounded down, the room up and one added.
    return known and ends[1] + len(ceiling.shares) + 3 <= ceiling.room


# -- on the circuit -----------------------------------------------------------------------------


def _on_circuit(
    question: Question, positions: Sequence[str]
) -> tuple[int, dict[str, tuple[int, ...]]]:
    prepared = question.prepared
    model = question.model
    nothing = {p: (0,) * len(model.options[p]) for p in positions}
    masks = masks_of(question)
    if masks is None:
        return 0, nothing
    tables = model.position_tables
    on_circuit: list[tuple[int, dict[str, NDArray[np.int64]]]] = []
    primes = _primes(_at_most(question, masks))
    for prime in primes:
        semiring = CountModulo(prime)
        weights = {number: mask % prime for number, mask in masks.items()}
        values = forward(prepared.circuit, weights, semiring)
        above = backward(prepared.circuit, values, semiring, {tables[p] for p in positions})
        total = int(answer(values, semiring)) % prime
        on_circuit.append((total, {p: above[tables[p]] % prime for p in positions}))
    options = {}
    for position in positions:
        seat = prepared.seats[position]
        rows = [
            combine([int(each[position][row]) for _, each in on_circuit], primes)
            for row in range(len(seat.starts))
        ]
        mask = queries.allowed(model, question.job, position)
        options[position] = tuple(
            rows[row] if row < len(rows) and (mask is None or mask[number]) else 0
            for number, row in enumerate(seat.row_of.tolist())
        )
    return combine([total for total, _ in on_circuit], primes), options


def _at_most(question: Question, masks: Mapping[int, NDArray[np.int64]]) -> int:
    """Return a number that no count exceeds."""
    product = 1
    for position, options in question.model.options.items():
        mask = queries.allowed(question.model, question.job, position)
        product *= len(options) if mask is None else max(1, int(mask.sum()))
    semiring: Semiring = Count()
    with np.errstate(over="ignore", invalid="ignore"):
        weights = {number: mask.astype(np.float64) for number, mask in masks.items()}
        rough = float(answer(forward(question.prepared.circuit, weights, semiring), semiring))
    # Sums and products of numbers that are not negative: a float is out by far less than half.
    # The other options of a position may be in fewer packages than all, never in more.
    return min(product, 2 * int(rough) + 2) if np.isfinite(rough) else product


def _primes(beyond: int) -> list[int]:
    """Give primes below 2**31 whose product is larger than a number."""
    primes: list[int] = []
    product = 1
    for candidate in _downwards():
        if product > beyond:
            break
        primes.append(candidate)
        product *= candidate
    return primes


def _downwards() -> Iterator[int]:
    number = 2**31 - 1  # itself a prime, found by Euler in 1772
    while True:
        if _is_prime(number):
            yield number
        number -= 2


def _is_prime(number: int) -> bool:
    """Whether an odd number below 2**32 is prime: Miller and Rabin with bases 2, 7 and 61.

    References
    ----------
    .. [1] G. Jaeschke, *On strong pseudoprimes to several bases*, Mathematics of Computation 61
       (1993): these three bases decide below 4,759,123,141.

    Examples
    --------
    >>> [n for n in range(101, 131, 2) if _is_prime(n)]
    [101, 103, 107, 109, 113, 127]
    """
    odd, twos = number - 1, 0
    while odd % 2 == 0:
        odd, twos = odd // 2, twos + 1
    for base in (2, 7, 61):
        power = pow(base, odd, number)
        if power in (1, number - 1) or base % number == 0:
            continue
        if not any(pow(power, 2**k, number) == number - 1 for k in range(1, twos)):
            return False
    return True


def combine(remainders: Sequence[int], primes: Sequence[int]) -> int:
    """Find the smallest number with these remainders (Chinese remainder theorem).

    Examples
    --------
    >>> combine([2, 3, 2], [3, 5, 7])
    23
    """
    number, product = 0, 1
    for remainder, prime in zip(remainders, primes, strict=True):
        step = (remainder - number) * pow(product, -1, prime) % prime
        number += step * product
        product *= prime
    return number


# -- one by one ---------------------------------------------------------------------------------


def _by_listing(
    question: Question, positions: Sequence[str]
) -> tuple[int, dict[str, tuple[int, ...]]]:
    late = resource_constraints.late_of(question)
    total = 0
    options = {p: [0] * len(question.model.options[p]) for p in positions}
    for _, numbers in k_best.numbers_in_order(question):
        choice = k_best.chosen(question.prepared, numbers)
        if resource_constraints.keeps_late(question.evaluation, question.job, late, choice):
            total += 1
            for position in positions:
                options[position][numbers[position]] += 1
    return total, {position: tuple(counts) for position, counts in options.items()}


def _within_budget(question: Question, total: int, listed: int) -> tuple[int | None, bool]:
    job = question.job
    if job.budget is None:
        return None, True
    late = resource_constraints.late_of(question)
    decided_late = resource_constraints.has_late(question.evaluation, job, late)
    inside = 0
    for looked, (price, choice) in enumerate(k_best.in_order(question) if total else ()):
        if price > job.budget:
            break
        if looked == listed:
            return inside, False
        if not decided_late or resource_constraints.keeps_late(
            question.evaluation, job, late, choice
        ):
            inside += 1
    return inside, True
